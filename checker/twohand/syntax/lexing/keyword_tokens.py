"""Which identifiers are keywords, and the signs that begin like an identifier (``S=``)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from lark import Token

from twohand.syntax.lexing.keywords import BEFORE_NAMES, BEHIND_TYPES, REFUSED_TOKENS

_ENDS_OF_PATHS = ("RBRACKET", "CARET", "NUMBER", "DIRECT")
"""Of ``a[1]``, ``p^``, ``word.3`` and ``word.%X3``."""


class Words:
    """Turns identifiers that are keywords into their terminals, in any letter case.

    ``words`` maps words in upper case to terminals; ``program`` says that the text is structured
    text, with its assignments ``S=`` and ``R=``."""

    always_accept = ("IDENTIFIER", "FOREIGN", "RBRACKET", "EQUAL", *REFUSED_TOKENS)

    def __init__(self, words: Mapping[str, str]) -> None:
        self._words = words
        self._program = "IF" in words

    def process(self, stream: Iterator[Token]) -> Iterator[Token]:
        held: Token | None = None
        before = ""
        for token in self._signs(stream) if self._program else stream:
            if held is not None:
                yield self._named(held, token, before)
                before = held.type
            held = token
        if held is not None:
            yield self._named(held, None, before)

    def _named(self, token: Token, following: Token | None, before: str) -> Token:
        """The token; ``before`` is the type of the one before it."""
        if token.type == "IDENTIFIER":
            word = token.upper()
            name = word in BEHIND_TYPES and before != "IDENTIFIER"
            if not name and (word not in BEFORE_NAMES or self._is_name(following)):
                token.type = self._words.get(word, "IDENTIFIER")
        return token

    def _is_name(self, token: Token | None) -> bool:
        """Whether a token is an identifier that is no keyword, or one of those before names."""
        if token is None or token.type != "IDENTIFIER":
            return False
        return token.upper() in BEFORE_NAMES or token.upper() not in self._words

    def _signs(self, stream: Iterator[Token]) -> Iterator[Token]:
        """Joins the ``S`` or ``R`` and the ``=`` of ``x S= y``: a name that follows a name, and
        has the equals sign right behind it, is no operand."""
        before = waiting = None
        for token in stream:
            if waiting is not None:
                if token.type == "EQUAL" and token.start_pos == waiting.end_pos:
                    token = _joined(waiting, token)
                else:
                    yield waiting
                before, waiting = waiting, None
            if token.type == "IDENTIFIER" and token.upper() in ("S", "R", "REF"):
                after_name = before is not None and before.type in _ENDS_OF_PATHS
                if after_name or self._is_name(before):
                    waiting = token
                    continue
            before = token
            yield token
        if waiting is not None:
            yield waiting


def _joined(word: Token, sign: Token) -> Token:
    kind = "REFUSED" if word.upper() == "REF" else "SET_ASSIGN"
    text = f"{word}{sign}"
    return Token(
        kind, text, word.start_pos, word.line, word.column, sign.end_line, sign.end_column,
        sign.end_pos,
    )  # fmt: skip
