"""Formulas on traces computed by hand, and the laws that tie their words together."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from twohand.program import Operation, Operator
from twohand.program.types import INT
from twohand.scan.finding import Finding, FindingKind
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic.evaluate import holds
from twohand.specification.logic.formula import (
    And,
    Atom,
    Bound,
    Fell,
    FirstScan,
    Formula,
    Historically,
    History,
    Iff,
    Implies,
    Not,
    Once,
    Or,
    Previous,
    Rose,
    Since,
)

from tests.support.meaning.formula_traces import (
    MILLISECONDS,
    PLACE,
    P,
    Q,
    bits,
    compared,
    letter,
    number,
    numbers,
    read,
    trace,
    variable,
)


@pytest.mark.parametrize(
    ("formula", "expected"),
    [
        (P, "0110100"),
        (FirstScan(), "1000000"),
        (Not(P), "1001011"),
        (And((P, Q)), "0010000"),
        (And(()), "1111111"),
        (Or((P, Q)), "1111101"),
        (Or(()), "0000000"),
        (Implies(P, Q), "1011011"),
        (Iff(P, Q), "0010010"),
        (Previous(P), "0011010"),
        (Previous(Q), "1101100"),
        (Previous(Q, 3), "1111011"),
        (Rose(P), "0100100"),
        (Rose(Q), "0010001"),
        (Fell(P), "0001010"),
        (Fell(Q), "0100100"),
        (Once(P), "0111111"),
        (Historically(Q), "1000000"),
        (Since(P, Q), "1111101"),
        (Since(Q, P), "0111100"),
    ],
)
def test_a_formula_has_its_value_at_each_scan(formula: Formula, expected: str) -> None:
    assert bits(formula, trace(p="0110100", q="1011001")) == expected


@pytest.mark.parametrize(
    ("bound", "expected"),
    [
        (Bound(0, 10), "110000100"),
        (Bound(0, 9), "100000100"),
        (Bound(0, 25), "111000111"),
        (Bound(0, 26), "111100111"),
        (Bound(0, 0), "100000100"),
        (Bound(0, None), "111111111"),
        (Bound(20, None), "001111111"),
        (Bound(26, None), "000111111"),
        (Bound(0, 1, in_scans=True), "110000110"),
        (Bound(2, None, in_scans=True), "001111111"),
        (Bound(8, None, in_scans=True), "000000001"),
    ],
)
def test_bounds_are_inclusive_distances_of_time_stamps_or_scans(
    bound: Bound, expected: str
) -> None:
    records = trace([0, 10, 20, 26, 40, 50, 60, 75, 85], p="100000100")
    assert bits(Once(P, bound), records) == expected
    assert bits(Not(Historically(Not(P), bound)), records) == expected


def test_a_historical_bound_that_no_scan_lies_within_asks_nothing() -> None:
    assert bits(Historically(P, Bound(20, None)), trace(p="0011")) == "1100"
    assert bits(Once(P, Bound(20, None)), trace(p="1111")) == "0011"


def test_since_wants_its_release_within_the_bound_and_hold_ever_after() -> None:
    records = trace(p="0111011", q="1000000")
    assert bits(Since(P, Q, Bound(0, 20)), records) == "1110000"
    assert bits(Since(P, Q, Bound(20, None)), records) == "0011000"
    assert bits(Since(P, Q, Bound(2, None, in_scans=True)), records) == "0011000"


def history(name: str, kind_count: int) -> History:
    return History(variable(f"{name} before", INT), read(name, INT), kind_count)


def test_a_history_is_the_first_value_before_it_has_one() -> None:
    n, before = read("n", INT), read("n before", INT)
    records = numbers(n=[3, 3, 5, 4, 7])
    grown = Atom(compared(Operator.GREATER, n, before), (history("n", 1),))
    assert bits(grown, records) == "00101"
    grown_in_two = Atom(compared(Operator.GREATER, n, before), (history("n", 2),))
    assert bits(grown_in_two, records) == "00111"


def test_a_history_may_read_the_one_before_it() -> None:
    before = read("n before", INT)
    difference = Operation(Operator.SUBTRACT, (read("n", INT), before), INT, PLACE)
    last = variable("last difference", INT)
    steady = compared(Operator.EQUAL, difference, read("last difference", INT))
    atom = Atom(steady, (history("n", 1), History(last, difference, 1)))
    # differences 0 2 2 3 3 0; each is compared with the one a scan before
    assert bits(atom, numbers(n=[1, 3, 5, 8, 11, 11])) == "101010"


# --- arithmetic, and values that are not defined -------------------------------------------------


def grows_past(limit: int) -> Atom:
    total = Operation(Operator.ADD, (read("n", INT), number(1)), INT, PLACE)
    return Atom(compared(Operator.GREATER, total, number(limit)))


def test_a_sum_has_its_value_beyond_its_type() -> None:
    records = numbers(n=[1, 32767, 2])
    assert bits(grows_past(2), records) == "011"
    assert bits(grows_past(32767), records) == "010"


def cut_short(index: int, **bits_of: str) -> list[ScanRecord]:
    records = trace(**bits_of)
    records[index] = replace(records[index], finding=Finding(FindingKind.OVERFLOW, PLACE))
    return records


def test_what_does_not_hang_on_the_missing_value_is_certain() -> None:
    records = cut_short(1, p="01")
    assert bits(Or((P, Not(FirstScan()))), records) == "01"
    assert bits(Not(And((P, FirstScan()))), records) == "11"
    assert bits(Once(P), records) == "00"
    assert bits(Not(Once(P)), records) == "10"
    assert bits(Iff(P, P), records) == "10"


def test_a_scan_that_a_finding_cut_short_has_no_values() -> None:
    records = cut_short(2, p="111")
    assert bits(P, records) == "110"
    assert bits(Not(P), records) == "000"
    assert bits(Once(P), records) == "111"
    assert bits(FirstScan(), records) == "100"


def test_time_stamps_do_not_go_back() -> None:
    with pytest.raises(ValueError, match="time stamps"):
        bits(P, trace([0, 10, 5], p="000"))


# --- laws ---------------------------------------------------------------------------------------

letters = st.lists(
    st.tuples(st.booleans(), st.booleans(), st.integers(1, 4)), min_size=1, max_size=12
)
bounds = st.one_of(
    st.none(),
    st.builds(lambda high, scans: Bound(0, high, scans), st.integers(0, 12), st.booleans()),
    st.builds(lambda low, scans: Bound(low, None, scans), st.integers(0, 12), st.booleans()),
)


def timed(rows: list[tuple[bool, bool, int]]) -> list[ScanRecord]:
    records, time = [], 0
    for i, (p, q, elapsed) in enumerate(rows):
        time = 0 if i == 0 else time + elapsed
        records.append(ScanRecord(time, elapsed, {"p": p, "q": q}, older=frozenset("pq")))
    return records


def apart(records: list[ScanRecord], j: int, i: int, bound: Bound | None) -> bool:
    """Whether the distance from j to i lies within the bound, number by number."""
    if bound is None:
        return True
    distance = i - j if bound.in_scans else records[i].time - records[j].time
    return bound.low <= distance and (bound.high is None or distance <= bound.high)


@settings(deadline=None, derandomize=True, max_examples=150)
@given(letters, bounds)
def test_past_words_are_what_their_definitions_say(
    rows: list[tuple[bool, bool, int]], bound: Bound | None
) -> None:
    records = timed(rows)
    p, q = [row[0] for row in rows], [row[1] for row in rows]
    positions = range(len(rows))
    within = [[j for j in positions if j <= i and apart(records, j, i, bound)] for i in positions]
    assert holds(Once(P, bound), records, MILLISECONDS) == [
        any(p[j] for j in within[i]) for i in positions
    ]
    assert holds(Historically(P, bound), records, MILLISECONDS) == [
        all(p[j] for j in within[i]) for i in positions
    ]
    assert holds(Since(P, Q, bound), records, MILLISECONDS) == [
        any(q[j] and all(p[k] for k in range(j + 1, i + 1)) for j in within[i]) for i in positions
    ]


TRUE = Or((letter("p"), Not(letter("p"))))


@pytest.mark.long
@settings(deadline=None, derandomize=True, max_examples=100)
@given(letters, bounds)
def test_words_that_express_each_other_agree(
    rows: list[tuple[bool, bool, int]], bound: Bound | None
) -> None:
    records = timed(rows)
    pairs: list[tuple[Formula, Formula]] = [
        (Historically(P, bound), Not(Once(Not(P), bound))),
        (Once(P, bound), Since(TRUE, P, bound)),
        (Rose(P), And((P, Not(Previous(P))))),
        (Fell(P), Rose(Not(P))),
        (Since(P, Q), Or((Q, And((P, Not(FirstScan()), Previous(Since(P, Q))))))),
        (Previous(Previous(P)), Previous(P, 2)),
        (Implies(P, Q), Or((Not(P), Q))),
        (Iff(P, Q), And((Implies(P, Q), Implies(Q, P)))),
    ]
    for left, right in pairs:
        assert bits(left, records) == bits(right, records)
