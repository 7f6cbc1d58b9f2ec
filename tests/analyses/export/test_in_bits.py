"""Questions in bits: the circuit does in every step what the system does in a scan."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from random import Random
from typing import Any

import pytest
import z3
from hypothesis import given, settings
from hypothesis import strategies as st
from twohand.analyses.check.check import check
from twohand.analyses.export.bit_level.bounds import NotInBits
from twohand.analyses.export.bit_level.text import aiger_text
from twohand.analyses.export.files import README, Exported, files_of
from twohand.evidence.checks.requirement import ProvedRequirement
from twohand.evidence.limits import Options
from twohand.scan.transition_system import StateVariable, TransitionSystem
from twohand.specification.load import load_specification

from tests.support.meaning.and_inverter_graph import Circuit, circuit_of
from tests.support.randomness.systems import Model, random_model
from tests.support.samples.engine_systems import ELAPSED, SCANS, boolean, clock

PUSH = z3.Bool("push")
AGE, COUNT, GIVEN = z3.Ints("age count given")


def text_of(
    bad: z3.BoolRef,
    *states: StateVariable,
    scan: tuple[int, int] = (10, 10),
    inputs: tuple[z3.ExprRef, ...] = (PUSH,),
    ranges: tuple[z3.BoolRef, ...] = (),
) -> str:
    system = TransitionSystem(states, inputs, ELAPSED, SCANS, *scan, 1, ranges=ranges)
    return aiger_text(system, bad, "what is asked")


def first_bad_step(text: str, inputs: list[dict[str, bool]]) -> int | None:
    """Under these inputs, from the one first state."""
    circuit = circuit_of(text)
    state = circuit.start()
    for number, values in enumerate(inputs):
        bad, _, state = circuit.step(state, {circuit.names[n]: v for n, v in values.items()})
        if bad:
            return number
    return None


# --- against random systems by plain arithmetic ---------------------------------------------------


def _seen_in_circuit(
    circuit: Circuit, free: dict[str, bool], pushes: list[bool]
) -> list[tuple[bool, bool]]:
    """Which steps are bad, and which allowed."""
    state, seen = circuit.start(), []
    given = {f"{name} at the beginning": value for name, value in free.items()}
    for push in pushes:
        values = dict.fromkeys(circuit.inputs, False)
        said = (given | {"push": push}).items()
        values |= {circuit.names[name]: value for name, value in said if name in circuit.names}
        bad, allowed, state = circuit.step(state, values)
        seen.append((bad, allowed))
    return seen


def _seen_in_model(
    model: Model, state: dict[str, Any], pushes: list[bool]
) -> list[tuple[bool, bool]]:
    seen = []
    for push in pushes:
        seen.append((model.is_bad(state, push), model.allows(state, push)))
        state = model.after(state, push, elapsed=1)
    return seen


@pytest.mark.long
@settings(max_examples=80, deadline=None, derandomize=True)
@given(st.integers(min_value=0, max_value=10**6))
def test_a_circuit_is_bad_in_the_scans_in_which_the_system_is(seed: int) -> None:
    model = random_model(seed)
    if model.fixed or model.presets:
        return
    system, bad = model.terms()
    text = aiger_text(replace(system, shortest=1, longest=1), bad, f"model {seed}")
    circuit, random = circuit_of(text), Random(seed)
    for _ in range(3):
        pushes = [random.random() < 0.6 for _ in range(14)]
        for state in model.first_states():
            free = {name: bool(state[name]) for name in model.free}
            found = _seen_in_circuit(circuit, free, pushes)
            assert found == _seen_in_model(model, state, pushes)


# --- numbers --------------------------------------------------------------------------------------


@pytest.mark.parametrize(("limit", "first"), [(40, 4), (41, 5), (1000, 100)])
def test_a_time_that_runs_on_is_held_above_the_largest_constant(limit: int, first: int) -> None:
    """Scans of 10: the time before the n-th scan (from 0) is 10 n where the button is held."""
    running = clock("age", z3.If(PUSH, AGE + ELAPSED, 0))
    text = text_of(limit <= AGE, running)
    held = [{"push": True}] * 300
    assert first_bad_step(text, held) == first
    later = [*([{"push": True}] * 250), {"push": False}, *held]
    assert first_bad_step(text, later) == first
    latches = int(text.split()[3])
    assert latches <= limit.bit_length() + 4


def test_a_number_below_zero_is_a_number() -> None:
    down = z3.If(PUSH, z3.If(COUNT > -5, COUNT - 1, COUNT), z3.IntVal(3))
    text = text_of(COUNT * 2 <= -9, StateVariable("count", COUNT, z3.IntVal(3), down))
    assert first_bad_step(text, [{"push": True}] * 20) == 8
    assert first_bad_step(text, [{"push": n % 8 < 7} for n in range(60)]) is None


def test_a_number_that_is_an_input_keeps_its_bounds() -> None:
    """Patterns of bits beyond them are no values: the step is not allowed."""
    ranges = (z3.And(GIVEN >= 2, GIVEN <= 5),)
    text = text_of(GIVEN == 3, boolean("seen", PUSH), inputs=(PUSH, GIVEN), ranges=ranges)
    circuit = circuit_of(text)
    bits = sorted((n for n in circuit.names if n.startswith("given[")), key=lambda n: int(n[6:-1]))
    for value in range(-8, 8):
        inputs = dict.fromkeys(circuit.inputs, False)
        inputs |= {circuit.names[n]: bool(value >> i & 1) for i, n in enumerate(bits)}
        bad, allowed, _ = circuit.step(circuit.start(), inputs)
        assert (bad, allowed) == (value == 3, 2 <= value <= 5)


def test_what_begins_open_begins_with_what_an_input_says_in_the_first_step() -> None:
    seen = StateVariable("seen", z3.Bool("seen"), None, z3.Bool("seen"))
    circuit = circuit_of(text_of(z3.Bool("seen"), seen))
    (chosen,) = circuit.inputs
    for value in (False, True):
        state, bad = circuit.start(), []
        for later in (value, True, False):
            found, _, state = circuit.step(state, {chosen: later})
            bad.append(found)
        assert bad == [value, value, value]


def test_what_is_asked_of_the_first_values_is_asked_in_the_first_step_alone() -> None:
    one, two = z3.Bools("one two")
    states = (
        StateVariable("one", one, None, PUSH),
        StateVariable("two", two, z3.Not(one), two),
    )
    limited = TransitionSystem(
        states, (PUSH,), ELAPSED, SCANS, 10, 10, 1, initial_constraints=(one,)
    )
    circuit = circuit_of(aiger_text(limited, z3.And(one, two), "what is asked"))
    names = [f"{name} at the beginning" for name in ("one", "two")]
    for first in (False, True):
        for second in (False, True):
            values = dict(zip((circuit.names[n] for n in names), (first, second), strict=True))
            inputs = values | {circuit.names["push"]: False}
            _, allowed, state = circuit.step(circuit.start(), inputs)
            assert allowed == (first and not second)
            assert circuit.step(state, inputs)[1]


def test_a_bit_string_is_its_bits() -> None:
    word = z3.BitVec("word", 4)
    turned = z3.Concat(z3.Extract(2, 0, word), z3.Extract(3, 3, word))
    state = StateVariable("word", word, z3.BitVecVal(1, 4), z3.If(PUSH, turned, word ^ 3))
    text = text_of(word & 8 == 8, state)
    assert first_bad_step(text, [{"push": True}] * 5) == 3
    assert first_bad_step(text, [{"push": n > 0} for n in range(5)]) == 3


# --- what has no form in bits ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("reason", "scan", "update", "inputs"),
    [
        pytest.param("the scan time is not one value", (5, 10), COUNT, (PUSH,), id="scan"),
        pytest.param("the input given has no bounds", (10, 10), GIVEN, (PUSH, GIVEN), id="input"),
        pytest.param("count has no bounds", (10, 10), COUNT - 1, (PUSH,), id="down"),
        pytest.param("a number is made by 'mod'", (10, 10), (COUNT + 1) % 7, (PUSH,), id="mod"),
    ],
)
def test_what_cannot_be_in_bits_is_refused_with_the_reason(
    reason: str, scan: tuple[int, int], update: z3.ExprRef, inputs: tuple[z3.ExprRef, ...]
) -> None:
    count = StateVariable("count", COUNT, z3.IntVal(0), update)
    with pytest.raises(NotInBits) as refused:
        text_of(COUNT == 5, count, scan=scan, inputs=inputs)
    assert str(refused.value) == reason


def test_a_number_that_may_begin_anywhere_has_no_bounds() -> None:
    with pytest.raises(NotInBits, match="count has no bounds"):
        text_of(COUNT == 5, StateVariable("count", COUNT, None, COUNT))


def test_times_whose_distance_counts_are_not_held() -> None:
    """Two that run on, compared with each other: held, they would become equal."""
    first = clock("age", z3.If(PUSH, AGE + ELAPSED, 0))
    second = clock("count", COUNT + ELAPSED)
    with pytest.raises(NotInBits, match="it is not shown that age, count can be held"):
        text_of(z3.And(AGE > 0, AGE < COUNT), first, second)


# --- the command ----------------------------------------------------------------------------------

BLOCK = """FUNCTION_BLOCK Lids
VAR_INPUT left, right : BOOL; END_VAR
VAR_OUTPUT ram : BOOL; END_VAR
ram := left AND right;
END_FUNCTION_BLOCK
"""


@pytest.mark.parametrize(
    ("scan", "said"),
    [
        ("T#10ms", "Lids_both_hands.aag"),
        ("T#5ms..T#10ms", " (not in bits: the scan time is not one value)"),
    ],
)
def test_an_export_has_the_question_in_bits_where_the_scan_is_fixed(
    tmp_path: Path, scan: str, said: str
) -> None:
    (tmp_path / "lids.st").write_text(BLOCK)
    (tmp_path / "lids.spec").write_text(
        f"SPEC Lids SOURCE 'lids.st'; SCAN {scan}; HAND left = left; HAND right = right;"
        " OUTPUT ram; REQUIRE TWO_HAND LOGIC TYPE I; END_SPEC"
    )
    spec = load_specification(tmp_path / "lids.spec")
    kept: list[ProvedRequirement] = []
    found = Exported(check(spec, Options(processes=1), kept=kept), tuple(kept))
    files = dict(files_of([found]))
    (row,) = [line for line in files[README].splitlines() if " both_hands: " in line]
    assert row.endswith(said)
    assert ("Lids_both_hands.aag" in files) == (scan == "T#10ms")
