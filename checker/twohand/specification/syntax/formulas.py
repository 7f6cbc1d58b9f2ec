"""Formulas of the spec language as they are written, before their names are resolved.

Expressions are those of structured text (``twohand.syntax.tree``); what has no temporal word in it
stays one whole expression (``Plain``). ``prev`` of such an expression is a call within it.
Every node carries the span of its whole text; nodes compare by identity.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from typing import TypeAlias

from twohand.program import Operator
from twohand.program.durations import Nanoseconds
from twohand.syntax.tree import Expression
from twohand.text.source_text import Span

PREV = "PREV"
"""The word of ``prev(e)`` and ``prev(e, n)``, which may occur within an expression."""
AT_SCAN_START = "AT_SCAN_START"
"""The word of ``at_scan_start(e)``: what ``e`` is with the values with which a scan begins."""


def start_name(name: str) -> str:
    """The name of what has the value of a variable of this name at the beginning of a scan."""
    return f"{AT_SCAN_START.lower()}({name})"


@dataclass(frozen=True, eq=False)
class Whole:
    """A whole number written out (of scans, of a ``prev``)."""

    value: int
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Time:
    """A duration literal."""

    nanoseconds: Nanoseconds
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class BoundNode:
    """``low`` to ``high``, both inclusive, of the same kind; ``low`` None: 0; ``high`` None: no
    limit."""

    low: Whole | Time | None
    high: Whole | Time | None
    span: Span = field(repr=False)


# --- formulas ---------------------------------------------------------------------------------


class TemporalWord(Enum):
    """The temporal words that look like functions (``SINCE`` is infix as well)."""

    PREV = PREV
    ROSE = "ROSE"
    FELL = "FELL"
    STABLE = "STABLE"
    ONCE = "ONCE"
    HELD = "HELD"
    SINCE = "SINCE"


@dataclass(frozen=True, eq=False)
class Plain:
    """An expression without temporal words other than ``prev``."""

    expression: Expression

    @property
    def span(self) -> Span:
        return self.expression.span


@dataclass(frozen=True, eq=False)
class FirstScanNode:
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class AnyScanNode:
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Temporal:
    """``word(operands)``; ``count`` for ``prev``, ``bound`` for once, held and since."""

    word: TemporalWord
    operands: tuple[FormulaNode, ...]
    span: Span = field(repr=False)
    bound: BoundNode | None = None
    count: Whole | None = None


@dataclass(frozen=True, eq=False)
class Connected:
    """NOT (one operand), AND, OR, XOR, = or <> with a temporal word below."""

    operator: Operator
    operands: tuple[FormulaNode, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Implication:
    left: FormulaNode
    right: FormulaNode
    span: Span = field(repr=False)


FormulaNode: TypeAlias = Plain | FirstScanNode | AnyScanNode | Temporal | Connected | Implication


class PropertyForm(Enum):
    ALWAYS = "ALWAYS"
    NEVER = "NEVER"
    WITHIN = "WITHIN"
    FOR = "FOR"
    UNTIL = "UNTIL"
    BEFORE = "BEFORE"


@dataclass(frozen=True, eq=False)
class PropertyNode:
    """``trigger`` is the left side of the topmost ``->``, None where there is none.

    ALWAYS, NEVER: ``first``. WITHIN: ``first`` within ``bound``. FOR: ``first`` all through
    ``bound``. UNTIL: ``first`` until ``second``. BEFORE: ``first`` before ``second``.
    """

    form: PropertyForm
    trigger: FormulaNode | None
    first: FormulaNode
    span: Span = field(repr=False)
    second: FormulaNode | None = None
    bound: BoundNode | None = None
