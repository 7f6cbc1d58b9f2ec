"""One random formula or property: its monitor and the direct evaluator agree on random traces."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

import z3
from twohand.program.types import Value
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.scan_record import ScanRecord
from twohand.scan.symbolic.encode import EncodedProgram, encode
from twohand.specification.logic.evaluate import assumed, holds, refuted_at
from twohand.specification.logic.monitor import Monitors
from twohand.specification.logic.power_up import POWER_UP
from twohand.text.diagnostic import InputError

from tests.support.meaning.concrete_terms import ConcreteSystem
from tests.support.randomness.formulas import CLOCKINGS, PROGRAM, FormulaSource, random_trace

ENCODINGS = {clocking: encode(PROGRAM, clocking, Readings()) for clocking in CLOCKINGS}


ANYTHING: dict[str, Value] = {"stop": True, "count": 1}
"""What inputs that are not older than the run may be before it: it does not matter."""


def observed(concrete: ConcreteSystem, records: Sequence[ScanRecord]) -> list[Value]:
    """The one observed term's value in each scan."""
    state = dict(concrete.initial)
    seen = []
    for record in records:
        ticks = record.elapsed // concrete.system.tick
        values = {**ANYTHING, **record.values, POWER_UP: not record.before_power_up}
        (value,), state = concrete.step(state, values, ticks)
        seen.append(value)
    return seen


def systems(built: Monitors, term: z3.BoolRef) -> list[tuple[ConcreteSystem, bool]]:
    """For runs without scans before power-up, and for those with them."""
    system, terms = built.with_past(built.system, [term])
    return [(ConcreteSystem(built.system, [term]), False), (ConcreteSystem(system, terms), True)]


def traced(random: Random, clocking: Clocking, longest: int, past: bool) -> list[ScanRecord]:
    before = random.choice((0, 0, 1, 2, 5, 9)) if past else 0
    return random_trace(random, clocking, before + random.randint(1, longest), before)


def check_formula(random: Random, encoding: EncodedProgram, traces: int) -> None:
    clocking = encoding.clocking
    formula = FormulaSource(random).formula(random.randint(1, 4))
    built = Monitors(encoding)
    term = built.formula(formula)
    for concrete, past in systems(built, term) * -(-traces // 2):
        records = traced(random, clocking, 14, past)
        assert holds(formula, records, clocking) == observed(concrete, records)


def check_property(random: Random, encoding: EncodedProgram, traces: int) -> bool:
    """Whether some trace refuted it."""
    clocking = encoding.clocking
    asked = FormulaSource(random).property(random.randint(2, 3))
    built = Monitors(encoding)
    term = built.bad(asked)
    refuted = False
    for concrete, past in systems(built, term) * -(-traces // 2):
        records = traced(random, clocking, 16, past)
        seen = observed(concrete, records)
        direct = refuted_at(asked, records, clocking)
        assert direct == (seen.index(True) if True in seen else None)
        refuted = refuted or direct is not None
    return refuted


def check_assumption(random: Random, encoding: EncodedProgram, traces: int) -> bool:
    """Whether the formula can be assumed at all."""
    clocking = encoding.clocking
    formula = FormulaSource(random).formula(random.randint(1, 4))
    built = Monitors(encoding)
    try:
        built.assume(formula)
    except InputError:
        return False
    with_past, _ = built.with_past(built.system, [])
    for system, past in ((built.system, False), (with_past, True)) * -(-traces // 2):
        concrete = ConcreteSystem(system, system.constraints)
        records = traced(random, clocking, 14, past)
        assert assumed(formula, records, clocking) == all(observed(concrete, records))
    return True


def chosen(seed: int) -> tuple[Random, Clocking]:
    return Random(seed), CLOCKINGS[seed % len(CLOCKINGS)]
