"""What monitors promise beside agreeing with the evaluator: small state, names, exact jumps."""

from __future__ import annotations

from random import Random

import pytest
import z3
from twohand.program import Literal, Operation, Operator, Variable
from twohand.program.types import INT
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.symbolic.encode import encode
from twohand.scan.transition_system import StateKind
from twohand.specification.logic.formula import (
    And,
    Atom,
    Before,
    Bound,
    FirstScan,
    Formula,
    Historically,
    Implies,
    Not,
    Once,
    Or,
    Previous,
    Response,
    Rose,
    Since,
    Until,
)
from twohand.specification.logic.formula_text import single
from twohand.specification.logic.monitor import Monitors
from twohand.text.diagnostic import InputError

from tests.support.meaning.concrete_terms import ConcreteSystem
from tests.support.randomness.formulas import (
    BOOLEANS,
    CLOCKINGS,
    FIXED,
    INTEGERS,
    PROGRAM,
    RANGE,
    FormulaSource,
    random_trace,
    read,
    span_of,
)

LEFT, RIGHT, STOP = BOOLEANS


def now(variable: Variable) -> Atom:
    return Atom(read(variable))


def monitors(clocking: Clocking = RANGE) -> Monitors:
    return Monitors(encode(PROGRAM, clocking, Readings()))


def names(built: Monitors) -> list[str]:
    return [state.name for state in built.system.states]


def test_a_bounded_once_costs_a_flag_and_a_clock() -> None:
    built = monitors()
    built.formula(Once(now(LEFT), Bound(0, 500)))
    assert names(built) == ["once(left)", "time since left"]
    assert [state.kind for state in built.system.states] == [StateKind.DISCRETE, StateKind.CLOCK]


def test_equal_subformulas_share_their_state_even_under_other_bounds() -> None:
    built = monitors()
    built.formula(Once(Rose(now(LEFT)), Bound(0, 500)))
    before = names(built)
    built.formula(Once(Rose(now(LEFT)), Bound(0, 20)))
    built.formula(Historically(Not(Rose(now(LEFT))), Bound(0, 20)))
    built.formula(Previous(now(LEFT)))
    assert names(built) == before


def test_names_say_what_the_state_remembers() -> None:
    built = monitors()
    built.formula(Since(now(LEFT), Rose(now(RIGHT)), Bound(5, None)))
    built.bad(Response(now(LEFT), Not(now(STOP)), Bound(0, 3, in_scans=True)))
    assert names(built) == [
        "last(right)",
        "first scan",
        "since(rose(right) while left)",
        "time since first rose(right) while left",
        "waiting(for NOT stop after left)",
        "scans waiting for NOT stop after left",
    ]


def test_no_name_is_given_twice() -> None:
    built = monitors()
    built.formula(Previous(now(LEFT), 2))
    built.formula(Previous(And((now(LEFT), now(RIGHT)))))
    other = Atom(Operation(Operator.NOT, (read(LEFT),), LEFT.type, span_of("left")))
    built.formula(Previous(other))
    assert len(set(names(built))) == len(names(built))
    assert "last(left) #2" in names(built)


def test_nothing_joined_is_true_of_all_and_false_of_any() -> None:
    built = monitors()
    assert z3.is_true(built.formula(And(())))
    assert z3.is_false(built.formula(Or(())))


def test_before_is_until_first_alone() -> None:
    built = monitors()
    first = built.bad(Before(now(LEFT), now(RIGHT), now(STOP)))
    alone = And((now(RIGHT), Not(now(STOP))))
    assert first.eq(built.bad(Until(now(LEFT), Not(now(STOP)), alone)))


def test_a_bound_with_two_proper_sides_is_refused() -> None:
    with pytest.raises(ValueError, match="two proper sides"):
        monitors().formula(Once(now(LEFT), Bound(2, 5)))


def test_a_response_without_a_limit_is_refused() -> None:
    with pytest.raises(ValueError, match="greatest distance"):
        monitors().bad(Response(now(LEFT), now(RIGHT), Bound(0, None)))


@pytest.mark.parametrize("in_scans", [False, True])
def test_an_assumption_about_the_time_of_this_scan_is_refused_with_its_place(
    in_scans: bool,
) -> None:
    with pytest.raises(InputError) as caught:
        monitors().assume(Once(now(LEFT), Bound(0, 500, in_scans)))
    (diagnostic,) = caught.value.diagnostics
    assert diagnostic.code == "timed-assumption"
    assert diagnostic.span is not None
    assert diagnostic.span.text == "left"


def test_an_assumption_about_time_up_to_the_scan_before_is_a_constraint() -> None:
    built = monitors()
    built.assume(Implies(now(LEFT), Previous(Once(now(RIGHT), Bound(0, 500)))))
    assert len(built.system.constraints) == 1


@pytest.mark.long
def test_a_chain_of_thousands_of_operators_is_a_formula_like_any_other() -> None:
    formula: Formula = now(LEFT)
    for _ in range(3000):
        formula = Not(formula)
    built = monitors()
    previous = built.formula(Previous(formula))
    concrete = ConcreteSystem(built.system, [previous])
    inputs = {variable.name: 0 for variable in PROGRAM.inputs} | {"left": True}
    values, _ = concrete.step(concrete.initial, inputs, 1)
    assert values == (True,)


