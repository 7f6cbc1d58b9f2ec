"""A text of statements between two words, read one statement after the other.

A statement that is wrong does not hide what is wrong with the next: the parser begins anew after
each semicolon. Specs are read so, and scenarios, which have formulas and names in common with them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from itertools import islice
from typing import Any

from lark import Lark, Token, Tree
from lark.exceptions import UnexpectedCharacters, UnexpectedToken

from twohand.specification.syntax.build_statements import StatementBuilder
from twohand.specification.syntax.formulas import Time
from twohand.specification.syntax.messages import explain, missing_semicolon
from twohand.syntax.lexing.tokens import MOST_TOKENS, too_many, unknown_character
from twohand.syntax.tree import Identifier
from twohand.text.comments import blank_comments
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_text import SourceText, Span

MOST_STRANGE_CHARACTERS = 20
"""After so many the file is no such text, and more messages help nobody."""


@dataclass(frozen=True)
class Language:
    """``start`` and ``end`` are the words around a text, ``noun`` is what it is called. ``missing``
    is the code of a file that does not begin so, ``begins`` what is said of that;
    ``other_starts`` are words with which a file of another kind begins, ``other`` what is said then
    (``{path}`` is the file's). ``terminals`` are the words by which the grammar knows them, of
    which ``statements`` begin a statement; before a token of ``name_before`` a word is a name.
    ``unknown`` says what is wrong with a word that begins none."""

    start: str
    end: str
    noun: str
    missing: str
    begins: str
    statements: frozenset[str]
    terminals: Mapping[str, str]
    parser: Callable[[], Lark]
    builder: type[StatementBuilder]
    unknown: Callable[[Token, Span], Diagnostic]
    other_starts: frozenset[str] = frozenset()
    other: str = ""
    name_before: frozenset[str] = frozenset()


@dataclass(frozen=True)
class ReadText:
    """One text between the two words: its statements, and all duration literals in it."""

    name: Identifier
    statements: tuple[Any, ...]
    times: tuple[Time, ...]
    span: Span = field(repr=False)


def read_texts(source: SourceText, language: Language) -> tuple[ReadText, ...]:
    """The texts of a file, at least one; InputError with every syntax error."""
    reader = _Reader(source, language)
    texts = reader.texts()
    if reader.problems:
        raise InputError(sorted(reader.problems, key=_start))
    return tuple(texts)


def _start(problem: Diagnostic) -> int:
    return problem.span.start if problem.span else 0


class _Reader:
    """Goes through the tokens of one file; ``position`` is that of the next token."""

    def __init__(self, source: SourceText, language: Language) -> None:
        self.source = source
        self.language = language
        self.problems: list[Diagnostic] = []
        self.times: list[Time] = []
        self.strange: list[int] = []
        self.statement_start = 0
        self.tokens = self._lexed(blank_comments(source))
        self.position = 0

    # --- tokens -----------------------------------------------------------------------------

    def _lexed(self, text: str) -> list[Token]:
        """The tokens of the text; characters that begin none are reported and passed over."""
        while True:
            try:
                tokens = list(islice(self.language.parser().lex(text), MOST_TOKENS + 1))
                if len(tokens) > MOST_TOKENS:
                    raise too_many(tokens[-1], self.source)
                return tokens
            except UnexpectedCharacters as error:
                at = error.pos_in_stream or 0
                self.strange.append(at)
                self.problems.append(unknown_character(at, at + 1, self.source))
                if len(self.problems) >= MOST_STRANGE_CHARACTERS:
                    raise InputError(self.problems) from None
                text = f"{text[:at]} {text[at + 1 :]}"

    def _next(self, ahead: int = 0) -> Token | None:
        at = self.position + ahead
        return self.tokens[at] if at < len(self.tokens) else None

    def _is(self, key: str) -> bool:
        token = self._next()
        return token is not None and token.type == "IDENTIFIER" and token.upper() == key

    def _is_over(self) -> bool:
        """Whether the text ends here, or another one begins."""
        return self._next() is None or self._is(self.language.end) or self._is(self.language.start)

    def _span(self, token: Token | None) -> Span:
        """A token's place; that of the end of the file where there is none."""
        if token is None:
            end = len(self.source.text.rstrip())
            return Span(self.source, max(0, end - 1), end)
        return Span(self.source, token.start_pos or 0, token.end_pos or 0)

    def _stop(self, code: str, message: str, token: Token | None, help_text: str) -> InputError:
        self.problems.append(Diagnostic(code, message, self._span(token), help_text))
        return InputError(sorted(self.problems, key=_start))

    # --- texts ------------------------------------------------------------------------------

    def texts(self) -> list[ReadText]:
        found = [self._text()]
        while self._next() is not None:
            found.append(self._text())
        return found

    def _text(self) -> ReadText:
        language = self.language
        begin, last = language.start, language.end
        start = self._next()
        if start is None or not self._is(begin):
            other = start is not None and start.upper() in language.other_starts
            way = language.other.format(path=self.source.path)
            right = f"write {begin} Name ... {last}"
            raise self._stop(language.missing, language.begins, start, way if other else right)
        self.position += 1
        name = self._next()
        words = language.statements | {last, begin}
        if name is None or name.type != "IDENTIFIER" or name.upper() in words:
            raise self._stop("missing-name", f"{begin} needs a name", start, f"write {begin} Name")
        self.position += 1
        self._pass_semicolons()
        self.times = []
        statements = self._statements()
        end = self._next()
        if not self._is(last):
            way = f"write {last} at its end"
            raise self._stop("missing-end", f"this {language.noun} has no {last}", start, way)
        self.position += 1
        self._pass_semicolons()
        namer = StatementBuilder(self.source)
        identifier = namer.identifier(name)
        self.problems.extend(namer.problems)
        span = self._span(start).through(self._span(end))
        return ReadText(identifier, tuple(statements), tuple(self.times), span)

    def _pass_semicolons(self) -> None:
        while (token := self._next()) is not None and token.type == "_SEMICOLON":
            self.position += 1

    # --- statements -------------------------------------------------------------------------

    def _statements(self) -> list[Any]:
        statements: list[Any] = []
        while True:
            self._pass_semicolons()
            token = self._next()
            if token is None or self._is_over():
                return statements
            if token.type != "IDENTIFIER" or token.upper() not in self.language.statements:
                self.problems.append(self.language.unknown(token, self._span(token)))
                self._skip()
                continue
            statement = self._statement()
            if statement is not None:
                statements.append(statement)

    def _statement(self) -> Any:
        """One statement; None where it is wrong (the problem is kept)."""
        parsing = self.language.parser().parse_interactive("")
        self.statement_start = self.position
        last: Token | None = None
        while True:
            token = self._next()
            if token is None or (last is not None and self._is_over()):
                self.problems.append(missing_semicolon(self._span(last)))
                return None
            terminal = self._terminal(token)
            if terminal is not None and terminal in parsing.choices():  # type: ignore[no-untyped-call]
                token = Token.new_borrow_pos(terminal, str(token), token)
            try:
                parsing.feed_token(token)
            except UnexpectedToken:
                accepted: set[str] = parsing.accepts()  # type: ignore[no-untyped-call]
                self._unexpected(token, last, accepted)
                return None
            last = token
            self.position += 1
            if token.type == "_SEMICOLON":
                return self._built(parsing.feed_eof(token))  # type: ignore[no-untyped-call]

    def _terminal(self, token: Token) -> str | None:
        """What a word is where the grammar has it in that place."""
        following = self._next(1)
        if token.type != "IDENTIFIER":
            return None
        if following is not None and following.type in self.language.name_before:
            return None
        return self.language.terminals.get(token.upper())

    def _unexpected(self, token: Token, last: Token | None, accepted: set[str]) -> None:
        if "_SEMICOLON" in accepted and token.upper() in self.language.statements:
            self.problems.append(missing_semicolon(self._span(last)))
            return
        begin = self._span(self.tokens[self.statement_start]).start
        end = self._span(token).start
        if not any(begin <= place < end for place in self.strange):  # else it is reported already
            before = None if last is None else (last, self._span(last))
            words = self.language.terminals
            self.problems.append(explain(token, self._span(token), accepted, before, words))
        self._skip()

    def _skip(self) -> None:
        """To behind the next semicolon, or to the end of the text."""
        while (token := self._next()) is not None and not self._is(self.language.end):
            self.position += 1
            if token.type == "_SEMICOLON":
                return

    def _built(self, parsed: Tree[Token]) -> Any:
        builder = self.language.builder(self.source)
        try:
            statement = builder.build(parsed)
        except InputError as error:
            self.problems.extend(error.diagnostics)
            return None
        self.times.extend(builder.times)
        return statement
