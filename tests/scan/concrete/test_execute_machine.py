"""The machine between scans: readings, inputs, time, snapshots, and expressions over records."""

from __future__ import annotations

import subprocess
import sys
from collections import deque
from collections.abc import Hashable
from dataclasses import astuple, replace
from random import Random

import pytest
from twohand.program import (
    Apply,
    Expression,
    Literal,
    Operation,
    Operator,
    Program,
    Read,
    StandardFunction,
)
from twohand.program.types import DINT, INT, Value
from twohand.scan.clocking import NANOSECONDS_PER_MILLISECOND, Clocking, Readings
from twohand.scan.concrete.execute import FindingRaised, Machine, formula_evaluator, run
from twohand.scan.concrete.timer_ages import age_limits
from twohand.scan.finding import FindingKind
from twohand.text.source_text import SourceText, Span

from tests.support.meaning.typed_programs import MILLISECONDS, PLAIN, program, run_of, seen

TIMED = program(
    "VAR_INPUT i, call : BOOL; END_VAR VAR a : TON; b : TP; c : TOF; n : INT; END_VAR",
    """IF call THEN a(IN := i, PT := T#30ms); END_IF;
    b(IN := a.Q, PT := T#20ms); c(IN := b.Q, PT := T#20ms);
    IF c.Q THEN n := (n + 1) MOD 4; END_IF;""",
)
TENS = Clocking(NANOSECONDS_PER_MILLISECOND, 10, 20)


@pytest.mark.parametrize(
    "module",
    [
        "twohand.scan.concrete.execute",
        "twohand.specification.logic.evaluate",
        "twohand.scan.arithmetic",
    ],
)
def test_execution_and_evaluation_load_no_solver(module: str) -> None:
    code = f"import sys, {module}; sys.exit('z3' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_a_machine_wants_every_reading_chosen() -> None:
    with pytest.raises(ValueError, match="open readings"):
        Machine(TIMED, TENS, Readings())
    for choice in Readings(falling_edge_at_first_call=True).choices():
        Machine(TIMED, TENS, choice)


def test_a_duration_that_is_no_whole_number_of_units_is_refused() -> None:
    tested = program("VAR t : TIME := T#1.5ms; END_VAR", "t := t;")
    with pytest.raises(ValueError, match="whole number of units"):
        Machine(tested, TENS, PLAIN)


def test_time_is_counted_from_the_first_scan() -> None:
    records = run(TIMED, TENS, PLAIN, 100, [({}, 15), ({}, 10), ({}, 20)])
    assert [record.time for record in records] == [0, 10, 30]
    assert [record.elapsed for record in records] == [15, 10, 20]


def test_samples_before_power_up_have_the_times_between_them_and_run_nothing() -> None:
    counting = program("VAR_INPUT a : BOOL; END_VAR VAR n : INT; END_VAR", "n := n + 1;")
    steps: list[tuple[dict[str, Value], int]] = [({"a": True}, 20), ({}, 10), ({}, 15), ({}, 20)]
    records = run(counting, TENS, PLAIN, 100, steps, past=2)
    assert [record.time for record in records] == [-25, -15, 0, 20]
    assert [record.before_power_up for record in records] == [True, True, False, False]
    assert [record.values for record in records[:2]] == [{"a": True}, {"a": False}]
    assert [record.values["n"] for record in records[2:]] == [1, 2]


def test_a_sample_before_power_up_is_no_sooner_than_a_scan() -> None:
    with pytest.raises(ValueError, match="does not take 5"):
        run(TIMED, TENS, PLAIN, 100, [({}, 5), ({}, 10)], past=1)


def test_what_the_block_writes_too_is_not_older_than_the_run() -> None:
    shared = program("VAR_IN_OUT a : BOOL; END_VAR VAR_INPUT b : BOOL; END_VAR", "a := b;")
    (first, _) = run(shared, TENS, PLAIN, 100, [({"a": True}, 10), ({}, 10)], past=1)
    assert first.older == {"b"}
    assert first.values == {"b": False}


@pytest.mark.parametrize("elapsed", [0, 9, 21])
def test_a_scan_takes_a_time_that_the_clocking_allows(elapsed: int) -> None:
    with pytest.raises(ValueError, match="does not take"):
        Machine(TIMED, TENS, PLAIN).scan({}, elapsed)


