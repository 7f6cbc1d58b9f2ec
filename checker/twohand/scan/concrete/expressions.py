"""Expressions of a typed program on Python values."""

from __future__ import annotations

from collections.abc import Callable, Container, Mapping, Sequence
from functools import partial
from operator import itemgetter
from typing import TypeAlias

from twohand import program as typed
from twohand.program.types import Value
from twohand.scan.arithmetic import Arithmetic, Function, raise_finding
from twohand.scan.finding import FindingKind
from twohand.text.source_text import Span

Values: TypeAlias = Mapping[str, Value]
Valued: TypeAlias = Callable[[Values], Value]
_DEEPEST = 50
"""Of functions that call each other."""
_TAKEN = 0
"""The depth of what was evaluated before."""


def _operands(expression: typed.Expression) -> tuple[typed.Expression, ...]:
    match expression:
        case typed.Operation() | typed.Apply():
            return expression.operands
        case typed.Convert() | typed.CompareReal():
            return (expression.operand,)
        case typed.Element():
            return tuple(each.index for each in expression.dimensions)
        case _:
            return ()


def position(dimensions: Sequence[typed.Dimension], indices: Sequence[Value], span: Span) -> int:
    """Where an element is in row-major order; FindingRaised for an index outside."""
    place = 0
    for dimension, index in zip(dimensions, indices, strict=True):
        step = index - dimension.lowest
        if not 0 <= step < dimension.count:
            raise_finding(FindingKind.INDEX_OUT_OF_RANGE, span)
        place = place * dimension.count + step
    return place


def in_order(expression: typed.Expression) -> tuple[typed.Expression, ...]:
    """Every part of an expression after its operands, operands from left to right.

    Long sums are deep trees, so the walk keeps its own stack. The arguments of a user's function
    and the operands of AND_THEN and OR_ELSE are not among the parts.
    """
    parts: list[typed.Expression] = []
    pending = [expression]
    while pending:
        part = pending.pop()
        parts.append(part)
        pending.extend(_operands(part))
    parts.reverse()
    return tuple(parts)


class Evaluator:
    """Values of expressions: every operand is evaluated, AND and OR included, left to right; only
    AND_THEN and OR_ELSE may leave their right one out.

    ``call`` runs a user's function; ``chosen`` says how the platform reads an open point; ``unset``
    are the names of the variables to which nothing was assigned in their call. An expression is
    made into nested functions once.
    """

    def __init__(
        self,
        arithmetic: Arithmetic,
        call: Callable[[typed.CallFunction], Value],
        chosen: Callable[[str], bool],
        unset: Container[str] = (),
    ) -> None:
        self._arithmetic = arithmetic
        self._unset = unset
        self._call = call
        self._chosen = chosen
        self._known: dict[typed.Expression, Valued] = {}

    def value(self, expression: typed.Expression, values: Values) -> Value:
        """The value of an expression where the variables have these values, by name;
        FindingRaised at the first finding."""
        valued = self._known.get(expression)
        if valued is None:
            valued = self._known[expression] = self.compiled(expression)
        return valued(values)

    def compiled(self, expression: typed.Expression) -> Valued:
        """The value of an expression as a function of the variables' values; errors as in
        ``value``."""
        stack: list[Valued] = []
        depths: list[int] = []
        steps = _Steps()
        for part in in_order(expression):
            first = len(stack) - len(_operands(part))
            depth = 1 + max(depths[first:], default=0)
            if depth > _DEEPEST:
                each = zip(stack, depths, strict=True)
                stack = [steps.taken(valued) if deep else valued for valued, deep in each]
                depths = [_TAKEN for _ in stack]
                depth = 1
            stack[first:] = [self._part(part, stack[first:])]
            depths[first:] = [depth]
        (last,) = stack
        return steps.before(last)

    def _part(self, part: typed.Expression, operands: Sequence[Valued]) -> Valued:
        match part:
            case typed.Literal():
                value = self._arithmetic.literal(part)
                return lambda values: value
            case typed.Read(variable=variable, span=span):
                if variable.unset_at_call:
                    return partial(self._read, variable.name, span)
                return itemgetter(variable.name)
            case typed.Operation():
                return _applied(self._arithmetic.operation(part), operands)
            case typed.Apply():
                return _applied(self._arithmetic.application(part), operands)
            case typed.Convert():
                return _applied(partial(self._arithmetic.convert, part), operands)
            case typed.CompareReal():
                return _applied(self._arithmetic.comparison(part), operands)
            case typed.Element():
                values = [self._held(value) for value in part.values]
                return partial(self._element, part, operands, values)
            case typed.CallFunction():
                return lambda values: self._call(part)
            case typed.ShortCircuit():
                return partial(self._short_circuit, part)
            case typed.PlatformChoice():
                return lambda values: self._chosen(part.reading)
            case typed.Uncomputed():
                raise TypeError("a program that is read has none of it")

    def _read(self, name: str, span: Span, values: Values) -> Value:
        self.check_set(name, span)
        return values[name]

    def check_set(self, name: str, span: Span) -> None:
        """FindingRaised where the variable is unset, and the platform gives it no value."""
        if name in self._unset and not self._chosen("temporaries_begin_anew"):
            raise_finding(FindingKind.READ_UNSET, span)

    def _held(self, value: typed.Expression) -> tuple[str, Valued]:
        """The name of an element, '' where it is none that may be unset, and what it has."""
        if isinstance(value, typed.Read):
            return value.variable.name, itemgetter(value.variable.name)
        return "", self.compiled(value)

    def _element(
        self,
        part: typed.Element,
        indices: Sequence[Valued],
        elements: Sequence[tuple[str, Valued]],
        values: Values,
    ) -> Value:
        found = [index(values) for index in indices]
        name, valued = elements[position(part.dimensions, found, part.span)]
        self.check_set(name, part.span)
        return valued(values)

    def _short_circuit(self, part: typed.ShortCircuit, values: Values) -> Value:
        first = self.value(part.left, values)
        decided = first is (part.operator is typed.Operator.OR)
        return first if decided else self.value(part.right, values)


class _Steps:
    """What a deep expression evaluates first, one after the other, so that it nests only so deep:
    with a part all that is before it is taken, for a finding in it comes before one of the part."""

    def __init__(self) -> None:
        self._steps: list[Valued] = []
        self._results: list[Value] = []

    def taken(self, valued: Valued) -> Valued:
        """The function as one step; its value, once the steps have been taken."""
        place = len(self._steps)
        self._steps.append(valued)
        return lambda values: self._results[place]

    def before(self, last: Valued) -> Valued:
        """All steps and then ``last``, whose value it is."""
        return partial(self._take, last) if self._steps else last

    def _take(self, last: Valued, values: Values) -> Value:
        self._results.clear()
        for step in self._steps:
            self._results.append(step(values))
        return last(values)


def _applied(function: Function, operands: Sequence[Valued]) -> Valued:
    """The function of what the operands are, which are evaluated from left to right."""
    match operands:
        case [only]:
            return lambda values: function(only(values))
        case [left, right]:
            return lambda values: function(left(values), right(values))
        case _:
            return lambda values: function(*[operand(values) for operand in operands])
