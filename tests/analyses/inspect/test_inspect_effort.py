"""All questions of a unit share one effort, so that long presets do not run away."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from twohand.analyses.inspect.answers import ALTOGETHER, Asking, Ledger
from twohand.analyses.inspect.check import Inspection, inspect
from twohand.analyses.inspect.kinds.registry import registry_of
from twohand.analyses.inspect.points import InspectionKind, Weight
from twohand.analyses.inspect.subject import subject_of_block
from twohand.engine.system.contract import Step, Unknown, Violated
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.limits import Options
from twohand.evidence.proofs.dispatcher import Dispatcher, Then
from twohand.evidence.proofs.query import Query, QueryResult
from twohand.evidence.runs.long_runs import LongRuns
from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.trace import Trace
from twohand.scan.scan_record import ScanRecord
from twohand.text.source_text import SourceText

HEAD = "FUNCTION_BLOCK Press VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q, r : BOOL; END_VAR\n"
LATE = f"{HEAD}VAR t : TON; END_VAR\nt(IN := a, PT := T#10s);\nIF t.Q THEN q := TRUE; END_IF;\n"
LATE_CASE = (
    f"{HEAD}VAR t : TON; n : INT; END_VAR\nt(IN := a, PT := T#10s);\n"
    "IF t.Q THEN n := 1; ELSE n := 0; END_IF;\nCASE n OF 0: q := a; END_CASE;\n"
)


def inspected(text: str, kind: InspectionKind, effort: float) -> Inspection:
    sources = [SourceText("press.st", f"{text}END_FUNCTION_BLOCK\n")]
    subject = subject_of_block(sources, "Press", "T#10ms", (), False)
    options = Options(effort=effort, processes=1)
    return inspect(subject, options, kinds=(kind,))


@pytest.mark.long
def test_a_long_run_that_nobody_looks_at_is_executed_once_and_not_kept(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The code behind a timer of 10 s runs: a run of 1,000 scans says so, and nothing is drawn."""
    lengths: list[int] = []
    last_record = Replayer.last_record

    def executed(replayer: Replayer, trace: Trace, at_work: Callable[[], None]) -> ScanRecord:
        lengths.append(len(trace.scans))
        return last_record(replayer, trace, at_work)

    monkeypatch.setattr(Replayer, "last_record", executed)
    monkeypatch.setattr(Replayer, "records", None)
    found = inspected(LATE, InspectionKind.DEAD_CODE, 5.0)
    assert found.found == ()
    assert 1_000 <= max(lengths, default=0) < 1_100


def test_a_run_that_is_too_long_for_the_effort_leaves_its_point_undecided_with_its_length() -> None:
    (found,) = inspected(LATE_CASE, InspectionKind.MISSED_CASE, 0.05).found
    assert found.point.weight is Weight.OPEN
    assert found.answer.reason.startswith("a run of 1001 scans was found, which is too long to be")


@pytest.mark.long
def test_all_questions_together_keep_to_the_effort_of_a_unit(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Where nothing is ever answered, each question gets its share, more than once while some is
    left, and then stays undecided."""
    spent: list[float] = []

    def unanswered(desk: Dispatcher, name: str, question: Query, then: Then) -> None:
        spent.append(question.effort)
        then(QueryResult(Unknown("no answer"), effort=question.effort))

    monkeypatch.setattr(Dispatcher, "_ask", unanswered)
    body = "".join(f"IF n = {number} THEN n := {number}; END_IF;\n" for number in range(1, 41))
    text = f"{HEAD}VAR n : INT := 200; END_VAR\n{body}"
    found = inspected(text, InspectionKind.CONSTANT_CONDITION, 1.0).found
    assert {each.answer.reason for each in found if each.point.weight is Weight.OPEN} == {
        "the effort that all questions of one unit may take together was reached"
    }
    assert len(spent) >= 40
    assert sum(spent) <= ALTOGETHER + 2.0  # that about assumptions and findings beside it


@pytest.mark.long
def test_all_places_of_findings_together_keep_to_the_effort_of_a_unit(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    spent: list[float] = []

    def unanswered(desk: Dispatcher, name: str, question: Query, then: Then) -> None:
        spent.append(question.effort)
        then(QueryResult(Unknown("no answer"), effort=question.effort))

    monkeypatch.setattr(Dispatcher, "_ask", unanswered)
    monkeypatch.setattr(Dispatcher, "over", False)
    monkeypatch.setattr(LongRuns, "findings", {})
    declared = "FUNCTION_BLOCK Press VAR_INPUT b : INT; END_VAR VAR_OUTPUT n : INT; END_VAR\n"
    text = declared + "".join(f"n := b * {number};\n" for number in range(2, 42))
    found = inspected(text, InspectionKind.FINDING, 1.0).found
    assert len(found) == 40
    assert sum(spent) <= ALTOGETHER + 3.0  # with those about all places, and about assumptions


def test_a_run_of_an_engine_counts_only_where_it_reaches_what_was_asked_by_execution(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    run = Violated((Step({"a": True}, 1),), {}, "nobody")  # type: ignore[arg-type]

    def wrong(desk: Dispatcher, name: str, question: Query, then: Then) -> None:
        then(QueryResult(run))

    monkeypatch.setattr(Dispatcher, "_ask", wrong)
    with pytest.raises(InternalContradiction, match="executed it does not"):
        inspected(LATE, InspectionKind.DEAD_CODE, 5.0)


def test_what_one_question_took_is_not_there_for_the_next(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []

    def unanswered(desk: Dispatcher, name: str, question: Query, then: Then) -> None:
        asked.append(name)
        then(QueryResult(Unknown("no answer"), effort=float(ALTOGETHER)))

    monkeypatch.setattr(Dispatcher, "over", True)  # no long runs are tried
    monkeypatch.setattr(Dispatcher, "_ask", unanswered)
    sources = [SourceText("press.st", f"{LATE}END_FUNCTION_BLOCK\n")]
    subject = subject_of_block(sources, "Press", "T#10ms", (), False)
    ledger, seen = Ledger(1.0), []
    for _ in range(2):
        registry = registry_of(subject, [InspectionKind.DEAD_CODE])
        program = replace(subject.specification, program=registry.program)
        questions = [each for family in registry.families for each in family.questions()]
        asking = Asking(program, questions, Dispatcher(None, 1.0), ledger)  # type: ignore[arg-type]
        while asking.go_on():
            pass
        seen.append(len(asked))
    assert seen[0] == seen[1] > 0
