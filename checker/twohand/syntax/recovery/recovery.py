"""Every syntax error of a text: at each one the text is mended where that is easy to see, or the
statement or declaration is passed over, and reading goes on."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from lark import Token

from twohand.syntax.lexing.tokens import STRANGE
from twohand.syntax.recovery.messages import explain
from twohand.syntax.recovery.parse_table import END, Automaton, Stack
from twohand.syntax.recovery.repairs import FORCED, Repair, strange_repairs, suggested_repairs
from twohand.syntax.recovery.stop import CLOSERS, SECTIONS, STATEMENT_STARTS, UNITS, SyntaxPlace
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_text import SourceText

MOST_ERRORS = 50
"""Of one file; more help nobody."""

MOST_REPAIRS = 20
"""At one place, one after the other."""

MOST_ENDS = 2
"""Of so many more that are missing at one place a message is given."""

_AHEAD = 16
"""Tokens after a repair that are tried."""
_ENOUGH = 4
"""So many tokens have to fit after a repair that no message suggests; or all that are left."""

_ENDS = frozenset(CLOSERS.values()) | {"END_REPEAT", "ELSE", "ELSIF"}
_BOUNDARIES = (STATEMENT_STARTS - {"IDENTIFIER"}) | SECTIONS | UNITS | _ENDS | {"TYPE"}
_AS_NAME = Repair(("IDENTIFIER",), 1)
_LIKELY = (
    "_SEMICOLON", "_RPAR", "THEN", "DO", "OF", "TO", "ASSIGN", "_COLON", "_COMMA", "IDENTIFIER",
    "AND", "PLUS",
)  # fmt: skip
_SIGNS = {
    "_SEMICOLON": ";", "_RPAR": ")", "_LPAR": "(", "ASSIGN": ":=", "_COLON": ":", "_COMMA": ",",
    "PLUS": "+", "EQUAL": "=", "UNEQUAL": "<>", "LESS_EQUAL": "<=", "NUMBER": "0",
    "IDENTIFIER": "missing",
}  # fmt: skip


class Mended(NamedTuple):
    """What is wrong with a text, and the tokens of one like it with which nothing is wrong."""

    problems: list[Diagnostic]
    tokens: list[Token]


def mend(automaton: Automaton, source: SourceText, text: str, tokens: Sequence[Token]) -> Mended:
    """Everything that is wrong in ``tokens``, which end with one of type END where their end
    counts."""
    reader = _Reader(automaton, source, text, tokens, Stack(automaton))
    reader.read()
    return Mended(reader.problems, reader.output)


@dataclass(eq=False)
class _Reader:
    """``position`` is that of the next token; ``output`` has those taken so far."""

    automaton: Automaton
    source: SourceText
    text: str
    tokens: Sequence[Token]
    stack: Stack
    problems: list[Diagnostic] = field(default_factory=list)
    output: list[Token] = field(default_factory=list)
    position: int = 0
    resumed: int = -1
    repeated: int = 0
    refused_until: int = -1
    keywords: set[str] = field(default_factory=set)

    def read(self) -> None:
        while self.position < len(self.tokens):
            token = self.tokens[self.position]
            if self._take(token):
                self.position += 1
            elif len(self.problems) >= MOST_ERRORS:
                self.problems.append(self._too_many())
                return
            else:
                self._recover(token)

    def _take(self, token: Token) -> bool:
        if not self.stack.feed(token, len(self.output)):
            return False
        if token.type != END:
            self.output.append(token)
        return True

    def _too_many(self) -> Diagnostic:
        place = self._place(self.tokens[self.position])
        message = f"more than {MOST_ERRORS} errors: the rest of the file is not looked at"
        return place.problem("too-many-errors", message, "mend those before it first")

    # --- one error --------------------------------------------------------------------------

    def _recover(self, token: Token) -> None:
        if token.upper() in self.keywords and self._fitting(_AS_NAME) >= 0:
            self._mend(_AS_NAME)
            return
        if token.type == STRANGE:
            repairs: Iterable[Repair] = strange_repairs()
            forced = False
        else:
            place = self._place(token)
            problem = explain(place)
            repairs = suggested_repairs(problem, place)
            forced = problem.code in FORCED
            if self._is_new(problem):
                self.problems.append(problem)
        self.repeated = self.repeated + 1 if self.resumed == self.position else 0
        if self.repeated > MOST_REPAIRS:
            self.position += 1
            return
        repair = self._best(repairs, 0 if forced else 1)
        if repair is None:
            repair = self._best(self._any_repairs(), _ENOUGH)
        if repair is None:
            self._pass_over()
        else:
            self._mend(repair)
        self.resumed = self.position

    def _place(self, token: Token) -> SyntaxPlace:
        before = self.tokens[self.position - 1] if self.position else None
        following = self.tokens[self.position : self.position + 2_000]
        return SyntaxPlace(self.source, self.text, token, before, self.stack, following)

    def _is_new(self, problem: Diagnostic) -> bool:
        """Whether it has a cause of its own: not that of the error just before, nor a keyword
        that was a name before."""
        if problem.code == "keyword-as-name" and problem.span is not None:
            word = problem.span.text.upper()
            seen = word in self.keywords
            self.keywords.add(word)
            return not seen
        if self.tokens[self.position].type == "MISSPELT":
            return True
        if problem.code.endswith("-end"):
            return self.resumed != self.position or self.repeated < MOST_ENDS
        known = self.position <= self.refused_until or self.resumed == self.position
        if problem.code.startswith("unsupported-") or problem.code == "not-a-statement":
            self.refused_until = self._end_of_statement()
        return not known

    def _end_of_statement(self) -> int:
        """Where the next semicolon is: what is not read explains what else is strange."""
        for position in range(self.position, len(self.tokens)):
            if self.tokens[position].type == "_SEMICOLON":
                return position
        return len(self.tokens)

    def _best(self, repairs: Iterable[Repair], least: int) -> Repair | None:
        """The repair after which most tokens fit, the first of equal ones."""
        best, most = None, least - 1
        for repair in repairs:
            number = self._fitting(repair)
            if number > most:
                best, most = repair, number
        return best

    def _fitting(self, repair: Repair) -> int:
        """How many tokens fit after a repair; -1 where not even the repair does."""
        states = self.stack.states
        if repair == Repair():
            return -1
        if repair.back:
            if not self.stack.entries or self.stack.entries[-1].token is None:
                return -1
            states = states[:-1]
        begin = self.position + repair.skip
        if repair.skip and begin >= len(self.tokens):
            return -1
        following = [_kind(token) for token in self.tokens[begin : begin + _AHEAD]]
        number = self.automaton.accepted(
            states, (*repair.insert, *following), len(repair.insert) + _AHEAD
        )
        number -= len(repair.insert)
        return _AHEAD if number == len(following) else number

    def _any_repairs(self) -> Iterable[Repair]:
        others = sorted(self.automaton.terminals.difference(_LIKELY))
        fitting = [
            terminal
            for terminal in (*_LIKELY, *others)
            if self.automaton.accepts(self.stack.states, terminal)
        ]
        yield from (Repair((terminal,)) for terminal in fitting)
        yield Repair(skip=1)
        yield from (Repair((terminal,), 1) for terminal in fitting)

    def _mend(self, repair: Repair) -> None:
        if repair.back:
            self._cut(len(self.stack.states) - 1)
        token = self.tokens[self.position]
        for terminal in repair.insert:
            at = token.start_pos
            made = Token(terminal, _SIGNS.get(terminal, terminal), start_pos=at, end_pos=at)
            taken = self._take(made)
            assert taken, terminal
        self.position += repair.skip

    def _cut(self, length: int) -> None:
        begin = self.stack.cut(length)
        if begin >= 0:
            del self.output[begin:]

    # --- what cannot be mended ----------------------------------------------------------------

    def _pass_over(self) -> None:
        """To the next statement, declaration or unit that can be read from some place before."""
        for position in range(self.position, len(self.tokens)):
            if not self._is_boundary(position):
                continue
            length = self._resumable(position)
            if length is None or (position == self.position and length == len(self.stack.states)):
                continue
            self._cut(length)
            self.position = position
            return
        self.position = len(self.tokens)

    def _is_boundary(self, position: int) -> bool:
        kind = self.tokens[position].type
        if kind in _BOUNDARIES or kind == END:
            return True
        return position > self.position and self.tokens[position - 1].type == "_SEMICOLON"

    def _resumable(self, position: int) -> int | None:
        """How many states have to stay so that reading can go on there; what is begun and has an
        end stays."""
        kind = self.tokens[position].type
        following = [_kind(token) for token in self.tokens[position : position + _ENOUGH]]
        states = self.stack.states
        for length in range(len(states), 0, -1):
            if self.automaton.run(states, kind, length) is not None:
                number = self.automaton.accepted(states[:length], following, _ENOUGH)
                if number == len(following) or kind in _BOUNDARIES or self._is_whole(length):
                    return length
            elif kind in _ENDS | SECTIONS | UNITS | {END} and self._is_whole(length):
                return length  # the end of something else: an error of its own
            token = self.stack.entries[length - 2].token if length > 1 else None
            if token is not None and token.type in CLOSERS:
                return None
        return None

    def _is_whole(self, length: int) -> bool:
        """Whether a statement or a declaration could begin there."""
        states = self.stack.states
        return (
            self.automaton.run(states, "IF", length) is not None
            or self.automaton.run(states, "END_VAR", length) is not None
        )


def _kind(token: Token) -> str:
    """What a token is to those before it: a misspelt keyword is a mistake of its own."""
    return "IDENTIFIER" if token.type == "MISSPELT" else token.type
