"""The proof of a part: what is proved of it holds of the whole, and a run of it only where the
whole has it too. (Localisation reduction: R. Kurshan, 1994.)"""

from __future__ import annotations

import pytest
import z3
from twohand.engine.portfolio import decide
from twohand.engine.proof.localisation import hides, prove_part
from twohand.engine.system.budget import Budget
from twohand.engine.system.cone import cone
from twohand.engine.system.contract import Answer, Proved, Unknown, Violated
from twohand.engine.system.invariant import first_failed_obligation
from twohand.engine.system.runs import Simulator
from twohand.engine.system.terms import name, symbols
from twohand.scan.transition_system import StateVariable, TransitionSystem

from tests.support.samples.engine_systems import ELAPSED, FALSE, SCANS, TRUE, boolean, two_hand
from tests.support.samples.small_models import finished

PRESSED = z3.Bool("pressed")
FIRST, SECOND, THIRD, OTHER, CHOSEN = z3.Bools("first second third other chosen")
COUNT = z3.Int("count")
SPARE = z3.Or(OTHER, z3.Not(OTHER))
"""TRUE, and reads a state that no proof needs."""


def system_of(*states: StateVariable, assumed: z3.BoolRef = TRUE) -> TransitionSystem:
    constraints = () if z3.is_true(assumed) else (assumed,)
    states = (*states, boolean("other", z3.Xor(OTHER, PRESSED)))
    return TransitionSystem(states, (PRESSED,), ELAPSED, SCANS, 1, 2, 1, constraints=constraints)


def spared(update: z3.BoolRef) -> z3.BoolRef:
    """The same, so that there is always something to hide."""
    return z3.And(update, SPARE)


def part_of(system: TransitionSystem, bad: z3.BoolRef) -> Answer:
    """What the proof of a part says; a proof is one of the whole, a run is one of the whole."""
    answer = finished(prove_part(cone(system, bad), bad, Budget(20)))
    if isinstance(answer, Proved):
        assert first_failed_obligation(system, bad, answer.clauses) is None
    elif isinstance(answer, Violated):
        assert Simulator(system, bad).confirmed(answer) == answer
    return answer


def read_by(answer: Answer) -> set[str]:
    assert isinstance(answer, Proved)
    return {name(symbol) for symbol in symbols(answer.clauses)}


def counter(most: int) -> StateVariable:
    up = z3.If(z3.And(PRESSED, most > COUNT), COUNT + 1, COUNT)
    return StateVariable("count", COUNT, z3.IntVal(0), up)


def test_what_the_bad_term_does_not_need_stays_hidden() -> None:
    """``third`` never goes on because of ``second``, whatever hangs on the counter."""
    states = (
        boolean("third", z3.And(SECOND, z3.Not(SECOND), COUNT > 2)),
        boolean("second", COUNT > 3),
        counter(9),
    )
    assert read_by(part_of(system_of(*states), THIRD)) <= {"third"}


def test_what_a_proof_needs_comes_in_step_by_step() -> None:
    """Nothing is ever on: each hangs on the one before, and the first on nothing."""
    states = (
        boolean("third", spared(SECOND)),
        boolean("second", FIRST),
        boolean("first", z3.And(FIRST, PRESSED)),
    )
    system = system_of(*states)
    assert read_by(part_of(system, THIRD)) == {"first", "second", "third"}


def counted_to(most: int) -> TransitionSystem:
    """The third goes on once the counter, which stops at 4, is above ``most``."""
    kept = boolean("third", spared(z3.Or(THIRD, SECOND)))
    return system_of(kept, boolean("second", most < COUNT), counter(4))


def test_a_run_of_the_part_that_the_whole_has_not_is_none() -> None:
    """With what is hidden free the third goes on at once; really the counter stops before."""
    states = (
        boolean("third", spared(z3.Or(THIRD, SECOND))),
        boolean("second", COUNT > 4),
        counter(4),
    )
    assert isinstance(part_of(system_of(*states), THIRD), Proved)


def test_a_run_of_the_whole_is_found() -> None:
    states = (
        boolean("third", spared(z3.Or(THIRD, SECOND))),
        boolean("second", COUNT > 3),
        counter(4),
    )
    answer = part_of(system_of(*states), THIRD)
    assert isinstance(answer, Violated)
    assert len(answer.steps) >= 6


def test_the_first_value_of_what_is_hidden_counts() -> None:
    """``second`` is on from the beginning: the third goes on after one scan."""
    states = (boolean("third", spared(SECOND)), boolean("second", SECOND, True))
    assert isinstance(part_of(system_of(*states), THIRD), Violated)
    states = (boolean("third", spared(SECOND)), boolean("second", SECOND))
    assert isinstance(part_of(system_of(*states), THIRD), Proved)


def test_what_is_chosen_once_is_never_hidden() -> None:
    """A parameter that could change would let the third go on."""
    once = boolean("chosen", CHOSEN, None)
    states = (
        boolean("third", spared(z3.And(FIRST, z3.Not(CHOSEN)))),
        boolean("first", z3.Or(FIRST, CHOSEN)),
        once,
    )
    assert isinstance(part_of(system_of(*states), THIRD), Proved)


def test_what_is_assumed_is_kept() -> None:
    states = (
        boolean("third", spared(SECOND)),
        boolean("second", z3.And(PRESSED, FIRST)),
        boolean("first", TRUE),
    )
    assumed = z3.Not(z3.And(PRESSED, FIRST))
    assert isinstance(part_of(system_of(*states, assumed=assumed), THIRD), Proved)
    assert isinstance(part_of(system_of(*states), THIRD), Violated)


def test_where_nothing_is_hidden_it_gives_up() -> None:
    system = system_of(boolean("third", z3.And(THIRD, PRESSED)))
    assert not hides(cone(system, THIRD), THIRD)
    assert isinstance(finished(prove_part(cone(system, THIRD), THIRD, Budget(5))), Unknown)


def test_a_block_with_its_monitors_is_never_decided_otherwise() -> None:
    block = two_hand()
    answers = [part_of(block.system, bad) for bad in block.bad.values()]
    assert not any(isinstance(answer, Violated) for answer in answers)
    broken = two_hand(fault="rearm")
    assert not isinstance(part_of(broken.system, broken.bad["release_both"]), Proved)


@pytest.mark.parametrize("bits", [40, 60])
def test_what_others_drown_in_is_proved_of_a_part(bits: int) -> None:
    """A ring of many states beside the question, which the bad term's states read: the whole of it
    is not needed."""
    ring = [z3.Bool(f"ring {k}") for k in range(bits)]
    states = [boolean(f"ring {k}", z3.Xor(ring[k - 1], PRESSED)) for k in range(bits)]
    gate = z3.And(*ring, PRESSED)
    states += [boolean("third", z3.And(z3.Or(THIRD, gate), FIRST)), boolean("first", FALSE)]
    answer = decide(system_of(*states), z3.And(THIRD, FIRST), 20)
    assert isinstance(answer, Proved)
    assert not any(each.startswith("ring") for each in read_by(answer))
