"""The syntax tree of what stands in and around a unit besides variables and statements: methods,
properties, actions, interfaces, configurations."""

from __future__ import annotations

from dataclasses import dataclass, field

from twohand.syntax.tree.nodes import Expression, Identifier, NamedType, Section, Statement
from twohand.text.source_text import Span


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
