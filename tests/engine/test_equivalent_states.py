"""States that may be equal are made one only where they are, and proofs stay proofs."""

from __future__ import annotations

import sys
from random import Random

import pytest
import z3
from twohand.analyses.compare.check import compare
from twohand.analyses.compare.options import ComparisonOptions
from twohand.analyses.compare.question import resolve_comparison
from twohand.engine.portfolio import decide
from twohand.engine.proof import equivalences
from twohand.engine.proof.equivalences import merge
from twohand.engine.system.budget import Budget
from twohand.engine.system.cone import cone
from twohand.engine.system.contract import Proved, Violated
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.limits import Options
from twohand.program import Program
from twohand.program.product import PREFIXES, product_program
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.symbolic.encode import encode
from twohand.scan.transition_system import TransitionSystem
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.decided import recheck
from tests.support.randomness.small_blocks import SmallBlock

CLOCKING = Clocking(1_000_000, 1, 2)


def block(declarations: str, body: str) -> Program:
    text = f"FUNCTION_BLOCK B\n{declarations}\n{body}\nEND_FUNCTION_BLOCK\n"
    return load_program([SourceText("b.st", text)])


def system_of(first: Program, second: Program) -> tuple[TransitionSystem, z3.BoolRef]:
    """Both side by side, and that their outputs q differ."""
    encoding = encode(product_program(first, second).program, CLOCKING, Readings(), 4)
    signals = encoding.system.signals
    return encoding.system, signals["first.q"] != signals["second.q"]


def merged_names(system: TransitionSystem, bad: z3.BoolRef) -> set[str]:
    merged = merge(cone(system, bad), bad, PREFIXES, Budget(10))
    kept = {state.name for state in merged.system.states}
    assert not kept & {second.name for _, second in merged.pairs}
    return {first.name.removeprefix("first.") for first, _ in merged.pairs}


TIMED = "VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR VAR t : TON; m : INT; END_VAR"


def test_a_block_beside_itself_becomes_one() -> None:
    one = block(TIMED, "m := (m + 1) MOD 7; t(IN := a, PT := T#9ms); q := t.Q AND m > 2;")
    system, bad = system_of(one, one)
    assert {"t#age", "t#last", "m"} <= merged_names(system, bad)
    answer = decide(system, bad, 10, equivalent=PREFIXES)
    assert isinstance(answer, Proved)
    recheck(system, bad, answer)


def test_states_that_come_to_differ_stay_apart() -> None:
    """Also those that only hang on such, and would be equal as long as those are."""
    sections = (
        "VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR VAR k, m, n : BOOL; END_VAR"
    )
    one = block(sections, "q := n OR k; n := m; m := a; k := a;")
    two = block(sections, "q := n OR k; n := m; m := a AND NOT m; k := a;")
    system, bad = system_of(one, two)
    assert merged_names(system, bad) == {"k"}
    answer = decide(system, bad, 10, equivalent=PREFIXES)
    assert isinstance(answer, Violated)
    assert len(answer.steps) == 4


def test_states_that_begin_unequal_stay_apart() -> None:
    sections = "VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR VAR m : BOOL{}; END_VAR"
    one = block(sections.format(""), "q := m; m := m OR a;")
    two = block(sections.format(" := TRUE"), "q := m; m := m OR a;")
    system, bad = system_of(one, two)
    assert merged_names(system, bad) == set()
    assert isinstance(decide(system, bad, 10, equivalent=PREFIXES), Violated)


def test_equal_where_it_takes_the_solver_to_see() -> None:
    sections = "VAR_INPUT a, b : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR VAR m : BOOL; END_VAR"
    one = block(sections, "q := m AND a; m := a XOR b;")
    two = block(sections, "q := a AND m; m := (a OR b) AND NOT (a AND b);")
    system, bad = system_of(one, two)
    assert merged_names(system, bad) == {"m"}
    answer = decide(system, bad, 10, equivalent=PREFIXES)
    assert isinstance(answer, Proved)
    recheck(system, bad, answer)


def test_what_nobody_knows_to_be_equal_stays_apart(monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither where the solver does not know nor where there is no time to ask it."""
    sections = "VAR_INPUT a, b : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR VAR m : BOOL; END_VAR"
    one = block(sections, "q := m AND a; m := a XOR b;")
    two = block(sections, "q := a AND m; m := (a OR b) AND NOT (a AND b);")
    system, bad = system_of(one, two)
    with monkeypatch.context() as patched:
        patched.setattr(equivalences, "_SHARE", 0.0)
        assert merged_names(system, bad) == set()
    monkeypatch.setattr(z3.Solver, "check", lambda *_: z3.unknown)
    assert merged_names(system, bad) == set()


def test_states_of_other_names_are_matched_by_what_they_do() -> None:
    one = block(TIMED, "m := (m + 1) MOD 7; t(IN := a, PT := T#9ms); q := t.Q AND m > 2;")
    other = (
        "VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR VAR w : TON; z, n : INT; END_VAR"
    )
    body = "z := z MOD 3; n := (n + 1) MOD 7; w(PT := T#9ms, IN := a); q := n > 2 AND w.Q;"
    system, bad = system_of(one, block(other, body))
    assert {"t#age", "t#last", "m"} <= merged_names(system, bad)
    answer = decide(system, bad, 10, equivalent=PREFIXES)
    assert isinstance(answer, Proved)
    recheck(system, bad, answer)


def test_states_of_one_name_that_are_two_things_are_told_apart() -> None:
    sections = "VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR VAR {} : BOOL; END_VAR"
    one = block(sections.format("k, m"), "q := k AND NOT m; m := k; k := a;")
    two = block(sections.format("k, m, x"), "q := m AND NOT k; k := m; m := a; x := NOT x;")
    system, bad = system_of(one, two)
    assert merged_names(system, bad) == {"k", "m"}
    assert isinstance(decide(system, bad, 10, equivalent=PREFIXES), Proved)


@pytest.mark.long
def test_equivalent_states_change_no_answer() -> None:
    """Any two small blocks, side by side, with and without the guess."""
    answers = []
    for seed in range(12):
        random = Random(f"twins {seed}")
        text = SmallBlock(random).text()
        other = text.replace("AND", "OR", 1) if seed % 3 else text
        first, second = (load_program([SourceText("b.st", each)]) for each in (text, other))
        system, bad = system_of(first, second)
        with_equivalent = decide(system, bad, 20, equivalent=PREFIXES)
        assert type(with_equivalent) is type(decide(system, bad, 20))
        if isinstance(with_equivalent, Proved):
            recheck(system, bad, with_equivalent)
        answers.append(type(with_equivalent))
    assert {Proved, Violated} <= set(answers)


@pytest.mark.skipif(sys.platform != "linux", reason="a spawned worker is not changed")
def test_a_wrong_guess_that_is_kept_proves_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Were states made one that are not, the check from scratch would refuse the proof."""
    monkeypatch.setattr(equivalences, "_inductive", lambda system, pairs, budget: pairs)
    sections = "VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR VAR m : BOOL; END_VAR"
    one, two = block(sections, "q := m; m := a;"), block(sections, "q := m; m := NOT a;")
    comparison = resolve_comparison(one, two, ComparisonOptions(scan="T#10ms"))
    with pytest.raises(InternalContradiction):
        compare(comparison, Options(processes=1, start_method="fork"))
