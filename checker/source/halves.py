"""Blocks whose declarations stand in one file and whose statements in the next."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from lark import Token

from checker.source import tree
from checker.source.comments import blank_comments
from checker.source.diagnostic import Diagnostic
from checker.source.parse import parse_part
from checker.source.text import SourceText

_UNIT = re.compile(r"\b(END_)?(FUNCTION_BLOCK|FUNCTION|PROGRAM)\b", re.IGNORECASE)
_DECLARES = re.compile(
    r"\b(?:VAR\w*|END_VAR|TYPE|INTERFACE|CONFIGURATION|NAMESPACE|CLASS)\b", re.IGNORECASE
)
_STATEMENT = re.compile(r":=|\)\s*;|\b(?:END_IF|END_CASE|END_ACTION|END_METHOD)\b", re.IGNORECASE)


def split_halves(
    sources: Sequence[SourceText],
) -> tuple[list[SourceText], list[tuple[SourceText, SourceText]]]:
    """The files that stand for themselves, and those that are declarations, whose block is not
    ended, with the file of statements that is named right behind."""
    whole: list[SourceText] = []
    pairs: list[tuple[SourceText, SourceText]] = []
    for source in sources:
        if whole and _is_body(source) and _open_unit(whole[-1]) is not None:
            pairs.append((whole.pop(), source))
        else:
            whole.append(source)
    return whole, pairs


def parse_halves(declarations: SourceText, body: SourceText) -> tree.SourceFile:
    """The units of the first file, the last of which has the statements of the second; InputError
    with everything wrong in one of them."""
    kind = _open_unit(declarations)
    assert kind is not None
    head = [Token(kind, kind), Token("IDENTIFIER", "body")]
    file = _half(declarations, [], kind)
    (statements,) = _half(body, head, kind).units
    *others, last = file.units
    whole = replace(
        last,
        body=(*last.body, *statements.body),
        members=(*last.members, *statements.members),
    )
    return replace(file, units=(*others, whole))


def _half(source: SourceText, head: list[Token], kind: str) -> tree.SourceFile:
    problems: list[Diagnostic] = []
    text = blank_comments(source, problems)
    first, last = len(text) - len(text.lstrip()), len(text.rstrip())
    tail = [Token(f"END_{kind}", f"END_{kind}")]
    for tokens, place in ((head, first), (tail, last)):
        for token in tokens:
            token.start_pos = token.end_pos = place
    return parse_part(source, text, 0, len(text), problems, (head, tail))


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