def test_a_bound_between_two_ticks_is_rounded_inwards() -> None:
    """A fixed period of 3: within 8 are 2 scans (6), from 7 on are 3 scans (9)."""
    built = monitors(FIXED)
    within = built.formula(Once(now(LEFT), Bound(0, 8)))
    beyond = built.formula(Once(now(LEFT), Bound(7, None)))
    concrete = ConcreteSystem(built.system, [within, beyond])
    state = dict(concrete.initial)
    seen = []
    for position in range(5):
        inputs = {variable.name: 0 for variable in PROGRAM.inputs} | {"left": position == 0}
        values, state = concrete.step(state, inputs, 1)
        seen.append(values)
    assert seen == [(True, False), (True, False), (True, False), (False, True), (False, True)]


def test_time_of_the_first_scan_counts_for_nothing() -> None:
    built = monitors()
    always = built.formula(Historically(now(LEFT), Bound(1, None)))
    first = built.formula(FirstScan())
    concrete = ConcreteSystem(built.system, [always, first])
    inputs = {variable.name: 0 for variable in PROGRAM.inputs}
    values, _ = concrete.step(concrete.initial, inputs, RANGE.longest)
    assert values == (True, True)


def test_a_history_remembers_numbers() -> None:
    source = FormulaSource(Random(0), deepest_past=1)
    (history, *_) = source.histories(read(INTEGERS[0]))
    comparison = Operation(
        Operator.EQUAL, (read(history.variable), Literal(2, INT, span_of("2"))), LEFT.type,
        span_of("prev(mode) = 2"),
    )  # fmt: skip
    built = monitors()
    was_two = built.formula(Atom(comparison, (history,)))
    concrete = ConcreteSystem(built.system, [was_two])
    state, seen = dict(concrete.initial), []
    for mode in (2, 1, 2, 3):
        inputs = {variable.name: 0 for variable in PROGRAM.inputs} | {"mode": mode}
        values, state = concrete.step(state, inputs, 1)
        seen.append(values[0])
    assert seen == [True, True, False, True]


@pytest.mark.long
def test_a_step_of_many_scans_is_those_scans_where_nothing_discrete_changes() -> None:
    """The law that the search by events rests on, for random formulas and reachable states."""
    jumps = 0
    for seed in range(300):
        random = Random(seed)
        clocking = CLOCKINGS[seed % len(CLOCKINGS)]
        built = monitors(clocking)
        bad = built.bad(FormulaSource(random).property(3))
        concrete = ConcreteSystem(built.system, [bad])
        discrete = [
            state.symbol.decl().name()
            for state in built.system.states
            if state.kind is StateKind.DISCRETE
        ]
        state = dict(concrete.initial)
        trace = random_trace(random, clocking, 6)
        for record in trace:
            _, state = concrete.step(state, record.values, record.elapsed // built.system.tick)
        inputs, begin, total = trace[-1].values, state, 0
        for scans in range(1, 6):
            elapsed = random.randint(built.system.shortest, built.system.longest)
            values, state = concrete.step(state, inputs, elapsed)
            total += elapsed
            if any(state[name] != begin[name] for name in discrete):
                break
            assert concrete.step(begin, inputs, total, scans) == (values, state)
            jumps += scans > 1
    assert jumps > 300


def test_words_take_parentheses_only_where_they_join() -> None:
    assert [single(text) for text in ("left", "NOT left", "rose(left)", "NOT (a OR b)")] == [
        "left",
        "NOT left",
        "rose(left)",
        "NOT (a OR b)",
    ]
    assert single("a AND b") == "(a AND b)"
    assert single("once(a) OR (b)") == "(once(a) OR (b))"


CLOSES = Once(now(LEFT), Bound(0, 20))
"""TRUE up to 20 after the last ``left``, then FALSE by time alone."""


@pytest.mark.parametrize(
    "formula",
    [
        Once(CLOSES, Bound(0, 10)),
        Once(Not(CLOSES), Bound(0, 10)),
        Since(now(RIGHT), CLOSES, Bound(0, 10)),
        Since(Not(CLOSES), now(RIGHT), Bound(15, None)),
        Since(CLOSES, now(RIGHT), Bound(15, None)),
    ],
)
def test_a_step_of_many_scans_does_not_miss_what_time_alone_changes(formula: Formula) -> None:
    """Both buttons are let go or held on; where nothing discrete changes, each longer step is the
    single ones."""
    built = monitors(Clocking(1_000_000, 5, 5 * 20))
    term = built.formula(formula)
    concrete = ConcreteSystem(built.system, [term])
    discrete = [state.name for state in built.system.states if state.kind is StateKind.DISCRETE]
    nothing = {variable.name: 0 for variable in PROGRAM.inputs}
    steps = 0
    for right in (False, True):
        state = dict(concrete.initial)
        for left in (True, False):
            _, state = concrete.step(state, nothing | {"left": left, "right": True}, 5)
        inputs = nothing | {"left": False, "right": right}
        for _ in range(12):
            _, begin = concrete.step(state, inputs, 5)
            state = begin
            for scans in range(1, 8):
                values, after = concrete.step(state, inputs, 5)
                if any(after[name] != begin[name] for name in discrete):
                    break
                assert concrete.step(begin, inputs, 5 * scans, scans) == (values, after)
                state = after
                steps += 1
            state = begin
    assert steps > 12
