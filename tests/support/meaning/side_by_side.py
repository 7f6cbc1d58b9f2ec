"""One block as executor and as transition system, run side by side on the same inputs."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from twohand.program import Program
from twohand.program.types import Value
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.concrete.execute import Machine
from twohand.scan.symbolic.encode import EncodedProgram, encode
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.concrete_terms import ConcreteSystem
from tests.support.meaning.powered_blocks import with_power_cycles
from tests.support.randomness.blocks import block_text
from tests.support.randomness.inputs import random_inputs

CLOCKINGS = (
    Clocking(1_000_000, 10, 10),
    Clocking(1_000_000, 7, 7),
    Clocking(1_000_000, 5, 20),
    Clocking(500_000, 3, 30),
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


def random_program(seed: int, retained: bool = False) -> Program | None:
    """None where the text is refused, as it may be."""
    try:
        return load_program([SourceText("random.st", block_text(seed, retained))], "Main")
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

    def run(self, random: Random) -> int:
        """Runs some scans and compares them; the number of scans."""
        encoding = self.encoding
        readings = random.choice(encoding.readings.choices())
        clocking = encoding.clocking
        machine = Machine(encoding.program, clocking, readings, LOOP_BOUND)
        state = {
            name: getattr(readings, name.partition(".")[2]) if value is None else value
            for name, value in self.concrete.initial.items()
        }
        held = random_inputs(random, encoding.program)
        for number in range(SCANS):
            fresh = random_inputs(random, encoding.program)
            held = {name: fresh[name] if random.random() < 0.3 else held[name] for name in held}
            elapsed = random.randint(clocking.shortest, clocking.longest)
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
        return SCANS

    def compare(self, here: dict[str, Value], there: object, where: str) -> None:
        assert isinstance(there, dict) or hasattr(there, "items")
        other = dict(there.items())
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


def run_block(seed: int, power: bool = False) -> tuple[int, int]:
    """Runs and scans that were compared; with ``power`` the supply comes and goes."""
    random = Random(f"runs {seed}")
    program = random_program(seed, retained=power)
    if program is None:
        return 0, 0
    if power:
        program = with_power_cycles(program)
    clocking = CLOCKINGS[seed % len(CLOCKINGS)]
    pair = Pair(encode(program, clocking, readings_for(random), LOOP_BOUND))
    return RUNS, sum(pair.run(random) for _ in range(RUNS))
