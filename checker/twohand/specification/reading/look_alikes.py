"""The names that a spec gives and uses, for those of which one looks like another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import fields, is_dataclass

from twohand.program import Variable
from twohand.specification.model.specification import Requirement
from twohand.specification.syntax import nodes as spec
from twohand.specification.syntax.nodes import SpecificationTree
from twohand.syntax import tree
from twohand.text.deceptive import look_alike_files, look_alikes
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_text import Span

_WORDS: dict[type, tuple[str, ...]] = {
    spec.BlockStatement: ("name",),
    spec.PlantStatement: ("block",),
    spec.ReadingStatement: ("name",),
    spec.RequireStatement: ("type",),
    spec.RequireWordStatement: ("word",),
    spec.ArrangementStatement: ("letter",),
    spec.ExpectStatement: ("verdict",),
    spec.Binding: ("input",),
    tree.Call: ("name",),
    tree.Argument: ("name",),
    tree.EnumerationValue: ("type_name",),
}
"""The fields that are words of the language, and names of other scopes."""


def names_alike(
    written: SpecificationTree, variables: Sequence[Variable], asked: Sequence[Requirement]
) -> list[Diagnostic]:
    """Warnings of names of a spec that look like another one of it, like one of the block's
    ``variables``, or like a requirement of the catalogue that it asks; and of files that it names.
    """
    names = [*_names(written.statements), *((each.identifier, each.span) for each in asked)]
    known = [(variable.name, variable.span) for variable in variables]
    return look_alikes(names, known) + look_alike_files(_files(written))


def between_specs(trees: Sequence[SpecificationTree]) -> list[list[Diagnostic]]:
    """For each spec of a file the warnings of its name, and of files that it names, that look like
    those of one before it."""
    found: list[list[Diagnostic]] = []
    for number, written in enumerate(trees):
        before = trees[:number]
        names = [(each.name.text, each.name.span) for each in before]
        files = [name for each in before for name in _files(each)]
        told = look_alikes([(written.name.text, written.name.span)], names)
        own = look_alike_files(_files(written))
        told += [each for each in look_alike_files(_files(written), files) if each not in own]
        found.append(told)
    return found


def _files(written: SpecificationTree) -> list[tuple[str, Span]]:
    nodes = _nodes(written.statements)
    return [(each.text, each.span) for each in nodes if isinstance(each, spec.FileName)]


def _names(statements: object) -> Iterator[tuple[str, Span]]:
    """Of a path its first name: what follows is of a block or a plant, which was looked at."""
    for node in _nodes(statements):
        if isinstance(node, tree.Name | tree.Identifier):
            yield node.text.partition(".")[0], node.span


def _nodes(value: object) -> Iterator[object]:
    """The nodes of a tree in the order in which they are written; a name is one node. Paths with
    an index are those of variables, which the program has."""
    waiting = [value]
    while waiting:
        value = waiting.pop()
        if isinstance(value, tuple):
            waiting.extend(reversed(value))
        elif is_dataclass(value) and not isinstance(value, tree.AccessPath):
            yield value
            if not isinstance(value, tree.Name | Span):
                left_out = _WORDS.get(type(value), ())
                kept = [field.name for field in fields(value) if field.name not in left_out]
                waiting.extend(getattr(value, name) for name in reversed(kept))
