"""One block as executor and as transition system, run side by side on the same inputs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from random import Random

from twohand.program import CLOCK, Program
from twohand.program.types import Value
from twohand.scan.clocking import CLOCK_AT_FIRST, Clocking, Readings
from twohand.scan.concrete.execute import Machine
from twohand.scan.symbolic.encode import EncodedProgram, encode
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.concrete_terms import ConcreteSystem
from tests.support.meaning.powered_blocks import with_power_cycles
from tests.support.randomness.blocks import block_text
from tests.support.randomness.inputs import random_inputs

CLOCK_RANGE = 64
"""In milliseconds: it comes round within a few scans."""
CLOCKINGS = (
    Clocking(1_000_000, 10, 10, CLOCK_RANGE),
    Clocking(1_000_000, 7, 7, CLOCK_RANGE),
    Clocking(1_000_000, 5, 20, CLOCK_RANGE),
    Clocking(500_000, 3, 30, CLOCK_RANGE),
)
LOOP_BOUND = 4
SCANS = 10
RUNS = 21
REFUSED = {
    "value-out-of-range",
    "division-by-zero",
    "type-mismatch",
    "operator-types",
    "effect-in-index",
}
"""Constants that alone leave their type's range, and calls that change an index."""


def random_program(
    seed: int, retained: bool = False, clocked: bool = False, measured: bool = False
) -> Program | None:
    """None where the text is refused, as it may be."""
    text = block_text(seed, retained, clocked, measured)
    try:
        return load_program([SourceText("random.st", text)], "Main")
    except InputError as error:
        codes = {diagnostic.code for diagnostic in error.diagnostics}
        if codes <= REFUSED:
            return None
        raise


class Pair:
    """One block in both readings, to be run side by side."""

    def __init__(self, encoding: EncodedProgram) -> None:
        self.encoding = encoding
        system = encoding.system
        self.names = list(system.signals)
        self.findings = [finding for finding, _ in system.findings]
        conditions = [condition for _, condition in system.findings]
        self.concrete = ConcreteSystem(system, [*system.signals.values(), *conditions])
        self.stamps = {v.name for v in encoding.program.stamps}

    def run(self, random: Random) -> int:
        """Runs some scans and compares them; the number of scans."""
        encoding = self.encoding
        readings = random.choice(encoding.readings.choices())
        clocking = encoding.clocking
        machine = Machine(encoding.program, clocking, readings, LOOP_BOUND)
        held = self.inputs(random)
        first = held.get(CLOCK.name, 0)
        state = {
            name: getattr(readings, name.partition(".")[2]) if value is None else value
            for name, value in self.concrete.begun({CLOCK_AT_FIRST: first}).items()
        }
        for number in range(SCANS):
            fresh = self.inputs(random)
            held = {name: fresh[name] if random.random() < 0.3 else held[name] for name in held}
            elapsed = random.randint(clocking.shortest, clocking.longest)
            if number == 0 and CLOCK.name in held:
                held[CLOCK.name] = (first + elapsed) % clocking.clock_range
            record = machine.scan(held, elapsed)
            ticks = elapsed // encoding.system.tick
            seen, state = self.concrete.step(state, held, ticks)
            values = dict(zip(self.names, seen[: len(self.names)], strict=True))
            found = [
                f for f, holds in zip(self.findings, seen[len(values) :], strict=True) if holds
            ]
            where = f"scan {number}, {readings}, {held}"
            if record.finding is not None or found:
                assert found == [record.finding], where
                return number + 1
            self.compare(values, record.values, where)
            self.compare_stamps(state, record.values, where)
        return SCANS

    def inputs(self, random: Random) -> dict[str, Value]:
        found = random_inputs(random, self.encoding.program)
        if CLOCK.name in found:
            found[CLOCK.name] = random.randrange(self.encoding.clocking.clock_range)
        return found

    def compare_stamps(
        self, state: Mapping[str, Value], there: Mapping[str, Value], where: str
    ) -> None:
        """How long ago each reading of the clock was is the same in both."""
        for name in self.stamps:
            age = (there[CLOCK.name] - there[name]) % self.encoding.clocking.clock_range
            assert state[f"{name}#since"] == age, f"{name}: {where}"

    def compare(self, here: dict[str, Value], there: object, where: str) -> None:
        assert isinstance(there, dict) or hasattr(there, "items")
        hidden = {*self.stamps, CLOCK.name}
        other = {name: value for name, value in there.items() if name not in hidden}
        different = {n: (v, other.get(n)) for n, v in here.items() if other.get(n) != v}
        assert not different, f"system and executor differ in {different}: {where}"
        assert here.keys() == other.keys()


def readings_for(random: Random) -> Readings:
    """Every reading open, or some fixed, or integers that wrap around."""
    readings = Readings(integers_wrap=random.random() < 0.25)
    if random.random() < 0.5:
        return readings
    chosen = {n: random.choice((False, True)) for n in readings.open if random.random() < 0.6}
    return replace(readings, **chosen)  # type: ignore[arg-type]


def run_block(
    seed: int, power: bool = False, clocked: bool = False, measured: bool = False
) -> tuple[int, int]:
    """Runs and scans that were compared; with ``power`` the supply comes and goes, and where it is
    ``clocked`` the block reads the clock, where it is ``measured`` it has inputs of REAL."""
    random = Random(f"runs {seed}")
    program = random_program(seed, retained=power, clocked=clocked, measured=measured)
    if program is None:
        return 0, 0
    if power:
        program = with_power_cycles(program)
    clocking = CLOCKINGS[seed % len(CLOCKINGS)]
    pair = Pair(encode(program, clocking, readings_for(random), LOOP_BOUND))
    return RUNS, sum(pair.run(random) for _ in range(RUNS))