def test_unknown_and_impossible_inputs_are_refused() -> None:
    tested = program("VAR_INPUT n : USINT; END_VAR VAR m : USINT; END_VAR", "m := n;")
    machine = Machine(tested, MILLISECONDS, PLAIN)
    with pytest.raises(ValueError, match="not an input: m"):
        machine.scan({"m": 1}, 1)
    with pytest.raises(ValueError, match="n cannot be 256"):
        machine.scan({"n": 256}, 1)
    assert machine.scan({"n": 255}, 1).values["m"] == 255


def test_inputs_not_given_are_nothing_and_are_not_remembered() -> None:
    tested = program("VAR_INPUT n : INT; b : BOOL := TRUE; END_VAR", ";")
    records = run_of(tested, [{"n": 5, "b": True}, {}])
    assert seen(records, "n") == [5, 0]
    assert seen(records, "b") == [True, False]


def test_a_record_shows_an_in_out_as_the_body_leaves_it() -> None:
    tested = program("VAR_IN_OUT n : INT; END_VAR VAR m : INT; END_VAR", "n := n + 1; m := n;")
    first, second = run_of(tested, [{"n": 5}, {"n": 1}])
    assert (first.values["n"], first.values["m"]) == (6, 6)
    assert (second.values["n"], second.values["m"]) == (2, 2)


DIVIDES = program(
    "VAR_INPUT n : INT; END_VAR VAR m, before : INT; END_VAR", "before := 1; m := 100 / n;"
)


def test_a_run_ends_with_the_scan_that_has_a_finding() -> None:
    records = run_of(DIVIDES, [{"n": 5}, {"n": 0}, {"n": 5}])
    assert [record.finding is None for record in records] == [True, False]
    assert records[1].values["m"] == 20


def test_a_machine_refuses_to_go_on_after_a_finding_but_not_after_going_back() -> None:
    machine = Machine(DIVIDES, MILLISECONDS, PLAIN)
    snapshot = machine.snapshot()
    machine.scan({"n": 0}, 1)
    with pytest.raises(RuntimeError):
        machine.scan({"n": 1}, 1)
    with pytest.raises(RuntimeError):
        machine.snapshot()
    machine.restore(snapshot)
    assert machine.scan({"n": 1}, 1).values["m"] == 100


def test_a_machine_that_goes_back_to_its_first_scan_is_in_its_first_scan() -> None:
    declarations = "VAR_INPUT i : BOOL; END_VAR VAR t : TON; END_VAR"
    tested = program(declarations, "t(IN := i, PT := T#1s);")
    readings = replace(PLAIN, edge_call_counts=True, first_scan_has_time=False)
    machine = Machine(tested, MILLISECONDS, readings)
    first = machine.snapshot()
    machine.scan({"i": False}, 5)
    later = machine.snapshot()
    machine.restore(first)
    assert machine.scan({"i": True}, 5).values["t.ET"] == 0
    machine.restore(later)
    assert machine.scan({"i": True}, 5).values["t.ET"] == 5


@pytest.mark.parametrize("latched", [False, True])
def test_a_restored_machine_goes_on_as_the_first_one_did(latched: bool) -> None:
    random = Random(7)
    readings = replace(PLAIN, preset_latched=latched)
    for _ in range(40):
        steps = [
            ({"i": random.random() < 0.8, "call": random.random() < 0.7}, random.randint(10, 20))
            for _ in range(24)
        ]
        cut = random.randrange(24)
        plain = run(TIMED, TENS, readings, 100, steps)
        machine = Machine(TIMED, TENS, readings)
        for inputs, elapsed in steps[:cut]:
            machine.scan(inputs, elapsed)
        other = Machine(TIMED, TENS, readings)
        other.restore(machine.snapshot())
        going_on = [other.scan(inputs, elapsed) for inputs, elapsed in steps[cut:]]
        assert [r.values for r in going_on] == [r.values for r in plain[cut:]]


def reachable(tested: Program, clocking: Clocking, limit: int) -> int:
    """How many snapshots runs reach, counted up to ``limit``."""
    machine = Machine(tested, clocking, PLAIN)
    start = machine.snapshot()
    known: set[Hashable] = {start}
    pending = deque([start])
    while pending and len(known) < limit:
        snapshot = pending.popleft()
        for on in (False, True):
            machine.restore(snapshot)
            machine.scan({"i": on}, clocking.shortest)
            following = machine.snapshot()
            if following not in known:
                known.add(following)
                pending.append(following)
    return len(known)


