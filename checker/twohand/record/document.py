"""A whole document: one head for all of them, the fields of the answer, and who made it when.

The same input gives the same bytes but for what is under ``made``. Fields that are there keep their
names and meanings; ``VERSION`` is raised where anything changes.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from twohand.record.judged import Judged
from twohand.record.message import Message
from twohand.record.plain import Data, closed, plain, plain_fields, schema_of, types_of
from twohand.record.sources import HashedFile
from twohand.report.exit_code import ExitCode

VERSION = 2
DIALECT = "https://json-schema.org/draft/2020-12/schema"


@dataclass(frozen=True)
class EffortLimits:
    """The limits of the command line that may decide what stays open: ``effort`` for each question,
    ``seconds`` after which one is cut, ``total`` those of all together (null: no limit)."""

    effort: float
    seconds: float
    total: float | None


@dataclass(frozen=True)
class Spent:
    """``seconds`` of wall time that went into the answer of this ``identifier`` (a spec, a
    requirement, a block), from the file ``path``."""

    path: str
    identifier: str
    seconds: float


@dataclass(frozen=True)
class Made:
    """Who made the document, with what, where and when (``written``: in UTC). ``solvers`` are the
    versions of those that are installed; ``processes`` worked at the same time."""

    program: str
    python: str
    solvers: tuple[tuple[str, str], ...]
    machine: str
    processes: int
    written: str
    seconds: float
    spent: tuple[Spent, ...]


@dataclass(frozen=True)
class DocumentKind:
    """What the ``command`` of this name writes: its ``options`` that decide, and the fields of its
    ``answer``."""

    name: str
    command: str
    options: type
    answer: type[Judged]

    @property
    def format(self) -> str:
        return f"twohand-{self.name}"


@dataclass(frozen=True)
class WholeAnswer:
    """What a document and its views are made of: ``sources`` is every file that was read, whatever
    became of it; ``exit_code`` is that of the command; ``problems`` say what has no answer, and
    why."""

    kind: DocumentKind
    options: object
    sources: tuple[HashedFile, ...]
    answer: Judged
    exit_code: ExitCode
    problems: tuple[Message, ...]
    made: Made


def document(whole: WholeAnswer) -> Data:
    return {
        "format": whole.kind.format,
        "version": VERSION,
        "options": plain_fields(whole.options),
        "sources": plain(whole.sources, tuple[HashedFile, ...]),
        **plain_fields(whole.answer),
        "exit_code": int(whole.exit_code),
        "problems": plain(whole.problems, tuple[Message, ...]),
        "made": plain_fields(whole.made),
    }


def document_schema(kind: DocumentKind) -> Data:
    """The JSON Schema of a kind of documents."""
    definitions: Data = {}

    def of(hint: Any) -> Data:
        return schema_of(hint, definitions)

    properties = {
        "format": {"const": kind.format},
        "version": {"const": VERSION},
        "options": of(kind.options),
        "sources": of(tuple[HashedFile, ...]),
        **{name: of(hint) for name, hint in types_of(kind.answer).items()},
        "problems": of(tuple[Message, ...]),
        "made": of(Made),
    }
    return {
        "$schema": DIALECT,
        "$id": f"urn:twohand:{kind.name}:{VERSION}",
        "title": f"What 'twohand {kind.command} --json' writes",
        **closed(properties, kind.answer.__doc__),
        "$defs": dict(sorted(definitions.items())),
    }


def spent_on(times: Iterable[tuple[str, str, float]]) -> tuple[Spent, ...]:
    return tuple(Spent(path, name, round(seconds, 3)) for path, name, seconds in times)
