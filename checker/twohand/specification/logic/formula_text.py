"""Formulas in the words of the spec language; monitors are named with them."""

from __future__ import annotations

import re
from collections.abc import Callable

from twohand.program import Expression, Read
from twohand.program.durations import Scans, Units
from twohand.scan.clocking import Clocking
from twohand.specification.logic.formula import (
    And,
    AnyScan,
    Atom,
    Bound,
    Fell,
    FirstScan,
    Formula,
    Historically,
    Iff,
    Implies,
    Not,
    Once,
    Or,
    Previous,
    Rose,
    Since,
)
from twohand.specification.phrases import duration, written

LONGEST = 60
"""Characters after which a wording is cut short."""

_NAME = re.compile(r"[\w.#]+")


def children(formula: Formula) -> tuple[Formula, ...]:
    """The direct subformulas, from left to right."""
    if isinstance(formula, Atom | FirstScan | AnyScan):
        return ()
    if isinstance(formula, And | Or):
        return formula.operands
    if isinstance(formula, Implies | Iff):
        return (formula.left, formula.right)
    if isinstance(formula, Since):
        return (formula.hold, formula.release)
    return (formula.operand,)


def bottom_up(formula: Formula, done: Callable[[Formula], bool]) -> list[Formula]:
    """Every subformula that is not ``done``, each after its own subformulas and once.

    No recursion: a chain of a thousand operators is a formula like any other.
    """
    order: list[Formula] = []
    visited: set[int] = set()
    stack: list[tuple[Formula, bool]] = [(formula, False)]
    while stack:
        current, expanded = stack.pop()
        if expanded:
            order.append(current)
        elif id(current) not in visited and not done(current):
            visited.add(id(current))
            stack.append((current, True))
            stack.extend((child, False) for child in reversed(children(current)))
    return order


def expression_words(expression: Expression) -> str:
    """A variable's name, else the user's text; ``|`` and ``\\`` have no place in a name.

    Requirements of the catalogue read variables where the user wrote something else.
    """
    if isinstance(expression, Read):
        text = expression.variable.name.partition("~")[0]
    else:
        text = written(expression.span)
    return text.replace("|", "!").replace("\\", "/") or "condition"


def shortened(text: str) -> str:
    return text if len(text) <= LONGEST else text[: LONGEST - 2].rstrip() + ".."


def single(text: str) -> str:
    """``text`` so that it is one operand: names, calls and their negations do."""
    core = text.removeprefix("NOT ")
    name, parenthesis, rest = core.partition("(")
    if parenthesis:
        whole = _closes_at_end(rest) and (not name or _NAME.fullmatch(name))
    else:
        whole = _NAME.fullmatch(name)
    return text if whole else f"({text})"


def _closes_at_end(rest: str) -> bool:
    """Whether the parenthesis opened before ``rest`` closes with its last character."""
    depth = 1
    for position, character in enumerate(rest):
        depth += (character == "(") - (character == ")")
        if depth == 0:
            return position == len(rest) - 1
    return False


class Wording:
    """The words for formulas, cut short; remembers them by formula object."""

    def __init__(self) -> None:
        self._words: dict[int, tuple[Formula, str]] = {}

    def of(self, formula: Formula) -> str:
        for part in bottom_up(formula, lambda f: id(f) in self._words):
            self._words[id(part)] = (part, self.kept(self._compose(part)))
        return self._words[id(formula)][1]

    def kept(self, text: str) -> str:
        """What is kept of a text."""
        return shortened(text)

    def limits(self, bound: Bound | None) -> str:
        """The bound as a further argument."""
        return _limits(bound)

    def negated(self, formula: Formula) -> str:
        if isinstance(formula, Not):
            return self.of(formula.operand)
        return f"NOT {single(self.of(formula))}"

    def _compose(self, formula: Formula) -> str:
        parts = [self._words[id(child)][1] for child in children(formula)]
        match formula:
            case Atom():
                return expression_words(formula.expression)
            case FirstScan():
                return "FIRST_SCAN"
            case AnyScan():
                return "ANY_SCAN"
            case Not():
                return f"NOT {single(parts[0])}"
            case And():
                return " AND ".join(map(single, parts)) or "TRUE"
            case Or():
                return " OR ".join(map(single, parts)) or "FALSE"
            case Implies():
                return f"{single(parts[0])} -> {single(parts[1])}"
            case Iff():
                return f"{single(parts[0])} = {single(parts[1])}"
            case Previous():
                count = f", {formula.count}" if formula.count != 1 else ""
                return f"prev({parts[0]}{count})"
            case Rose():
                return f"rose({parts[0]})"
            case Fell():
                return f"fell({parts[0]})"
            case Once():
                return f"once({parts[0]}{self.limits(formula.bound)})"
            case Historically():
                return f"held({parts[0]}{self.limits(formula.bound)})"
            case Since():
                return f"since({parts[0]}, {parts[1]}{self.limits(formula.bound)})"


class WholeWording(Wording):
    """The same for people: nothing is cut short, and times are written as in a spec."""

    def __init__(self, clocking: Clocking) -> None:
        super().__init__()
        self._clocking = clocking

    def kept(self, text: str) -> str:
        return text

    def operand(self, formula: Formula) -> str:
        return single(self.of(formula))

    def limits(self, bound: Bound | None) -> str:
        return "" if bound is None else f", {self.bound(bound)}"

    def bound(self, bound: Bound) -> str:
        """``T#500ms``, ``T#500ms..``, ``3 SCANS``, ``3.. SCANS``."""
        low, high = (self._amount(each, bound.in_scans) for each in (bound.low, bound.high))
        text = f"{low}.." if bound.high is None else high
        return f"{text} SCANS" if bound.in_scans else text

    def _amount(self, amount: Units | Scans | None, in_scans: bool) -> str:
        if amount is None or in_scans:
            return str(amount)
        return f"T#{duration(Units(amount), self._clocking).replace(' ', '')}"


def _limits(bound: Bound | None) -> str:
    """``, 0..5 SCANS`` or, in units of time, ``, 0..5``."""
    if bound is None:
        return ""
    high = "" if bound.high is None else bound.high
    return f", {bound.low}..{high}{' SCANS' if bound.in_scans else ''}"
