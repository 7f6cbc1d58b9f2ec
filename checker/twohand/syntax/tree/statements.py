"""The syntax tree of statements."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypeAlias

from twohand.syntax.tree.expressions import AccessPath, Call, Expression, Name, PathCall
from twohand.text.source_text import Span


@dataclass(frozen=True, eq=False)
class Assign:
    target: Name | AccessPath
    value: Expression
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class SetAssign:
    """``target S= value;`` or ``target R= value;``."""

    target: Name | AccessPath
    value: Expression
    reset: bool
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class CallStatement:
    """A block instance or a function called as a statement; ``bare`` without parentheses."""

    call: Call | PathCall
    span: Span = field(repr=False)
    bare: bool = False


@dataclass(frozen=True, eq=False)
class Branch:
    """``IF condition THEN body`` or an ELSIF."""

    condition: Expression
    body: tuple[Statement, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class If:
    branches: tuple[Branch, ...]
    otherwise: tuple[Statement, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Label:
    """``low`` or ``low..high`` in a CASE."""

    low: Expression
    high: Expression | None
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Arm:
    labels: tuple[Label, ...]
    body: tuple[Statement, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Case:
    selector: Expression
    arms: tuple[Arm, ...]
    otherwise: tuple[Statement, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class For:
    variable: Name | AccessPath
    first: Expression
    last: Expression
    step: Expression | None
    body: tuple[Statement, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class While:
    condition: Expression
    body: tuple[Statement, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Repeat:
    body: tuple[Statement, ...]
    until: Expression
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Exit:
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Continue:
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Return:
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Empty:
    """A lone semicolon."""

    span: Span = field(repr=False)


Statement: TypeAlias = (
    Assign
    | SetAssign
    | CallStatement
    | If
    | Case
    | For
    | While
    | Repeat
    | Exit
    | Continue
    | Return
    | Empty
)
