"""The files that an answer is about, with the hashes by which they can be told again."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from twohand.specification.model.specification import Specification
from twohand.text.source_text import SourceText


@dataclass(frozen=True)
class HashedFile:
    """A file that was read: ``path`` as the user wrote it, and the SHA-256 of its bytes as they
    were read, in hexadecimal."""

    path: str
    sha256: str


def hashed_files(texts: Iterable[SourceText]) -> tuple[HashedFile, ...]:
    """Each once; of texts that are no files (an option's) there is nothing."""
    found = (HashedFile(each.path, each.sha256) for each in texts if each.sha256)
    return tuple(dict.fromkeys(found))


def read_files(specification: Specification) -> tuple[HashedFile, ...]:
    """The spec first, then what was read for its block and plants, in the order of reading."""
    return hashed_files((specification.source, *specification.program.read))
