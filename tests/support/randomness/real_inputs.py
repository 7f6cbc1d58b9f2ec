"""Comparisons of inputs of REAL and LREAL with constants, for random blocks."""

from __future__ import annotations

from random import Random

DECLARED = """VAR_INPUT rpm : REAL; bar : LREAL; END_VAR
VAR CONSTANT TOP_RPM : REAL := 80; LOW_BAR : LREAL := -1.5E-3; END_VAR"""
_CONSTANTS = {
    "rpm": ("REAL#0.1", "0.5", "-2.5", "12", "1.0E3", "TOP_RPM", "-REAL#7.25"),
    "bar": ("LREAL#0.1", "7", "LOW_BAR", "-33.0", "1_000.25"),
}


def comparison(random: Random) -> str:
    name = random.choice(tuple(_CONSTANTS))
    sides = [name, random.choice(_CONSTANTS[name])]
    random.shuffle(sides)
    if random.random() < 0.2:
        function = random.choice(("LT", "LE", "EQ", "NE", "GE", "GT"))
        return f"{function}({sides[0]}, {sides[1]})"
    return f"({sides[0]} {random.choice(('<', '<=', '=', '<>', '>=', '>'))} {sides[1]})"
