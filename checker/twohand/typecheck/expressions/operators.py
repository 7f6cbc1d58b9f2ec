"""What operators ask of their operands, and what comes of it (IEC 61131-3, 2.5.1 and 3.3.1)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from twohand.program import (
    Apply,
    CompareReal,
    Convert,
    Expression,
    Literal,
    Operation,
    Operator,
    Read,
    StandardFunction,
    Uncomputed,
)
from twohand.program.types import (
    BOOL,
    INTEGERS,
    BitString,
    Boolean,
    Duration,
    Enumeration,
    Integer,
    Subrange,
    Type,
)
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import Span
from twohand.typecheck.expressions.folding import arithmetic, compare, fold, holds
from twohand.typecheck.expressions.real_comparisons import TURNED, compare_reals
from twohand.typecheck.expressions.widening import (
    NotModelled,
    Result,
    Untyped,
    common_type,
    fit,
    refusal,
    widens,
)
from twohand.typecheck.reals.formulas import (
    Formula,
    formula_of_modelled,
    formula_of_real,
    joined,
)
from twohand.typecheck.reals.numbers import FORMATS, RealNumber

_LOGIC = {Operator.AND, Operator.OR, Operator.XOR}
_EQUALITY = {Operator.EQUAL, Operator.UNEQUAL}
_ORDER = {Operator.LESS, Operator.LESS_EQUAL, Operator.GREATER, Operator.GREATER_EQUAL}
_SCALING = {Operator.MULTIPLY, Operator.DIVIDE}
_LARGEST_UNTYPED = 1 << 64

_SIGNS = {Operator.SUBTRACT: "-"}


def sign_of(operator: Operator) -> str:
    """The operator as it is written."""
    return _SIGNS.get(operator, operator.value)


def unary(operator: Operator, operand: Result, span: Span, expected: Type | None) -> Result:
    """NOT or unary minus."""
    if isinstance(operand, NotModelled):
        number = operand.real if operator is Operator.NEGATE else None
        real = number.negated() if isinstance(number, RealNumber) else None
        made = formula_of_real(real) or joined(operator.value, [made_of(operand)])
        return NotModelled(operand.type_name, operand.parts, span, real, made)
    if isinstance(operand, Untyped):
        if operator is Operator.NEGATE:
            return Untyped(-operand.value, span)
        operand = _with_bit_type(operand, expected, operator)
    kind = operand.type
    allowed = (Boolean, BitString) if operator is Operator.NOT else (Integer, Duration)
    if not isinstance(kind, allowed):
        raise _not_for(operator, (kind,), span)
    return fold(Operation(operator, (operand,), kind, span))


def binary(
    operator: Operator, left: Result, right: Result, span: Span, expected: Type | None = None
) -> Result:
    """``left operator right``; InputError (``operator-types``, ``division-by-zero`` ...)."""
    if isinstance(left, NotModelled) or isinstance(right, NotModelled):
        compared: Expression | None = compare_reals(operator, left, right, span)
        if compared is None and operator in TURNED:
            compared = uncomputed_comparison(operator, left, right, span)
        return compared or without_model((left, right), span, made_by=operator.value)
    if isinstance(left, Untyped) and isinstance(right, Untyped):
        if operator not in _LOGIC:
            return _numbers(operator, left, right, span)
        left = _with_bit_type(left, expected, operator)
    if operator is Operator.POWER:
        return _power(left, right, span)
    if operator in _SCALING and not isinstance(left, Untyped) and isinstance(left.type, Duration):
        count = fit(right, None)
        if not isinstance(count.type, Integer):
            raise _not_for(operator, (left.type, count.type), span)
        return fold(Operation(operator, (left, count), left.type, span))
    first, second = _alike(operator, left, right, span)
    if not _allowed(operator, first.type):
        raise _not_for(operator, (first.type,), span)
    kind = BOOL if operator in _EQUALITY | _ORDER else first.type
    return fold(Operation(operator, (first, second), kind, span))


def is_total(expression: Expression) -> bool:
    """Whether evaluating it can neither be a finding nor change anything."""
    match expression:
        case Literal():
            return True
        case Read(variable=variable):
            return not variable.unset_at_call
        case CompareReal(operand=operand):
            return is_total(operand)
        case Uncomputed(parts=parts):
            return not parts
        case Convert(operand=operand):
            kind = expression.type
            plain = not isinstance(kind, Subrange) and widens(operand.type, kind)
            return is_total(operand) and plain
        case Apply(function=function, operands=operands):
            harmless = function in (
                StandardFunction.MIN, StandardFunction.MAX,
                StandardFunction.LIMIT, StandardFunction.SEL,
            )  # fmt: skip
            return harmless and all(map(is_total, operands))
        case Operation(operator=operator, operands=operands):
            harmless = operator in _LOGIC | _EQUALITY | _ORDER | {Operator.NOT}
            return harmless and all(map(is_total, operands))
    return False


def without_model(
    results: Sequence[Result], span: Span, name: str = "", made_by: str = ""
) -> NotModelled:
    """The value that is made of these, of a type without model (``name``, else the first one's);
    with what has to be evaluated all the same. ``made_by`` is the operator or function, where it
    gives equal values for equal operands."""
    for result in results:
        if isinstance(result, NotModelled):
            name = name or result.type_name
    made = joined(made_by, [made_of(each) for each in results]) if made_by else None
    return NotModelled(name, evaluated(results), span, made=made)


def evaluated(results: Iterable[Result]) -> tuple[Expression, ...]:
    """What of them has to be evaluated even where their values are not modelled."""
    parts: list[Expression] = []
    for result in results:
        if isinstance(result, NotModelled):
            parts.extend(result.parts)
        elif not isinstance(result, Untyped) and not is_total(result):
            parts.append(result)
    return tuple(parts)


def uncomputed_comparison(
    operator: Operator, left: Result, right: Result, span: Span
) -> Uncomputed | None:
    """A comparison of REALs that nobody computes; None where one side is no number, and where both
    are constants."""
    if not _is_number(left) or not _is_number(right):
        return None
    if operator in (Operator.GREATER, Operator.GREATER_EQUAL):  # a > b is b < a
        made = joined(TURNED[operator].value, [made_of(right), made_of(left)])
    else:
        made = joined(operator.value, [made_of(left), made_of(right)])
    if made is not None and made.constant:
        return None
    return uncomputed(BOOL, (left, right), made, span)


def uncomputed(
    kind: Type, operands: Sequence[Result], made: Formula | None, span: Span
) -> Uncomputed:
    """A value of a modelled type that is made of ``operands`` without a model."""
    text, leaves = ("", ()) if made is None else (made.text, made.leaves)
    return Uncomputed(kind, evaluated(operands), text, leaves, span)


def _is_number(result: Result) -> bool:
    match result:
        case NotModelled(type_name=name):
            return name in FORMATS
        case Untyped():
            return True
    return isinstance(result.type, Integer)


def made_of(result: Result) -> Formula | None:
    """How a value is made, where it is the same one wherever it is read in a scan."""
    match result:
        case NotModelled(real=real, made=made):
            return made or formula_of_real(real)
        case Untyped(value=value):
            return Formula(str(value), constant=True)
    return formula_of_modelled(result)


def alike(results: list[Result], span: Span, what: str, expected: Type | None = None) -> list[
    Expression
]:  # fmt: skip
    """Operands of a function that all need one type, in the type that the others widen to; of a
    function that gives one of its operands, so that a wider type changes no result."""
    kind: Type | None = None
    for result in results:
        if isinstance(result, NotModelled):
            raise refusal(result)
        if isinstance(result, Untyped):
            continue
        joined = result.type if kind is None else common_type(kind, result.type)
        if joined is None and kind is not None:
            raise _mixed(what, kind, result.type, span)
        kind = joined
    if kind is None:
        kind = expected
    if kind is None:
        kind = max((fit(result, None).type for result in results), key=_width)
    constants = [result.value for result in results if isinstance(result, Untyped)]
    kind = _roomy(kind, constants, expected)
    return [fit(result, kind) for result in results]


def _roomy(kind: Type, constants: list[int], expected: Type | None) -> Type:
    """The narrowest integer type that ``kind`` widens to and that has the constants, if the result
    still fits; else ``kind``, whose range is then the problem."""
    if not isinstance(kind, Integer) or isinstance(kind, Subrange):
        return kind
    for wider in (kind, *INTEGERS):
        has = all(holds(wider, value) for value in constants)
        if has and widens(kind, wider) and (expected is None or widens(wider, expected)):
            return wider
    return kind


def _width(kind: Type) -> int:
    return kind.bits if isinstance(kind, Integer) else 0


def _numbers(operator: Operator, left: Untyped, right: Untyped, span: Span) -> Result:
    """Both operands are constants without type: computed exactly."""
    truth = compare(operator, left.value, right.value)
    if truth is not None:
        return Literal(truth, BOOL, span)
    if right.value == 0 and operator in (Operator.DIVIDE, Operator.MODULO):
        raise wrong("division-by-zero", "this divides by zero", span, "divide by another number")
    value = arithmetic(operator, left.value, right.value)
    if value is None and right.value < 0:
        raise _bad_exponent(right.span)
    if value is None or abs(value) > _LARGEST_UNTYPED:
        raise wrong("value-out-of-range", "the result fits no type", span, "use smaller numbers")
    return Untyped(value, span)


def _with_bit_type(number: Untyped, expected: Type | None, operator: Operator) -> Expression:
    if isinstance(expected, Boolean | BitString):
        return fit(number, expected)
    message = f"{operator.value} needs BOOL or a bit string, not a number without type"
    way = "give the number a type, for instance WORD#16#FF"
    raise wrong("operator-types", message, number.span, way)


def _power(base: Result, exponent: Result, span: Span) -> Expression:
    number, count = fit(base, None), fit(exponent, None)
    if not isinstance(number.type, Integer) or not isinstance(count.type, Integer):
        raise _not_for(Operator.POWER, (number.type, count.type), span)
    if not isinstance(count, Literal) or count.value < 0:
        raise _bad_exponent(count.span)
    return fold(Operation(Operator.POWER, (number, count), number.type, span))


def _bad_exponent(span: Span) -> InputError:
    message = "an exponent is a constant that is not negative"
    way = "write the multiplications out, or use a loop"
    return wrong("exponent-not-constant", message, span, way)


def _alike(
    operator: Operator, left: Result, right: Result, span: Span
) -> tuple[Expression, Expression]:
    if isinstance(left, NotModelled) or isinstance(right, NotModelled):
        raise refusal(without_model((left, right), span))
    if isinstance(left, Untyped):
        second = fit(right, None)
        _check_number_goes_with(operator, second.type, left, span)
        return fit(left, second.type), second
    if isinstance(right, Untyped):
        _check_number_goes_with(operator, left.type, right, span)
        return left, fit(right, left.type)
    kind = common_type(left.type, right.type)
    if kind is None:
        raise _mixed(f"'{sign_of(operator)}'", left.type, right.type, span)
    return fit(left, kind), fit(right, kind)


def _check_number_goes_with(operator: Operator, kind: Type, number: Untyped, span: Span) -> None:
    if not isinstance(kind, Duration):
        return
    way = "write the duration first" if operator is Operator.MULTIPLY else (
        f"write a duration, for instance T#{abs(number.value)}ms"
    )  # fmt: skip
    message = f"'{sign_of(operator)}' does not join a number and {kind.name}"
    raise wrong("operator-types", message, span, way)


def _allowed(operator: Operator, kind: Type) -> bool:
    if operator in _LOGIC:
        return isinstance(kind, Boolean | BitString)
    if operator in _EQUALITY:
        return True
    if operator in _ORDER:
        return isinstance(kind, Integer | BitString | Duration)
    if operator in (Operator.ADD, Operator.SUBTRACT):
        return isinstance(kind, Integer | Duration)
    return isinstance(kind, Integer)


def _not_for(operator: Operator, kinds: tuple[Type, ...], span: Span) -> InputError:
    what = " and ".join(kind.name for kind in kinds)
    if operator in _LOGIC | {Operator.NOT}:
        way = "use BOOL or a bit string, for instance INT_TO_WORD(...)"
    elif any(isinstance(kind, BitString) for kind in kinds):
        way = "convert it to a number, for instance WORD_TO_UINT(...)"
    elif any(isinstance(kind, Enumeration) for kind in kinds):
        way = "compare enumerations with = and <> only, or convert with TO_INT(...)"
    else:
        way = "see that both operands are numbers"
    return wrong("operator-types", f"'{sign_of(operator)}' does not work on {what}", span, way)


def _mixed(what: str, left: Type, right: Type, span: Span) -> InputError:
    message = f"{what} does not join {left.name} and {right.name}"
    return wrong("operator-types", message, span, _way_to_mix(left, right))


def _way_to_mix(left: Type, right: Type) -> str:
    number = right if isinstance(left, Boolean) else left
    if isinstance(left, Boolean) != isinstance(right, Boolean) and isinstance(number, Integer):
        return f"compare the {number.name}, for instance with <> 0, or leave the BOOL out"
    if isinstance(left, Enumeration | Boolean) or isinstance(right, Enumeration | Boolean):
        return "both need the same type"
    return f"convert one of them, for instance {left.name}_TO_{right.name}(...)"
