"""Formulas and properties from their syntax trees."""

from __future__ import annotations

from twohand.program import Literal, Operation, Operator, Read
from twohand.program.durations import NO_TIME, ONE_SCAN, Scans, Units
from twohand.program.types import BOOL
from twohand.scan.clocking import Clocking
from twohand.specification.logic.formula import (
    Always,
    And,
    AnyScan,
    Atom,
    Before,
    Bound,
    Fell,
    FirstScan,
    Formula,
    Historically,
    Iff,
    Implies,
    Not,
    Once,
    Or,
    Previous,
    Property,
    Response,
    Rose,
    Since,
    Until,
)
from twohand.specification.resolving.names import SpecificationScope, past_count, previous_arguments
from twohand.specification.syntax.formulas import (
    PREV,
    AnyScanNode,
    BoundNode,
    Connected,
    FirstScanNode,
    FormulaNode,
    Implication,
    Plain,
    PropertyForm,
    PropertyNode,
    Temporal,
    TemporalWord,
    Time,
    Whole,
)
from twohand.syntax import tree
from twohand.text.diagnostic import wrong
from twohand.text.source_text import Span


class FormulaResolver:
    """Resolves formulas in one scope, with durations in units of one clocking.

    Every method raises InputError where a name, a type or a bound is wrong.
    """

    def __init__(self, scope: SpecificationScope, clocking: Clocking) -> None:
        self.scope = scope
        self.clocking = clocking

    def formula(self, node: FormulaNode) -> Formula:
        match node:
            case Plain(expression):
                return self._plain(expression)
            case FirstScanNode():
                return FirstScan()
            case AnyScanNode():
                return AnyScan()
            case Implication(left, right):
                return Implies(self.formula(left), self.formula(right))
            case Connected(operator, operands):
                return connect(operator, tuple(self.formula(operand) for operand in operands))
            case Temporal():
                return self._temporal(node)

    def property(self, node: PropertyNode) -> Property:
        trigger = None if node.trigger is None else self.formula(node.trigger)
        first = self.formula(node.first)
        second = None if node.second is None else self.formula(node.second)
        if node.form is PropertyForm.ALWAYS:
            return Always(first if trigger is None else Implies(trigger, first), trigger)
        if node.form is PropertyForm.NEVER:
            return Always(Not(first))
        asked = trigger if trigger is not None else true_at(node.span)
        if node.form is PropertyForm.WITHIN:
            if node.bound is None:
                raise ValueError("WITHIN has a bound")
            return Response(asked, first, self.answer_bound(node.bound))
        if node.form is PropertyForm.FOR:
            if node.bound is None:
                raise ValueError("FOR has a bound")
            begun = Once(And((asked, AnyScan())), self.bound(node.bound))
            return Always(Implies(begun, first), asked)
        if second is None:
            raise ValueError("UNTIL and BEFORE have two operands")
        if node.form is PropertyForm.UNTIL:
            return Until(asked, first, second)
        return Before(asked, first, second)

    def answer_bound(self, node: BoundNode) -> Bound:
        """The bound of an answer that comes later: from 0, with an end."""
        bound = self.bound(node)
        if bound.high is None:
            message = "an answer without an end to its time is not refuted by any run"
            way = "give the time by which it must come"
            raise wrong("unbounded-answer", message, node.span, way)
        return bound

    def bound(self, node: BoundNode) -> Bound:
        in_scans = isinstance(node.low if node.high is None else node.high, Whole)
        low = NO_TIME if node.low is None else self._amount(node.low)
        high = None if node.high is None else self._amount(node.high)
        if high is not None and high < low:
            way = "write the earlier time first, or the end alone"
            raise wrong("empty-bound", "the bound ends before it begins", node.span, way)
        if low > 0 and high is not None:
            message = "a bound with both a beginning above 0 and an end is not supported"
            way = "let it begin at 0, or leave its end open (T#5ms..)"
            raise wrong("two-sided-bound", message, node.span, way)
        return Bound(low, high, in_scans)

    def units(self, time: Time) -> Units:
        """The duration in the clocking's units; InputError where it is finer, or negative."""
        if time.nanoseconds < 0:
            way = "write the time without its sign"
            raise wrong("negative-time", "a negative time makes no sense here", time.span, way)
        try:
            return self.clocking.units(time.nanoseconds)
        except ValueError:
            message, way = "this is finer than the unit", "state a finer UNIT, or none"
            raise wrong("finer-than-unit", message, time.span, way) from None

    def _amount(self, node: Whole | Time) -> Units | Scans:
        return Scans(node.value) if isinstance(node, Whole) else self.units(node)

    # --- parts -----------------------------------------------------------------------------

    def _plain(self, node: tree.Expression) -> Formula:
        """One atom, or (where ``prev`` occurs below a connective) connected ones."""
        if not mentions_past(node):
            return self.scope.atom(node)
        match node:
            case tree.Unary(Operator.NOT, operand):
                return Not(self._plain(operand))
            case tree.Binary((Operator.AND | Operator.OR | Operator.XOR) as operator, left, right):
                return connect(operator, (self._plain(left), self._plain(right)))
            case tree.Call(name) if name.text.upper() == PREV:
                operand, count = previous_arguments(node)
                return Previous(self._plain(operand), count)
        return self.scope.atom(node)

    def _temporal(self, node: Temporal) -> Formula:
        if node.word is TemporalWord.STABLE:
            return self._stable(node.operands[0])
        operands = [self.formula(operand) for operand in node.operands]
        bound = None if node.bound is None else self.bound(node.bound)
        match node.word:
            case TemporalWord.PREV:
                if node.count is None:
                    return Previous(operands[0])
                return Previous(operands[0], past_count(node.count.value, node.count.span))
            case TemporalWord.ROSE:
                return Rose(operands[0])
            case TemporalWord.FELL:
                return Fell(operands[0])
            case TemporalWord.ONCE:
                return Once(operands[0], bound)
            case TemporalWord.HELD:
                return Historically(operands[0], bound)
        return Since(operands[0], operands[1], bound)

    def _stable(self, node: FormulaNode) -> Formula:
        """The same as in the scan before; numbers are compared as numbers."""
        if isinstance(node, Plain):
            expression, histories = self.scope.with_past(node.expression, None)
            if expression.type != BOOL:
                before = self.scope.history(expression, ONE_SCAN, node.span)
                past = Read(before.variable, node.span)
                same = Operation(Operator.EQUAL, (expression, past), BOOL, node.span)
                return Atom(same, (*histories, before))
        operand = self.formula(node)
        return Iff(operand, Previous(operand))


