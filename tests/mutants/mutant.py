"""A change of one place of the code, as data."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tests.support.places import PACKAGE


@dataclass(frozen=True)
class Change:
    """``anchor`` occurs exactly once in its file. ``tests``: other ones than those of its file's
    list. ``equivalent``: why nobody could see a difference ('' where somebody can)."""

    name: str
    anchor: str
    replacement: str
    tests: tuple[str, ...] = ()
    equivalent: str = ""


@dataclass(frozen=True)
class Mutant:
    """``file`` is below the package; ``tests`` are pytest's node identifiers below the tests."""

    room: str
    file: str
    name: str
    anchor: str
    replacement: str
    tests: tuple[str, ...]
    equivalent: str = ""

    @property
    def identifier(self) -> str:
        return f"{self.file.removesuffix('.py')}: {self.name}"

    @property
    def source(self) -> str:
        return (PACKAGE / self.file).read_text(encoding="utf-8")

    def applied(self, text: str) -> str:
        """The text with the change. ValueError where the anchor is not there exactly once."""
        count = text.count(self.anchor)
        if count != 1:
            raise ValueError(f"{self.identifier}: the anchor occurs {count} times in {self.file}")
        return text.replace(self.anchor, self.replacement)


def mutants(room: str, file: str, tests: Sequence[str], *changes: Change) -> Iterator[Mutant]:
    """The changes of one file; each is looked for by ``tests`` unless it names its own."""
    for each in changes:
        yield Mutant(
            room,
            file,
            each.name,
            each.anchor,
            each.replacement,
            each.tests or tuple(tests),
            each.equivalent,
        )
