"""The syntax tree of declarations: types, initial values, variables."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypeAlias

from twohand.syntax.tree.expressions import Expression, Identifier
from twohand.text.source_text import Span


@dataclass(frozen=True, eq=False)
class NamedType:
    """An elementary type, a user's type, or a block (then the declaration is an instance);
    ``library`` is what comes before it with a point."""

    name: Identifier
    span: Span = field(repr=False)
    library: tuple[Identifier, ...] = ()


@dataclass(frozen=True, eq=False)
class EnumerationItem:
    name: Identifier
    value: Expression | None
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class EnumerationType:
    """``(Idle, Run := 3)``, ``INT (Idle, Run)`` or ``(Idle, Run) INT``."""

    items: tuple[EnumerationItem, ...]
    span: Span = field(repr=False)
    base: NamedType | None = None


@dataclass(frozen=True, eq=False)
class SubrangeType:
    """``INT (0..10)``."""

    base: NamedType
    low: Expression
    high: Expression
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Bounds:
    """``1..8`` of an array."""

    low: Expression
    high: Expression
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class ArrayType:
    """``ARRAY [1..8, 0..1] OF BOOL``."""

    bounds: tuple[Bounds, ...]
    element: TypeNode
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class StructureType:
    """``STRUCT ... END_STRUCT``; ``base`` comes after EXTENDS."""

    members: tuple[Declaration, ...]
    span: Span = field(repr=False)
    base: Identifier | None = None


@dataclass(frozen=True, eq=False)
class StringType:
    """``STRING``, ``STRING(80)``, ``WSTRING[20]``; the length says nothing to the checker."""

    name: Identifier
    span: Span = field(repr=False)


TypeNode: TypeAlias = (
    NamedType | EnumerationType | SubrangeType | ArrayType | StructureType | StringType
)


@dataclass(frozen=True, eq=False)
class PinValue:
    """``PT := T#500ms`` among the initial values of an instance or a structure."""

    name: Identifier
    value: InitialNode
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class PinValues:
    """``(PT := T#500ms)`` within an array's or a structure's initial values."""

    values: tuple[PinValue, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Repeated:
    """``3(0)``, ``2(1, 2)`` or ``4()`` (the type's own value) in an array's initial values."""

    count: Expression
    values: tuple[ArrayValue, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class ArrayValues:
    """``[1, 2, 3(0)]``."""

    values: tuple[ArrayValue, ...]
    span: Span = field(repr=False)


InitialNode: TypeAlias = "Expression | PinValues | ArrayValues"

ArrayValue: TypeAlias = "InitialNode | Repeated"


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

    @property
    def constant(self) -> bool:
        """Of inputs it says only that the block does not assign them."""
        return self.keyword != "VAR_INPUT" and any(q.key == "CONSTANT" for q in self.qualifiers)


@dataclass(frozen=True, eq=False)
class TypeDeclaration:
    """``Mode : (Idle, Run) := Idle;`` within TYPE ... END_TYPE."""

    name: Identifier
    type: TypeNode
    initial: InitialNode | None
    span: Span = field(repr=False)
