"""The syntax tree of names and expressions."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypeAlias

from twohand.program import Operator
from twohand.program.types import Type, Value
from twohand.text.source_text import Span


@dataclass(frozen=True, eq=False)
class Identifier:
    """``mark`` is the # or the quote before it in a text that marks names, else empty."""

    text: str
    span: Span = field(repr=False)
    mark: str = field(default="", repr=False)

    @property
    def key(self) -> str:
        """The spelling under which names are compared: letter case does not matter."""
        return self.text.upper()


@dataclass(frozen=True, eq=False)
class Literal:
    """``type`` is None for a number without type (``5``, ``16#FF``), which takes its type from
    where it is. TRUE and FALSE have type BOOL; durations are whole nanoseconds."""

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
class Unconnected:
    """``name :=`` or ``name =>`` (output) without anything behind it."""

    name: Identifier
    output: bool
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Call:
    """A call in an expression (a function), or the one of a ``CallStatement``."""

    name: Name
    arguments: tuple[Argument, ...]
    span: Span = field(repr=False)
    unconnected: tuple[Unconnected, ...] = ()


@dataclass(frozen=True, eq=False)
class PathCall:
    """``timers[i](IN := x)``: a call of an instance with an index in its name."""

    path: AccessPath
    arguments: tuple[Argument, ...]
    span: Span = field(repr=False)
    unconnected: tuple[Unconnected, ...] = ()


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
