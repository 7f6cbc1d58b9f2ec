"""From the parser's tree to the syntax tree of the spec language: formulas."""

from __future__ import annotations

from typing import Any

from lark import Token
from lark.tree import Meta

from twohand.program import Operator
from twohand.program.durations import Nanoseconds
from twohand.program.types import Duration
from twohand.specification.syntax.formulas import (
    AnyScanNode,
    BoundNode,
    Connected,
    FirstScanNode,
    FormulaNode,
    Implication,
    Plain,
    Temporal,
    TemporalWord,
    Time,
    Whole,
)
from twohand.syntax import tree
from twohand.syntax.parsing.expressions import Children, ExpressionBuilder
from twohand.syntax.parsing.nesting import DEEPEST
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_text import Span

CONNECTING = {
    "AND": Operator.AND,
    "AMPERSAND": Operator.AND,
    "AND_THEN": Operator.AND,
    "OR": Operator.OR,
    "OR_ELSE": Operator.OR,
    "XOR": Operator.XOR,
    "EQUAL": Operator.EQUAL,
    "UNEQUAL": Operator.UNEQUAL,
}
WORDS = {word.value: word for word in TemporalWord}
OPERANDS = {TemporalWord.SINCE: 2}
"""Of all other words: one."""
BOUNDED = {TemporalWord.ONCE, TemporalWord.HELD, TemporalWord.SINCE}
UNBOUNDED = {"EVENTUALLY", "FINALLY", "LEADS_TO"}
USAGE = {
    TemporalWord.PREV: "prev(x) or prev(x, 2)",
    TemporalWord.ROSE: "rose(p)",
    TemporalWord.FELL: "fell(p)",
    TemporalWord.STABLE: "stable(x)",
    TemporalWord.ONCE: "once(p) or once(p, T#500ms)",
    TemporalWord.HELD: "held(p) or held(p, T#500ms)",
    TemporalWord.SINCE: "since(p, q) or since(p, q, T#500ms)",
}
LARGEST_NUMBER = 1_000_000_000


def is_expression(node: object) -> bool:
    """While building, an expression is kept as itself; ``formula`` makes it ``Plain``."""
    return isinstance(node, tree.Expression)


