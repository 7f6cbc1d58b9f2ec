"""Random blocks that compute and compare REALs, each with its meaning on Python's numbers.

Python's numbers are those of one platform (IEEE 754-2019, binary64). What the block does on it has
to be among what it may do where nobody computes REALs.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import nan
from random import Random
from typing import TypeAlias

Values: TypeAlias = dict[str, float]
Meaning: TypeAlias = Callable[[Values], float]
Act: TypeAlias = Callable[[Values], None]

UNITS = """FUNCTION Over : BOOL
VAR_INPUT x, limit : REAL; END_VAR
Over := x > limit;
END_FUNCTION
FUNCTION_BLOCK Rising
VAR_INPUT x : REAL; END_VAR VAR_OUTPUT up : BOOL; END_VAR VAR last : REAL; END_VAR
up := x > last; last := x;
END_FUNCTION_BLOCK
"""
NUMBERS = ("0.5", "2.0", "-1.25", "3", "7.5")
INPUTS = (-2.0, -1.25, 0.0, 0.5, 1.0, 2.0, 2.5, 3.0, 8.0, nan)
SIGNS: dict[str, Callable[[float, float], bool]] = {
    "<": operator.lt, "<=": operator.le, "=": operator.eq,
    "<>": operator.ne, ">=": operator.ge, ">": operator.gt,
}  # fmt: skip
OUTPUTS = ("q0", "q1", "q2")


@dataclass(frozen=True)
class RealBlock:
    """``begin`` are the values before the first scan, ``scan`` does one on values with ``a``,
    ``b`` and ``u`` of that scan. ``shown`` are the variables with a model."""

    text: str
    begin: Values
    scan: Act
    shown: tuple[str, ...] = (*OUTPUTS, "m", "r.up")


def real_block(random: Random, statements: int = 4) -> RealBlock:
    made = _Maker(random)
    texts, acts = made.statements(statements, 0)
    text = (
        f"{UNITS}FUNCTION_BLOCK B\nVAR_INPUT a, b : REAL; u : BOOL; END_VAR\n"
        f"VAR_OUTPUT {', '.join(OUTPUTS)} : BOOL; m : INT; END_VAR\n"
        f"VAR x, y : REAL; r : Rising; END_VAR\n{texts}\nEND_FUNCTION_BLOCK"
    )
    names = (*OUTPUTS, "m", "x", "y", "r.up", "r.last")
    return RealBlock(text, dict.fromkeys(names, 0), acts)


class _Maker:
    def __init__(self, random: Random) -> None:
        self._random = random

    def statements(self, count: int, depth: int) -> tuple[str, Act]:
        made = [self._statement(depth) for _ in range(count)]
        acts = [act for _, act in made]
        return "\n".join(text for text, _ in made), lambda values: _all(acts, values)

    def _statement(self, depth: int) -> tuple[str, Act]:
        kinds = ("real", "bool", "bool", "count", "call", *(("if",) if depth < 2 else ()))
        match self._random.choice(kinds):
            case "real":
                name = self._random.choice("xy")
                text, value = self._number(2)
                return f"{name} := {text};", _assigned(name, value)
            case "bool":
                name = self._random.choice(OUTPUTS)
                text, value = self._condition(2)
                return f"{name} := {text};", _assigned(name, value)
            case "count":
                return "m := (m + 1) MOD 4;", _assigned("m", lambda v: (v["m"] + 1) % 4)
            case "call":
                text, value = self._number(1)
                return f"r(x := {text});", lambda v: _call(v, value)
        text, value = self._condition(2)
        yes, do = self.statements(self._random.randint(1, 2), depth + 1)
        no, otherwise = self.statements(1, depth + 1)
        whole = f"IF {text} THEN\n{yes}\nELSE\n{no}\nEND_IF;"
        return whole, lambda v: do(v) if value(v) else otherwise(v)

    def _number(self, depth: int) -> tuple[str, Meaning]:
        if depth == 0 or self._random.random() < 0.3:
            name = self._random.choice((*"aabbxy", "INT_TO_REAL(m)", *NUMBERS[:2]))
            if name in NUMBERS:
                return name, lambda v: float(name)
            return name, (lambda v: v["m"]) if "m" in name else (lambda v: v[name])
        (left, first), (right, second) = self._number(depth - 1), self._number(depth - 1)
        match self._random.choice(("+", "-", "*", "ABS", "SEL")):
            case "+":
                return f"({left} + {right})", lambda v: first(v) + second(v)
            case "-":
                return f"({left} - {right})", lambda v: first(v) - second(v)
            case "*":
                return f"({left} * {right})", lambda v: first(v) * second(v)
            case "ABS":
                return f"ABS({left})", lambda v: abs(first(v))
        text, choose = self._condition(0)
        return f"SEL({text}, {left}, {right})", lambda v: second(v) if choose(v) else first(v)

    def _condition(self, depth: int) -> tuple[str, Meaning]:
        if depth == 0:
            name = self._random.choice(("u", *OUTPUTS, "r.up"))
            return name, lambda v: v[name]
        kind = self._random.choice(("compare", "compare", "compare", "call", "and", "or", "not"))
        if kind in ("compare", "call"):
            return self._compared(kind == "call")
        left, first = self._condition(depth - 1)
        if kind == "not":
            return f"NOT ({left})", lambda v: not first(v)
        right, second = self._condition(depth - 1)
        if kind == "and":
            return f"({left} AND {right})", lambda v: bool(first(v)) & bool(second(v))
        return f"({left} OR {right})", lambda v: bool(first(v)) | bool(second(v))

    def _compared(self, call: bool) -> tuple[str, Meaning]:
        (left, first), (right, second) = self._number(1), self._number(1)
        if not any(sign.islower() for sign in left + right):  # constants on both sides
            left, first = "a", lambda v: v["a"]
        if call:
            return f"Over(x := {left}, limit := {right})", lambda v: first(v) > second(v)
        sign = self._random.choice([*SIGNS])
        return f"{left} {sign} {right}", lambda v: SIGNS[sign](first(v), second(v))


def _all(acts: Sequence[Act], values: Values) -> None:
    for act in acts:
        act(values)


def _assigned(name: str, value: Meaning) -> Act:
    def act(values: Values) -> None:
        values[name] = value(values)

    return act


def _call(values: Values, value: Meaning) -> None:
    given = value(values)
    values["r.up"], values["r.last"] = given > values["r.last"], given
