"""Expressions as terms; findings are recorded on the way."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import z3

from twohand import program as typed
from twohand.program.types import (
    BitString,
    Boolean,
    ClockTime,
    Integer,
    RealClasses,
    Type,
)
from twohand.scan.finding import FindingKind
from twohand.scan.symbolic.bits import bits_value, compare_bits, shift
from twohand.scan.symbolic.frames import FrameKind, SymbolicScan
from twohand.scan.symbolic.integers import (
    converted,
    difference,
    in_range,
    magnitude,
    remainder_of,
    times,
    total,
    truncated_quotient,
)
from twohand.scan.symbolic.terms import (
    Number,
    Term,
    Truth,
    any_of,
    at_least,
    below,
    bits_of,
    both,
    choose,
    differs,
    either,
    equal,
    negation,
    number_of,
    sort_of,
    truth_of,
)
from twohand.scan.symbolic.timers import clock_difference
from twohand.text.source_text import Span

COMPARISONS = {
    typed.Operator.EQUAL,
    typed.Operator.UNEQUAL,
    typed.Operator.LESS,
    typed.Operator.LESS_EQUAL,
    typed.Operator.GREATER,
    typed.Operator.GREATER_EQUAL,
}
LOGIC = {typed.Operator.NOT, typed.Operator.AND, typed.Operator.OR, typed.Operator.XOR}
SHIFTS = {
    typed.StandardFunction.SHL,
    typed.StandardFunction.SHR,
    typed.StandardFunction.ROL,
    typed.StandardFunction.ROR,
}


def evaluate(scan: SymbolicScan, expression: typed.Expression) -> Term:
    """The expression's value here; operands are evaluated left to right, all of them."""
    match expression:
        case typed.Literal():
            return scan.converted(expression.value, expression.type, expression.span)
        case typed.Read():
            scan.find_unset(expression.span, scan.unset(expression.variable))
            return scan.read(expression.variable)
        case typed.Operation():
            return _operation(scan, expression)
        case typed.Apply():
            return _apply(scan, expression)
        case typed.Element():
            return _element(scan, expression)
        case typed.Convert():
            return converted(scan, expression, evaluate(scan, expression.operand))
        case typed.CallFunction():
            return call_function(scan, expression)
        case typed.ShortCircuit():
            return _short_circuit(scan, expression)
        case typed.CompareReal():
            return _compare_real(scan, expression)
        case typed.PlatformChoice():
            return scan.reading(expression.reading)
        case typed.Uncomputed():
            raise TypeError("what nobody computes is an input once a program is read")


def call_function(scan: SymbolicScan, call: typed.CallFunction, used: bool = True) -> Term:
    """A call of a function, and its value, where somebody uses that."""
    arguments = {variable: evaluate(scan, value) for variable, value in call.arguments}
    scan.run_routine(scan, call.routine, arguments)
    if used:
        scan.find_unset(call.span, scan.unset(call.result))
    for output in call.outputs:
        store(scan, output)
    return scan.read(call.result)


def _short_circuit(scan: SymbolicScan, expression: typed.ShortCircuit) -> Term:
    """The right operand runs in a branch of its own: it may write, and be a finding."""
    left = truth_of(evaluate(scan, expression.left))
    conjunction = expression.operator is typed.Operator.AND
    goes_on = left if conjunction else negation(left)
    if goes_on is False:
        return left
    if goes_on is True:
        return evaluate(scan, expression.right)
    scan.open(FrameKind.BRANCH, goes_on)
    right = truth_of(evaluate(scan, expression.right))
    chosen = scan.leave()
    scan.open(FrameKind.BRANCH, negation(goes_on))
    scan.close_branches(goes_on, chosen, scan.leave())
    return both(left, right) if conjunction else either(left, right)


# --- operators --------------------------------------------------------------------------------


def _operation(scan: SymbolicScan, operation: typed.Operation) -> Term:
    operands = [evaluate(scan, operand) for operand in operation.operands]
    kind = operation.operands[0].type
    operator = operation.operator
    if operator in COMPARISONS:
        return compare(operator, operands[0], operands[1], kind)
    if operator in LOGIC:
        return _logic(operator, operands, kind)
    value, *others = map(number_of, operands)
    if isinstance(kind, ClockTime):
        return clock_difference(scan, value, others[0])
    if operator is typed.Operator.NEGATE:
        return in_range(scan, difference(0, value), operation.type, operation.span)
    if operator is typed.Operator.POWER:
        return in_range(scan, _power(value, others[0]), operation.type, operation.span)
    for operand in others:
        value = _arithmetic(scan, operator, value, operand, operation)
    return value


