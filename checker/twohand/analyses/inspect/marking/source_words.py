"""What a place of a program says as text, where the typed program does not keep it."""

from __future__ import annotations

import re

from twohand.text.source_text import Span

_BLANK = re.compile(r"\(\*.*?\*\)|/\*.*?\*/|//[^\n]*|'[^'\n]*'|\{.*?\}", re.DOTALL)
_WORDS = re.compile(r"\b(IF|CASE|END_IF|END_CASE|ELSE)\b", re.IGNORECASE)
_SHORTEST = 60
"""Characters of an expression that a sentence has room for."""


def without_comments(text: str) -> str:
    return _BLANK.sub(" ", text)


def first_word(span: Span) -> str:
    """In capitals; '' where the place does not begin with a word."""
    found = re.match(r"\w+", span.text)
    return found.group().upper() if found else ""


def has_else(span: Span) -> bool:
    """Whether an IF or CASE statement has an ELSE of its own, be it empty."""
    depth = 0
    for word in _WORDS.findall(without_comments(span.text)):
        match word.upper():
            case "IF" | "CASE":
                depth += 1
            case "END_IF" | "END_CASE":
                depth -= 1
            case "ELSE" if depth == 1:
                return True
    return False


def shortly(span: Span) -> str:
    """An expression in one line, cut where it is long."""
    text = " ".join(without_comments(span.text).split())
    return text if len(text) <= _SHORTEST else f"{text[: _SHORTEST - 3].rstrip()}..."
