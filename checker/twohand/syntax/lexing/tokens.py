"""A text as tokens, with all that is no token in it."""

from __future__ import annotations

from itertools import islice

from lark import Lark, Token
from lark.exceptions import UnexpectedCharacters

from twohand.text.comments import MOST_PROBLEMS, UNREADABLE
from twohand.text.diagnostic import Diagnostic, InputError, wrong
from twohand.text.source_text import SourceText, Span

MOST_STRANGE_CHARACTERS = 20
"""After so many places the file is no program, and more messages help nobody."""

MOST_TOKENS = 200_000
"""Of one file: about 27,000 lines."""

STRANGE = "STRANGE"
"""The terminal of characters that have no meaning; they are reported where they are found."""


def tokens_of(
    parser: Lark,
    source: SourceText,
    text: str,
    problems: list[Diagnostic],
    start: int = 0,
    end: int | None = None,
) -> list[Token]:
    """The tokens of ``text`` (the source's, comments blanked) from ``start`` to ``end``.

    Characters that begin none become a token STRANGE, and are noted in ``problems`` (but for
    those that are noted already).
    """
    end = len(text) if end is None else end
    if problems and len(problems) >= MOST_PROBLEMS:
        raise InputError(problems)
    tokens: list[Token] = []
    found = 0
    while start < end:
        piece = text[start:end]
        first = len(tokens)
        try:
            tokens.extend(islice(parser.lex(piece), MOST_TOKENS + 1 - first))
            _move(tokens, first, start)
            if len(tokens) > MOST_TOKENS:
                raise too_many(tokens[-1], source)
            return tokens
        except UnexpectedCharacters as error:
            at = start + (error.pos_in_stream or 0)
            del tokens[first:]
            tokens.extend(parser.lex(text[start:at]))
            _move(tokens, first, start)
        stop = at + 1
        while stop < end and text[stop] == text[at]:
            stop += 1
        if text[at] != UNREADABLE or source.text[at] == UNREADABLE:
            problems.append(unknown_character(at, stop, source))
        tokens.append(Token(STRANGE, text[at:stop], start_pos=at, end_pos=stop))
        start = stop
        found += 1
        if found >= MOST_STRANGE_CHARACTERS:
            return tokens
    return tokens


def _move(tokens: list[Token], first: int, distance: int) -> None:
    """Make the places of the tokens from ``first`` on those in the whole text."""
    if distance:
        for token in tokens[first:]:
            token.start_pos = (token.start_pos or 0) + distance
            token.end_pos = (token.end_pos or 0) + distance


def too_many(token: Token, source: SourceText) -> InputError:
    """The error for a text that is too long to be read; ``token`` is the first one too many."""
    message = f"the text has more than {MOST_TOKENS} words and signs"
    way = "split the file up, or name the files of the block alone"
    return wrong(
        "text-too-large", message, Span(source, token.start_pos or 0, token.end_pos or 0), way
    )


def unknown_character(start: int, end: int, source: SourceText) -> Diagnostic:
    """The message for a character (or several equal ones) that begins no word and no sign."""
    character = source.text[start]
    shown = f"'{character}'" if character.isprintable() and not character.isspace() else "sign"
    message = (
        f"the {'character ' if shown != 'sign' else 'invisible '}{shown} (U+{ord(character):04X}) "
        "has no meaning here"
    )
    way = "remove it; names are made of letters, digits and '_'"
    return Diagnostic("unknown-character", message, Span(source, start, end), way)