def test_constant_presets_make_finitely_many_snapshots() -> None:
    fixed = Clocking(NANOSECONDS_PER_MILLISECOND, 10, 10)
    one = "VAR_INPUT i : BOOL; END_VAR VAR t : TON; END_VAR"
    tested = program(one, "t(IN := i, PT := T#30ms);")
    # before the first call, idle, and the ages 0, 10, 20, 30
    assert reachable(tested, fixed, 100) == 6
    moving = program(one + " VAR p : TIME; END_VAR", "p := T#30ms; t(IN := i, PT := p);")
    assert reachable(moving, fixed, 100) == 100


PLACE = Span(SourceText("expression", "x"), 0, 1)


def test_a_sum_of_thousands_of_terms_is_no_trouble() -> None:
    n = program("VAR n : DINT; END_VAR", "n := n;").variables[0]
    total: Expression = Read(n, PLACE)
    for _ in range(5000):
        total = Operation(Operator.ADD, (total, Read(n, PLACE)), DINT, PLACE)
    assert formula_evaluator(MILLISECONDS).value(total, {"n": 3}) == 15003


def test_the_first_finding_of_a_deep_expression_is_its_leftmost() -> None:
    n = Read(program("VAR n : DINT; END_VAR", "n := n;").variables[0], PLACE)
    zero = Literal(0, DINT, PLACE)
    text = SourceText("expression", "first last")
    first, last = Span(text, 0, 5), Span(text, 6, 10)
    total: Expression = Operation(Operator.DIVIDE, (n, zero), DINT, last)
    for _ in range(5000):
        total = Operation(Operator.ADD, (n, total), DINT, PLACE)
    for place in (last, first):
        with pytest.raises(FindingRaised) as raised:
            formula_evaluator(MILLISECONDS).value(total, {"n": 3})
        assert raised.value.finding.span == place
        before = Operation(Operator.DIVIDE, (n, zero), DINT, first)
        total = Operation(Operator.ADD, (before, total), DINT, PLACE)


def test_an_expression_over_a_record_changes_nothing_and_has_no_range() -> None:
    values = {"n": 32767, "m": 0}
    n, m = (
        Read(each, PLACE) for each in program("VAR n, m : INT; END_VAR", "n := m;").variables[:2]
    )
    more = Operation(Operator.ADD, (n, Literal(1, INT, PLACE)), INT, PLACE)
    assert formula_evaluator(MILLISECONDS).value(more, values) == 32768
    square = Operation(Operator.POWER, (more, Literal(20, INT, PLACE)), INT, PLACE)
    assert formula_evaluator(MILLISECONDS).value(square, values) == 2**300
    with pytest.raises(FindingRaised) as raised:
        formula_evaluator(MILLISECONDS).value(
            Operation(Operator.DIVIDE, (n, m), INT, PLACE), values
        )
    assert raised.value.finding.kind is FindingKind.DIVISION_BY_ZERO
    largest = Apply(StandardFunction.MAX, (n, Literal(0, INT, PLACE)), INT, PLACE)
    assert formula_evaluator(MILLISECONDS).value(largest, values) == 32767
    assert values == {"n": 32767, "m": 0}


@pytest.mark.parametrize("presets", [(10, 30), (30, 10)])
def test_an_age_counts_up_to_the_greatest_preset_of_its_timer(presets: tuple[int, int]) -> None:
    first, second = presets
    body = f"t(IN := i, PT := T#{first}ms); t(PT := T#{second}ms);"
    tested = program("VAR_INPUT i : BOOL; END_VAR VAR t : TON; END_VAR", body)
    assert list(age_limits(tested, TENS).values()) == [30]


def test_every_choice_of_the_open_readings_is_listed_once() -> None:
    choices = Readings(edge_call_counts=True).choices()
    assert len({astuple(choice) for choice in choices}) == len(choices) == 2**10
    assert {each for choice in choices for each in astuple(choice)} == {False, True}
    assert all(choice.edge_call_counts for choice in choices)
