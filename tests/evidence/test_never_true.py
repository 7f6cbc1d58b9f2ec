"""What is never reached names the condition that is never TRUE, where there is one."""

from __future__ import annotations

from pathlib import Path

from twohand.analyses.check.check import check
from twohand.evidence.checks.never_true import joined
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
