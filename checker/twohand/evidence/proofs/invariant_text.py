"""The clauses of an invariant in words: the program's names, durations in milliseconds."""

from __future__ import annotations

from collections.abc import Callable

import z3

from twohand.program import Program
from twohand.program.durations import Units
from twohand.program.types import Duration
from twohand.scan.clocking import PARAMETER_PREFIX, Clocking
from twohand.scan.transition_system import StateKind, TransitionSystem
from twohand.specification.phrases import duration

_RELATIONS = {
    z3.Z3_OP_LE: ("<=", ">"),
    z3.Z3_OP_LT: ("<", ">="),
    z3.Z3_OP_GE: (">=", "<"),
    z3.Z3_OP_GT: (">", "<="),
    z3.Z3_OP_EQ: ("=", "<>"),
    z3.Z3_OP_IFF: ("=", "<>"),
    z3.Z3_OP_DISTINCT: ("<>", "="),
    z3.Z3_OP_XOR: ("<>", "="),
    z3.Z3_OP_ULEQ: ("<=", ">"),
    z3.Z3_OP_ULT: ("<", ">="),
    z3.Z3_OP_UGEQ: (">=", "<"),
    z3.Z3_OP_UGT: (">", "<="),
}
_MEMORIES = {
    "age": "time since {name} started",
    "last": "last {name} input",
    "preset": "PT of {name} at its start",
    "running": "{name} running",
    "pulsing": "{name} pulsing",
    "since": "TIME() - {name}",
}
_LOOSEST, _OR, _AND, _TIGHTEST = range(4)


class ClauseWords:
    """Words for terms over one system's state."""

    def __init__(self, system: TransitionSystem, program: Program, clocking: Clocking) -> None:
        self._clocking = clocking
        self._tick = system.tick
        ticks = {s.name for s in system.states if s.kind is not StateKind.DISCRETE}
        self._ticks = {name for name in ticks if not name.startswith("scans ")}
        self._durations = {v.name for v in program.variables if isinstance(v.type, Duration)}
        self._durations |= {s.name for s in system.states if s.name.endswith("#preset")}

    def of(self, clause: z3.BoolRef) -> str:
        return self._boolean(clause, False, _LOOSEST)

    # --- Booleans -----------------------------------------------------------------------------

    def _boolean(self, term: z3.ExprRef, negated: bool, around: int) -> str:
        kind = term.decl().kind()
        if kind == z3.Z3_OP_NOT:
            return self._boolean(term.arg(0), not negated, around)
        if kind == z3.Z3_OP_IMPLIES:
            first = self._boolean(term.arg(0), not negated, self._level(not negated))
            second = self._boolean(term.arg(1), negated, self._level(not negated))
            return _joined([first, second], not negated, around)
        if kind in (z3.Z3_OP_AND, z3.Z3_OP_OR):
            either = (kind == z3.Z3_OP_OR) != negated
            level = self._level(either)
            parts = [self._boolean(part, negated, level) for part in term.children()]
            return _joined(parts, either, around)
        if kind in (z3.Z3_OP_TRUE, z3.Z3_OP_FALSE):
            return "TRUE" if (kind == z3.Z3_OP_TRUE) != negated else "FALSE"
        if kind in _RELATIONS and term.num_args() == 2:
            return self._relation(term, negated)
        words = self._value(term, self._plain)
        return f"not {words}" if negated else words

    @staticmethod
    def _level(either: bool) -> int:
        return _OR if either else _AND

    def _relation(self, term: z3.ExprRef, negated: bool) -> str:
        sign = _RELATIONS[term.decl().kind()][negated]
        left, right = term.children()
        number = self._number(term)
        if z3.is_int_value(left) and not z3.is_int_value(right):
            mirrored = {"<=": ">=", ">=": "<=", "<": ">", ">": "<"}
            left, right, sign = right, left, mirrored.get(sign, sign)
        return f"{self._value(left, number)} {sign} {self._value(right, number)}"

    # --- values -------------------------------------------------------------------------------

    def _number(self, relation: z3.ExprRef) -> Callable[[int], str]:
        """How constants of a comparison are shown: as numbers, or as times where it has any."""
        names = _names(relation)
        if names & self._durations:
            unit = Units(1)
        elif names & self._ticks:
            unit = self._tick
        else:
            return self._plain
        return lambda value: duration(Units(value * unit), self._clocking)

    @staticmethod
    def _plain(value: int) -> str:
        return str(value)

    def _value(self, term: z3.ExprRef, number: Callable[[int], str]) -> str:
        if z3.is_int_value(term):
            return number(term.as_long())
        if z3.is_bv_value(term):
            return str(term.as_long())
        kind = term.decl().kind()
        if kind == z3.Z3_OP_UNINTERPRETED:
            return self._name(term.decl().name())
        if z3.is_bool(term):
            return f"({self._boolean(term, False, _LOOSEST)})"
        parts = list(term.children())
        if kind == z3.Z3_OP_MUL and len(parts) == 2 and z3.is_int_value(parts[0]):
            return self._multiple(parts[0].as_long(), parts[1], number)
        if kind == z3.Z3_OP_ADD:
            return _sum([self._value(part, number) for part in parts])
        if kind == z3.Z3_OP_SUB:
            return " - ".join(self._value(part, number) for part in parts)
        if kind == z3.Z3_OP_ITE:
            chosen, otherwise = self._value(parts[1], number), self._value(parts[2], number)
            return f"({chosen} if {self._boolean(parts[0], False, _LOOSEST)} else {otherwise})"
        inside = ", ".join(self._value(part, self._plain) for part in parts)
        return f"{term.decl().name()}({inside})"

    def _multiple(self, factor: int, term: z3.ExprRef, number: Callable[[int], str]) -> str:
        words = self._value(term, number)
        if factor == -1:
            return f"-{words}"
        if factor == self._tick and _names(term) <= self._ticks:
            return words  # its duration: a tick is so many units
        return f"{factor} * {words}"

    def _name(self, name: str) -> str:
        owner, mark, memory = name.rpartition("#")
        if mark and owner and memory in _MEMORIES:
            return _MEMORIES[memory].format(name=owner)
        return name.removeprefix(PARAMETER_PREFIX).removeprefix("#")


def _joined(parts: list[str], either: bool, around: int) -> str:
    text = (" or " if either else " and ").join(dict.fromkeys(parts))
    level = _OR if either else _AND
    return text if around in (_LOOSEST, level) or len(parts) == 1 else f"({text})"


def _sum(parts: list[str]) -> str:
    text = parts[0]
    for part in parts[1:]:
        text += f" - {part[1:]}" if part.startswith("-") else f" + {part}"
    return text


def _names(term: z3.ExprRef) -> set[str]:
    found: set[str] = set()
    waiting = [term]
    while waiting:
        current = waiting.pop()
        if z3.is_const(current) and current.decl().kind() == z3.Z3_OP_UNINTERPRETED:
            found.add(current.decl().name())
        waiting.extend(current.children())
    return found
