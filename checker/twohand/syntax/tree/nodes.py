"""The syntax tree of structured text, before names and types are resolved.

Every node carries the span of its whole text. Parentheses leave no node. Names keep the user's
spelling; compare them with ``Identifier.key``. Nodes compare by identity.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING, TypeAlias

from twohand.program.program import Operator
from twohand.program.types import Type, Value
from twohand.syntax.tree.types import *  # noqa: F403 - one name for all nodes: tree.X
from twohand.syntax.tree.types import ArrayValues, InitialNode, NamedType, PinValue, TypeNode
from twohand.text.source_text import SourceText, Span

if TYPE_CHECKING:
    from twohand.syntax.tree.units import Configuration, Interface, Member


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
    """A variable, constant, enumeration value or instance: ``a``, ``a.b``, ``Mode.Run``.

    ``owner`` is the THIS or SUPER of ``THIS^.a``; it is none of the ``parts``. ``SUPER^()``
    calls a name without parts."""

    parts: tuple[Identifier, ...]
    span: Span = field(repr=False)
    owner: Identifier | None = None

    @property
    def text(self) -> str:
        return ".".join(part.text for part in self.parts)


@dataclass(frozen=True, eq=False)
class Index:
    """``[i]`` or ``[i, j]``."""

    expressions: tuple[Expression, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Bit:
    """``.3`` or ``.%X3``; ``size`` is X for a bit, else B, W or D."""

    number: int
    size: str
    span: Span = field(repr=False)


Selector: TypeAlias = Identifier | Index | Bit


@dataclass(frozen=True, eq=False)
class AccessPath:
    """A name with an index or a bit in it: ``a[1]``, ``s.list[i].on``, ``word.3``."""

    name: Name
    selectors: tuple[Selector, ...]
    span: Span = field(repr=False)

    @property
    def text(self) -> str:
        """As it is written, without spaces."""
        return "".join(self.span.text.split())


@dataclass(frozen=True, eq=False)
class UnmodelledLiteral:
    """A literal of a type whose values are not modelled: ``1.5``, ``'text'``, ``D#2024-01-31``;
    ``type_name`` is that type."""

    type_name: str
    span: Span = field(repr=False)


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


@dataclass(frozen=True, eq=False)
class PathCall:
    """``timers[i](IN := x)``: a call of an instance with an index in its name."""

    path: AccessPath
    arguments: tuple[Argument, ...]
    span: Span = field(repr=False)


Expression: TypeAlias = (
    Literal
    | UnmodelledLiteral
    | Name
    | AccessPath
    | EnumerationValue
    | Unary
    | Binary
    | Call
    | PathCall
)


# --- statements -------------------------------------------------------------------------------


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
    """A block instance or a function called as a statement."""

    call: Call | PathCall
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


# --- declarations -----------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class Address:
    """``AT %IX0.0``; ``text`` is the address as it is written."""

    text: str
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Declaration:
    """``a, b : TYPE := initial;``; ``pins`` are the initial pin values of an instance; ``edge``
    is the R_EDGE or F_EDGE of an input."""

    names: tuple[Identifier, ...]
    type: TypeNode
    initial: Expression | ArrayValues | None
    pins: tuple[PinValue, ...]
    span: Span = field(repr=False)
    edge: Identifier | None = None
    address: Address | None = None


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
    """A block, function or program; ``result`` is a function's type.

    ``members`` are methods, properties and actions; ``base`` and ``interfaces`` stand after
    EXTENDS and IMPLEMENTS."""

    kind: UnitKind
    name: Identifier
    result: NamedType | None
    sections: tuple[Section, ...]
    body: tuple[Statement, ...]
    span: Span = field(repr=False)
    modifiers: tuple[Identifier, ...] = ()
    base: Identifier | None = None
    interfaces: tuple[Identifier, ...] = ()
    members: tuple[Member, ...] = ()


@dataclass(frozen=True, eq=False)
class TypeDeclaration:
    """``Mode : (Idle, Run) := Idle;`` within TYPE ... END_TYPE."""

    name: Identifier
    type: TypeNode
    initial: InitialNode | None
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class SourceFile:
    source: SourceText
    units: tuple[Unit, ...]
    types: tuple[TypeDeclaration, ...]
    interfaces: tuple[Interface, ...] = ()
    configurations: tuple[Configuration, ...] = ()
    globals: tuple[Section, ...] = ()
