"""The syntax tree of structured text, before names and types are resolved.

Every node carries the span of its whole text. Parentheses leave no node. Names keep the user's
spelling; compare them with ``Identifier.key``. Nodes compare by identity.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from typing import TypeAlias

from checker.source.program import Operator
from checker.source.text import SourceText, Span
from checker.source.types import Type, Value


@dataclass(frozen=True, eq=False)
class Identifier:
    text: str
    span: Span = field(repr=False)

    @property
    def key(self) -> str:
        """The spelling under which names are compared: letter case does not matter."""
        return self.text.upper()


# --- expressions ------------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class Literal:
    """``type`` is None for a number without type (``5``, ``16#FF``), which takes its type from
    where it stands. TRUE and FALSE have type BOOL; durations are whole nanoseconds."""

    value: Value
    type: Type | None
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Name:
    """A variable, constant, enumeration value or instance: ``a``, ``a.b``, ``Mode.Run``."""

    parts: tuple[Identifier, ...]
    span: Span = field(repr=False)

    @property
    def text(self) -> str:
        return ".".join(part.text for part in self.parts)


@dataclass(frozen=True, eq=False)
class EnumerationValue:
    """``Mode#Run``."""

    type_name: Identifier
    value: Identifier
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Unary:
    """NOT or unary minus."""

    operator: Operator
    operand: Expression
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Binary:
    """``short_circuit``: written AND_THEN or OR_ELSE."""

    operator: Operator
    left: Expression
    right: Expression
    span: Span = field(repr=False)
    operator_span: Span = field(repr=False)
    short_circuit: bool = False


@dataclass(frozen=True, eq=False)
class Argument:
    """``value`` (positional), ``name := value``, ``name => value`` (output) or
    ``NOT name => value`` (negated output); an output's value is a Name."""

    name: Identifier | None
    value: Expression
    span: Span = field(repr=False)
    output: bool = False
    negated: bool = False


@dataclass(frozen=True, eq=False)
class Call:
    """A call in an expression (a function), or the one of a ``CallStatement``."""

    name: Name
    arguments: tuple[Argument, ...]
    span: Span = field(repr=False)


Expression: TypeAlias = Literal | Name | EnumerationValue | Unary | Binary | Call


# --- statements -------------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class Assign:
    target: Name
    value: Expression
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class CallStatement:
    """A block instance or a function called as a statement."""

    call: Call
    span: Span = field(repr=False)


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
    variable: Name
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
    Assign | CallStatement | If | Case | For | While | Repeat | Exit | Continue | Return | Empty
)


# --- declarations -----------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class NamedType:
    """An elementary type, a user's type, or a block (then the declaration is an instance)."""

    name: Identifier
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class EnumerationItem:
    name: Identifier
    value: Expression | None
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class EnumerationType:
    """``(Idle, Run := 3)``."""

    items: tuple[EnumerationItem, ...]
    span: Span = field(repr=False)


TypeNode: TypeAlias = NamedType | EnumerationType


@dataclass(frozen=True, eq=False)
class PinValue:
    """``PT := T#500ms`` among an instance's initial values."""

    name: Identifier
    value: Expression
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Declaration:
    """``a, b : TYPE := initial;``; ``pins`` are the initial pin values of an instance."""

    names: tuple[Identifier, ...]
    type: TypeNode
    initial: Expression | None
    pins: tuple[PinValue, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Section:
    """VAR_INPUT ... END_VAR; ``keyword`` and ``qualifiers`` in upper case (CONSTANT, RETAIN,
    NON_RETAIN, PERSISTENT)."""

    keyword: str
    qualifiers: tuple[Identifier, ...]
    declarations: tuple[Declaration, ...]
    span: Span = field(repr=False)


class UnitKind(Enum):
    FUNCTION_BLOCK = "FUNCTION_BLOCK"
    FUNCTION = "FUNCTION"
    PROGRAM = "PROGRAM"


@dataclass(frozen=True, eq=False)
class Unit:
    """A block, function or program; ``result`` is a function's type."""

    kind: UnitKind
    name: Identifier
    result: NamedType | None
    sections: tuple[Section, ...]
    body: tuple[Statement, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class TypeDeclaration:
    """``Mode : (Idle, Run) := Idle;`` within TYPE ... END_TYPE."""

    name: Identifier
    type: TypeNode
    initial: Expression | None
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class SourceFile:
    source: SourceText
    units: tuple[Unit, ...]
    types: tuple[TypeDeclaration, ...]
