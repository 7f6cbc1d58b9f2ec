"""Structured text to syntax tree."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from lark import Lark, Token, Tree
from lark.exceptions import UnexpectedToken

from twohand.syntax import tree
from twohand.syntax.lexing.keyword_tokens import Words
from twohand.syntax.lexing.keywords import KEYWORDS, MODIFIERS, REFUSED
from twohand.syntax.lexing.plain_text import plain_text, unit_without_end
from twohand.syntax.lexing.tokens import tokens_of
from twohand.syntax.parsing.nesting import check_nesting
from twohand.syntax.parsing.statements import Builder
from twohand.syntax.recovery.parse_table import END, Automaton
from twohand.syntax.recovery.recovery import mend
from twohand.syntax.recovery.stop import mark_misspelt
from twohand.text.comments import WITHOUT_END
from twohand.text.diagnostic import Diagnostic, InputError, position_in_file
from twohand.text.resources import grammar_text
from twohand.text.source_map import refused_parts
from twohand.text.source_text import SourceText


def parse_source(source: SourceText) -> tree.SourceFile:
    """The syntax tree of a file; InputError with everything that is wrong with its syntax."""
    problems: list[Diagnostic] = []
    try:
        text = plain_text(source, problems)
    except InputError:
        raise InputError(problems) from None
    return parse_part(source, text, 0, len(text), problems)


def parse_part(
    source: SourceText, text: str, start: int, end: int, problems: list[Diagnostic]
) -> tree.SourceFile:
    """The units from ``start`` to ``end`` of a file whose text, comments blanked, is ``text``;
    InputError with all ``problems``, where there are some already or more are found."""
    refused = tuple(refused_parts(source, start, end))
    if refused:
        raise InputError(refused)
    parser = _structured_text_parser()
    tokens = tokens_of(parser, source, text, problems, start, end)
    mark_misspelt(tokens)
    parsed = None if problems else _parsed(parser, tokens)
    if parsed is None and not problems:
        parsed = _without_end(parser, text, tokens)
    if parsed is None:
        last = len(text[:end].rstrip())
        cut_off = any(problem.code in WITHOUT_END for problem in problems)
        ends = [] if cut_off else [Token(END, "", start_pos=last, end_pos=last)]
        mended = mend(_automaton(), source, text, [*tokens, *ends])
        problems.extend(mended.problems)
        parsed = _parsed(parser, mended.tokens)
    file: tree.SourceFile | None = None
    if parsed is not None:
        try:
            file = Builder(source).build(parsed)
        except InputError as error:
            problems.extend(error.diagnostics)
    if file is None or problems:
        raise InputError(sorted(problems, key=position_in_file))
    check_nesting(file)
    return file


def _parsed(parser: Lark, tokens: Iterable[Token]) -> Tree[Token] | None:
    """The parser's tree; None where a token does not fit."""
    state = parser.parse_interactive("")
    last = None
    try:
        for token in tokens:
            state.feed_token(token)
            last = token
        tree_found: Tree[Token] = state.feed_eof(last)  # type: ignore[no-untyped-call]
    except UnexpectedToken:
        return None
    return tree_found


def _without_end(parser: Lark, text: str, tokens: list[Token]) -> Tree[Token] | None:
    """The tree of the one unit of a file that ends with its last statement."""
    kind = unit_without_end(text)
    if kind is None or not tokens:
        return None
    last = tokens[-1].end_pos
    end = Token(f"END_{kind}", "", start_pos=last, end_pos=last)
    return _parsed(parser, [*tokens, end])


def build_parser(grammar: str, start: str, words: Mapping[str, str], lexer: str = "basic") -> Lark:
    """A parser for ``grammar``, which may use everything in ``grammar/expressions.lark``.

    ``words`` maps words in upper case to the terminal they become; all others are IDENTIFIER.
    Feed it text from ``plain_text`` and build its tree with ``Builder`` or a subclass.
    """
    return Lark(
        grammar_text("expressions") + grammar,
        start=start,
        parser="lalr",
        lexer=lexer,
        propagate_positions=True,
        maybe_placeholders=True,
        postlex=Words(words),
        cache=_cache_file(start) or False,
    )


def keyword_terminals() -> dict[str, str]:
    """The words of structured text and the terminal of each."""
    own = {word: word for word in KEYWORDS} | dict.fromkeys(MODIFIERS, "MODIFIER")
    own |= dict.fromkeys(("STRING", "WSTRING"), "STRINGS")
    return own | dict.fromkeys(REFUSED, "REFUSED")


@cache
def _automaton() -> Automaton:
    return Automaton(_structured_text_parser())


@cache
def _structured_text_parser() -> Lark:
    return build_parser(grammar_text("structured_text"), "source_file", keyword_terminals())


def _cache_file(name: str) -> str | None:
    """Where the parse table is kept between runs (it costs 0.15 s); None if there is no place.

    Under the user's own folder only: the table is a pickle and must not come from anyone else.
    """
    folder = _cache_folder() / "twohand"
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError:
        return None
    version = f"{sys.version_info[0]}{sys.version_info[1]}"
    return str(folder / f"{name}-{version}.table") if os.access(folder, os.W_OK) else None


def _cache_folder() -> Path:
    environment: Mapping[str, Any] = os.environ
    if sys.platform == "win32":
        return Path(environment.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Caches"
    return Path(environment.get("XDG_CACHE_HOME") or Path.home() / ".cache")
