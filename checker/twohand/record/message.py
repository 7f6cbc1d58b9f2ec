"""Places in files, and what is said of them, as plain data."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from twohand.record.content import content_identifier
from twohand.text.diagnostic import Diagnostic, Severity
from twohand.text.source_text import Span


@dataclass(frozen=True)
class FilePlace:
    """``path`` as the user wrote it; ``line`` and ``column`` from 1, 0 where the whole file is
    meant.

    ``identifier`` is the place by content (``twohand.record.content``): it stays as lines are
    inserted above, and changes with the statement or the conditions around it; '' for a whole
    file. Two places are equal where path, line and column are."""

    path: str
    line: int = 0
    column: int = 0
    identifier: str = field(default="", compare=False)


@dataclass(frozen=True)
class Message:
    """A warning or a note. ``code`` is stable (``twohand explain`` tells more); ``text`` stands
    alone, without a final full stop; ``help`` says what would be right, or is ''; ``related`` are
    further places with a word each."""

    code: str
    text: str
    severity: Severity
    help: str = ""
    place: FilePlace | None = None
    related: tuple[tuple[FilePlace, str], ...] = ()


def place_in_file(span: Span) -> FilePlace:
    return FilePlace(span.source.path, span.line, span.column, content_identifier(span))


def message_of(said: Diagnostic) -> Message:
    place = FilePlace(said.path) if said.path else None
    return Message(
        said.code,
        said.message,
        said.severity,
        said.help,
        place_in_file(said.span) if said.span else place,
        tuple((place_in_file(span), words) for span, words in said.related),
    )


def messages_of(said: Iterable[Diagnostic]) -> tuple[Message, ...]:
    """Each once."""
    return tuple(message_of(each) for each in dict.fromkeys(said))
