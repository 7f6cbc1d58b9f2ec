"""Executor and transition system, each held for itself to values from the standard's text."""

from __future__ import annotations

from dataclasses import replace

import pytest
from twohand.program import Program
from twohand.program.types import Value
from twohand.scan.clocking import NANOSECONDS_PER_MILLISECOND, Clocking, Readings
from twohand.scan.concrete.execute import Machine
from twohand.scan.symbolic.encode import encode

from tests.agreement.expected_runs import (
    edges_and_counters,
    off_delay_and_pulse,
    on_delay,
    statements,
)
from tests.agreement.expected_runs.rows import BlockRun, column, elapsed_times, typed
from tests.support.meaning.concrete_terms import ConcreteSystem
from tests.support.meaning.typed_programs import program

SCAN_TIME = 100
LOOP_BOUND = 10
TABLES = (on_delay, off_delay_and_pulse, edges_and_counters, statements)
ROWS = [row for table in TABLES for row in table.ROWS]

every_row = pytest.mark.parametrize("row", ROWS, ids=[row.what for row in ROWS])


def block(row: BlockRun) -> Program:
    inputs = "".join(f"{name} : {kind}; " for name, (kind, _) in typed(row.given).items())
    declarations = f"VAR_INPUT {inputs} END_VAR VAR {row.declarations} END_VAR"
    return program(declarations, row.body, row.before)


def given(row: BlockRun) -> list[dict[str, Value]]:
    """The inputs, scan by scan."""
    columns = {name: column(*each) for name, each in typed(row.given).items()}
    return [
        dict(zip(columns, values, strict=True)) for values in zip(*columns.values(), strict=True)
    ]


def clocking(row: BlockRun) -> Clocking:
    times = elapsed_times(row, SCAN_TIME)
    return Clocking(NANOSECONDS_PER_MILLISECOND, min(times), max(times))


def readings(row: BlockRun) -> list[Readings]:
    """Those that the row names; each of the others off, on, and on alone."""
    named = Readings(**row.readings)
    off = replace(named, **dict.fromkeys(named.open, False))
    on = replace(named, **dict.fromkeys(named.open, True))
    return [off, on, *(replace(off, **{name: True}) for name in named.open)]


def expected(row: BlockRun) -> dict[str, list[int]]:
    return {name: [int(word) for word in words.split()] for name, words in row.expected.items()}


@every_row
def test_the_executor_does_what_the_standard_says(row: BlockRun) -> None:
    tested, times = block(row), elapsed_times(row, SCAN_TIME)
    for reading in readings(row):
        machine = Machine(tested, clocking(row), reading, LOOP_BOUND)
        records = [machine.scan(*each) for each in zip(given(row), times, strict=True)]
        found = [record.finding.kind.value for record in records if record.finding is not None]
        assert found == [row.finding] * bool(row.finding)
        whole = [record.values for record in records if record.finding is None]
        shown = {name: [int(record[name]) for record in whole] for name in row.expected}
        assert shown == expected(row), reading


@every_row
def test_the_transition_system_does_what_the_standard_says(row: BlockRun) -> None:
    system = encode(block(row), clocking(row), Readings(), LOOP_BOUND).system
    conditions = [condition for _, condition in system.findings]
    wanted = [*conditions, *(system.signals[name] for name in row.expected)]
    concrete = ConcreteSystem(system, wanted)
    times = elapsed_times(row, SCAN_TIME)
    for reading in readings(row):
        state = {
            name: getattr(reading, name.partition(".")[2]) if value is None else value
            for name, value in concrete.initial.items()
        }
        shown: dict[str, list[int]] = {name: [] for name in row.expected}
        for inputs, elapsed in zip(given(row), times, strict=True):
            seen, state = concrete.step(state, inputs, elapsed // system.tick)
            there = zip(system.findings, seen[: len(conditions)], strict=True)
            found = [finding.kind.value for (finding, _), happens in there if happens]
            if found:
                break
            for values, value in zip(shown.values(), seen[len(conditions) :], strict=True):
                values.append(int(value))
        assert (shown, found) == (expected(row), [row.finding] * bool(row.finding)), reading


def test_every_reading_has_a_row_for_each_of_its_values() -> None:
    named = {(name, value) for row in ROWS for name, value in row.readings.items()}
    assert named == {(name, value) for name in Readings().open for value in (False, True)}
