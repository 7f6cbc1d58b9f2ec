"""Answers about blocks that compute with REALs: proved whatever comes of them, and never shown by a
run that needs them to come out in one way."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.analyses.compare.check import compare
from twohand.analyses.compare.options import ComparisonOptions
from twohand.analyses.compare.question import resolve_comparison
from twohand.analyses.inspect.check import inspect
from twohand.analyses.inspect.points import InspectionKind, Status, Weight
from twohand.analyses.inspect.subject import subject_of_block
from twohand.commands import main as command_line
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Outcome
from twohand.program import Program
from twohand.report.coverage import not_asked
from twohand.report.exit_code import ExitCode
from twohand.specification.load import load_specification
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.small_checks import report_of

OPTIONS = Options(effort=20.0, processes=1)
DECLARED = (
    "FUNCTION_BLOCK Lids VAR_INPUT l, r, shut : BOOL; a, b : REAL; END_VAR\n"
    "VAR_OUTPUT q, w : BOOL; n : INT; END_VAR VAR z : REAL; END_VAR\n"
)
HANDS = "SCAN T#10ms; HAND left = l; HAND right = r; OUTPUT q;"


def outcomes(folder: Path, pool: Pool, body: str, statements: str) -> dict[str, str]:
    source = f"{DECLARED}{body}\nEND_FUNCTION_BLOCK"
    report = report_of(folder, pool, source, f"{HANDS} {statements}")
    found = {each.requirement.identifier: each.outcome.value for each in report.verdicts}
    return found | {each.finding.kind.value: each.outcome.value for each in report.findings}


@pytest.mark.long
@pytest.mark.parametrize(
    ("body", "statement", "outcome"),
    [
        ("q := l AND r AND a > b;", "PROPERTY p : q -> l;", "PROVED"),
        ("w := a > b; q := l AND NOT (b < a);", "PROPERTY p : NOT (q AND w);", "PROVED"),
        ("w := a >= b; q := l AND NOT (b < a);", "PROPERTY p : NOT (q AND w);", "UNDECIDED"),
        ("w := z > b; z := a; q := z > b;", "PROPERTY p : q = w;", "UNDECIDED"),
        ("q := l AND a > b;", "PROPERTY p : NOT q;", "UNDECIDED"),
        ("q := l AND a > b;", "PROPERTY p : q -> prev(q);", "UNDECIDED"),
        ("q := l; w := a > b;", "PROPERTY p : NOT q;", "VIOLATED"),
        ("q := l; w := a > b;", "REACHABLE q;", "PROVED"),
        ("q := l AND a > b;", "REACHABLE q;", "UNDECIDED"),
        ("q := l AND a > b AND NOT l;", "REACHABLE q;", "VACUOUS"),
        (
            "q := l AND r AND a > b;",
            "REQUIRE TWO_HAND LOGIC TYPE I; AVAILABLE WITHIN 1 SCANS;",
            "UNDECIDED",
        ),
        ("IF a > b THEN n := n + 1; END_IF; q := l;", "PROPERTY p : NOT q;", "UNDECIDED"),
        ("n := REAL_TO_INT(a); q := l AND n > 4;", "PROPERTY p : q -> n >= 5;", "PROVED"),
        ("n := REAL_TO_INT(a); q := l AND n > 4;", "PROPERTY p : q -> n >= 6;", "UNDECIDED"),
    ],
)
def test_a_proof_holds_whatever_reals_are_and_a_run_that_needs_them_shows_nothing(
    body: str, statement: str, outcome: str, tmp_path: Path, pool: Pool
) -> None:
    found = outcomes(tmp_path, pool, body, statement)
    assert found.get("p", found.get("reachable", found.get("available"))) == outcome, found


def test_what_is_undecided_names_it_and_has_the_run(tmp_path: Path, pool: Pool) -> None:
    source = f"{DECLARED}q := l AND a * 2.0 > b;\nEND_FUNCTION_BLOCK"
    report = report_of(tmp_path, pool, source, f"{HANDS} PROPERTY p : NOT q;")
    (verdict,) = report.verdicts
    assert verdict.outcome is Outcome.UNDECIDED
    assert verdict.counterexample is None
    assert verdict.hangs_on == ("a * 2.0 > b",)
    assert verdict.candidate is not None
    assert verdict.candidate.records[-1].values["q"] is True
    assert [w.code for w in report.warnings] == ["output-undecided"]


@pytest.mark.long
def test_a_trigger_and_a_finding_that_need_them_are_open(tmp_path: Path, pool: Pool) -> None:
    source = f"{DECLARED}q := l AND a > b; IF a > b THEN n := n + 1; END_IF;\nEND_FUNCTION_BLOCK"
    report = report_of(tmp_path, pool, source, f"{HANDS} PROPERTY p : q -> l;")
    assert [each.outcome for each in report.findings] == [Outcome.UNDECIDED]
    assert report.findings[0].hangs_on == ("a > b",)
    (verdict,) = report.verdicts
    assert verdict.outcome is Outcome.PROVED
    assert verdict.witness is None
    assert "can happen was not decided" in verdict.reason


@pytest.mark.long
def test_a_run_to_one_thing_shows_no_other_that_needs_them(tmp_path: Path, pool: Pool) -> None:
    source = f"{DECLARED}q := l; w := l AND NOT (a > b);\nEND_FUNCTION_BLOCK"
    wanted = f"{HANDS} PROPERTY t : w -> q; PROPERTY v : NOT q;"
    proved, violated = report_of(tmp_path, pool, source, wanted).verdicts
    assert violated.outcome is Outcome.VIOLATED
    assert proved.outcome is Outcome.PROVED
    assert proved.witness is None
    assert "can happen was not decided" in proved.reason


@pytest.mark.long
def test_a_lag_that_needs_them_is_not_shown(tmp_path: Path, pool: Pool) -> None:
    body = (
        "IF NOT l AND NOT r THEN w := TRUE; END_IF; IF w AND l AND r THEN q := a > b; "
        "w := FALSE; END_IF; IF NOT (l AND r) THEN q := FALSE; END_IF;"
    )
    source = f"{DECLARED}{body}\nEND_FUNCTION_BLOCK"
    wanted = f"{HANDS} REQUIRE two_hand LOGIC TYPE III, WINDOW T#480ms;"
    report = report_of(tmp_path, pool, source, wanted)
    assert [lag.reached for lag in report.lags] == [None]


def version(body: str, inputs: str = "a, b : REAL; n : INT;") -> Program:
    text = (
        f"FUNCTION_BLOCK Lids VAR_INPUT l : BOOL; {inputs} END_VAR VAR_OUTPUT q : BOOL; END_VAR\n"
        f"VAR z : REAL; k : INT; END_VAR {body}\nEND_FUNCTION_BLOCK"
    )
    return load_program([SourceText("a.st", text)])


@pytest.mark.long
@pytest.mark.parametrize(
    ("first", "second", "outcome"),
    [
        ("q := a > b;", "q := b < a;", "PROVED"),
        ("q := a + 1.0 > b;", "IF b < a + 1.0 THEN q := TRUE; ELSE q := FALSE; END_IF;", "PROVED"),
        ("q := a * INT_TO_REAL(n) > b;", "q := b < a * INT_TO_REAL(n);", "PROVED"),
        ("q := a > b;", "q := a >= b;", "UNDECIDED"),
        ("z := a; q := z > b;", "z := b; q := z > b;", "UNDECIDED"),
        ("q := z > b; z := a;", "q := z > b; z := b;", "UNDECIDED"),
        ("k := n; q := a * INT_TO_REAL(k) > b;", "q := a * INT_TO_REAL(k) > b;", "UNDECIDED"),
        ("q := l; k := REAL_TO_INT(a);", "q := NOT l;", "VIOLATED"),
    ],
)
def test_two_versions_share_one_formula_over_the_same_values(
    first: str, second: str, outcome: str, pool: Pool
) -> None:
    options = ComparisonOptions(scan="T#10ms")
    comparison = resolve_comparison(version(first), version(second), options)
    (verdict,) = compare(comparison, OPTIONS, pool=pool).report.verdicts
    assert verdict.outcome.value == outcome
    assert (verdict.candidate is not None) is (outcome == "UNDECIDED")


@pytest.mark.long
def test_an_input_of_another_type_is_another_value(pool: Pool) -> None:
    first, second = version("q := a > b;"), version("q := a > b;", "a, b : LREAL; n : INT;")
    comparison = resolve_comparison(first, second, ComparisonOptions(scan="T#10ms"))
    (verdict,) = compare(comparison, OPTIONS, pool=pool).report.verdicts
    assert verdict.outcome is Outcome.UNDECIDED


def test_an_inspection_leaves_open_what_needs_them(pool: Pool) -> None:
    body = "IF a > b THEN q := l; ELSE w := r; END_IF; IF l AND NOT l THEN w := TRUE; END_IF;"
    source = SourceText("lids.st", f"{DECLARED}{body}\nEND_FUNCTION_BLOCK")
    subject = subject_of_block([source], "Lids", "T#10ms", (), False)
    kinds = (InspectionKind.CONSTANT_CONDITION,)
    found = inspect(subject, OPTIONS, pool=pool, kinds=kinds).found
    assert [each.point.weight for each in found] == [Weight.OPEN, Weight.FAULT]
    assert found[0].answer.status is Status.OPEN
    assert found[0].answer.hangs_on == ("a > b",)


@pytest.mark.long
def test_a_timer_that_only_reals_read_may_be_missed(pool: Pool) -> None:
    text = (
        "FUNCTION_BLOCK Lids VAR_INPUT l, r : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR\n"
        "VAR t : TON; z : REAL; END_VAR IF r THEN t(IN := l, PT := T#30ms); END_IF;\n"
        "z := SEL(t.Q, 1.5, 2.5); q := z > 2.0;\nEND_FUNCTION_BLOCK"
    )
    subject = subject_of_block([SourceText("lids.st", text)], "Lids", "T#10ms", (), False)
    found = inspect(subject, OPTIONS, pool=pool, kinds=(InspectionKind.SKIPPED_CALL,)).found
    assert [each.point.weight for each in found] == [Weight.OPEN]


def test_nothing_is_said_to_be_not_asked_that_may_come_into_reals(tmp_path: Path) -> None:
    source = f"{DECLARED}IF shut THEN z := a; END_IF; q := l AND z > b;\nEND_FUNCTION_BLOCK"
    (tmp_path / "b.st").write_text(source, encoding="utf-8")
    spec = tmp_path / "s.spec"
    spec.write_text(f"SPEC S SOURCE 'b.st'; {HANDS} PROPERTY p : q -> l; END_SPEC")
    assert not not_asked(load_specification(spec))


@pytest.mark.long
@pytest.mark.parametrize("command", ["measure", "faults", "audit", "mend"])
def test_what_only_runs_answer_is_refused_by_name(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "b.st").write_text(
        f"{DECLARED}q := l AND r AND a > b;\nEND_FUNCTION_BLOCK", encoding="utf-8"
    )
    spec = tmp_path / "s.spec"
    spec.write_text(f"SPEC S SOURCE 'b.st'; {HANDS} PROPERTY p : q -> l; END_SPEC")
    assert command_line.run([command, str(spec)]) == ExitCode.UNUSABLE
    assert "[real-not-computed]" in capsys.readouterr().err