def _arithmetic(
    scan: SymbolicScan,
    operator: typed.Operator,
    left: Number,
    right: Number,
    operation: typed.Operation,
) -> Number:
    if operator in (typed.Operator.DIVIDE, typed.Operator.MODULO):
        scan.find(FindingKind.DIVISION_BY_ZERO, operation.span, equal(right, 0))
    functions: dict[typed.Operator, Callable[[Number, Number], Number]] = {
        typed.Operator.ADD: total,
        typed.Operator.SUBTRACT: difference,
        typed.Operator.MULTIPLY: times,
        typed.Operator.DIVIDE: truncated_quotient,
        typed.Operator.MODULO: remainder_of,
    }
    result = functions[operator](left, right)
    smaller = operator is typed.Operator.DIVIDE and _shrinks(right)
    if isinstance(operation.type, Integer) and (smaller or operator is typed.Operator.MODULO):
        return result  # what a duration is divided from may be below zero
    return in_range(scan, result, operation.type, operation.span)


def _shrinks(divisor: Number) -> bool:
    """Whether no quotient by it can leave the dividend's range."""
    return isinstance(divisor, int) and divisor >= 0


def _power(base: Number, exponent: Number) -> Number:
    if not isinstance(exponent, int):
        raise TypeError("the exponent of ** is a literal")
    result: Number = 1
    for _ in range(exponent):
        result = times(result, base)
    return result


def compare(operator: typed.Operator, left: Term, right: Term, kind: Type) -> Truth:
    if operator is typed.Operator.EQUAL:
        return equal(left, right)
    if operator is typed.Operator.UNEQUAL:
        return negation(equal(left, right))
    match operator:
        case typed.Operator.GREATER_EQUAL:
            return _not_less(left, right, kind)
        case typed.Operator.LESS_EQUAL:
            return _not_less(right, left, kind)
        case typed.Operator.LESS:
            return negation(_not_less(left, right, kind))
    return negation(_not_less(right, left, kind))


def _not_less(left: Term, right: Term, kind: Type) -> Truth:
    if isinstance(kind, BitString):
        return compare_bits(bits_of(left), bits_of(right))
    if isinstance(kind, Boolean):
        return at_least(choose_number(left), choose_number(right))
    return at_least(number_of(left), number_of(right))


def choose_number(term: Term) -> Number:
    """0 or 1 for a Boolean."""
    return choose(truth_of(term), 1, 0, z3.IntSort())


def _logic(operator: typed.Operator, operands: Sequence[Term], kind: Type) -> Term:
    if isinstance(kind, BitString):
        return bits_value(operator, [bits_of(operand) for operand in operands], kind.bits)
    value, *others = map(truth_of, operands)
    if operator is typed.Operator.NOT:
        return negation(value)
    join = {typed.Operator.AND: both, typed.Operator.OR: either, typed.Operator.XOR: differs}[
        operator
    ]
    for operand in others:
        value = join(value, operand)
    return value


def _compare_real(scan: SymbolicScan, comparison: typed.CompareReal) -> Truth:
    """By the numbers of the classes: of those below the constant, at it and above it. Above them
    all is not-a-number, which is unequal and nothing else."""
    number, kind = number_of(evaluate(scan, comparison.operand)), comparison.operand.type
    if not isinstance(kind, RealClasses):
        raise TypeError(f"no classes: {kind.name}")
    place = 2 * kind.constants.index(comparison.constant) + 1
    first = sum(each < place for each in kind.places)
    behind = sum(each <= place for each in kind.places)
    less, at_most = below(number, first), below(number, behind)
    is_number = below(number, len(kind.places))
    match comparison.operator:
        case typed.Operator.LESS:
            return less
        case typed.Operator.LESS_EQUAL:
            return at_most
        case typed.Operator.GREATER:
            return both(negation(at_most), is_number)
        case typed.Operator.GREATER_EQUAL:
            return both(negation(less), is_number)
        case typed.Operator.EQUAL:
            return both(negation(less), at_most)
        case typed.Operator.UNEQUAL:
            return either(less, negation(at_most))
    raise TypeError(f"{comparison.operator.value} is no comparison")


