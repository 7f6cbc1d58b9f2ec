"""Blocks whose supply comes and goes, run in both rooms that give a program its meaning."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from twohand.program import Program, Variable
from twohand.program.types import Value
from twohand.scan.clocking import Readings
from twohand.scan.scan_record import ScanRecord
from twohand.scan.symbolic.encode import encode
from twohand.specification.surroundings.composition import Composition
from twohand.specification.surroundings.power import POWER_ON, power_cycles
from twohand.text.source_text import SourceText, Span

from tests.support.meaning.concrete_terms import ConcreteSystem
from tests.support.meaning.typed_programs import MILLISECONDS, PLAIN, program, run_of

STATED = SourceText("power.spec", "POWER CYCLES")
PLACE = Span(STATED, 0, len(STATED.text))


def with_power_cycles(block: Program, named: Sequence[Variable] = ()) -> Program:
    """The block with a supply, the input ``power.on``."""
    return Composition(block, PLACE, power=power_cycles(block, named, PLACE)).program


def rows(power: str, **inputs: str) -> list[dict[str, Value]]:
    """Inputs scan by scan, a character each: ``rows("101", a="110")``."""
    texts = {POWER_ON: power, **inputs}
    assert len({len(text) for text in texts.values()}) == 1
    return [{n: text[scan] == "1" for n, text in texts.items()} for scan in range(len(power))]


def powered_run(
    declarations: str,
    body: str,
    given: Sequence[Mapping[str, Value]],
    before: str = "",
    elapsed: int = 100,
    readings: Readings = PLAIN,
    named: str = "",
) -> list[ScanRecord]:
    """What the executor makes of a block with power cycles; the transition system agrees.

    ``named`` are variables that a spec names as outputs."""
    block = program(declarations, body, before)
    outputs = [variable for variable in block.variables if variable.name in named.split()]
    tested = with_power_cycles(block, outputs)
    choices = {name: bool(getattr(readings, name)) for name in Readings().open}
    records = run_of(tested, given, elapsed, MILLISECONDS, **choices)
    system = encode(tested, MILLISECONDS, readings).system
    concrete = ConcreteSystem(system, list(system.signals.values()))
    state = dict(concrete.initial)
    for inputs, record in zip(given, records, strict=True):
        sampled = {v.name: inputs.get(v.name, False) for v in tested.inputs}
        values, state = concrete.step(state, sampled, elapsed)
        assert dict(zip(system.signals, values, strict=True)) == record.values
    return records
