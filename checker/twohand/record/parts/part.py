"""One of several runs that answer the same spec files together, and its document.

The document of a part has a format of its own: what passes in a part says nothing of the others.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from pathlib import Path

from twohand.record.document import (
    DIALECT,
    VERSION,
    DocumentKind,
    WholeAnswer,
    document,
    document_schema,
)
from twohand.record.plain import Data, closed, plain_fields, schema_of
from twohand.record.sources import HashedFile
from twohand.report.cautions import SaidOfSpec
from twohand.specification.phrases import count

ENDING = "-part"


@dataclass(frozen=True)
class PartChoice:
    """Which of how many parts: ``number`` is from 1 on."""

    number: int
    of: int

    def __str__(self) -> str:
        return f"part {self.number} of {self.of}"

    def chosen(self, hashes: Sequence[str]) -> list[int]:
        """The places of those files that fall to it, of which these are the hashes. The hashes in
        order are cut into equal pieces: a file that changes moves few others."""
        order = sorted(range(len(hashes)), key=lambda place: (hashes[place], place))
        return sorted(
            place
            for rank, place in enumerate(order)
            if rank * self.of // len(hashes) == self.number - 1
        )


@dataclass(frozen=True)
class PartOfFiles:
    """Which part of all spec ``files`` is answered here; ``hashes`` are of their contents, and
    ``mine`` how many fall to it."""

    choice: PartChoice
    files: tuple[Path, ...]
    hashes: tuple[str, ...]
    mine: int

    def __str__(self) -> str:
        answered = f"{count(self.mine, 'spec file')} of {len(self.files)}"
        return f"{self.choice}: {answered}; of the others nothing is said here"


@dataclass(frozen=True)
class PartOfFile:
    """How much of a document is of the spec file ``path``: so many of its ``sources`` and
    ``problems``, and a spec for each of ``specs``, which are what the cautions say of them."""

    path: str
    sources: int
    problems: int
    specs: tuple[SaidOfSpec, ...]


@dataclass(frozen=True)
class Part:
    """Which part it is, of which ``files`` (all of them, in the order of the whole; the hash is ''
    where one could not be read), and how much of the document is of which file, in its order:
    first what was there ``before`` any of them, then the files ``answered``, then what came
    ``after`` them."""

    number: int
    of: int
    files: tuple[HashedFile, ...]
    before: PartOfFile
    answered: tuple[PartOfFile, ...]
    after: PartOfFile


@dataclass(frozen=True)
class SegmentMark:
    """How much there was once a spec file was done with."""

    path: str
    read: int
    problems: int
    specs: int


def part_of(
    choice: PartChoice,
    files: Sequence[HashedFile],
    marks: Sequence[SegmentMark],
    read: Sequence[HashedFile],
    problems: Sequence[Hashable],
    said: Sequence[SaidOfSpec],
) -> Part:
    """``marks``: of what was before all files, of each file that was answered, and of all. ``read``
    and ``problems`` as they came: a document has each once."""
    found, earlier = [], SegmentMark("", 0, 0, 0)
    for mark in marks:
        found.append(
            PartOfFile(
                mark.path,
                _new(read, earlier.read, mark.read),
                _new(problems, earlier.problems, mark.problems),
                tuple(said[earlier.specs : mark.specs]),
            )
        )
        earlier = mark
    before, *answered, after = found
    return Part(choice.number, choice.of, tuple(files), before, tuple(answered), after)


def _new(values: Sequence[Hashable], begin: int, end: int) -> int:
    """How many of these were not there before."""
    known = set(values[:begin])
    return len(set(values[begin:end]) - known)


def part_document(whole: WholeAnswer, part: Part) -> Data:
    return {
        "format": whole.kind.format + ENDING,
        "version": VERSION,
        "part": plain_fields(part),
        "document": document(whole),
    }


def part_schema(kind: DocumentKind) -> Data:
    """The JSON Schema of the documents of parts of a kind."""
    inner = document_schema(kind)
    definitions: Data = dict(inner.pop("$defs"))
    for name in ("$schema", "$id", "title"):
        inner.pop(name)
    properties = {
        "format": {"const": kind.format + ENDING},
        "version": {"const": VERSION},
        "part": schema_of(Part, definitions),
        "document": inner,
    }
    return {
        "$schema": DIALECT,
        "$id": f"urn:twohand:{kind.name}{ENDING}:{VERSION}",
        "title": f"What 'twohand {kind.command} --part --json' writes",
        **closed(properties, "A part of the answer; 'twohand merge' makes one of all parts."),
        "$defs": dict(sorted(definitions.items())),
    }
