"""Counters that come round, and remainders: led back to clocks and choices, with the same answers.

What must come out is arithmetic: a counter of M values that goes on by s in each scan is back after
M / gcd(M, s) scans.
"""

from __future__ import annotations

import pytest
import z3
from twohand.engine import portfolio
from twohand.engine.portfolio import decide
from twohand.engine.reduction.intervals import Interval, intervals
from twohand.engine.reduction.remainders import Undivided, without_division
from twohand.engine.reduction.running_counters import Clocked, with_clocks
from twohand.engine.system.budget import Budget
from twohand.engine.system.contract import Answer, Proved, Violated
from twohand.engine.system.invariant import first_failed_obligation
from twohand.engine.system.terms import name
from twohand.scan.transition_system import StateVariable, TransitionSystem

from tests.support.samples.engine_systems import ELAPSED, SCANS, boolean, clock

PUSH, RESTART = z3.Bools("push restart")
N, KEPT, OTHER, LEVEL = z3.Ints("n kept other level")
HELD = z3.Bool("held")
ZERO = z3.IntVal(0)


def number(symbol: z3.ArithRef, update: z3.ExprRef, first: int = 0) -> StateVariable:
    return StateVariable(name(symbol), symbol, z3.IntVal(first), update)


def system_of(*states: StateVariable, assumed: tuple[z3.BoolRef, ...] = ()) -> TransitionSystem:
    inputs = (PUSH, RESTART, LEVEL)
    return TransitionSystem(states, inputs, ELAPSED, SCANS, 1, 2, 1, constraints=assumed)


def wrapped(term: z3.ArithRef, lowest: int, size: int) -> z3.ArithRef:
    inside = z3.And(term >= lowest, term < lowest + size)
    return z3.If(inside, term, (term - lowest) % size + lowest)


MODULO = (N + 1) % 100
RESET = z3.If(N >= 99, ZERO, N + 1)
DOWN = z3.If(N == 0, z3.IntVal(99), N - 1)
BY_SEVEN = z3.If(N + 7 >= 100, N - 93, N + 7)
BYTE = wrapped(N + 1, -128, 256)


def keeping(update: z3.ArithRef, kept: z3.ArithRef = KEPT) -> tuple[StateVariable, ...]:
    """The counter, and where it was in the last scan without the button."""
    return number(N, update), number(kept, z3.If(PUSH, kept, update))


def gone(update: z3.ArithRef, kept: z3.ArithRef = KEPT) -> z3.ArithRef:
    """How far the counter is after the scan from what is kept."""
    return (update + 100 - z3.If(PUSH, kept, update)) % 100


def answered(system: TransitionSystem, bad: z3.BoolRef) -> Answer:
    answer = decide(system, bad, 20)
    if isinstance(answer, Proved):
        assert first_failed_obligation(system, bad, answer.clauses) is None
    return answer


# --- ranges and remainders ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("update", "first", "least", "greatest"),
    [
        pytest.param(MODULO, 0, 0, 99, id="modulo"),
        pytest.param(RESET, 0, 0, 99, id="reset"),
        pytest.param(DOWN, 0, 0, 99, id="down"),
        pytest.param(BYTE, 0, -128, 127, id="wrapped"),
        pytest.param(z3.If(N < 60, N + 1, N), 0, 0, 60, id="saturating"),
        pytest.param(z3.If(PUSH, N - 3, z3.IntVal(5)), 5, None, 5, id="down without an end"),
        pytest.param(z3.If(LEVEL > 7, z3.IntVal(7), LEVEL), 0, None, 7, id="limited"),
    ],
)
def test_the_range_of_a_number_is_that_of_all_its_scans(
    update: z3.ArithRef, first: int, least: int | None, greatest: int | None
) -> None:
    found = intervals(system_of(number(N, update, first)), ["n"])["n"]
    ends = [end if isinstance(end, int) else None for end in (found.least, found.greatest)]
    assert ends == [least, greatest]


def test_numbers_that_take_their_values_from_each_other_have_one_range() -> None:
    found = intervals(system_of(*keeping(MODULO)), ["n", "kept"])
    assert found == {"n": Interval(0, 99), "kept": Interval(0, 99)}


def remainders(system: TransitionSystem, bad: z3.BoolRef) -> int:
    text = " ".join(str(each) for each in (bad, *(s.update for s in system.states)))
    return text.count("%")


def test_a_remainder_of_a_number_that_is_near_its_range_is_a_choice() -> None:
    system = system_of(*keeping(MODULO))
    bad = gone(MODULO) >= 60
    plain = without_division(system, bad)
    assert remainders(system, bad) > 0 == remainders(plain.system, plain.bad)
    assert first_failed_obligation(system, z3.BoolVal(False), plain.ranges) is None


def test_a_remainder_of_what_may_be_anything_stays_one() -> None:
    system = system_of(number(N, (N + LEVEL) % 100))
    plain = without_division(system, N > 50)
    assert remainders(plain.system, plain.bad) == 1
    assert isinstance(answered(system, N > 99), Proved)
    assert isinstance(answered(system, N == 98), Violated)


# --- counters as clocks ---------------------------------------------------------------------------

