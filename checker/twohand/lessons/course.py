"""The lessons that come with the checker: data in ``course/``, a folder each.

A folder has the block, its spec, ``question.md`` and ``lesson.toml``: the ``number`` of the lesson
and its ``title``, ``minutes``, ``hints`` (the gentlest first), ``help`` (what is said of a wrong
answer, see ``Help``), ``trade`` (what the trade does about it, each with its ``source``), ``next``
(command lines to try) and ``invariants`` where a proof is shown with its invariant.
``common_help.toml`` beside it has the help for answers that no lesson foresees.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any

ABOUT = "lesson.toml"
QUESTION = "question.md"
COMMON = "common_help.toml"


@dataclass(frozen=True)
class Help:
    """What is said of an answer: ``says``, where all of ``violated`` are violated, all of
    ``proved`` are proved, and the formula ``shows`` holds in the last scan of the run that violates
    the first of ``violated`` ('': whatever it shows). ``reading``: whether that run is one of some
    platforms only (None: either).

    In ``shows`` and ``says`` are names of the spec: ``{all}``, ``{any}`` (the hands) and
    ``{output}`` as formulas in the one, ``{on}``, ``{off}``, ``{moved}`` (hands as they are in that
    scan) and ``{output}`` as words in the other."""

    code: str
    says: str
    violated: tuple[str, ...]
    proved: tuple[str, ...] = ()
    shows: str = ""
    reading: bool | None = None


@dataclass(frozen=True)
class Practice:
    """What the trade does about it, and where that is from: standard and clause, or 'common
    practice'."""

    says: str
    source: str


@dataclass(frozen=True)
class Lesson:
    """One lesson; ``texts`` are the files that a learner begins with, by their names."""

    name: str
    number: int
    title: str
    minutes: int
    block: str
    spec: str
    texts: Mapping[str, str]
    hints: tuple[str, ...]
    help: tuple[Help, ...]
    trade: tuple[Practice, ...]
    next: tuple[str, ...]
    invariants: bool

    @property
    def spec_text(self) -> str:
        return self.texts[self.spec]


@cache
def lessons() -> Mapping[str, Lesson]:
    """All lessons by their names, in order. ValueError for one that is not well-formed."""
    found = [_lesson(each) for each in (_here() / "course").iterdir() if each.is_dir()]
    ordered = sorted(found, key=lambda each: each.number)
    if [each.number for each in ordered] != list(range(1, len(ordered) + 1)):
        raise ValueError("the lessons are not numbered from 1 on")
    return {each.name: each for each in ordered}


@cache
def common_help() -> tuple[Help, ...]:
    """What is said of answers that no lesson foresees, the first that fits."""
    return _helps(tomllib.loads((_here() / COMMON).read_text(encoding="utf-8")))


def _here() -> Traversable:
    return files("twohand.lessons")


def _lesson(folder: Traversable) -> Lesson:
    texts = {
        each.name: each.read_text(encoding="utf-8")
        for each in sorted(folder.iterdir(), key=lambda each: each.name)
        if each.name != ABOUT and each.is_file()
    }
    about = tomllib.loads((folder / ABOUT).read_text(encoding="utf-8"))
    specs = [name for name in texts if name.endswith(".spec")]
    blocks = [name for name in texts if name.endswith(".st")]
    if len(specs) != 1 or len(blocks) != 1 or QUESTION not in texts:
        raise ValueError(f"the lesson '{folder.name}' needs a question, a block and a spec")
    return Lesson(
        folder.name,
        about["number"],
        about["title"],
        about["minutes"],
        blocks[0],
        specs[0],
        texts,
        tuple(about["hints"]),
        _helps(about),
        tuple(Practice(_plain(each["says"]), each["source"]) for each in about["trade"]),
        tuple(about.get("next", ())),
        about.get("invariants", False),
    )


def _helps(table: Mapping[str, Any]) -> tuple[Help, ...]:
    return tuple(
        Help(
            each["code"],
            _plain(each["says"]),
            tuple(each["violated"]),
            tuple(each.get("proved", ())),
            each.get("shows", ""),
            each.get("reading"),
        )
        for each in table["help"]
    )


def _plain(text: str) -> str:
    """Without the line ends of the file."""
    return " ".join(text.split())
