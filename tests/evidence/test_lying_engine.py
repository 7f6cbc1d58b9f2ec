"""One wrong answer of the engine among right ones changes no verdict: it is noticed, or it was
right."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
import z3
from twohand.analyses.check import lag_query as lag_question
from twohand.analyses.check.check import check
from twohand.engine import portfolio
from twohand.engine.system.contract import Answer, Proved, Step, Unknown, Violated
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Outcome, Report
from twohand.scan.transition_system import TransitionSystem
from twohand.specification.model.specification import Specification

from tests.support.samples.check_samples import TWO_HANDS, TYPE_THREE, logic, specification
from tests.support.tiers import nightly

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="a spawned worker is not changed")
OPTIONS = Options(effort=20.0, processes=1, start_method="fork")
Decide = Callable[..., Answer]
Lie = Callable[[TransitionSystem, Answer], Answer]

SMALL = logic(
    "e(CLK := a); IF e.Q AND b THEN n := 100 / k; q := TRUE; END_IF; k := k + 1;"
    "IF NOT a OR k > 5 THEN q := FALSE; k := 0; END_IF; dead := q AND NOT q;",
    "a, b : BOOL;",
    "e : R_TRIG; n, k : SINT; dead : BOOL;",
)
ASKED = (
    "OUTPUT q; ASSUME NOT (a AND prev(b)) OR FIRST_SCAN;"
    "PROPERTY held : q -> a; PROPERTY wrong : q -> b; PROPERTY empty : dead -> a;"
    "REACHABLE on : q; REACHABLE both : q AND dead;"
)


def no_invariant(_: TransitionSystem, __: Answer) -> Answer:
    return Proved((), "a lie")


def all_states(system: TransitionSystem, _: Answer) -> Answer:
    """An invariant that says too much: every state stays as it begins."""
    kept = [s.symbol == s.initial for s in system.states if s.initial is not None]
    return Proved(tuple(kept), "a lie")


def one_scan(system: TransitionSystem, _: Answer) -> Answer:
    inputs = {str(i.decl().name()): True for i in system.inputs if z3.is_bool(i)}
    return Violated((Step(inputs, system.shortest),), {}, "a lie")


def last_scan_changed(system: TransitionSystem, answer: Answer) -> Answer:
    """The run with every Boolean input of its last scan turned over."""
    if not isinstance(answer, Violated):
        return one_scan(system, answer)
    *steps, last = answer.steps
    names = [str(symbol.decl().name()) for symbol in system.inputs if z3.is_bool(symbol)]
    inputs = {**last.inputs, **{name: not last.inputs.get(name, False) for name in names}}
    return replace(answer, steps=(*steps, replace(last, inputs=inputs)))


LIES: tuple[Lie, ...] = (no_invariant, all_states, one_scan, last_scan_changed)


def facts(report: Report) -> object:
    """Everything that a report claims."""
    return (
        {v.requirement.identifier: v.outcome for v in report.verdicts},
        {(str(f.finding.kind), f.finding.span.start, f.outcome) for f in report.findings},
        report.never_on,
        [(lag.reached, lag.bound) for lag in report.lags],
    )


def lying(truth: Decide, lie: Lie, turn: int) -> Decide:
    """The engine that lies when it is asked for the ``turn``-th time."""
    asked = -1

    def decide(system: TransitionSystem, bad: z3.BoolRef, *rest: float) -> Answer:
        nonlocal asked
        asked += 1
        answer = truth(system, bad, *rest)
        return lie(system, answer) if asked == turn else answer

    return decide


def checked_with(
    spec: Specification, lie: Lie, turn: int, monkeypatch: pytest.MonkeyPatch
) -> Report | None:
    """None where the lie was noticed."""
    with monkeypatch.context() as patched:
        patched.setattr(portfolio, "decide", lying(portfolio.decide, lie, turn))
        try:
            return check(spec, OPTIONS)
        except InternalContradiction:
            return None


def hold_against(lie: Lie, turns: range, folder: Path, monkeypatch: pytest.MonkeyPatch) -> int:
    """How many of the lies were noticed; the others were none."""
    spec = specification(folder, SMALL, ASKED)
    truth = facts(check(spec, OPTIONS))
    reports = [checked_with(spec, lie, turn, monkeypatch) for turn in turns]
    assert all(facts(report) == truth for report in reports if report is not None)
    return reports.count(None)


@pytest.mark.long
@pytest.mark.parametrize("lie", [last_scan_changed], ids=lambda lie: lie.__name__)
def test_a_lie_about_a_question_is_noticed(
    tmp_path: Path, lie: Lie, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert hold_against(lie, range(5), tmp_path, monkeypatch) >= 1


@pytest.mark.long
@pytest.mark.parametrize("turns", [range(0, 16, 3), nightly(range(16))], ids=["some", "all"])
@pytest.mark.parametrize("lie", LIES, ids=lambda lie: lie.__name__)
def test_a_lie_about_any_question_is_noticed(
    tmp_path: Path, lie: Lie, turns: range, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert hold_against(lie, turns, tmp_path, monkeypatch) >= len(turns) // 5


@pytest.mark.long
@pytest.mark.parametrize("ticks", [-2, 1])
def test_a_wrong_widest_lag_is_noticed_or_no_bound(
    tmp_path: Path, ticks: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One that is too narrow is never taken for the bound; one that no run has is noticed."""
    statements = f"{TWO_HANDS} REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#100ms;"
    spec = specification(tmp_path, TYPE_THREE, statements)
    truth = lag_question.maximise

    def wrong(*given: object) -> object:
        best = truth(*given)  # type: ignore[arg-type]
        return None if best is None else (best[0] + ticks, best[1])

    monkeypatch.setattr(lag_question, "maximise", wrong)
    if ticks > 0:
        with pytest.raises(InternalContradiction):
            check(spec, OPTIONS)
    else:
        (lag,) = check(spec, OPTIONS).lags
        assert lag.reached is not None
        assert lag.reached <= 90
        assert lag.bound is None or lag.bound >= 90, "how far it comes in its time is open"


@pytest.mark.long
def test_an_engine_that_never_answers_proves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(portfolio, "decide", lambda *_: Unknown("asleep"))
    monkeypatch.setattr(portfolio, "decide_by_chc", lambda *_: Unknown("asleep"))
    spec = specification(tmp_path, SMALL, ASKED.replace("ASSUME", "PROPERTY x :"))
    report = check(spec, replace(OPTIONS, effort=240.0))
    outcomes = {v.requirement.identifier: v.outcome.value for v in report.verdicts}
    assert outcomes.pop("x") == "VIOLATED", "a run that was executed shows it"
    assert set(outcomes.values()) == {"UNDECIDED"}
    assert all(v.certificate is None for v in report.verdicts)
    executed = [f.finding for f in report.findings if f.outcome is Outcome.VIOLATED]
    assert [finding.span.text for finding in executed] == ["100 / k"], "k is 0 in the second scan"
    assert len(report.findings) > 1
    assert report.never_on == ()
    assert report.findings_excluded == 0