class FormulaBuilder(ExpressionBuilder):
    """The rules that make formulas of expressions, and bounds."""

    def __init__(self, source: Any) -> None:
        super().__init__(source)
        self.times: list[Time] = []

    def problem(self, code: str, message: str, span: Span, help_text: str = "") -> None:
        self.problems.append(Diagnostic(code, message, span, help_text))

    def _no_number(self, sign: Token, needs: str) -> None:
        message = f"'{sign}' needs {needs}, but a formula with a temporal word is TRUE or FALSE"
        way = "compare numbers within the temporal word"
        self.problem("truth-is-no-number", message, self.span(sign), way)

    def formula(self, node: Any) -> FormulaNode:
        """The finished formula; a problem where it is nested too deep."""
        return Plain(node) if is_expression(node) else node

    # --- literals ---------------------------------------------------------------------------

    def literal(self, meta: Meta, children: Children) -> tree.Expression:
        result = super().literal(meta, children)
        if isinstance(result, tree.Literal) and isinstance(result.type, Duration):
            self.times.append(Time(Nanoseconds(result.value), result.span))
        return result

    def time(self, meta: Meta, children: Children) -> Time:
        before = len(self.problems)
        result = self.literal(meta, children)
        if isinstance(result, tree.Literal) and isinstance(result.type, Duration):
            return self.times[-1]
        if len(self.problems) == before:
            message = f"'{result.span.text}' is no duration"
            self.problem("not-a-time", message, result.span, "write for instance T#20ms")
        return Time(Nanoseconds(0), result.span)

    def whole(self, meta: Meta, children: Children) -> Whole:
        result = self.literal(meta, children)
        value = int(result.value) if isinstance(result, tree.Literal) else 0
        if value > LARGEST_NUMBER:
            message = f"more than {LARGEST_NUMBER} cannot be counted"
            self.problem("number-too-large", message, result.span, "write a smaller number")
            value = LARGEST_NUMBER
        return Whole(value, result.span)

    # --- bounds -----------------------------------------------------------------------------

    def bound(self, meta: Meta, children: Children) -> BoundNode:
        child = children[0]
        return child if isinstance(child, BoundNode) else BoundNode(None, child, child.span)

    def time_range(self, meta: Meta, children: Children) -> BoundNode:
        low, _, high = children
        return BoundNode(low, high, self.span(meta))

    def scans(self, meta: Meta, children: Children) -> BoundNode:
        return BoundNode(None, children[0], self.span(meta))

    scans_range = time_range
    bound_argument = bound

    # --- connectives ------------------------------------------------------------------------

    def _binary(self, left: Any, sign: Token, right: Any) -> Any:
        if is_expression(left) and is_expression(right):
            return super()._binary(left, sign, right)
        span = left.span.through(right.span)
        if sign.type in CONNECTING:
            operands = (self.formula(left), self.formula(right))
            return Connected(CONNECTING[sign.type], operands, span)
        self._no_number(sign, "numbers")
        return left

    def negation(self, meta: Meta, children: Children) -> Any:
        sign, operand = children
        if is_expression(operand):
            return super().negation(meta, children)
        if sign.type == "NOT":
            return Connected(Operator.NOT, (operand,), self.span(meta))
        self._no_number(sign, "a number")
        return operand

    def implication(self, meta: Meta, children: Children) -> Implication:
        left, right = children
        return Implication(self.formula(left), self.formula(right), self.span(meta))

    def infix_since(self, meta: Meta, children: Children) -> Temporal:
        left, right = children
        operands = (self.formula(left), self.formula(right))
        return Temporal(TemporalWord.SINCE, operands, self.span(meta))

    def first_scan(self, meta: Meta, children: Children) -> FirstScanNode:
        return FirstScanNode(self.span(meta))

    def any_scan(self, meta: Meta, children: Children) -> AnyScanNode:
        return AnyScanNode(self.span(meta))

    # --- calls ------------------------------------------------------------------------------

    def keyword_call(self, meta: Meta, children: Children) -> Any:
        return self._without_formulas(super().keyword_call(meta, children))

    def call(self, meta: Meta, children: Children) -> Any:
        result = super().call(meta, children)
        if isinstance(result, tree.PathCall):
            return result
        key = result.name.text.upper()
        if key in WORDS:
            return self._temporal(WORDS[key], result)
        if key in UNBOUNDED:
            self.problem(*unbounded(key, result.name.span))
            return result
        return self._without_formulas(result)

    def _without_formulas(self, call: tree.Call) -> tree.Call:
        """``call``, if nothing temporal is among its arguments."""
        kept = []
        for argument in call.arguments:
            value = argument if isinstance(argument, BoundNode) else argument.value
            if is_expression(value):
                kept.append(argument)
                continue
            message = f"a temporal word cannot occur within a call of '{call.name.text}'"
            way = "join formulas with AND, OR, NOT and ->"
            self.problem("temporal-in-call", message, value.span, way)
        return tree.Call(call.name, tuple(kept), call.span)

    def _temporal(self, word: TemporalWord, call: tree.Call) -> Any:
        """A temporal word with its operands, checked; ``prev`` of an expression stays a call."""
        values: list[Any] = [
            argument if isinstance(argument, BoundNode) else argument.value
            for argument in call.arguments
        ]
        bound, count = None, None
        wanted = OPERANDS.get(word, 1)
        if word in BOUNDED and len(values) == wanted + 1:
            bound = self._as_bound(values.pop())
        elif word is TemporalWord.PREV and len(values) == 2:
            count = self._as_count(values.pop())
        if len(values) != wanted or not self._positional(call, values):
            message = f"'{call.name.text}' is not used like this"
            self.problem("wrong-arguments", message, call.span, f"write {USAGE[word]}")
            return FirstScanNode(call.span)
        if word is TemporalWord.PREV and is_expression(values[0]):
            return call
        operands = tuple(self.formula(value) for value in values)
        return Temporal(word, operands, call.span, bound, count)

    def _positional(self, call: tree.Call, operands: list[Any]) -> bool:
        named = any(
            not isinstance(argument, BoundNode) and argument.name is not None
            for argument in call.arguments
        )
        return not named and not any(isinstance(value, BoundNode) for value in operands)

    def _as_bound(self, value: Any) -> BoundNode:
        if isinstance(value, BoundNode):
            return value
        if isinstance(value, tree.Literal) and isinstance(value.type, Duration):
            return BoundNode(None, Time(Nanoseconds(value.value), value.span), value.span)
        way = "write for instance T#500ms, T#500ms.. or 3 SCANS"
        self.problem("not-a-bound", "a bound is a time or a number of scans", value.span, way)
        return BoundNode(None, None, value.span)

    def _as_count(self, value: Any) -> Whole:
        if isinstance(value, tree.Literal) and value.type is None:
            return Whole(int(value.value), value.span)
        message = "'prev' counts scans in a whole number"
        self.problem("not-a-number", message, value.span, "write for instance prev(x, 2)")
        return Whole(1, value.span)


def unbounded(word: str, span: Span) -> tuple[str, str, Span, str]:
    """What is said of a word that asks for something at no stated time."""
    return (
        "unbounded-liveness",
        f"'{word}' asks for something at no stated time, which no finite run can refute",
        span,
        "state by when: f -> g WITHIN T#500ms",
    )


LEVELS = (tree.Unary, tree.Binary, tree.Call, Temporal, Connected, Implication)


def check_depth(root: FormulaNode) -> Diagnostic | None:
    """An error where a formula is nested deeper than the walks of it allow."""
    waiting: list[tuple[Any, int]] = [(root, 0)]
    while waiting:
        node, depth = waiting.pop()
        depth += isinstance(node, LEVELS)
        if depth > DEEPEST:
            span = Span(node.span.source, node.span.start, node.span.start + 1)
            message = f"this is nested more than {DEEPEST} levels deep"
            return Diagnostic("nested-too-deep", message, span, "split it into several formulas")
        waiting.extend((child, depth) for child in _children(node))
    return None


def _children(node: Any) -> tuple[Any, ...]:
    match node:
        case Plain(expression):
            return (expression,)
        case tree.Unary(_, operand):
            return (operand,)
        case tree.Binary(_, left, right) | Implication(left, right):
            return (left, right)
        case tree.Call(_, arguments):
            return tuple(argument.value for argument in arguments)
        case Temporal(_, operands) | Connected(_, operands):
            return operands
    return ()
