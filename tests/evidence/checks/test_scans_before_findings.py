"""What is asked of the scans before a finding speaks of those alone; assumptions always hold."""

from __future__ import annotations

from pathlib import Path

import pytest
import z3
from twohand.engine import portfolio
from twohand.engine.jobs import Problem
from twohand.engine.system.contract import Proved, Violated
from twohand.evidence.encoding import Encoding

from tests.support.samples.check_samples import logic, specification

BLOCK = logic(
    "later := after; after := after OR a; IF a THEN n := 1 / zero; END_IF;"
    "IF b AND later THEN n := 2 / zero; END_IF; q := b;",
    more="n, zero : INT; after, later : BOOL;",
)
"""``1 / zero`` happens with ``a``, ``2 / zero`` in any scan with ``b`` after one of those."""


def encoding(folder: Path, statements: str) -> Encoding:
    return Encoding(specification(folder, BLOCK, statements))


def answer(problem: Problem, index: int = 0) -> type:
    system, terms = problem.loaded()
    return type(portfolio.decide(system, terms[index], 20.0))


@pytest.mark.parametrize(
    ("reached", "plainly", "before"),
    [
        ("q", Violated, Violated),
        ("q AND a", Violated, Proved),
        ("prev(a) AND NOT a AND NOT b AND NOT FIRST_SCAN", Violated, Proved),
        ("once(a AND ANY_SCAN) AND NOT a AND NOT b AND NOT prev(a)", Violated, Proved),
    ],
)
def test_a_scan_with_or_after_a_finding_is_not_asked_for(
    tmp_path: Path, reached: str, plainly: type, before: type
) -> None:
    asked = encoding(tmp_path, f"PROPERTY p : NOT ({reached});")
    index = asked.bad(asked.specification.requirements[0].property)
    assert answer(asked.problem(), index) is plainly
    assert answer(asked.until_then(), index) is before


@pytest.mark.long
def test_a_finding_that_needs_another_one_first_does_not_come_first(tmp_path: Path) -> None:
    asked = encoding(tmp_path, "PROPERTY p : b OR NOT b;")
    named = {finding.span.text: finding for finding, _ in asked.findings}
    first, second = named["1 / zero"], named["2 / zero"]
    assert answer(asked.finding([second], [])) is Violated
    assert answer(asked.finding([second], [first])) is Proved
    assert answer(asked.finding([first], [second])) is Violated
    terms = dict(asked.findings)
    assert answer(asked.first_finding(terms[first])) is Violated
    assert answer(asked.first_finding(terms[second])) is Proved
    assert answer(asked.first_finding(z3.Or(terms[first], terms[second]))) is Violated


@pytest.mark.parametrize(
    ("reached", "found"), [("a AND b", Proved), ("a AND prev(b)", Proved), ("a", Violated)]
)
def test_what_an_assumption_excludes_is_in_no_scan(
    tmp_path: Path, reached: str, found: type
) -> None:
    assumed = "ASSUME NOT (a AND b); ASSUME NOT (a AND prev(b));"
    asked = encoding(tmp_path, f"{assumed} PROPERTY p : NOT ({reached});")
    index = asked.bad(asked.specification.requirements[0].property)
    assert answer(asked.problem(), index) is found
