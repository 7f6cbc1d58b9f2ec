"""Blocks whose declarations are in one file and whose statements, or whose actions, in the next:
the two are read as one text, and every place is reported in the file that it is in."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field, replace

from twohand.text.comments import blank_comments
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_map import PlacedText, TranslatedText
from twohand.text.source_text import SourceText, Span

_UNIT = re.compile(r"\b(END_)?(FUNCTION_BLOCK|FUNCTION|PROGRAM)\b", re.IGNORECASE)
_DECLARES = re.compile(
    r"\b(?:VAR\w*|END_VAR|TYPE|INTERFACE|CONFIGURATION|NAMESPACE|CLASS)\b", re.IGNORECASE
)
_ACTIONS = re.compile(r"\s*ACTION\b.*\bEND_ACTION[\s;]*", re.IGNORECASE | re.DOTALL)
_STATEMENT = re.compile(r":=|\)\s*;|\b(?:END_IF|END_CASE|END_ACTION|END_METHOD)\b", re.IGNORECASE)


@dataclass(frozen=True, eq=False)
class JoinedText(PlacedText):
    """Two files one behind the other, with what ends their unit."""

    first: SourceText = field(repr=False, default_factory=lambda: SourceText("", ""))
    second: SourceText = field(repr=False, default_factory=lambda: SourceText("", ""))

    def located(self, start: int, end: int) -> Span:
        before = len(self.first.text) + 1
        text, shift = (self.first, 0) if start < before else (self.second, before)
        length = len(text.text.rstrip())
        return located(Span(text, min(start - shift, length), min(end - shift, length)))


def joined_halves(
    sources: Sequence[SourceText], searched: Collection[SourceText]
) -> tuple[SourceText, ...]:
    """The files, where one that ends within a unit and the file of statements that is named right
    behind it are one text, and so are one of one block and those of its actions that are named
    right behind it. Files found in a folder are not joined: their order means nothing."""
    whole: list[SourceText] = []
    for source in sources:
        named = source not in searched and bool(whole) and whole[-1] not in searched
        end = _end_behind(whole[-1], source) if named else None
        if end is None:
            whole.append(source)
            continue
        first = whole.pop()
        text = f"{first.text}\n{source.text}\n{end}"
        whole.append(JoinedText(f"{first.path} and {source.path}", text, first, source))
    return tuple(whole)


def _end_behind(first: SourceText, second: SourceText) -> str | None:
    """What ends the unit that the two files are; None where they are none."""
    if _has_actions_only(second) and len(_UNIT.findall(blank_comments(first, []))) == 2:
        return ""
    kind = _open_unit(first) if _is_body(second) else None
    return None if kind is None else f"END_{kind}\n"


def _has_actions_only(source: SourceText) -> bool:
    text = blank_comments(source, [])
    return _ACTIONS.fullmatch(text) is not None and _UNIT.search(text) is None


def _open_unit(source: SourceText) -> str | None:
    """The keyword of the last unit, if it is not ended."""
    words = _UNIT.findall(blank_comments(source, []))
    if not words or words[-1][0]:
        return None
    return str(words[-1][1]).upper()


def _is_body(source: SourceText) -> bool:
    """Whether a file has statements only."""
    text = blank_comments(source, [])
    elsewhere = _UNIT.search(text) or (
        _DECLARES.search(text) and not re.search(r"\bMETHOD\b", text, re.IGNORECASE)
    )
    return not elsewhere and _STATEMENT.search(text) is not None


def located(span: Span) -> Span:
    """The same place in the file that it is in."""
    if isinstance(span.source, PlacedText):
        return span.source.located(span.start, span.end)
    return span


def located_problems(problems: Iterable[Diagnostic]) -> list[Diagnostic]:
    """The problems at their places in the files."""
    return [
        replace(
            problem,
            span=None if problem.span is None else located(problem.span),
            related=tuple((located(span), note) for span, note in problem.related),
        )
        for problem in problems
    ]


def files_of(sources: Iterable[SourceText]) -> Iterable[SourceText]:
    """The files of which the texts consist."""
    for source in sources:
        if isinstance(source, JoinedText):
            yield from files_of((source.first, source.second))
        else:
            yield source.original if isinstance(source, TranslatedText) else source
