"""Random arithmetic in formulas has one value for monitors and for the direct evaluator."""

from __future__ import annotations

from pathlib import Path
from random import Random

from twohand.program.types import Value
from twohand.scan.clocking import Readings
from twohand.scan.concrete.execute import run
from twohand.scan.scan_record import ScanRecord
from twohand.scan.symbolic.encode import encode
from twohand.specification.logic.evaluate import refuted_at
from twohand.specification.logic.monitor import Monitors
from twohand.specification.model.specification import Specification
from twohand.text.diagnostic import Diagnostic, InputError

from tests.support.meaning.concrete_terms import ConcreteSystem
from tests.support.samples.check_samples import specification

BLOCK = """
TYPE Mode : (Idle, Ready := 7, Fault := 300); END_TYPE
FUNCTION_BLOCK Numbers
VAR_INPUT
    f : BOOL; s : SINT; n : INT; d : DINT; u : USINT; v : UINT; y : BYTE; w : WORD;
    span : TIME; mode : Mode;
END_VAR
VAR_OUTPUT q : BOOL; END_VAR
q := f;
END_FUNCTION_BLOCK
"""
NUMBERS = {
    "SINT": ("s",),
    "INT": ("n", "s", "USINT_TO_INT(u)"),
    "DINT": ("d", "n", "UINT_TO_DINT(v)"),
    "USINT": ("u",),
}
EXTREMES: dict[str, tuple[Value, ...]] = {
    "f": (False, True),
    "s": (-128, 127, -1, 0, 3),
    "n": (-32768, 32767, -1, 0, 7, 255),
    "d": (-(2**31), 2**31 - 1, 0, -5),
    "u": (0, 255, 1, 9),
    "v": (0, 65535, 12),
    "y": (0, 255, 128, 5),
    "w": (0, 65535, 32768, 258),
    "span": (0, 1, -7, 4_000_000_000),
    "mode": (0, 7, 300),
}


class Arithmetic:
    """Writes comparisons that always have a value."""

    def __init__(self, random: Random) -> None:
        self.random = random

    def formula(self) -> str:
        kind = self.random.choice(("SINT", "INT", "DINT", "USINT", "bits", "TIME", "bits"))
        relation = self.random.choice(("<", "<=", "=", "<>", ">", ">="))
        if kind == "bits":
            return f"{self.bits(2)} {relation} {self.bits(1)}"
        if kind == "TIME":
            return f"{self.span()} {relation} {self.span()}"
        return f"{self.number(kind, 3)} {relation} {self.number(kind, 1)}"

    def number(self, kind: str, depth: int) -> str:
        if depth == 0:
            names = (*NUMBERS[kind], str(self.random.choice((0, 1, 2, 3, 100))))
            return self.random.choice(names)
        one, two = self.number(kind, depth - 1), self.number(kind, 0)
        divisor = self.random.choice(("2", "7", "100") if kind == "USINT" else ("-1", "3", "-7"))
        choices = [
            f"({one} + {two})",
            f"({one} - {two})",
            f"({one} * {self.random.choice(NUMBERS[kind])})",
            f"({two} - {one})",
            f"({one} / {divisor})",
            f"({one} MOD {divisor})",
            f"ABS({one})",
            f"(-{two})",
            f"({self.random.choice(NUMBERS[kind])} ** {self.random.randint(0, 5)})",
            f"LIMIT({two}, {one}, 100)",
            f"SEL(f, {one}, {two})",
            f"MUX(1, {two}, {one})",
            f"prev({one})",
            f"prev({one}, 2)",
        ]
        if kind in ("INT", "DINT"):
            choices += ["WORD_TO_INT(w)", "BYTE_TO_INT(y)", "TO_INT(mode)", "BOOL_TO_INT(f)"]
        return self.random.choice(choices)

    def bits(self, depth: int) -> str:
        if depth == 0:
            return self.random.choice(("w", "y", "WORD#16#0102"))
        one, two = self.bits(depth - 1), self.bits(0)
        return self.random.choice(
            (
                f"({one} AND {two})",
                f"({one} XOR NOT {two})",
                f"SHL({one}, {self.random.randint(0, 20)})",
                f"ROR({one}, {self.random.randint(0, 20)})",
                f"INT_TO_WORD({self.number('INT', 2)})",
                f"DINT_TO_BYTE({self.number('DINT', 1)})",
                f"WORD_TO_BYTE({one})" if "w" in one or "WORD" in one else one,
            )
        )

    def span(self) -> str:
        n = f"({self.number('INT', 1)} + n)"
        return self.random.choice(
            ("span", "T#7ms", f"(span * {n})", "(span / -3)", f"INT_TO_TIME({n})", "(span - T#2ms)")
        )


def sampled(random: Random, spec: Specification, scans: int) -> list[ScanRecord]:
    inputs = [
        ({name: random.choice(values) for name, values in EXTREMES.items()}, 10)
        for _ in range(scans)
    ]
    readings = Readings(**dict.fromkeys(Readings().open, True))
    return run(spec.program, spec.clocking, readings, 100, inputs)


def well_typed(folder: Path, statement: str) -> bool:
    """FALSE where types do not join; everything else that is drawn can stand in a formula."""
    refused: tuple[Diagnostic, ...] = ()
    try:
        specification(folder, BLOCK, statement)
    except InputError as error:
        refused = error.diagnostics
    assert all(each.code != "partial-operation" for each in refused)
    return not refused


def check_agreement(folder: Path, seed: int, count: int) -> None:
    random = Random(seed)
    wrap = random.choice(("", "INTEGERS WRAP;"))
    asked = [f"PROPERTY p{k} : {Arithmetic(random).formula()};" for k in range(count)]
    asked = [each for each in asked if well_typed(folder, each)]
    assert len(asked) > count / 2
    spec = specification(folder, BLOCK, f"{wrap} {' '.join(asked)}")
    monitors = Monitors(encode(spec.program, spec.clocking, spec.readings))
    bad = [monitors.bad(requirement.property) for requirement in spec.requirements]
    concrete = ConcreteSystem(monitors.system, bad)
    for _ in range(6):
        records = sampled(random, spec, 5)
        state, seen = dict(concrete.initial), []
        for record in records:
            values, state = concrete.step(state, record.values, 1)
            seen.append(values)
        for number, requirement in enumerate(spec.requirements):
            row = [values[number] for values in seen]
            direct = refuted_at(requirement.property, records, spec.clocking)
            assert direct == (row.index(True) if True in row else None), asked[number]