SPOKEN = [
    pytest.param(MODULO, gone(MODULO), 100, id="modulo"),
    pytest.param(RESET, gone(RESET), 100, id="reset"),
    pytest.param(BY_SEVEN, gone(BY_SEVEN), 100, id="by seven"),
    pytest.param(DOWN, (z3.If(PUSH, KEPT, DOWN) + 100 - DOWN) % 100, 100, id="down"),
    pytest.param(BYTE, wrapped(BYTE - z3.If(PUSH, KEPT, BYTE), -128, 256), 256, id="8 bits"),
]


@pytest.mark.parametrize(("update", "difference", "size"), SPOKEN)
def test_a_counter_of_which_only_differences_matter_is_a_clock(
    update: z3.ArithRef, difference: z3.ArithRef, size: int
) -> None:
    system = system_of(*keeping(update))
    plain = without_division(system, difference >= 60)
    clocked = with_clocks(plain.system, plain.bad, Budget(5.0))
    assert [state.name for state in clocked.system.states] == ["#n since kept"]
    assert {copy.counter.size for copy in clocked.copies} == {size}


@pytest.mark.long
@pytest.mark.parametrize(("update", "difference", "size"), SPOKEN)
def test_a_time_that_is_counted_round_and_round_is_bounded_by_the_clock(
    update: z3.ArithRef, difference: z3.ArithRef, size: int
) -> None:
    """The clock is at most 2 in each scan: 14 are gone after 14 scans (2 by seven) or none."""
    age, over = z3.Int("age"), z3.Bool("over")
    far = z3.Or(difference >= 14, z3.And(PUSH, over))
    timed = clock("age", z3.If(PUSH, age + ELAPSED, 0))
    system = system_of(*keeping(update), timed, boolean("over", far))
    scans = 2 if update is BY_SEVEN else 14
    assert isinstance(answered(system, z3.And(z3.Not(over), age > 2 * scans - 2)), Proved)
    late = answered(system, z3.And(z3.Not(over), age == 2 * scans - 2))
    assert isinstance(late, Violated)
    round_again = answered(system, z3.And(over, PUSH, difference == 3, update != KEPT))
    assert isinstance(round_again, Violated)
    assert len(round_again.steps) >= size // (7 if update is BY_SEVEN else 1)


@pytest.mark.parametrize(
    ("bad", "also"),
    [
        pytest.param(N == 42, None, id="where the counter is"),
        pytest.param(KEPT == 42, None, id="what was kept"),
        pytest.param(N + KEPT == 42, None, id="the sum"),
        pytest.param(RESET - KEPT == 42, None, id="a difference that does not come round"),
        pytest.param(gone(RESET) == 42, number(OTHER, z3.If(N > 5, ZERO, OTHER)), id="a state"),
    ],
)
def test_a_counter_that_something_else_hangs_on_stays(
    bad: z3.BoolRef, also: StateVariable | None
) -> None:
    states = (*keeping(RESET), *(() if also is None else (also,)))
    assert with_clocks(system_of(*states), bad, Budget(5.0)).copies == ()
    assert isinstance(answered(system_of(*states), bad), Violated)


def test_an_assumption_that_reads_the_counter_keeps_it() -> None:
    system = system_of(*keeping(RESET), assumed=(z3.Implies(PUSH, N < 50),))
    assert with_clocks(system, gone(RESET) >= 60, Budget(5.0)).copies == ()


@pytest.mark.long
def test_a_restart_sets_the_clock_to_what_is_between_the_first_values() -> None:
    counted = z3.If(RESTART, ZERO, RESET)
    kept = z3.If(RESTART, z3.IntVal(90), z3.If(PUSH, KEPT, RESET))
    system = system_of(number(N, counted), number(KEPT, kept, 90))
    bad = z3.And((N + 100 - KEPT) % 100 == 30, HELD)
    whole = system.extended(states=(boolean("held", RESTART),))
    plain = without_division(whole, bad)
    assert with_clocks(plain.system, plain.bad, Budget(5.0)).copies != ()
    assert isinstance(answered(whole, bad), Proved)
    assert isinstance(answered(whole, z3.And((N + 100 - KEPT) % 100 == 10, HELD)), Violated)


@pytest.mark.long
def test_what_is_kept_at_two_places_is_two_clocks() -> None:
    other = number(OTHER, z3.If(RESTART, RESET, OTHER))
    system = system_of(*keeping(RESET), other)
    bad = z3.And(gone(RESET) < 3, (RESET + 100 - z3.If(RESTART, RESET, OTHER)) % 100 == 20)
    plain = without_division(system, bad)
    clocked = with_clocks(plain.system, plain.bad, Budget(5.0))
    assert sorted(s.name for s in clocked.system.states) == ["#n since kept", "#n since other"]
    assert isinstance(answered(system, bad), Violated)


@pytest.mark.long
def test_without_clocks_and_choices_the_answers_are_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    update = z3.If(N >= 9, ZERO, N + 1)
    apart = (update + 10 - z3.If(PUSH, KEPT, update)) % 10
    system = system_of(*keeping(update), boolean("held", PUSH))
    asked = (z3.And(apart > 0, z3.Not(PUSH)), z3.And(apart == 7, HELD), apart > 9)
    with_both = [type(answered(system, bad)) for bad in asked]
    monkeypatch.setattr(portfolio, "with_clocks", lambda system, bad, _: Clocked(system, bad))
    monkeypatch.setattr(portfolio, "without_division", Undivided)
    assert [type(answered(system, bad)) for bad in asked] == with_both == [Proved, Violated, Proved]
