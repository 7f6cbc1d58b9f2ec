"""Where a parse stopped: the token, what stands before it, what is still open, what may follow."""

from __future__ import annotations

import re
from typing import Any

from lark import Token
from lark.exceptions import UnexpectedToken

from checker.source.comments import blank_comments
from checker.source.diagnostic import Diagnostic
from checker.source.text import SourceText, Span

CLOSERS = {
    "IF": "END_IF",
    "CASE": "END_CASE",
    "FOR": "END_FOR",
    "WHILE": "END_WHILE",
    "REPEAT": "UNTIL",
    "VAR": "END_VAR",
    "VAR_INPUT": "END_VAR",
    "VAR_OUTPUT": "END_VAR",
    "VAR_IN_OUT": "END_VAR",
    "VAR_TEMP": "END_VAR",
    "VAR_INST": "END_VAR",
    "VAR_STAT": "END_VAR",
    "VAR_EXTERNAL": "END_VAR",
    "VAR_GLOBAL": "END_VAR",
    "TYPE": "END_TYPE",
    "FUNCTION_BLOCK": "END_FUNCTION_BLOCK",
    "FUNCTION": "END_FUNCTION",
    "PROGRAM": "END_PROGRAM",
    "METHOD": "END_METHOD",
    "PROPERTY": "END_PROPERTY",
    "ACTION": "END_ACTION",
    "INTERFACE": "END_INTERFACE",
    "CONFIGURATION": "END_CONFIGURATION",
    "RESOURCE": "END_RESOURCE",
}
MEMBERS = frozenset({"METHOD", "PROPERTY", "ACTION"})
SECTIONS = frozenset(word for word in CLOSERS if word.startswith("VAR"))
UNITS = frozenset({"FUNCTION_BLOCK", "FUNCTION", "PROGRAM"})
STATEMENT_STARTS = frozenset(
    {"IDENTIFIER", "IF", "CASE", "FOR", "WHILE", "REPEAT", "EXIT", "CONTINUE", "RETURN"}
)


class SyntaxPlace:
    """The place of one syntax error."""

    def __init__(self, error: UnexpectedToken, source: SourceText) -> None:
        self.source = source
        self.type: str = error.token.type
        self.text = blank_comments(source)
        self.at_end = self.type == "$END"
        start = len(self.text.rstrip()) if self.at_end else int(error.token.start_pos or 0)
        end = start if self.at_end else int(error.token.end_pos or start)
        self.span = Span(source, start, end)
        self.word = self.text[start:end]
        assert error.interactive_parser is not None  # always there with LALR
        self._state: Any = error.interactive_parser.parser_state

    def shown(self) -> str:
        """The token as a message names it."""
        return "the end of the file" if self.at_end else f"'{self.word}'"

    @property
    def before(self) -> Span:
        """The word or sign before the token (empty at the start of the text)."""
        text = self.text[: self.span.start].rstrip()
        found = re.search(r"\w+$|:=$|=>$|\*\*$|<>$|[<>]=$|.$", text)
        return Span(self.source, found.start() if found else 0, len(text))

    @property
    def gap(self) -> Span:
        """The place right behind the word before the token: where something is missing."""
        return Span(self.source, self.before.end, self.before.end)

    def followed_by(self, pattern: str) -> bool:
        """Whether the text behind the token begins so (spaces aside)."""
        return re.match(rf"\s*(?:{pattern})", self.text[self.span.end :]) is not None

    def accepts(self, *terminals: str) -> bool:
        """Whether the grammar lets each of these stand in the token's place."""
        return all(self._accepts(terminal) for terminal in terminals)

    def _accepts(self, terminal: str) -> bool:
        """Runs the parse table on states alone; values may be nested too deep to be copied."""
        states = list(self._state.state_stack)
        table = self._state.parse_conf.parse_table.states
        while True:
            action = table[states[-1]].get(terminal)
            if action is None:
                return False
            kind, argument = action
            if kind.name == "Shift":
                return True
            if length := len(argument.expansion):
                del states[-length:]
            states.append(table[states[-1]][argument.origin.name][1])

    def open_tokens(self) -> list[Token]:
        """What is begun and not ended, the innermost last: keywords and parentheses."""
        opened: list[Token] = []
        for value in self._state.value_stack:
            if not isinstance(value, Token):
                continue
            if value.type in CLOSERS or value.type == "_LPAR":
                opened.append(value)
            elif value.type == "_RPAR" or value.type.startswith("END_"):
                del opened[-1:]  # ended, but not reduced yet
        return opened

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
