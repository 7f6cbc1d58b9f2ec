"""Does one requirement follow from others? Asked of the engine on a block whose outputs are free.

What is looked for is a run that refutes the one and none of the others, up to its last scan. The
answer is rechecked: an invariant by another solver, a run by the executor and the evaluator.
"""

from __future__ import annotations

from collections.abc import Sequence

import z3
from twohand.engine.portfolio import decide
from twohand.engine.system.contract import Proved, Violated
from twohand.scan.clocking import Readings
from twohand.scan.symbolic.encode import encode
from twohand.scan.transition_system import StateVariable
from twohand.specification.logic.evaluate import refuted_at
from twohand.specification.logic.formula import Property
from twohand.specification.logic.monitor import Monitors
from twohand.specification.model.specification import Specification

from tests.support.decided import LOOPS, executed, open_readings, recheck, with_every_past

SECONDS = 60


def follows(
    specification: Specification, antecedents: Sequence[Property], consequent: Property
) -> bool:
    """Whether every run that refutes no antecedent does not refute the consequent either."""
    program, clocking = specification.program, specification.clocking
    monitors = Monitors(encode(program, clocking, Readings(), LOOPS))
    refuted = z3.Or([z3.BoolVal(False), *map(monitors.bad, antecedents)])
    before = z3.Bool("refuted before")
    bad = z3.And(monitors.bad(consequent), z3.Not(before), z3.Not(refuted))
    latch = StateVariable(str(before), before, z3.BoolVal(False), z3.Or(before, refuted))
    system = monitors.system.extended(states=(latch,))
    system, (bad,) = with_every_past(monitors, system, bad)
    answer = decide(system, bad, SECONDS)
    if isinstance(answer, Proved):
        recheck(system, bad, answer)
        return True
    assert isinstance(answer, Violated), answer
    readings = open_readings(system, Readings())[0]
    records = executed(program, clocking, readings, system, answer)
    assert refuted_at(consequent, records, clocking) == len(records) - 1
    assert all(refuted_at(antecedent, records, clocking) is None for antecedent in antecedents)
    return False
