"""The rest before an attempt where contacts bounce: how long the hands have to be off before it.

A logic may want to see the contacts open for twice the bounce time, as the README says of a start
(a contact may bounce as its hand comes and again as it goes); the rest is twice as long as that
and two scans. After a shorter one nothing is asked, and after that one the output has to go on.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.program.types import Value
from twohand.scan.concrete.execute import Machine
from twohand.scan.symbolic.encode import encode
from twohand.specification.load import load_specifications
from twohand.specification.logic.evaluate import refuted_at
from twohand.specification.logic.monitor import Monitors

from tests.support.meaning.concrete_terms import ConcreteSystem
from tests.support.samples.fault_samples import SINGLE_SPEC, written_spec

HANDS: dict[str, Value] = {"hand.left": True, "hand.right": True}
SHOWN: dict[str, Value] = {"bounce.leftNO": True, "bounce.rightNO": True}
GUARD_OPEN: dict[str, Value] = {}
"""The block of this spec starts nothing with the guard open."""
PERIOD = 10


@pytest.mark.parametrize(
    ("bounce", "rest"),
    [(8, 4 * 8 + 2 * PERIOD), (5, 4 * 5 + 2 * PERIOD), (20, 4 * 20 + 2 * PERIOD)],
)
def test_an_attempt_needs_a_rest_of_four_bounce_times_and_two_scans(
    tmp_path: Path, bounce: int, rest: int
) -> None:
    more = f"BOUNCE T#{bounce}ms; AVAILABLE WITHIN 0 SCANS;"
    (spec,) = load_specifications(written_spec(tmp_path, SINGLE_SPEC, more))
    asked = {each.identifier: each for each in spec.requirements}["available"]
    assert f"from a rest of {rest} ms" in asked.sentence
    encoding = encode(spec.program, spec.clocking, spec.readings, spec.loop_bound)
    monitors = Monitors(encoding)
    bad = monitors.bad(asked.property)
    concrete = ConcreteSystem(monitors.system, [bad])
    enough = -(-rest // PERIOD)  # the rest lasts from its first scan off to its last one
    for scans_off in range(enough - 1, enough + 4):
        steps = [GUARD_OPEN] * scans_off + [HANDS | SHOWN] * 3
        machine = Machine(spec.program, spec.clocking, spec.readings.choices()[0])
        records = [machine.scan(step, PERIOD) for step in steps]
        direct = refuted_at(asked.property, records, spec.clocking)
        state = {name: value or False for name, value in concrete.initial.items()}
        seen = []
        for step in steps:
            given = {v.name: step.get(v.name, False) for v in spec.program.inputs}
            (value,), state = concrete.step(state, given, PERIOD // monitors.system.tick)
            seen.append(value)
        long_enough = (scans_off - 1) * PERIOD >= rest
        assert (direct is not None) == long_enough, scans_off
        assert any(seen) == long_enough, scans_off
