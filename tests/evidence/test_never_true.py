"""What is never reached names the condition that is never TRUE, where there is one."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.analyses.check.check import check
from twohand.evidence.checks.never_true import joined, lasting_conditions
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Outcome
from twohand.report.drawing.terminal import Terminal
from twohand.report.summary import report_lines
from twohand.specification.logic.formula import Always, Not
from twohand.specification.logic.formula_text import Wording

from tests.support.samples.check_samples import logic, specification

BODY = "armed := FALSE; ok := a OR b; q := a AND armed;"
ASKED = """
    REACHABLE one : a AND ok AND armed;
    REACHABLE together : a AND NOT ok;
    REACHABLE alone : q;
    PROPERTY empty : rose(a) AND armed AND b -> q;
    PROPERTY answered : armed AND a -> q WITHIN 3 SCANS;
"""


@pytest.mark.long
def test_the_condition_that_is_never_true_is_named(tmp_path: Path) -> None:
    block = logic(BODY, more="armed, ok : BOOL;")
    report = check(specification(tmp_path, block, ASKED), Options(processes=1))
    assert {verdict.outcome for verdict in report.verdicts} == {Outcome.VACUOUS}
    assert {v.requirement.identifier: v.never_true for v in report.verdicts} == {
        "one": ("armed",),
        "together": (),
        "alone": (),
        "empty": ("armed",),
        "answered": ("armed",),
    }
    shown = "\n".join(report_lines(report, Terminal(100)))
    assert shown.count("never TRUE in it: armed") == 3


def test_conditions_are_what_a_formula_joins_with_and(tmp_path: Path) -> None:
    text = "REACHABLE r : a AND (b OR ok) AND (NOT armed AND rose(a)) AND NOT (a AND b);"
    spec = specification(tmp_path, logic(BODY, more="armed, ok : BOOL;"), text)
    asked = spec.requirements[0].property
    assert isinstance(asked, Always)
    assert isinstance(asked.formula, Not)
    words = [Wording().of(part) for part in joined(asked.formula.operand)]
    assert len(words) == 5
    assert words[0] == "a"
    assert words[3] == "rose(a)"


OFF = "t(IN := a, PT := T#50ms); q := a AND armed AND (t.Q OR b) AND once AND n < 3; once := FALSE;"


@pytest.mark.long
def test_an_output_that_is_never_on_names_the_condition_that_keeps_it_off(tmp_path: Path) -> None:
    block = logic(OFF, more="armed, once : BOOL; n : INT; t : TON;")
    spec = specification(tmp_path, block, "OUTPUT q; PROPERTY p : q -> a;")
    report = check(spec, Options(processes=1))
    assert report.never_on == ("q",)
    assert report.never_on_why == {"q": ("armed",)}
    shown = " ".join(" ".join(report_lines(report, Terminal(100))).split())
    assert "whatever else is proved; never TRUE in what it is assigned: armed" in shown


@pytest.mark.parametrize(
    ("body", "lasting"),
    [
        (OFF, ["a", "armed", "t.Q OR b", "n < 3"]),
        ("q := a AND q;", ["a"]),
        ("q := a AND n + 1 < 3;", ["a"]),
        ("IF b THEN q := a; END_IF;", []),
        ("q := a; q := q AND b;", []),
        ("q := a AND t.Q; t(IN := b, PT := T#50ms);", ["a"]),
    ],
)
def test_only_what_is_so_until_the_end_of_the_scan_is_asked_of_an_output(
    body: str, lasting: list[str], tmp_path: Path
) -> None:
    block = logic(body, more="armed, once : BOOL; n : INT; t : TON;")
    program = specification(tmp_path, block, "PROPERTY p : a;").program
    found = lasting_conditions(program.outputs[0], program)
    assert [Wording().of(each) for each in found] == lasting
