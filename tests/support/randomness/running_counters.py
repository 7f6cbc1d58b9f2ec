"""Random small blocks with a counter that comes round and numbers that keep where it was."""

from __future__ import annotations

from random import Random

from twohand.scan.clocking import Readings
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.powered_blocks import with_power_cycles
from tests.support.randomness.small_blocks import CLOCKINGS, Case, Requirements, SmallBlock

RUNS = (
    "n := (n + {step}) MOD {size};",
    "n := n + {step}; IF n >= {size} THEN n := n - {size}; END_IF;",
    "IF n >= {size} - {step} THEN n := n - ({size} - {step}); ELSE n := n + {step}; END_IF;",
    "IF n < {step} THEN n := n + {size} - {step}; ELSE n := n - {step}; END_IF;",
)
GONE = (
    "(({one} + {size} - {other}) MOD {size})",
    "(({other} + {size} - {one}) MOD {size})",
    "SEL({one} >= {other}, {one} + {size} - {other}, {one} + {size} - {other} - {size})",
)


class RunningBlock(SmallBlock):
    """A small block with one timer whose counter ``n`` runs, mostly in every scan."""

    def __init__(self, random: Random) -> None:
        super().__init__(random)
        self.timers = dict(list(self.timers.items())[:1])
        self.kept = ["k", "l"][: random.choice((1, 1, 1, 2))]
        self.size = random.randint(2, 5)
        self.edge, self.counts = "", False
        self.says_where = random.random() < 0.15

    def text(self) -> str:
        random = self.random
        kind = random.choice(("SINT", "INT", "DINT"))
        first = random.choice(("", f" := {self.size - 1}"))
        declared = f"VAR n, {', '.join(self.kept)} : {kind}{first}; END_VAR"
        step = random.choice((1, 1, 1, self.size - 1))
        runs = random.choice(RUNS).format(step=step, size=self.size)
        if random.random() < 0.2:
            runs = f"IF {self.simple()} THEN {runs} END_IF;"
        keeps = [f"IF {self.flag(1)} THEN {name} := n; END_IF;" for name in self.kept]
        text = super().text().replace("\nVAR_OUTPUT", f"\n{declared}\nVAR_OUTPUT", 1)
        last = "END_FUNCTION_BLOCK"
        head, end = text.split(last)
        first_line = head.index("END_VAR\n", head.rindex("VAR ")) + len("END_VAR\n")
        lines = random.sample([runs, *keeps], 1 + len(keeps))
        before, after = head[:first_line], head[first_line:]
        return f"{before}{lines[0]}\n{after}{' '.join(lines[1:])}\n{last}{end}"

    def over(self) -> str:
        """Whether the counter has gone on so far since it was kept."""
        if self.says_where:
            return f"(n >= {self.random.randint(1, self.size)})"
        other = self.random.choice(self.kept)
        gone = self.random.choice(GONE).format(one="n", other=other, size=self.size)
        return f"({gone} {self.random.choice(('>=', '>=', '<', '='))} {self.random.randint(0, 4)})"

    def simple(self) -> str:
        return self.over() if self.random.random() < 0.3 else super().simple()


def running_case(seed: int, power: bool = False) -> Case:
    """Such a block, and what is asked of it."""
    random = Random(f"running {seed}")
    text = RunningBlock(random).text()
    program = load_program([SourceText("small.st", text)])
    if power:
        program = with_power_cycles(program)
    asked = Requirements(random, program)
    readings = Readings(edge_call_counts=random.choice((None, False, True)))
    clocking = random.choice(CLOCKINGS)
    return Case(text, program, clocking, readings, asked.property(), asked.assumptions())
