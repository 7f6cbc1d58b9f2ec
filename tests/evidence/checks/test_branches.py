"""The text itself is executed along every branch of a scan, and held against its model."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from twohand.engine.workers.process import CUT_BY_TIME, Stopped
from twohand.evidence.branches.reach import ReachBranches
from twohand.evidence.checks import branches as branches_check
from twohand.evidence.checks.branches import BranchCheck
from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.verdict import ExecutedBranches, WhyMissed
from twohand.report.branches import branch_lines
from twohand.report.drawing.terminal import Terminal
from twohand.scan import arithmetic
from twohand.scan.concrete import blocks as executed_blocks
from twohand.scan.concrete.routine import Executor
from twohand.scan.symbolic import blocks as modelled_blocks
from twohand.scan.symbolic import statements as modelled_statements
from twohand.scan.symbolic import timers as modelled_timers
from twohand.scan.symbolic.frames import SymbolicScan
from twohand.scan.symbolic.terms import both, negation

from tests.support.samples.check_samples import logic, specification

INPUTS = "a, b, back, forth : BOOL; k : INT;"
ASKED = "PROPERTY p : q -> a;"
MORE = """t : TON; o : TOF; p : TP; r : R_TRIG; f : F_TRIG; s : SR; w : RS; u : CTU; d : CTD;
    v : CTUD; n, m, zero : INT; i : INT; ready : BOOL;"""
CALLS = """t(IN := a, PT := T#50ms); o(IN := b, PT := T#50ms); p(IN := a AND b, PT := T#50ms);
    r(CLK := a); f(CLK := b); s(S1 := a, R := b); w(S := a, R1 := b); u(CU := a, R := b, PV := 3);
    v(CU := a, CD := b, R := back, LD := forth, PV := 3); q := t.Q OR p.Q;"""


class Desk:
    """Does a job at once."""

    def submit(self, job: Any, then: Callable[[object], None]) -> None:
        then(job())


class StoppedDesk:
    def submit(self, job: Any, then: Callable[[object], None]) -> None:
        then(Stopped(CUT_BY_TIME))


def executed(
    folder: Path,
    body: str,
    statements: str = "",
    effort: float = 60.0,
    desk: Desk | StoppedDesk | None = None,
) -> ExecutedBranches:
    spec = specification(
        folder, logic(body, INPUTS, MORE), f"{ASKED} {statements}", "T#5ms..T#20ms"
    )
    check = BranchCheck(CheckContext(spec, desk or Desk(), effort))  # type: ignore[arg-type]
    check.begin()
    return check.executed


def shown(branches: ExecutedBranches, every: bool = False) -> str:
    return "\n".join(branch_lines(branches, Terminal(width=200), every))


@pytest.mark.parametrize(
    ("body", "total"),
    [
        ("", 0),
        ("q := a;", 1),
        ("IF a THEN q := b; END_IF;", 1 + 2),
        ("IF a THEN q := b; ELSIF b THEN q := FALSE; ELSE q := TRUE; END_IF;", 1 + 3),
        ("CASE n OF 1..3: q := a; 4: q := b; END_CASE;", 1 + 3),
        ("FOR i := 1 TO 3 DO q := a; END_FOR;", 1 + 1),
        ("FOR i := 1 TO n DO q := a; IF i = 5 THEN EXIT; END_IF; END_FOR;", 1 + 2 + 2),
        ("WHILE n > 0 AND n < 9 DO n := n - 1; END_WHILE;", 1 + 2),
        ("REPEAT n := 1; UNTIL TRUE END_REPEAT;", 1 + 1),
        ("t(IN := a, PT := T#50ms);", 1 + 4),
        ("u(CU := a, R := b, PV := 3);", 1 + 4),
        ("d(CD := a, LD := b, PV := 3);", 1 + 4),
        (CALLS, 1 + 4 + 4 + 4 + 3 + 3 + 3 + 3 + 4 + 7),
        ("IF a THEN t(IN := a, PT := T#50ms); END_IF;", 1 + 2 + 4),
    ],
)
def test_the_branches_of_a_scan_are_counted(tmp_path: Path, body: str, total: int) -> None:
    assert executed(tmp_path, body).total == total


@pytest.mark.parametrize(
    "body", [CALLS, "IF a AND k = 4711 THEN q := b; END_IF;", "CASE k OF 1: q := a; END_CASE;"]
)
def test_each_of_them_is_executed(tmp_path: Path, body: str) -> None:
    found = executed(tmp_path, body)
    assert (found.executed, found.missed) == (found.total, ())
    assert f"EXECUTED     {found.total} of {found.total} branches of a scan" in shown(found)


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ("IF a AND NOT a THEN q := b; END_IF;", "this condition TRUE"),
        ("IF a OR NOT a THEN q := b; END_IF;", "its condition FALSE"),
        ("IF a THEN q := b; ELSIF NOT a THEN q := a; END_IF;", "each of its conditions FALSE"),
        ("CASE k OF -32768..0: q := a; 1..32767: q := b; END_CASE;", "a value in no arm of CASE"),
        ("m := 0; CASE m OF 0: q := a; 7: q := b; ELSE END_CASE;", "arm 2 of CASE"),
        ("m := 1; FOR i := 1 TO m DO q := a; END_FOR;", "a loop that is passed over"),
        ("WHILE a AND NOT a DO n := 0; END_WHILE;", "a loop that runs"),
        ("d(CD := FALSE, LD := b, PV := 3);", "d counts down"),
        ("s(S1 := a, R := NOT a);", "s stays"),
    ],
)
def test_what_no_state_leads_to_is_named_with_its_place(
    tmp_path: Path, body: str, words: str
) -> None:
    found = executed(tmp_path, body)
    assert (words, WhyMissed.IMPOSSIBLE) in [(each.words, each.why) for each in found.missed]
    assert f"block.st:{found.missed[0].span.line}: {found.missed[0].words}: no state" in shown(
        found
    )


def test_a_branch_behind_a_finding_is_said_to_be_one(tmp_path: Path) -> None:
    found = executed(tmp_path, "n := 1 / zero; IF a THEN q := b; END_IF;")
    assert {each.why for each in found.missed} == {WhyMissed.WITH_A_FINDING}
    assert [each.words for each in found.missed] == ["this condition TRUE", "its condition FALSE"]


def test_what_there_is_no_effort_for_is_not_decided(tmp_path: Path) -> None:
    found = executed(tmp_path, "IF a THEN q := b; END_IF;", effort=0.0)
    assert {each.why for each in found.missed} == {WhyMissed.UNDECIDED}
    assert "0 of 3 branches" in shown(found)


def test_a_worker_that_is_stopped_leaves_all_undecided(tmp_path: Path) -> None:
    found = executed(tmp_path, "IF a THEN q := b; END_IF;", desk=StoppedDesk())
    assert [each.why for each in found.missed] == [WhyMissed.UNDECIDED] * 3


def test_of_many_the_first_are_named_unless_all_are_asked_for(tmp_path: Path) -> None:
    body = "".join(f"IF a AND NOT a AND k = {n} THEN q := b; END_IF;" for n in range(5))
    found = executed(tmp_path, body)
    assert len(shown(found).splitlines()) == 1 + 3 + 1
    assert shown(found).endswith("and 2 more (--details)")
    assert len(shown(found, every=True).splitlines()) == 1 + 5


def test_surroundings_are_executed_as_well(tmp_path: Path) -> None:
    found = executed(tmp_path, "IF a THEN q := b; END_IF;", "OUTPUT q; POWER CYCLES;")
    assert (found.executed, found.total) == (5, 5)


# --- what it is for: each meaning may be wrong ------------------------------------------------


def always(result: object) -> Callable[..., object]:
    return lambda *given, **named: result


def _shifted(selector: Any, low: int, high: int) -> Any:
    return modelled_statements.equal(selector, low)


def _never_reset(scan: Any, instance: Any) -> None:
    scan.write(instance.pins["Q1"], True)


def _level(scan: Any, instance: Any, pin: str, memory: str) -> Any:
    scan.write(f"{instance.name}#{memory}", scan.truth(instance.pins[pin]))
    return scan.truth(instance.pins[pin])


def _short(this: Any, start: Any, last: Any) -> None:
    this.show(both(start, negation(last)), 0)


@pytest.mark.parametrize(
    ("place", "name", "wrong", "body"),
    [
        (modelled_statements, "_within", _shifted, "CASE k OF 1..30000: q := a; END_CASE;"),
        (modelled_blocks, "_rise", _level, "r(CLK := a); q := r.Q;"),
        (modelled_blocks, "_rise", _level, "u(CU := a, R := b, PV := 3);"),
        (modelled_timers, "_on_delay", _short, "t(IN := a, PT := T#50ms);"),
        (modelled_timers, "_pulse", always(None), "p(IN := a, PT := T#50ms);"),
        (executed_blocks.InstanceCall, "_start", always(None), "o(IN := a, PT := T#50ms);"),
        (executed_blocks.InstanceCall, "_on_delay", always(None), "t(IN := a, PT := T#50ms);"),
        (executed_blocks.InstanceCall, "_step_down", always(None), "d(CD := a, LD := b, PV := 3);"),
        (arithmetic, "truncated_quotient", always(0), "n := k / 2;"),
        (executed_blocks.InstanceMemory, "stop", always(None), "t(IN := a, PT := T#50ms);"),
        (SymbolicScan, "find", always(None), "IF k = 0 THEN n := n + 0 / k; END_IF;"),
        (Executor, "_case", always(always(None)), "CASE k OF 1: q := q; END_CASE;"),
        (Executor, "_case", always(always(None)), "CASE k OF 1: q := a; END_CASE;"),
        (Executor, "_while", always(None), "WHILE n > 0 AND n < 3 DO n := n - 1; END_WHILE;"),
    ],
)
def test_a_meaning_that_is_wrong_is_a_contradiction(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    place: object,
    name: str,
    wrong: object,
    body: str,
) -> None:
    monkeypatch.setattr(place, name, wrong)
    with pytest.raises(InternalContradiction, match="one scan gives something else than its model"):
        executed(tmp_path, body)


def test_states_that_no_run_reaches_count_as_well(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Executor, "_call_standard", always(always(None)))
    with pytest.raises(InternalContradiction):
        executed(tmp_path, "IF ready THEN r(CLK := a); END_IF; ready := FALSE; q := r.Q;")


@pytest.mark.long
def test_the_same_block_gives_the_same_states(tmp_path: Path) -> None:
    found = []

    class Noting(Desk):
        def submit(self, job: Any, then: Callable[[object], None]) -> None:
            assert isinstance(job, ReachBranches)
            found.append(job())
            then(found[-1])

    for _ in range(2):
        executed(tmp_path, CALLS, desk=Noting())
    assert found[0] == found[1]


def test_of_very_many_branches_some_are_tried_here_and_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(branches_check, "_MOST_BRANCHES", 3)
    found = executed(tmp_path, "IF a THEN q := b; END_IF; IF b THEN q := a; END_IF;")
    assert (found.executed, found.total) == (3, 5)
    assert {each.why for each in found.missed} == {WhyMissed.UNDECIDED}


def test_a_block_of_very_many_terms_is_not_tried(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(branches_check, "_LONGEST_TEXT", 10)
    found = executed(tmp_path, "IF a THEN q := b; END_IF;")
    assert (found.executed, found.total) == (0, 3)
