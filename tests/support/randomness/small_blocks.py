"""Random blocks so small that all their states can be visited, with a random requirement each.

One or two Boolean inputs, one or two timers, an edge or bistable block, sometimes a counter;
presets and metric bounds of a few scans; standard blocks called anywhere, also in branches.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from twohand.program import Program, Variable
from twohand.program.types import BOOL
from twohand.scan.clocking import NANOSECONDS_PER_MILLISECOND, Clocking, Readings
from twohand.specification.logic.formula import (
    Always,
    And,
    Atom,
    Bound,
    Fell,
    FirstScan,
    Formula,
    Implies,
    Not,
    Once,
    Or,
    Previous,
    Property,
    Response,
    Rose,
    Since,
    Until,
)
from twohand.specification.surroundings.power import POWER_ON
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.powered_blocks import with_power_cycles
from tests.support.randomness.formulas import FormulaSource, read

CLOCKINGS = (
    Clocking(NANOSECONDS_PER_MILLISECOND, 1, 1),
    Clocking(NANOSECONDS_PER_MILLISECOND, 2, 2),
    Clocking(NANOSECONDS_PER_MILLISECOND, 1, 2),
)


@dataclass(frozen=True)
class Case:
    text: str
    program: Program
    clocking: Clocking
    readings: Readings
    asked: Property
    assumptions: tuple[Formula, ...]


class SmallBlock:
    """Writes one block; every choice comes from ``random``. What is no timer stands in sections
    with ``qualifier``."""

    def __init__(self, random: Random, qualifier: str = "") -> None:
        self.random = random
        self.qualifier = qualifier
        self.inputs = ["a", "b"][: random.choice((1, 2, 2))]
        self.outputs = ["q", "r"][: random.randint(1, 2)]
        self.locals = ["m"]
        self.timers = {
            name: (random.choice(("TON", "TON", "TOF", "TP")), random.randint(1, 4))
            for name in ["t", "u"][: random.choice((1, 1, 2))]
        }
        self.edge = random.choice(("R_TRIG", "F_TRIG", "SR", "RS", ""))
        self.counts = random.random() < 0.3
        self.called: set[str] = set()

    def text(self) -> str:
        body = self.statements(self.random.randint(2, 4), depth=2)
        for timer in self.timers:
            if timer not in self.called:
                body.insert(0, self.call(timer))
        body.append(f"q := {self.flag(2)};")
        timers = [f"{name} : {kind};" for name, (kind, _) in self.timers.items()]
        instances = []
        if self.edge:
            instances.append(f"e : {self.edge};")
        if self.counts:
            instances.append("n : INT;")
        start = self.random.choice(("", " := TRUE"))
        return "\n".join(
            [
                "FUNCTION_BLOCK Small",
                f"VAR_INPUT {', '.join(self.inputs)} : BOOL; END_VAR",
                f"VAR_OUTPUT {self.qualifier} {', '.join(self.outputs)} : BOOL; END_VAR",
                f"VAR {' '.join(timers)} END_VAR",
                f"VAR {self.qualifier} m : BOOL{start}; {' '.join(instances)} END_VAR",
                *body,
                "END_FUNCTION_BLOCK",
                "",
            ]
        )

    def statements(self, number: int, depth: int) -> list[str]:
        return [self.statement(depth) for _ in range(number)]

    def statement(self, depth: int) -> str:
        kind = self.random.randrange(10)
        if kind < 3:
            return f"{self.random.choice(self.outputs + self.locals)} := {self.flag(2)};"
        if kind < 6:
            return self.call(self.random.choice(list(self.timers)))
        if kind == 6 and self.edge:
            return self.edge_call()
        if kind == 7 and self.counts:
            return self.random.choice(
                ("n := (n + 1) MOD 3;", "n := 0;", "n := LIMIT(0, n + 1, 2);")
            )
        if depth == 0:
            return f"m := {self.flag(1)};"
        inside = " ".join(self.statements(self.random.randint(1, 2), depth - 1))
        otherwise = ""
        if self.random.random() < 0.4:
            otherwise = " ELSE " + " ".join(self.statements(1, depth - 1))
        return f"IF {self.flag(2)} THEN {inside}{otherwise} END_IF;"

    def call(self, timer: str) -> str:
        self.called.add(timer)
        _, preset = self.timers[timer]
        if self.random.random() < 0.1:
            preset = self.random.randint(0, 3)  # another preset at another call
        return f"{timer}(IN := {self.flag(2)}, PT := T#{preset}ms);"

    def edge_call(self) -> str:
        if self.edge in ("SR", "RS"):
            names = ("S1", "R") if self.edge == "SR" else ("S", "R1")
            return f"e({names[0]} := {self.flag(1)}, {names[1]} := {self.flag(1)});"
        return f"e(CLK := {self.flag(1)});"

    def flag(self, depth: int) -> str:
        if depth == 0 or self.random.random() < 0.3:
            return self.simple()
        one, two = self.flag(depth - 1), self.flag(depth - 1)
        join = self.random.choice(("AND", "AND", "OR", "OR", "XOR"))
        text = f"({one} {join} {two})"
        return f"NOT {text}" if self.random.random() < 0.15 else text

    def simple(self) -> str:
        names = [*self.inputs, *self.inputs, *self.outputs, *self.locals]
        names += [f"{timer}.Q" for timer in self.timers]
        if self.edge:
            names.append("e.Q1" if self.edge in ("SR", "RS") else "e.Q")
        if self.counts:
            names.append(f"(n >= {self.random.randint(1, 2)})")
        if self.random.random() < 0.08:
            names = [f"({self.random.choice(list(self.timers))}.ET >= T#2ms)"]
        name = self.random.choice(names)
        return f"NOT {name}" if self.random.random() < 0.3 else name


class Requirements:
    """Draws a requirement of a block: plain random ones, and shapes that may well hold."""

    def __init__(self, random: Random, program: Program) -> None:
        names = ("a", "b", "q", "r", "m", POWER_ON)
        flags = tuple(v for v in program.variables if v.type == BOOL and v.name in names)
        self.random = random
        self.inputs = tuple(v for v in flags if v in program.inputs)
        self.outputs = tuple(v for v in flags if v not in program.inputs)
        self.source = FormulaSource(random, flags, integers=(), longest=5, deepest_past=2)

    def literal(self, variables: tuple[Variable, ...]) -> Formula:
        atom = Atom(read(self.random.choice(variables)))
        return Not(atom) if self.random.random() < 0.4 else atom

    def property(self) -> Property:
        if self.random.random() < 0.3:
            return self.source.property(2)
        cause, other = self.literal(self.inputs), self.literal(self.inputs)
        output, second = self.literal(self.outputs), self.literal(self.outputs)
        bound = self.source.bound(one_sided=False)
        seen = self.source.bound()
        match self.random.randrange(9):
            case 0:
                return Always(Implies(output, Or((cause, Once(other, seen)))))
            case 1:
                return Always(Implies(Rose(output), Or((Since(cause, other, seen), second))))
            case 2:
                return Response(And((cause, Previous(cause))), Or((output, Not(cause))), bound)
            case 3:
                return Response(Rose(cause), Or((output, second, Not(cause))), bound)
            case 4:
                return Until(And((FirstScan(), cause)), output, Or((Fell(cause), other)))
            case 5:
                return Until(Fell(output), Not(output), Or((cause, Rose(other))))
            case 6:
                return Always(Not(And((Rose(output), Fell(second), cause))))
            case 7:
                return Always(Or((output, Once(cause, Bound(0, 4)), Once(FirstScan(), seen))))
            case _:
                return Always(Implies(And((output, Previous(output, 2))), Once(cause, seen)))

    def assumptions(self) -> tuple[Formula, ...]:
        """Mostly none; what there is never leaves a run without a next input."""
        if self.random.random() < 0.8:
            return ()
        one, two = self.literal(self.inputs), self.literal(self.inputs)
        assumed: tuple[Formula, ...] = (
            Not(And((one, FirstScan()))),
            Implies(Fell(one), Previous(two, 2)),
            Implies(Rose(one), Not(Previous(Once(two, Bound(0, 3))))),
        )
        return (self.random.choice(assumed),)


def small_case(seed: int, power: bool = False) -> Case:
    """With ``power`` the block has power cycles, and may retain what is no timer."""
    random = Random(seed)
    text = SmallBlock(random, "RETAIN" if power and seed % 2 else "").text()
    program = load_program([SourceText("small.st", text)])
    if power:
        program = with_power_cycles(program)
    clocking = random.choice(CLOCKINGS)
    asked = Requirements(random, program)
    readings = Readings(edge_call_counts=random.choice((None, False, True)))
    return Case(text, program, clocking, readings, asked.property(), asked.assumptions())
