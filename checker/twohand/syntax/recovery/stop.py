"""Where a parse stopped: the token, what is before it, what is still open, what may follow."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lark import Token

from twohand.syntax.lexing.keywords import KEYWORDS
from twohand.syntax.recovery.parse_table import END, Stack
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_text import SourceText, Span

MEMBERS = frozenset({"METHOD", "PROPERTY", "ACTION"})
SECTIONS = frozenset(word for word in KEYWORDS if word.startswith("VAR"))
UNITS = frozenset({"FUNCTION_BLOCK", "FUNCTION", "PROGRAM"})
_STATEMENTS = {word: f"END_{word}" for word in ("IF", "CASE", "FOR", "WHILE", "REPEAT")}
_FRAMES = {*UNITS, *MEMBERS, "TYPE", "INTERFACE", "CONFIGURATION", "RESOURCE"}
CLOSERS = {
    **_STATEMENTS,
    "REPEAT": "UNTIL",
    **dict.fromkeys(SECTIONS, "END_VAR"),
    **{word: f"END_{word}" for word in _FRAMES},
}
"""What ends each of the words that begin something."""

_UNIT_ENDS = frozenset(CLOSERS[unit] for unit in UNITS)
_STATEMENT_ENDS = frozenset(_STATEMENTS.values())
STATEMENT_STARTS = frozenset(
    {"IDENTIFIER", "IF", "CASE", "FOR", "WHILE", "REPEAT", "EXIT", "CONTINUE", "RETURN"}
)

MISSPELT = {
    "ELSEIF": "ELSIF",
    "ELIF": "ELSIF",
    "ELSE_IF": "ELSIF",
    "ENDIF": "END_IF",
    "ENDCASE": "END_CASE",
    "ENDFOR": "END_FOR",
    "ENDWHILE": "END_WHILE",
    "ENDREPEAT": "END_REPEAT",
    "ENDVAR": "END_VAR",
    "ENDTYPE": "END_TYPE",
    "END": "END_IF or another END_ word",
    "BEGIN": "nothing: the statements follow the declarations at once",
    "FUNCTIONBLOCK": "FUNCTION_BLOCK",
    "SWITCH": "CASE",
}


_BEFORE_STATEMENTS = frozenset({"_SEMICOLON", "THEN", "ELSE", "DO", "REPEAT"})


def mark_misspelt(tokens: Sequence[Token]) -> None:
    """A misspelt keyword alone in the place of a statement is no call of something of that name:
    it gets a terminal that fits nowhere."""
    for before, token, after in zip(tokens, tokens[1:], tokens[2:], strict=False):
        begins = before.type in _BEFORE_STATEMENTS or before.type.startswith("END_")
        alone = begins and after.type == "_SEMICOLON"
        if alone and token.type == "IDENTIFIER" and token.upper() in MISSPELT:
            token.type = "MISSPELT"


class SyntaxPlace:
    """The place of one syntax error: ``token`` does not fit after ``before`` on ``stack``."""

    def __init__(
        self,
        source: SourceText,
        text: str,
        token: Token,
        before: Token | None,
        stack: Stack,
        following: Sequence[Token] = (),
    ) -> None:
        self.source = source
        self.text = text
        self.type: str = token.type
        self.at_end = self.type == END
        self._before = before
        self._following = following
        start = int(token.start_pos or 0)
        end = start if self.at_end else int(token.end_pos or start)
        self.span = Span(source, start, end)
        self.word = self.text[start:end]
        self._automaton = stack.automaton
        keep, over, _ = stack.automaton.reduced(stack.states, token.type)
        self._states = [*stack.states[:keep], *over]
        self._entries = stack.entries[: keep - 1]

    def shown(self) -> str:
        """The token as a message names it."""
        return "the end of the file" if self.at_end else f"'{self.word}'"

    @property
    def before(self) -> Span:
        """The word or sign before the token (empty at the start of the text)."""
        if self._before is None:
            return Span(self.source, 0, 0)
        return self.span_of(self._before)

    @property
    def gap(self) -> Span:
        """The place right behind the word before the token: where something is missing."""
        return Span(self.source, self.before.end, self.before.end)

    def followed_by(self, pattern: str) -> bool:
        """Whether the text behind the token begins so (spaces aside)."""
        return re.compile(rf"\s*(?:{pattern})").match(self.text, self.span.end) is not None

    def accepts(self, *terminals: str) -> bool:
        """Whether the grammar lets each of these be in the token's place."""
        return all(self._automaton.accepts(self._states, terminal) for terminal in terminals)

    def open_tokens(self) -> list[Token]:
        """What is begun and not ended, the innermost last: keywords and parentheses."""
        opened: list[Token] = []
        for token, _ in self._entries:
            if token is None:
                continue
            if token.type in CLOSERS or token.type == "_LPAR":
                opened.append(token)
            elif token.type == "_RPAR" or token.type.startswith("END_"):
                del opened[-1:]  # ended, but not reduced yet
        return opened

    def wrong_ends(self, opened: Sequence[str], skip: int) -> int:
        """How many ends in the rest of the unit would not match, with ``opened`` begun and
        ``skip`` tokens left out."""
        kinds, wrong = list(opened), 0
        for token in self._following[skip:]:
            kind = MISSPELT.get(token.upper(), token.type)
            if kind in UNITS | SECTIONS or kind in _UNIT_ENDS:
                return wrong + len([kind for kind in kinds if kind in _STATEMENTS])
            if kind in _STATEMENTS:
                kinds.append(kind)
            elif kind in _STATEMENT_ENDS:
                if kinds and _STATEMENTS.get(kinds[-1]) == kind:
                    kinds.pop()
                else:
                    wrong += 1
        return wrong

    def distance_to(self, *terminals: str) -> int | None:
        """How many tokens on the next of these is, the token itself being 0."""
        found = (n for n, token in enumerate(self._following) if token.type in terminals)
        return next(found, None)

    def distance_to_word(self, word: str) -> int | None:
        """The same for a word in upper case."""
        found = (n for n, token in enumerate(self._following) if token.upper() == word)
        return next(found, None)

    def span_of(self, token: Token) -> Span:
        return Span(self.source, int(token.start_pos or 0), int(token.end_pos or 0))

    def problem(
        self,
        code: str,
        message: str,
        help_text: str = "",
        span: Span | None = None,
        related: tuple[tuple[Span, str], ...] = (),
    ) -> Diagnostic:
        return Diagnostic(code, message, span or self.span, help_text, related)
