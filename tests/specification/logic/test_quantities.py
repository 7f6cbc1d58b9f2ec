"""What is read from a run, by hand: directly, and by the clocks beside a program."""

from __future__ import annotations

from dataclasses import replace

import pytest
import z3
from twohand.program import Variable
from twohand.scan.clocking import Readings
from twohand.scan.scan_record import ScanRecord
from twohand.scan.symbolic.encode import encode
from twohand.specification.logic.evaluate_quantity import last_reading
from twohand.specification.logic.formula import Atom
from twohand.specification.logic.monitor import Monitors
from twohand.specification.logic.monitor_quantity import QuantityTerms, quantity_terms
from twohand.specification.logic.quantity import Event, Missing, Quantity

from tests.support.meaning.concrete_terms import ConcreteSystem
from tests.support.randomness.formulas import BOOLEANS, PROGRAM, RANGE, read

LEFT, RIGHT, STOP = BOOLEANS
ELAPSED = (RANGE.shortest, RANGE.longest)
"""The scans before the first one apart: short and long ones in turn."""


def now(variable: Variable) -> Atom:
    return Atom(read(variable))


BETWEEN = Quantity(now(STOP), (Event(now(LEFT), "left"), Event(now(RIGHT), "right")), False)
SINCE = Quantity(now(STOP), (Event(now(LEFT), "left"),), True)
BEFORE = replace(SINCE, strict=True)
ENDLESS = replace(BETWEEN, missing=Missing.WITHOUT_LIMIT)
NONE, ENDS = None, "without limit"


def run(left: str, right: str, stop: str) -> list[ScanRecord]:
    records, time = [], 0
    for scan, row in enumerate(zip(left, right, stop, strict=True)):
        elapsed = ELAPSED[scan % 2]
        time += elapsed if scan else 0
        values = {v.name: False for v in PROGRAM.inputs}
        values |= {v.name: on == "1" for v, on in zip(BOOLEANS, row, strict=True)}
        records.append(ScanRecord(time, elapsed, values))
    return records


@pytest.mark.parametrize(
    ("quantity", "left", "right", "stop", "scans"),
    [
        (BETWEEN, "1000", "0010", "0011", [NONE, NONE, (0, 2), (0, 2)]),
        (BETWEEN, "0010", "1000", "0011", [NONE, NONE, (0, 2), (0, 2)]),
        (BETWEEN, "1010", "0100", "1111", [NONE, (0, 1), (1, 2), (1, 2)]),
        (BETWEEN, "0100", "0000", "1111", [NONE, NONE, NONE, NONE]),
        (ENDLESS, "0100", "0001", "1101", [ENDS, ENDS, NONE, (1, 3)]),
        (SINCE, "0101", "0000", "1111", [NONE, (1, 1), (1, 2), (3, 3)]),
        (BEFORE, "0101", "0000", "1111", [NONE, NONE, (1, 2), (1, 3)]),
        (BEFORE, "1100", "0000", "0101", [NONE, (0, 1), NONE, (1, 3)]),
    ],
)
@pytest.mark.parametrize("in_scans", [False, True])
def test_a_quantity_is_the_distance_of_its_moments(
    quantity: Quantity, left: str, right: str, stop: str, scans: list[object], in_scans: bool
) -> None:
    """``scans``: the first and the last moment, where it is read."""
    records = run(left, right, stop)
    quantity = replace(quantity, in_scans=in_scans)
    stamps = [scan if in_scans else record.time for scan, record in enumerate(records)]
    expected = [
        stamps[each[1]] - stamps[each[0]] if isinstance(each, tuple) else each for each in scans
    ]
    direct = [last_reading(quantity, records[: n + 1], RANGE) for n in range(len(records))]
    told = [ENDS if r is not None and r.value is None else r and r.value for r in direct]
    assert told == expected
    assert by_clocks(quantity, records) == expected


def by_clocks(quantity: Quantity, records: list[ScanRecord]) -> list[object]:
    monitors = Monitors(encode(PROGRAM, RANGE, Readings()))
    states, terms = quantity_terms(monitors, quantity)
    concrete = ConcreteSystem(monitors.system.extended(states), terms.all)
    state, seen = dict(concrete.initial), []
    for record in records:
        (is_read, value, endless), state = concrete.step(state, record.values, record.elapsed)
        seen.append(ENDS if endless else value if is_read else NONE)
    return seen


@pytest.mark.parametrize(
    ("is_read", "value", "endless", "bound", "least", "beyond"),
    [
        (True, 5, False, 5, False, False),
        (True, 6, False, 5, False, True),
        (True, 5, False, 5, True, False),
        (True, 4, False, 5, True, True),
        (False, 6, False, 5, False, False),
        (False, 0, True, 5, False, True),
        (True, 0, False, None, False, True),
        (False, 0, False, None, False, False),
        (False, 0, True, None, False, True),
    ],
)
def test_only_what_is_read_goes_beyond_a_bound(
    is_read: bool, value: int, endless: bool, bound: int | None, least: bool, beyond: bool
) -> None:
    terms = QuantityTerms(z3.BoolVal(is_read), z3.IntVal(value), z3.BoolVal(endless))
    assert z3.is_true(z3.simplify(terms.beyond(bound, least))) is beyond
