"""The syntax tree of units, of what is in and around them, and of a file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import Enum

from twohand.syntax.tree.declarations import NamedType, Section, TypeDeclaration
from twohand.syntax.tree.expressions import Expression, Identifier
from twohand.syntax.tree.statements import Statement
from twohand.text.source_text import SourceText, Span


@dataclass(frozen=True, eq=False)
class Method:
    """``result`` is None for a method without value; ``modifiers``: PUBLIC, ABSTRACT ..."""

    name: Identifier
    modifiers: tuple[Identifier, ...]
    result: NamedType | None
    sections: tuple[Section, ...]
    body: tuple[Statement, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Action:
    """Statements of a block under a name, without variables of their own."""

    name: Identifier
    body: tuple[Statement, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Property:
    """``get`` and ``set`` as methods of the property's name: without inputs and with one, which
    has the name of the property too; either may be None."""

    name: Identifier
    modifiers: tuple[Identifier, ...]
    type: NamedType
    get: Method | None
    set: Method | None
    span: Span = field(repr=False)


Member = Method | Action | Property


@dataclass(frozen=True, eq=False)
class UnreadMember:
    """A member whose text cannot be read; ``names``, in upper case, are those that
    occur in it, and addresses."""

    name: Identifier
    names: frozenset[str] = field(repr=False)


class UnitKind(Enum):
    FUNCTION_BLOCK = "FUNCTION_BLOCK"
    FUNCTION = "FUNCTION"
    PROGRAM = "PROGRAM"


@dataclass(frozen=True, eq=False)
class Unit:
    """A block, function or program; ``result`` is a function's type. One that is not ``ended``
    goes to the end of its file.

    ``members`` are methods, properties and actions, ``unread`` those of them of which only the
    names are known; ``base`` and ``interfaces`` come after
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
    ended: bool = True
    unread: tuple[UnreadMember, ...] = ()

    def declared(self, *keywords: str) -> Iterator[Identifier]:
        """The names that its sections declare; with ``keywords`` only those of such sections."""
        for section in self.sections:
            if not keywords or section.keyword in keywords:
                for declaration in section.declarations:
                    yield from declaration.names


@dataclass(frozen=True, eq=False)
class Interface:
    """Read for its name only: a variable of it would be a reference."""

    name: Identifier
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Task:
    """``TASK Fast(INTERVAL := T#10ms, PRIORITY := 1);``; ``values`` by word in upper case."""

    name: Identifier
    values: tuple[tuple[Identifier, Expression], ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class ProgramUse:
    """``PROGRAM press WITH Fast : Main(guard := closed);``; the connections are not kept."""

    name: Identifier
    task: Identifier | None
    type: Identifier
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Configuration:
    """The tasks and programs of a configuration and all of its resources."""

    name: Identifier
    tasks: tuple[Task, ...]
    programs: tuple[ProgramUse, ...]
    sections: tuple[Section, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class SourceFile:
    source: SourceText
    units: tuple[Unit, ...]
    types: tuple[TypeDeclaration, ...]
    interfaces: tuple[Interface, ...] = ()
    configurations: tuple[Configuration, ...] = ()
    globals: tuple[Section, ...] = ()
