"""Random statements that read the scan's clock, and what they need."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from twohand.scan.clocking import Readings
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.powered_blocks import with_power_cycles
from tests.support.randomness.small_blocks import CLOCKINGS, Case, Requirements, SmallBlock

UNITS = """
FUNCTION Since : TIME
VAR_INPUT moment : TIME := T#9ms; END_VAR
Since := TIME() - moment;
END_FUNCTION
FUNCTION_BLOCK Stopwatch
VAR_INPUT go : BOOL; begun : TIME; END_VAR
VAR_OUTPUT lap : TIME; last : TIME; END_VAR
VAR_TEMP now : TIME := T#3ms; END_VAR
IF go THEN last := now; now := TIME(); lap := now - last; END_IF
lap := begun - now + lap / 2;
END_FUNCTION_BLOCK
"""
DECLARED = """VAR m0 : TIME; m1 : TIME := T#12ms; m2 : TIME := T#-7ms; m3 : TIME := T#70ms;
watch : Stopwatch; lapse : TIME; END_VAR"""
KEPT = ("m0", "m1", "m2")
LAST = """IF a AND g THEN
m0 := TIME(); m1 := m0; m2 := m0; watch(go := f, begun := m0); lapse := Since(m0);
END_IF"""
"""So that each of them keeps readings of the clock, whatever comes before."""
READ = (*KEPT, "m3", "TIME()", "watch.last", "watch.begun")


def difference(random: Random) -> str:
    """The duration between two readings of the clock."""
    if random.random() < 0.15:
        return f"Since({random.choice(READ)})"
    first = "TIME()" if random.random() < 0.5 else random.choice(READ)
    return f"({first} - {random.choice(READ)})"


def statement(random: Random) -> str:
    limit = random.choice(("T#0ms", "T#10ms", "T#31ms", "T#-10ms"))
    sign = random.choice(("<", "<=", ">", ">=", "=", "<>"))
    kept, read = random.choice(KEPT), random.choice(READ)
    go, begun = random.choice(("TRUE", "f", "g")), random.choice(READ)
    texts = (
        f"{kept} := {read};",
        f"{kept} := TIME();",
        f"IF {random.choice('abcfg')} THEN {kept} := TIME(); END_IF",
        f"{random.choice(('f', 'g', 'q'))} := {difference(random)} {sign} {limit};",
        f"IF {difference(random)} {sign} {limit} THEN g := NOT g; END_IF",
        f"lapse := {difference(random)};",
        f"watch(go := {go}, begun := {begun}, lap => lapse);",
        f"watch(begun := watch.last, go := {go});",
    )
    return random.choice(texts)


CLOCK_RANGE = 8
"""In milliseconds: a small block's clock comes round within a few scans."""


class ClockedBlock(SmallBlock):
    """A small block with one timer or none that keeps readings of the clock."""

    def __init__(self, random: Random) -> None:
        super().__init__(random)
        self.kept = ["k0", "k1"][: random.choice((1, 1, 2))]
        self.edge, self.counts = "", False

    def text(self) -> str:
        first = self.random.choice(("", " := T#3ms"))
        kept = f"VAR {', '.join(self.kept)} : TIME{first}; END_VAR"
        read = "".join(f"IF {self.simple()} THEN {name} := TIME(); END_IF;" for name in self.kept)
        text = super().text().replace("\nVAR_OUTPUT", f"\n{kept}\nVAR_OUTPUT", 1)
        last = "END_FUNCTION_BLOCK"
        body, end = text.split(last)
        return f"{body}{read}\n{last}{end}"

    def statement(self, depth: int) -> str:
        if self.random.random() < 0.6:
            return super().statement(depth)
        kept, read = self.random.choice(self.kept), self.random.choice(("TIME()", *self.kept))
        if self.random.random() < 0.5:
            return f"IF {self.flag(1)} THEN {kept} := {read}; END_IF;"
        return f"{self.random.choice(self.outputs + self.locals)} := {self.over()};"

    def over(self) -> str:
        """Whether some time is over since the clock was read."""
        first = "TIME()" if self.random.random() < 0.8 else self.random.choice(self.kept)
        sign = self.random.choice((">=", ">=", ">=", "<", ">"))
        limit = f"T#{self.random.randint(1, 5)}ms"
        return f"({first} - {self.random.choice(self.kept)} {sign} {limit})"

    def simple(self) -> str:
        return self.over() if self.random.random() < 0.3 else super().simple()


def clocked_case(seed: int, power: bool = False) -> Case:
    """A small block that reads the clock, and what is asked of it."""
    random = Random(f"clocked {seed}")
    text = ClockedBlock(random).text()
    program = load_program([SourceText("small.st", text)])
    if power:
        program = with_power_cycles(program)
    clocking = replace(random.choice(CLOCKINGS), clock_milliseconds=CLOCK_RANGE)
    asked = Requirements(random, program)
    signed = random.choice((None, False, True))
    readings = Readings(edge_call_counts=False, clock_is_signed=signed)
    return Case(text, program, clocking, readings, asked.property(), asked.assumptions())
