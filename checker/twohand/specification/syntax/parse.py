"""The spec language to its syntax tree, one statement after the other.

A statement that is wrong does not hide what is wrong with the next: the parser begins anew after
each semicolon.
"""

from __future__ import annotations

from functools import cache
from itertools import islice

from lark import Lark, Token, Tree
from lark.exceptions import UnexpectedCharacters, UnexpectedToken

from twohand.specification.syntax.build_statements import StatementBuilder
from twohand.specification.syntax.formulas import Time
from twohand.specification.syntax.messages import explain, missing_semicolon, unknown_statement
from twohand.specification.syntax.nodes import SpecificationTree, StatementNode
from twohand.specification.syntax.words import END, START, STATEMENTS, TERMINALS
from twohand.syntax.lexing.keywords import EXPRESSION_KEYWORDS
from twohand.syntax.lexing.tokens import MOST_TOKENS, too_many, unknown_character
from twohand.syntax.parsing.parse import build_parser
from twohand.text.comments import blank_comments
from twohand.text.diagnostic import Diagnostic, InputError, wrong
from twohand.text.resources import grammar_text
from twohand.text.source_text import SourceText, Span

PROGRAM_STARTS = {"FUNCTION_BLOCK", "FUNCTION", "PROGRAM", "TYPE"}
PROGRAM_HELP = (
    "this is a program; check a spec that names it (SPEC Name SOURCE 'file.st'; ...), or inspect "
    "it without one: twohand inspect {path}"
)
MOST_STRANGE_CHARACTERS = 20
"""After so many the file is no spec, and more messages help nobody."""


def parse_specification(source: SourceText) -> SpecificationTree:
    """The syntax tree of a file with one spec; InputError with every syntax error in it, and
    where there are several specs."""
    trees = parse_specifications(source)
    if len(trees) > 1:
        span = trees[1].name.span
        message, way = "the file has more than one spec", "put each into a file of its own"
        raise wrong("several-specs", message, span, way)
    return trees[0]


def parse_specifications(source: SourceText) -> tuple[SpecificationTree, ...]:
    """The syntax trees of a file's specs, at least one; InputError with every syntax error."""
    reader = _Reader(source)
    trees = reader.specifications()
    if reader.problems:
        raise InputError(sorted(reader.problems, key=_start))
    return tuple(trees)


def _start(problem: Diagnostic) -> int:
    return problem.span.start if problem.span else 0


@cache
def _parser() -> Lark:
    words = {word: word for word in EXPRESSION_KEYWORDS}
    return build_parser(grammar_text("specification"), "specification_statement", words)


class _Reader:
    """Goes through the tokens of one file; ``position`` is that of the next token."""

    def __init__(self, source: SourceText) -> None:
        self.source = source
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
                tokens = list(islice(_parser().lex(text), MOST_TOKENS + 1))
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

    def _next(self) -> Token | None:
        return self.tokens[self.position] if self.position < len(self.tokens) else None

    def _is(self, key: str) -> bool:
        token = self._next()
        return token is not None and token.type == "IDENTIFIER" and token.upper() == key

    def _span(self, token: Token | None) -> Span:
        """A token's place; that of the end of the file where there is none."""
        if token is None:
            end = len(self.source.text.rstrip())
            return Span(self.source, max(0, end - 1), end)
        return Span(self.source, token.start_pos or 0, token.end_pos or 0)

    def _stop(self, code: str, message: str, token: Token | None, help_text: str) -> InputError:
        self.problems.append(Diagnostic(code, message, self._span(token), help_text))
        return InputError(sorted(self.problems, key=_start))

    # --- specs ------------------------------------------------------------------------------

    def specifications(self) -> list[SpecificationTree]:
        trees = [self._specification()]
        while self._next() is not None:
            trees.append(self._specification())
        return trees

    def _specification(self) -> SpecificationTree:
        start = self._next()
        if start is None or not self._is(START):
            program = start is not None and start.upper() in PROGRAM_STARTS
            way = PROGRAM_HELP.format(path=self.source.path)
            raise self._stop(
                "missing-spec",
                "a spec begins with SPEC and its name",
                start,
                way if program else "write SPEC Name ... END_SPEC",
            )
        self.position += 1
        name = self._next()
        if name is None or name.type != "IDENTIFIER" or name.upper() in STATEMENTS | {END, START}:
            raise self._stop("missing-name", "SPEC needs a name", start, "write SPEC Name")
        self.position += 1
        self._pass_semicolons()
        self.times = []
        statements = self._statements()
        end = self._next()
        if not self._is(END):
            raise self._stop(
                "missing-end", "this spec has no END_SPEC", start, "write END_SPEC at its end"
            )
        self.position += 1
        self._pass_semicolons()
        namer = StatementBuilder(self.source)
        identifier = namer.identifier(name)
        self.problems.extend(namer.problems)
        span = self._span(start).through(self._span(end))
        return SpecificationTree(
            identifier,
            tuple(statements),
            self.source,
            tuple(self.times),
            span,
        )

    def _pass_semicolons(self) -> None:
        while (token := self._next()) is not None and token.type == "_SEMICOLON":
            self.position += 1

    # --- statements -------------------------------------------------------------------------

    def _statements(self) -> list[StatementNode]:
        statements: list[StatementNode] = []
        while True:
            self._pass_semicolons()
            token = self._next()
            if token is None or self._is(END) or self._is(START):
                return statements
            if token.type != "IDENTIFIER" or token.upper() not in STATEMENTS:
                self.problems.append(unknown_statement(token, self._span(token)))
                self._skip()
                continue
            statement = self._statement()
            if statement is not None:
                statements.append(statement)

    def _statement(self) -> StatementNode | None:
        """One statement; None where it is wrong (the problem is kept)."""
        parsing = _parser().parse_interactive("")
        self.statement_start = self.position
        last: Token | None = None
        while True:
            token = self._next()
            if token is None or (last is not None and (self._is(END) or self._is(START))):
                self.problems.append(missing_semicolon(self._span(last)))
                return None
            terminal = TERMINALS.get(token.upper()) if token.type == "IDENTIFIER" else None
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

    def _unexpected(self, token: Token, last: Token | None, accepted: set[str]) -> None:
        if "_SEMICOLON" in accepted and token.upper() in STATEMENTS:
            self.problems.append(missing_semicolon(self._span(last)))
            return
        begin = self._span(self.tokens[self.statement_start]).start
        end = self._span(token).start
        if not any(begin <= place < end for place in self.strange):  # else it is reported already
            before = None if last is None else (last, self._span(last))
            self.problems.append(explain(token, self._span(token), accepted, before))
        self._skip()

    def _skip(self) -> None:
        """To behind the next semicolon, or to the end of the spec."""
        while (token := self._next()) is not None and not self._is(END):
            self.position += 1
            if token.type == "_SEMICOLON":
                return

    def _built(self, parsed: Tree[Token]) -> StatementNode | None:
        builder = StatementBuilder(self.source)
        try:
            statement: StatementNode = builder.build(parsed)
        except InputError as error:
            self.problems.extend(error.diagnostics)
            return None
        self.times.extend(builder.times)
        return statement
