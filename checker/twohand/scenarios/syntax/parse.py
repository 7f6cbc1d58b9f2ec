"""Scenarios to their syntax trees."""

from __future__ import annotations

from functools import cache
from typing import Any

from lark import Lark, Token
from lark.tree import Meta

from twohand.scenarios.syntax import nodes
from twohand.specification.syntax.build_statements import StatementBuilder
from twohand.specification.syntax.statement_reader import Language, read_texts
from twohand.specification.syntax.words import TERMINALS as OF_SPECS
from twohand.syntax.lexing.keywords import EXPRESSION_KEYWORDS
from twohand.syntax.parsing.expressions import Children
from twohand.syntax.parsing.parse import build_parser
from twohand.text.diagnostic import Diagnostic
from twohand.text.resources import grammar_text
from twohand.text.source_text import SourceText, Span
from twohand.text.suggestions import nearest

START, END = "SCENARIO", "END_SCENARIO"
STATEMENTS = frozenset(("FOR", "READING", "INITIALLY", "AT", "ALWAYS", "SCAN", "BEFORE", "UNTIL"))
"""The words that begin a statement."""
_OTHERS = ("SPEC", "CLOCK", "POWER", "EXPECT", "WITHIN", "SCANS", "SINCE", "SHOWN", "BY")
_WORDS = (*STATEMENTS, *_OTHERS)
TERMINALS = {word: f"_{word}" for word in _WORDS} | {
    "ON": "ON",
    "OFF": "OFF",
    "FIRST_SCAN": OF_SPECS["FIRST_SCAN"],
    "ANY_SCAN": OF_SPECS["ANY_SCAN"],
}
_SLIPS = {
    "EXPECT": "say when: AT T#600ms EXPECT ..., or ALWAYS EXPECT ...",
    "POWER": "say when: AT T#600ms POWER OFF;",
    "END": "the end of the run is written UNTIL T#2s;",
    "WAIT": "times count from the first scan: AT T#600ms ...",
    "AFTER": "times count from the first scan: AT T#600ms ...",
}


class ScenarioBuilder(StatementBuilder):
    """Something for each rule of ``grammar/scenario.lark``."""

    def scenario_statement(self, meta: Meta, children: Children) -> Any:
        return self.parts(children)[0]

    def for_spec(self, meta: Meta, children: Children) -> nodes.ForStatement:
        file, name = self.parts(children)
        return nodes.ForStatement(file, name, span=self.span(meta))

    def initially(self, meta: Meta, children: Children) -> nodes.InitiallyStatement:
        return nodes.InitiallyStatement(tuple(self.parts(children)), span=self.span(meta))

    def changes(self, meta: Meta, children: Children) -> nodes.ChangeStatement:
        time, *bindings = self.parts(children)
        return nodes.ChangeStatement(time, tuple(bindings), span=self.span(meta))

    def real_setting(self, meta: Meta, children: Children) -> nodes.RealBinding:
        """What is between quotes, or a number with its sign."""
        name, *_, value = children
        negative = any(isinstance(each, Token) and each.type == "MINUS" for each in children)
        quoted = value.type == "STRING"
        text = str(value)[1:-1] if quoted else f"{'-' if negative else ''}{value}"
        return nodes.RealBinding(name, text, self.span(value), self.span(meta))

    def supply_on(self, meta: Meta, children: Children) -> nodes.SupplyChange:
        return nodes.SupplyChange(children[0], True, span=self.span(meta))

    def supply_off(self, meta: Meta, children: Children) -> nodes.SupplyChange:
        return nodes.SupplyChange(children[0], False, span=self.span(meta))

    def clock_shows(self, meta: Meta, children: Children) -> nodes.ClockStatement:
        time, shown = children
        return nodes.ClockStatement(time, shown, span=self.span(meta))

    def expected(self, meta: Meta, children: Children) -> nodes.ExpectedStatement:
        begin, formula, within = children
        asked = self.finished(formula)
        return nodes.ExpectedStatement(begin, None, asked, within, span=self.span(meta))

    def expected_during(self, meta: Meta, children: Children) -> nodes.ExpectedStatement:
        begin, until, formula = children
        asked = self.finished(formula)
        return nodes.ExpectedStatement(begin, until, asked, None, span=self.span(meta))

    def until_time(self, meta: Meta, children: Children) -> nodes.UntilTime:
        kept = [child for child in children if not isinstance(child, Token)]
        return nodes.UntilTime(kept[0], self.span(meta))

    def always_expected(self, meta: Meta, children: Children) -> nodes.ExpectedStatement:
        asked = self.finished(children[0])
        return nodes.ExpectedStatement(None, None, asked, None, span=self.span(meta))

    def scan_times(self, meta: Meta, children: Children) -> nodes.ScanTimesStatement:
        return nodes.ScanTimesStatement(tuple(children), span=self.span(meta))

    def times_before(self, meta: Meta, children: Children) -> nodes.TimesBeforeStatement:
        return nodes.TimesBeforeStatement(tuple(children), span=self.span(meta))

    def scan_count(self, meta: Meta, children: Children) -> nodes.ScanCount:
        count, *_, time = children
        return nodes.ScanCount(count, time, self.span(meta))

    def end_time(self, meta: Meta, children: Children) -> nodes.EndStatement:
        return nodes.EndStatement(children[0], span=self.span(meta))


def _unknown(token: Token, span: Span) -> Diagnostic:
    """No statement of a scenario begins so."""
    close = nearest(str(token), STATEMENTS)
    near = f"did you mean '{close}'?" if close else "statements begin with a word like AT"
    way = _SLIPS.get(token.upper(), near)
    return Diagnostic("unknown-statement", f"no statement begins with '{token}'", span, way)


@cache
def _parser() -> Lark:
    words = {word: word for word in EXPRESSION_KEYWORDS}
    grammar = grammar_text("specification") + grammar_text("scenario")
    return build_parser(grammar, "scenario_statement", words)


_SCENARIOS = Language(
    start=START,
    end=END,
    noun="scenario",
    missing="missing-scenario",
    begins="a scenario begins with SCENARIO and its name",
    statements=STATEMENTS,
    terminals=TERMINALS,
    parser=_parser,
    builder=ScenarioBuilder,
    unknown=_unknown,
    other_starts=frozenset(("SPEC",)),
    other="this is a spec; check it: twohand check {path}",
    name_before=frozenset(("ASSIGN", "_DOT", "LBRACKET")),
)


def parse_scenarios(source: SourceText) -> tuple[nodes.ScenarioTree, ...]:
    """The scenarios of a file, at least one; InputError with every syntax error."""
    return tuple(
        nodes.ScenarioTree(each.name, each.statements, source, each.times, each.span)
        for each in read_texts(source, _SCENARIOS)
    )