# --- standard functions -----------------------------------------------------------------------


def _apply(scan: SymbolicScan, apply: typed.Apply) -> Term:
    operands = [evaluate(scan, operand) for operand in apply.operands]
    kind, function = apply.type, apply.function
    if function in SHIFTS:
        if not isinstance(kind, BitString):
            raise TypeError("only bit strings are shifted")
        count = number_of(operands[1])
        scan.find(FindingKind.INDEX_OUT_OF_RANGE, apply.span, below(count, 0))
        return shift(function, bits_of(operands[0]), count, kind.bits)
    match function:
        case typed.StandardFunction.ABS:
            return in_range(scan, magnitude(number_of(operands[0])), kind, apply.span)
        case typed.StandardFunction.SEL:
            return choose(truth_of(operands[0]), operands[2], operands[1], sort_of(kind))
        case typed.StandardFunction.MUX:
            return _multiplex(scan, apply, operands)
        case typed.StandardFunction.LIMIT:
            lowest, value, highest = operands
            return _least(_greatest(value, lowest, kind), highest, kind)
    extreme = _least if function is typed.StandardFunction.MIN else _greatest
    value = operands[0]
    for operand in operands[1:]:
        value = extreme(value, operand, kind)
    return value


def _least(left: Term, right: Term, kind: Type) -> Term:
    return choose(
        compare(typed.Operator.GREATER_EQUAL, left, right, kind), right, left, sort_of(kind)
    )


def _greatest(left: Term, right: Term, kind: Type) -> Term:
    return choose(
        compare(typed.Operator.GREATER_EQUAL, left, right, kind), left, right, sort_of(kind)
    )


def _multiplex(scan: SymbolicScan, apply: typed.Apply, operands: Sequence[Term]) -> Term:
    index, values = number_of(operands[0]), operands[1:]
    outside = either(below(index, 0), at_least(index, len(values)))
    scan.find(FindingKind.INDEX_OUT_OF_RANGE, apply.span, outside)
    result = values[-1]
    for number, value in reversed(list(enumerate(values[:-1]))):
        result = choose(equal(index, number), value, result, sort_of(apply.type))
    return result


def indexed(scan: SymbolicScan, dimensions: Sequence[typed.Dimension], span: Span) -> list[Truth]:
    """For each element, in row-major order, whether the indices name it; a finding where they
    name none."""
    conditions: list[Truth] = [True]
    for dimension in dimensions:
        index = number_of(evaluate(scan, dimension.index))
        end = dimension.lowest + dimension.count
        outside = either(below(index, dimension.lowest), at_least(index, end))
        scan.find(FindingKind.INDEX_OUT_OF_RANGE, span, outside)
        here = [equal(index, number) for number in range(dimension.lowest, end)]
        conditions = [both(outer, inner) for outer in conditions for inner in here]
    return conditions


def store(scan: SymbolicScan, statement: typed.Store) -> None:
    """An assignment, to whichever element it is."""
    value = evaluate(scan, statement.value)
    if isinstance(statement, typed.Assign):
        if statement.target in scan.noted:
            scan.noted[statement.target].append(both(scan.here(), truth_of(value)))
        else:
            scan.assign(statement.target, value)
        return
    conditions = indexed(scan, statement.dimensions, statement.place)
    for condition, target in zip(conditions, statement.targets, strict=True):
        kept = scan.read(target)
        scan.assign(target, choose(condition, value, kept, scan.sort(target)), condition)


def _element(scan: SymbolicScan, element: typed.Element) -> Term:
    conditions = indexed(scan, element.dimensions, element.span)
    unset: list[Truth] = []
    values: list[Term] = []
    for here, each in zip(conditions, element.values, strict=True):
        if isinstance(each, typed.Read):  # only the one that the indices name is read
            unset.append(both(here, scan.unset(each.variable)))
            values.append(scan.read(each.variable))
        else:
            values.append(evaluate(scan, each))
    scan.find_unset(element.span, any_of(unset))
    result = values[-1]
    for condition, value in reversed(list(zip(conditions[:-1], values[:-1], strict=True))):
        result = choose(condition, value, result, sort_of(element.type))
    return result
