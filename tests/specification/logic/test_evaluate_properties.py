"""Properties on traces computed by hand, and against other ways to say the same.

The pattern rows are those of M. Dwyer, G. Avrunin, J. Corbett, Patterns in Property
Specifications for Finite-State Verification, 1999, as published with that work.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import partial

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from twohand.scan.finding import Finding, FindingKind
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic.formula import (
    Always,
    And,
    Before,
    Bound,
    FirstScan,
    Historically,
    Implies,
    Not,
    Once,
    Or,
    Previous,
    Property,
    Response,
    Rose,
    Since,
    Until,
)

from tests.support.meaning.formula_traces import PLACE, P, Q, R, S, bits, refuted, trace


def test_always_is_refuted_at_the_first_scan_without_it() -> None:
    assert refuted(Always(P), trace(p="1101")) == 2
    assert refuted(Always(P), trace(p="111")) is None
    assert refuted(Always(P), []) is None


@pytest.mark.parametrize(
    ("bound", "p", "q", "expected"),
    [
        (Bound(0, 20), "010000", "000100", None),
        (Bound(0, 19), "010000", "000100", 3),
        (Bound(0, 20), "010000", "000010", 4),
        (Bound(0, 20), "0100", "0000", None),
        (Bound(0, 0), "0100", "0100", None),
        (Bound(0, 0), "0100", "0010", 2),
        (Bound(0, 0), "0001", "0000", None),
        (Bound(0, 1, in_scans=True), "1000", "0010", 2),
        (Bound(0, 2, in_scans=True), "1000", "0010", None),
        (Bound(0, 10), "101000", "010010", 4),
        (Bound(0, None), "1000", "0000", None),
    ],
)
def test_a_response_is_refuted_beyond_the_bound_of_an_unanswered_trigger(
    bound: Bound, p: str, q: str, expected: int | None
) -> None:
    assert refuted(Response(P, Q, bound), trace(p=p, q=q)) == expected


def test_a_response_looks_at_time_stamps_and_not_at_scans() -> None:
    asked = Response(P, Q, Bound(0, 20))
    assert refuted(asked, trace([0, 15, 20, 35], p="1000", q="0010")) is None
    assert refuted(asked, trace([0, 15, 21, 35], p="1000", q="0010")) == 2


def test_a_response_cannot_ask_for_a_distance() -> None:
    with pytest.raises(ValueError, match="begins at 0"):
        refuted(Response(P, Q, Bound(5, None)), trace(p="1", q="0"))


@pytest.mark.parametrize(
    ("p", "q", "r", "expected"),
    [
        ("0100", "0110", "0001", None),
        ("0100", "0100", "0001", 2),
        ("0100", "0110", "0000", 3),
        ("0100", "0111", "0000", None),
        ("0100", "0000", "0100", None),
        ("0100", "0000", "0000", 1),
        ("1001", "1100", "0010", 3),
        ("0000", "0000", "0000", None),
    ],
)
def test_until_holds_from_its_trigger_to_before_the_release(
    p: str, q: str, r: str, expected: int | None
) -> None:
    assert refuted(Until(P, Q, R), trace(p=p, q=q, r=r)) == expected


@pytest.mark.parametrize(
    ("p", "first", "second", "expected"),
    [
        ("1000", "0100", "0010", None),
        ("1000", "0010", "0010", 2),
        ("1000", "0010", "0100", 1),
        ("1000", "1000", "1000", 0),
        ("1000", "0000", "0000", None),
        ("0010", "0000", "1100", None),
    ],
)
def test_before_wants_the_first_strictly_earlier(
    p: str, first: str, second: str, expected: int | None
) -> None:
    assert refuted(Before(P, Q, R), trace(p=p, q=first, r=second)) == expected


def cut_short(records: list[ScanRecord]) -> list[ScanRecord]:
    """The same run with a finding in its last scan."""
    return [*records[:-1], replace(records[-1], finding=Finding(FindingKind.OVERFLOW, PLACE))]


def test_a_scan_that_a_finding_cut_short_refutes_nothing_by_its_values() -> None:
    assert refuted(Always(P), cut_short(trace(p="110"))) is None
    assert refuted(Until(P, Q, R), cut_short(trace(p="100", q="110", r="000"))) is None
    answered = Response(P, Q, Bound(0, 10))
    assert refuted(answered, cut_short(trace(p="10", q="00"))) is None
    # beyond the bound the values of the scan do not matter, only that it came
    assert refuted(answered, cut_short(trace(p="100", q="000"))) == 2


# --- against other ways to say the same -----------------------------------------------------------

rows = st.lists(st.tuples(*[st.booleans()] * 4), min_size=0, max_size=10)
law = partial(settings, deadline=None, derandomize=True)


def lettered(values: list[tuple[bool, ...]]) -> list[ScanRecord]:
    return [
        ScanRecord(10 * i, 10, dict(zip("pqrs", row, strict=True))) for i, row in enumerate(values)
    ]


@pytest.mark.long
@law(max_examples=150)
@given(rows)
def test_until_is_what_a_regular_expression_finds(values: list[tuple[bool, ...]]) -> None:
    # One character a scan, 0 to 7: trigger 4, hold 2, release 1.
    text = "".join(str(4 * p + 2 * q + r) for p, q, r, _ in values)
    wrong = [m.end(1) - 1 for m in re.finditer(r"(?=(6[26]*[04]|4))", text)]
    assert refuted(Until(P, Q, R), lettered(values)) == min(wrong, default=None)


@pytest.mark.long
@law(max_examples=100)
@given(rows)
def test_until_and_before_are_invariants_over_the_past(values: list[tuple[bool, ...]]) -> None:
    records = lettered(values)
    begun = Since(Not(R), And((P, Not(R))))
    assert refuted(Until(P, Q, R), records) == refuted(Always(Implies(begun, Q)), records)
    assert refuted(Before(P, Q, R), records) == refuted(Until(P, Not(R), And((Q, Not(R)))), records)


@pytest.mark.long
@law(max_examples=100)
@given(rows, st.integers(0, 4))
def test_a_response_in_scans_is_an_invariant_over_the_past(
    values: list[tuple[bool, ...]], limit: int
) -> None:
    records = lettered(values)
    # An answer in the very scan beyond the bound comes too late as well.
    waited = Since(Not(Q), And((P, Not(Q))), Bound(limit, None, in_scans=True))
    late = bits(And((Not(FirstScan()), Previous(waited))), records)
    asked = Response(P, Q, Bound(0, limit, in_scans=True))
    assert refuted(asked, records) == (late.index("1") if "1" in late else None)


def prefix_refuted(values: list[tuple[bool, ...]], end: int, asked: Property) -> bool:
    return refuted(asked, lettered(values[:end])) is not None


PATTERNS: list[tuple[str, Property, str]] = [
    # absence of P: globally; after Q; after Q until R
    ("absence globally", Always(Not(P)), "G !p"),
    ("absence after", Until(Q, Not(P), Or(())), "G (q -> G !p)"),
    ("absence after until", Until(And((Q, Not(R))), Not(P), R), "G (q & !r -> !p W r)"),
    # universality of P
    ("universality globally", Always(P), "G p"),
    ("universality after", Until(Q, P, Or(())), "G (q -> G p)"),
    ("universality after until", Until(And((Q, Not(R))), P, R), "G (q & !r -> p W r)"),
    # S precedes P
    ("precedence globally", Until(FirstScan(), Not(P), S), "!p W s"),
    (
        "precedence after until",
        Until(And((Q, Not(R))), Not(P), Or((S, R))),
        "G (q & !r -> !p W (s | r))",
    ),
]


def weak_until(left: list[bool], right: list[bool], start: int) -> bool:
    """W on what is left of a finite run, by its fixpoint from the back."""
    value = True
    for i in reversed(range(start, len(left))):
        value = right[i] or (left[i] and value)
    return value


def pattern_holds(row: str, values: list[tuple[bool, ...]]) -> bool:
    p, q, r, s = ([v[k] for v in values] for k in range(4))
    positions = range(len(values))
    off = [not x for x in p]
    either = [x or y for x, y in zip(s, r, strict=True)]
    opened = [i for i in positions if q[i] and not r[i]]
    after = [i for i in positions if q[i]]
    never = [False] * len(values)
    return {
        "G !p": not any(p),
        "G (q -> G !p)": all(weak_until(off, never, i) for i in after),
        "G (q & !r -> !p W r)": all(weak_until(off, r, i) for i in opened),
        "G p": all(p),
        "G (q -> G p)": all(weak_until(p, never, i) for i in after),
        "G (q & !r -> p W r)": all(weak_until(p, r, i) for i in opened),
        "!p W s": weak_until(off, s, 0),
        "G (q & !r -> !p W (s | r))": all(weak_until(off, either, i) for i in opened),
    }[row]


@pytest.mark.parametrize(("asked", "row"), [p[1:] for p in PATTERNS], ids=[p[0] for p in PATTERNS])
@law(max_examples=60)
@given(values=rows)
def test_a_pattern_row_is_refuted_where_its_formula_is_false(
    asked: Property, row: str, values: list[tuple[bool, ...]]
) -> None:
    assert (refuted(asked, lettered(values)) is None) == pattern_holds(row, values)


@pytest.mark.long
@law(max_examples=100)
@given(rows, st.sampled_from([p[1] for p in PATTERNS]))
def test_a_property_is_refuted_by_the_run_up_to_there_and_by_no_shorter_one(
    values: list[tuple[bool, ...]], asked: Property
) -> None:
    seen = refuted(asked, lettered(values))
    end = len(values) if seen is None else seen
    assert not any(prefix_refuted(values, n, asked) for n in range(end + (seen is None)))
    assert seen is None or prefix_refuted(values, seen + 1, asked)


def test_strict_precedence_forbids_both_together() -> None:
    # The older row for 'S precedes P', eventually P implies (not P) until (S and not P).
    both = trace(p="001", s="001")
    assert refuted(Before(FirstScan(), S, P), both) == 2
    assert refuted(Until(FirstScan(), Not(P), S), both) is None


def test_always_over_the_past_reads_rose_and_historically_together() -> None:
    asked = Always(Implies(Rose(P), And((Historically(Q, Bound(0, 10)), Once(R)))))
    assert refuted(asked, trace(p="0101", q="1110", r="0100")) == 3
