"""One random formula or property: its monitor and the direct evaluator agree on random traces."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

from twohand.program.types import Value
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.scan_record import ScanRecord
from twohand.scan.symbolic.encode import EncodedProgram, encode
from twohand.specification.logic.evaluate import holds, refuted_at
from twohand.specification.logic.monitor import Monitors

from tests.support.meaning.concrete_terms import ConcreteSystem
from tests.support.randomness.formulas import CLOCKINGS, PROGRAM, FormulaSource, random_trace

ENCODINGS = {clocking: encode(PROGRAM, clocking, Readings()) for clocking in CLOCKINGS}


def observed(concrete: ConcreteSystem, records: Sequence[ScanRecord]) -> list[Value]:
    """The one observed term's value in each scan."""
    state = dict(concrete.initial)
    seen = []
    for record in records:
        ticks = record.elapsed // concrete.system.tick
        (value,), state = concrete.step(state, record.values, ticks)
        seen.append(value)
    return seen


def check_formula(random: Random, encoding: EncodedProgram, traces: int) -> None:
    clocking = encoding.clocking
    formula = FormulaSource(random).formula(random.randint(1, 4))
    built = Monitors(encoding)
    term = built.formula(formula)
    concrete = ConcreteSystem(built.system, [term])
    for _ in range(traces):
        records = random_trace(random, clocking, random.randint(1, 14))
        assert holds(formula, records, clocking) == observed(concrete, records)


def check_property(random: Random, encoding: EncodedProgram, traces: int) -> bool:
    """Whether some trace refuted it."""
    clocking = encoding.clocking
    asked = FormulaSource(random).property(random.randint(2, 3))
    built = Monitors(encoding)
    term = built.bad(asked)
    concrete = ConcreteSystem(built.system, [term])
    refuted = False
    for _ in range(traces):
        records = random_trace(random, clocking, random.randint(1, 16))
        seen = observed(concrete, records)
        direct = refuted_at(asked, records, clocking)
        assert direct == (seen.index(True) if True in seen else None)
        refuted = refuted or direct is not None
    return refuted


def chosen(seed: int) -> tuple[Random, Clocking]:
    return Random(seed), CLOCKINGS[seed % len(CLOCKINGS)]
