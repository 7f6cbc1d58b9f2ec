"""What is certain of a formula where the last scan has no values (Kleene's three values)."""

from __future__ import annotations

from dataclasses import replace

import pytest
from twohand.scan.finding import Finding, FindingKind
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic.formula import (
    Always,
    And,
    Before,
    Bound,
    Fell,
    FirstScan,
    Formula,
    Historically,
    Iff,
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

from tests.support.meaning.formula_traces import PLACE, P, Q, bits, refuted, trace

TRUE, FALSE, OPEN = "true", "false", "open"
PREVIOUS_P, PREVIOUS_Q = Previous(P), Previous(Q)
"""In the last scan FALSE and TRUE."""
A_SCAN_AGO = Bound(0, 1, in_scans=True)


def run() -> list[ScanRecord]:
    """``p`` is TRUE, FALSE, open; ``q`` TRUE, TRUE, open. What the cut scan shows is no value."""
    records = trace(p="101", q="111")
    cut = replace(records[-1], finding=Finding(FindingKind.OVERFLOW, PLACE))
    return [*records[:-1], cut]


@pytest.mark.parametrize(
    ("formula", "value"),
    [
        (P, OPEN),
        (Not(P), OPEN),
        (FirstScan(), FALSE),
        (PREVIOUS_P, FALSE),
        (PREVIOUS_Q, TRUE),
        (Previous(P, 2), TRUE),
        (Or((P, PREVIOUS_Q)), TRUE),
        (Or((P, PREVIOUS_P)), OPEN),
        (Or((PREVIOUS_P, PREVIOUS_P)), FALSE),
        (And((P, PREVIOUS_P)), FALSE),
        (And((P, PREVIOUS_Q)), OPEN),
        (Implies(P, PREVIOUS_Q), TRUE),
        (Implies(PREVIOUS_P, P), TRUE),
        (Implies(PREVIOUS_Q, P), OPEN),
        (Implies(P, PREVIOUS_P), OPEN),
        (Implies(P, P), OPEN),
        (Iff(P, P), OPEN),
        (Iff(P, PREVIOUS_P), OPEN),
        (Iff(PREVIOUS_P, PREVIOUS_Q), FALSE),
        (Rose(Q), FALSE),
        (Rose(P), OPEN),
        (Fell(P), FALSE),
        (Fell(Q), OPEN),
        (Once(P), TRUE),
        (Once(Not(Q)), OPEN),
        (Once(P, A_SCAN_AGO), OPEN),
        (Once(P, Bound(1, None, in_scans=True)), TRUE),
        (Once(Not(Q), Bound(1, None, in_scans=True)), FALSE),
        (Historically(P), FALSE),
        (Historically(Q), OPEN),
        (Historically(P, A_SCAN_AGO), FALSE),
        (Historically(Q, Bound(1, None, in_scans=True)), TRUE),
        (Since(P, Q), OPEN),
        (Since(PREVIOUS_Q, P), TRUE),
        (Since(P, PREVIOUS_P), OPEN),
        (Since(PREVIOUS_P, Not(PREVIOUS_Q)), FALSE),
        (Since(PREVIOUS_P, P), OPEN),
        (Since(Q, Not(Q)), OPEN),
        (Since(Not(Q), And((P, PREVIOUS_P))), FALSE),
    ],
)
def test_a_formula_is_certain_where_no_value_of_the_cut_scan_could_change_it(
    formula: Formula, value: str
) -> None:
    certainly_true, certainly_false = bits(formula, run())[-1], bits(Not(formula), run())[-1]
    told = {"10": TRUE, "01": FALSE, "00": OPEN}
    assert told[certainly_true + certainly_false] == value


NOW = Bound(0, 0)
LATER = Bound(0, 10)
"""Scans are 10 units apart."""
NEVER = And((P, Not(P), PREVIOUS_P))
"""FALSE for certain in the last scan, and in the others."""


@pytest.mark.parametrize(
    ("asked", "index"),
    [
        (Always(Q), None),
        (Always(Not(PREVIOUS_P)), 0),
        (Always(Or((Q, PREVIOUS_P))), None),
        (Always(Or((FirstScan(), PREVIOUS_P))), 2),
        (Always(Or((Q, Not(PREVIOUS_P)))), None),
        (Response(P, NEVER, LATER), 2),
        (Response(And((P, PREVIOUS_Q)), NEVER, NOW), 1),
        (Response(Rose(Q), NEVER, NOW), None),
        (Response(Not(Or((P, FirstScan()))), Not(Q), LATER), None),
        (Response(FirstScan(), And((Not(P), Not(FirstScan()), Not(Q))), LATER), 2),
        (Response(FirstScan(), And((P, Not(FirstScan()))), Bound(0, 20)), None),
        (Until(FirstScan(), Q, NEVER), None),
        (Until(FirstScan(), Or((PREVIOUS_P, FirstScan())), NEVER), 2),
        (Until(FirstScan(), Or((PREVIOUS_P, FirstScan())), Not(Q)), None),
        (Until(And((P, Not(FirstScan()))), NEVER, NEVER), None),
        (Until(And((PREVIOUS_Q, Not(Or((FirstScan(), Fell(P)))))), NEVER, NEVER), 2),
        (Before(FirstScan(), NEVER, And((Q, Not(Or((FirstScan(), Fell(P))))))), None),
        (Before(FirstScan(), NEVER, Not(Or((FirstScan(), PREVIOUS_P)))), 2),
    ],
)
def test_a_property_is_refuted_only_where_that_is_certain(
    asked: Property, index: int | None
) -> None:
    assert refuted(asked, run()) == index