def connect(operator: Operator, operands: tuple[Formula, ...]) -> Formula:
    """A connective of structured text as a formula."""
    match operator:
        case Operator.NOT:
            return Not(operands[0])
        case Operator.AND:
            return And(operands)
        case Operator.OR:
            return Or(operands)
        case Operator.EQUAL:
            return Iff(operands[0], operands[1])
        case Operator.XOR | Operator.UNEQUAL:
            return Not(Iff(operands[0], operands[1]))
    raise ValueError(f"{operator} connects no formulas")


def true_at(span: Span) -> Formula:
    """TRUE in every scan."""
    return Atom(Literal(True, BOOL, span))


def mentions_past(node: tree.Expression) -> bool:
    """Whether ``prev`` occurs in the expression."""
    waiting = [node]
    while waiting:
        match waiting.pop():
            case tree.Call(name, arguments):
                if name.text.upper() == PREV:
                    return True
                waiting.extend(argument.value for argument in arguments)
            case tree.Unary(_, operand):
                waiting.append(operand)
            case tree.Binary(_, left, right):
                waiting.extend((left, right))
    return False


def plain_expression(node: FormulaNode, what: str) -> tree.Expression:
    """The expression of a formula that may have no temporal word; ``prev`` is refused later."""
    if not isinstance(node, Plain):
        way = "say here how things are now"
        raise wrong("past-not-allowed", f"a temporal word cannot occur in {what}", node.span, way)
    return node.expression
