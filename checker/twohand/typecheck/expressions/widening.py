"""Which types widen to which without being asked, and values that still lack a type.

IEC 61131-3 Ed. 3, 6.6.1.6: SINT to INT to DINT to LINT, unsigned alike, unsigned to wider signed,
BOOL to BYTE to WORD to DWORD to LWORD; TIME to LTIME is from memory.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypeAlias

from twohand.program import Convert, Expression, Literal
from twohand.program.types import (
    DINT,
    INT,
    LINT,
    LTIME,
    TIME,
    ULINT,
    BitString,
    Boolean,
    Duration,
    Enumeration,
    Integer,
    Subrange,
    Type,
)
from twohand.syntax.parsing.literals import check_range, not_modelled
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import Span
from twohand.typecheck.expressions.folding import fold
from twohand.typecheck.reals.formulas import Formula
from twohand.typecheck.reals.numbers import RealOperand


@dataclass(frozen=True, eq=False)
class Untyped:
    """A constant of numbers without type; takes its type from where it is."""

    value: int
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class NotModelled:
    """A value of a type whose values are not modelled; ``parts`` are the modelled operands whose
    evaluation may fail or act. ``real`` is what can be compared all the same, ``made`` how it is
    made, where that is the same value wherever it is read in a scan."""

    type_name: str
    parts: tuple[Expression, ...]
    span: Span = field(repr=False)
    real: RealOperand | None = None
    made: Formula | None = None


Result: TypeAlias = Expression | Untyped | NotModelled


def refusal(value: NotModelled, span: Span | None = None) -> InputError:
    """The error where a modelled value would be made of one that is not."""
    return InputError(not_modelled(value.type_name, value.type_name, span or value.span))


def unranged(result: Result) -> Result:
    """A variable of a subrange has its base type in expressions."""
    if isinstance(result, Untyped | NotModelled) or not isinstance(result.type, Subrange):
        return result
    if isinstance(result, Literal):
        return Literal(result.value, result.type.base, result.span)
    return Convert(result, result.type.base, result.span)


def widens(source: Type, target: Type) -> bool:
    """Whether every value of ``source`` may occur where a ``target`` is asked for."""
    if source == target:
        return True
    if isinstance(source, Integer) and isinstance(target, Integer):
        if isinstance(target, Subrange):
            return source == target.base or widens(source, target.base)
        if isinstance(source, Subrange):
            return source.base == target or widens(source.base, target)
        if source.signed and not target.signed:
            return False
        return source.bits < target.bits
    if isinstance(target, BitString):
        return isinstance(source, Boolean) or (
            isinstance(source, BitString) and source.bits < target.bits
        )
    return source == TIME and target == LTIME


def common_type(left: Type, right: Type) -> Type | None:
    """The one of the two types that the other widens to."""
    if widens(left, right):
        return right
    return left if widens(right, left) else None


def default_type(value: Untyped) -> Integer:
    """The type of a number that nothing gives a type: the smallest of INT, DINT, LINT, ULINT."""
    for kind in (INT, DINT, LINT, ULINT):
        if kind.lowest <= value.value <= kind.highest:
            return kind
    way = f"the widest types hold {LINT.lowest} to {ULINT.highest}"
    raise wrong("value-out-of-range", f"{value.value} fits no integer type", value.span, way)


def fit(result: Result, expected: Type | None) -> Expression:
    """The result as an expression of the expected type (None: of its own type).

    InputError (``type-mismatch``, ``value-out-of-range``) where it does not widen to it.
    """
    if isinstance(result, NotModelled):
        raise refusal(result)
    if isinstance(result, Untyped):
        return _fit_number(result, expected or default_type(result))
    if expected is None or result.type == expected:
        return result
    if widens(result.type, expected):
        return fold(Convert(result, expected, result.span))
    raise mismatch(result.type, expected, result.span)


def _fit_number(number: Untyped, expected: Type) -> Literal:
    if isinstance(expected, Duration):
        message = f"a number occurs where {expected.name} is needed"
        way = f"write a duration, for instance T#{abs(number.value)}ms"
        raise wrong("type-mismatch", message, number.span, way)
    if isinstance(expected, Enumeration):
        message = f"a number occurs where a value of '{expected.name}' is needed"
        way = f"write one of its values, for instance {expected.values[0][0]}"
        raise wrong("type-mismatch", message, number.span, way)
    return Literal(check_range(number.value, expected, number.span), expected, number.span)


def mismatch(found: Type, expected: Type, span: Span) -> InputError:
    """The error for a type that does not widen to the one that is needed."""
    message = f"{found.name} occurs where {expected.name} is needed"
    return wrong("type-mismatch", message, span, conversion_help(found, expected))


def conversion_help(found: Type, expected: Type) -> str:
    """How to write the conversion out, where there is one."""
    if isinstance(expected, Boolean) and isinstance(found, Duration):
        return "compare it, for instance with >= T#1s"
    if isinstance(expected, Boolean):
        return "compare it, for instance with <> 0" if not isinstance(found, Enumeration) else (
            "compare it with one of its values"
        )  # fmt: skip
    if isinstance(found, Enumeration) or isinstance(expected, Enumeration):
        if isinstance(expected, Integer):
            return f"convert it: TO_{expected.name}(...)"
        return "values of an enumeration go with that enumeration only"
    return f"convert it: {found.name}_TO_{expected.name}(...)"
