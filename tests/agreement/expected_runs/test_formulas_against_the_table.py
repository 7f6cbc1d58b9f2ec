"""Evaluator and monitor, each held for itself to values of the published temporal words."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
import z3
from twohand.program.durations import Units
from twohand.scan.clocking import NANOSECONDS_PER_MILLISECOND, Clocking, Readings
from twohand.scan.scan_record import ScanRecord
from twohand.scan.symbolic.encode import encode
from twohand.specification.load import load_specification
from twohand.specification.logic.evaluate import holds, refuted_at
from twohand.specification.logic.formula import Always, Property
from twohand.specification.logic.monitor import Monitors
from twohand.specification.logic.power_up import POWER_UP
from twohand.specification.model.specification import Specification

from tests.agreement.expected_runs import past_formulas, properties
from tests.agreement.expected_runs.rows import (
    PropertyRun,
    ValueRun,
    before_power_up,
    column,
    elapsed_times,
    typed,
)
from tests.support.meaning.concrete_terms import ConcreteSystem

SCAN_TIME = 10

every_value = pytest.mark.parametrize(
    "row", past_formulas.ROWS, ids=[row.what for row in past_formulas.ROWS]
)
every_property = pytest.mark.parametrize(
    "row", properties.ROWS, ids=[f"{row.formula}, {row.what}" for row in properties.ROWS]
)
Row = ValueRun | PropertyRun


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("letters")


@cache
def loaded(folder: Path, inputs: str, scan: str, formula: str) -> Specification:
    (folder / "letters.st").write_text(
        f"FUNCTION_BLOCK Letters VAR_INPUT {inputs} END_VAR END_FUNCTION_BLOCK", encoding="utf-8"
    )
    path = folder / "letters.spec"
    path.write_text(
        f"SPEC Letters SOURCE 'letters.st'; SCAN {scan}; PROPERTY asked : {formula}; END_SPEC",
        encoding="utf-8",
    )
    return load_specification(path)


def specification(row: Row, folder: Path) -> Specification:
    """A block whose inputs are the row's letters, and the formula as its one property."""
    inputs = "".join(f"{name} : {kind}; " for name, (kind, _) in typed(row.given).items())
    times = elapsed_times(row, SCAN_TIME)
    scan = f"T#{min(times)}ms" + (f"..T#{max(times)}ms" if len({*times}) > 1 else "")
    return loaded(folder, inputs, scan, row.formula)


def asked(spec: Specification) -> Property:
    (requirement,) = spec.requirements
    return requirement.property


def records(row: Row) -> list[ScanRecord]:
    columns = {name: column(*each) for name, each in typed(row.given).items()}
    times = elapsed_times(row, SCAN_TIME)
    assert all(len(each) == len(times) for each in columns.values())
    begin = sum(times[1 : before_power_up(row) + 1])
    return [
        ScanRecord(
            Units(sum(times[1 : i + 1]) - begin),
            Units(times[i]),
            {n: each[i] for n, each in columns.items()},
            older=frozenset(columns),
        )
        for i in range(len(times))
    ]


def clocking(row: Row) -> Clocking:
    times = elapsed_times(row, SCAN_TIME)
    return Clocking(NANOSECONDS_PER_MILLISECOND, min(times), max(times))


def observed(monitors: Monitors, term: z3.BoolRef, run: list[ScanRecord]) -> str:
    """The term's value in each scan of the run."""
    concrete = ConcreteSystem(*monitors.with_past(monitors.system, [term]))
    state = dict(concrete.initial)
    shown = []
    for record in run:
        ticks = record.elapsed // concrete.system.tick
        inputs = {**record.values, POWER_UP: not record.before_power_up}
        (value,), state = concrete.step(state, inputs, ticks)
        if not record.before_power_up:
            shown.append("1" if value else "0")
    return " ".join(shown)


@every_value
def test_the_evaluator_gives_a_formula_its_published_value(row: ValueRun, folder: Path) -> None:
    found = asked(specification(row, folder))
    assert isinstance(found, Always)
    truths = holds(found.formula, records(row), clocking(row))[before_power_up(row) :]
    assert " ".join("1" if truth else "0" for truth in truths) == row.value


@every_value
def test_the_monitor_gives_a_formula_its_published_value(row: ValueRun, folder: Path) -> None:
    spec = specification(row, folder)
    found = asked(spec)
    assert isinstance(found, Always)
    monitors = Monitors(encode(spec.program, clocking(row), Readings()))
    assert observed(monitors, monitors.formula(found.formula), records(row)) == row.value


@every_property
def test_the_evaluator_refutes_a_property_in_the_published_scan(
    row: PropertyRun, folder: Path
) -> None:
    found = refuted_at(asked(specification(row, folder)), records(row), clocking(row))
    expected = None if row.broken_in is None else before_power_up(row) + row.broken_in - 1
    assert found == expected


@every_property
def test_the_monitor_refutes_a_property_in_the_published_scan(
    row: PropertyRun, folder: Path
) -> None:
    spec = specification(row, folder)
    monitors = Monitors(encode(spec.program, clocking(row), Readings()))
    seen = observed(monitors, monitors.bad(asked(spec)), records(row)).split()
    assert (seen.index("1") + 1 if "1" in seen else None) == row.broken_in
