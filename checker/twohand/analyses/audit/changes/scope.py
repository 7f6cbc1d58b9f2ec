"""What the kinds of changes look at: one unit of the block, and ways to write edits of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

from twohand.analyses.audit.changes.change import BlockChange, ChangeKind, Edit, place_of
from twohand.program import Operator
from twohand.program.durations import Nanoseconds
from twohand.syntax import tree
from twohand.text.comments import blank_comments
from twohand.text.source_text import SourceText, Span

JOINING = (Operator.AND, Operator.OR, Operator.XOR)
_LONGEST_WORDS = 60


@dataclass(frozen=True, eq=False)
class UnitScope:
    """A ``unit`` that the block is or calls. ``unit_time`` is what every duration is a whole number
    of, ``scan`` the longest scan; ``top``: it is the block itself."""

    unit: tree.Unit
    unit_time: Nanoseconds
    scan: Nanoseconds
    top: bool

    @cached_property
    def bodies(self) -> tuple[tuple[tree.Statement, ...], ...]:
        """Every list of statements, outer ones first."""
        own = [self.unit.body, *(body for member in self.unit.members for body in _of(member))]
        found: list[tuple[tree.Statement, ...]] = []
        waiting = list(reversed(own))
        while waiting:
            body = waiting.pop()
            found.append(body)
            inner = [each for statement in body for each in inner_bodies(statement)]
            waiting.extend(reversed(inner))
        return tuple(each for each in found if each)

    @cached_property
    def statements(self) -> tuple[tree.Statement, ...]:
        return tuple(statement for body in self.bodies for statement in body)

    def names(self, type_names: Iterable[str], *keywords: str) -> tuple[tree.Identifier, ...]:
        """What its sections (with these keywords) declare of one of the types."""
        wanted = set(type_names)
        return tuple(
            name
            for section in self.unit.sections
            if section.keyword in keywords and not section.constant
            for declaration in section.declarations
            if isinstance(declaration.type, tree.NamedType) and declaration.type.name.key in wanted
            for name in declaration.names
        )


def _of(member: tree.Member) -> Iterator[tuple[tree.Statement, ...]]:
    if isinstance(member, tree.Property):
        yield from (each.body for each in (member.get, member.set) if each is not None)
    else:
        yield member.body


def inner_bodies(statement: tree.Statement) -> Iterator[tuple[tree.Statement, ...]]:
    """The lists of statements that a statement has in it."""
    match statement:
        case tree.If():
            yield from (branch.body for branch in statement.branches)
            yield statement.otherwise
        case tree.Case():
            yield from (arm.body for arm in statement.arms)
            yield statement.otherwise
        case tree.For() | tree.While() | tree.Repeat():
            yield statement.body


def conditions(statement: tree.Statement) -> Iterator[tree.Expression]:
    """The conditions on which it depends what a statement does."""
    match statement:
        case tree.If():
            yield from (branch.condition for branch in statement.branches)
        case tree.While():
            yield statement.condition
        case tree.Repeat():
            yield statement.until


def values(statement: tree.Statement) -> Iterator[tree.Expression]:
    """What a statement assigns, or gives to what it calls."""
    match statement:
        case tree.Assign() | tree.SetAssign():
            yield statement.value
        case tree.CallStatement():
            yield from (each.value for each in statement.call.arguments if not each.output)


def expressions(statement: tree.Statement) -> Iterator[tree.Expression]:
    """Every expression of a statement that is not in a statement within it."""
    yield from conditions(statement)
    yield from values(statement)
    match statement:
        case tree.Case():
            yield statement.selector
        case tree.For():
            yield from (statement.first, statement.last)
            if statement.step is not None:
                yield statement.step


# --- text -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class TextPart:
    """A part of a text, with the parentheses that belong to it."""

    source: SourceText
    start: int
    end: int
    simple: bool = field(default=True)
    """Whether an operator before or behind it takes it as a whole."""

    @property
    def text(self) -> str:
        return self.source.text[self.start : self.end]

    @property
    def whole(self) -> str:
        """As one operand."""
        return self.text if self.simple else f"({self.text})"

    def becomes(self, text: str) -> Edit:
        return Edit(self.source, self.start, self.end, text)


def piece_of(node: tree.Expression) -> TextPart:
    """The text of an expression without parentheses around it; those in it are whole."""
    if isinstance(node, tree.Binary):
        left, right = operand(node.left), operand(node.right)
        return TextPart(left.source, left.start, right.end, simple=False)
    place = place_of(node.span)
    return TextPart(place.source, place.start, place.end)


def operand(node: tree.Expression) -> TextPart:
    """The text of an operand of an operator, with the parentheses around it."""
    piece = piece_of(node)
    text = code_of(piece.source)
    start, end, simple = piece.start, piece.end, piece.simple
    while True:
        before, after = text[:start].rstrip(), text[end:]
        behind = len(after) - len(after.lstrip())
        if not (before.endswith("(") and after.lstrip().startswith(")")):
            return TextPart(piece.source, start, end, simple)
        start, end, simple = len(before) - 1, end + behind + 1, True


@lru_cache(maxsize=64)
def code_of(source: SourceText) -> str:
    """The text with its comments blanked, character by character."""
    return blank_comments(source, [])


def short(text: str) -> str:
    """A text in one line, not too long for a report."""
    line = " ".join(text.split())
    return line if len(line) <= _LONGEST_WORDS else f"{line[: _LONGEST_WORDS - 3]}..."


def replaced(kind: ChangeKind, span: Span, piece: TextPart, text: str) -> BlockChange:
    """One piece of text becomes another one."""
    words = f"'{short(piece.text)}' becomes '{short(text)}'"
    return BlockChange(kind, span, words, (piece.becomes(text),))
