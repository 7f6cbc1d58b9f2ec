"""Small models with known answers, rebuilt by hand.

The counters follow the public examples of the BTOR2 tool suite (count2, count4, twocount2,
recount4, factorial4even, noninitstate) and the one-bit counter of the AIGER format description;
widths and inputs are derived from their arithmetic and their published answers, from memory, not
copied from the files.
"""

from __future__ import annotations

from dataclasses import dataclass

import z3
from twohand.engine.system.budget import Engine
from twohand.engine.system.contract import Answer
from twohand.scan.transition_system import StateKind, StateVariable, TransitionSystem

ELAPSED, SCANS = z3.Int("elapsed"), z3.Int("scans")


@dataclass(frozen=True)
class KnownAnswer:
    """``first_bad`` is the number of steps after which the bad state is first reached (0 is the
    initial state), None: never."""

    name: str
    system: TransitionSystem
    bad: z3.BoolRef
    first_bad: int | None


def fixed_period(
    states: list[StateVariable],
    inputs: tuple[z3.ExprRef, ...] = (),
    constraints: tuple[z3.BoolRef, ...] = (),
) -> TransitionSystem:
    return TransitionSystem(tuple(states), inputs, ELAPSED, SCANS, 1, 1, 1, constraints=constraints)


def bits(name: str, width: int, update: z3.BitVecRef, initial: int = 0) -> StateVariable:
    symbol = z3.BitVec(name, width)
    return StateVariable(name, symbol, z3.BitVecVal(initial, width), update)


def counter(width: int) -> KnownAnswer:
    """Counts from 0; bad when all bits are set."""
    value = z3.BitVec("value", width)
    ones = (1 << width) - 1
    return KnownAnswer(
        f"{width} bit counter", fixed_period([bits("value", width, value + 1)]), value == ones, ones
    )


def two_counters() -> KnownAnswer:
    """Two counters of two bits, one at a time counts; bad when all bits of both are set."""
    first, second = z3.BitVecs("first second", 2)
    turn = z3.Bool("turn")
    states = [
        bits("first", 2, z3.If(turn, first + 1, first)),
        bits("second", 2, z3.If(turn, second, second + 1)),
    ]
    bad = z3.And(first == 3, second == 3)
    return KnownAnswer("two counters", fixed_period(states, (turn,)), bad, 6)


def resettable_counter() -> KnownAnswer:
    """A counter of four bits with enable and reset; bad when all bits are set."""
    value = z3.BitVec("value", 4)
    enable, reset = z3.Bools("enable reset")
    update = z3.If(reset, z3.BitVecVal(0, 4), z3.If(enable, value + 1, value))
    system = fixed_period([bits("value", 4, update)], (enable, reset))
    return KnownAnswer("resettable counter", system, value == 15, 15)


def factorial(odd: bool) -> KnownAnswer:
    """i! modulo 16 beside i. Bad: i is 15; or (``odd``) the factorial is odd although i > 3."""
    product, i = z3.BitVecs("product i", 4)
    states = [bits("product", 4, product * i, 1), bits("i", 4, i + 1, 1)]
    system = fixed_period(states)
    if odd:
        bad = z3.And(z3.Extract(0, 0, product) == 1, z3.UGT(i, 3))
        return KnownAnswer("factorial stays even", system, bad, None)
    return KnownAnswer("factorial index", system, i == 15, 14)


def free_start() -> KnownAnswer:
    """A bit that starts anyhow and stays, and one that follows it; bad when that one is set."""
    free, copy = z3.Bools("free copy")
    states = [
        StateVariable("free", free, None, free),
        StateVariable("copy", copy, z3.BoolVal(False), free),
    ]
    return KnownAnswer("free start", fixed_period(states), copy, 1)


def one_bit_counter(never_enabled: bool) -> KnownAnswer:
    """A latch that toggles while enabled; bad when it is set."""
    latch, enable = z3.Bools("latch enable")
    states = [StateVariable("latch", latch, z3.BoolVal(False), z3.Xor(latch, enable))]
    assumed = (z3.Not(enable),) if never_enabled else ()
    system = fixed_period(states, (enable,), assumed)
    name = "one bit counter, never enabled" if never_enabled else "one bit counter"
    return KnownAnswer(name, system, latch, None if never_enabled else 1)


def clocked_counter(bad_at: int) -> KnownAnswer:
    """Counts presses that last; the count stops at 5. Integers and a clock."""
    count, held = z3.Ints("count held")
    push, before = z3.Bools("push before")
    lasting = z3.And(before, z3.Not(push), held >= 3)
    states = [
        StateVariable("before", before, z3.BoolVal(False), push),
        StateVariable(
            "held", held, z3.IntVal(0), z3.If(before, held + ELAPSED, 0), StateKind.CLOCK
        ),
        StateVariable(
            "count", count, z3.IntVal(0), z3.If(z3.And(lasting, count < 5), count + 1, count)
        ),
    ]
    first = 5 * bad_at if bad_at <= 5 else None
    return KnownAnswer(f"counts to {bad_at}", fixed_period(states, (push,)), count >= bad_at, first)


def known_answers() -> list[KnownAnswer]:
    return [
        counter(3), counter(4), two_counters(), resettable_counter(), factorial(False),
        factorial(True), free_start(), one_bit_counter(False), one_bit_counter(True),
        clocked_counter(3), clocked_counter(6),
    ]  # fmt: skip


def finished(engine: Engine) -> Answer:
    """The answer of an engine that runs until it has one."""
    try:
        while True:
            next(engine)
    except StopIteration as end:
        answer: Answer = end.value
        return answer
