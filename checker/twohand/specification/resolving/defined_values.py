"""What may occur in a formula: only what has a value whatever its operands are.

Arithmetic in formulas is mathematical: results of +, -, *, ABS and ** have no range, whatever
their type and however the block's own integers overflow. What could still lack a value (a division
by 0, a conversion to a type that does not hold the number, an index without a value) is refused,
so that no requirement hangs on it.
"""

from __future__ import annotations

from twohand import program as typed
from twohand.program.types import BitString, Boolean, Duration, Enumeration, Integer, Type
from twohand.scan.concrete.expressions import in_order
from twohand.text.diagnostic import Diagnostic, InputError, wrong

HIGHEST_EXPONENT = 64

_SHIFTS = {
    typed.StandardFunction.SHL,
    typed.StandardFunction.SHR,
    typed.StandardFunction.ROL,
    typed.StandardFunction.ROR,
}
_ELSEWHERE = "compute it in the block and name its variable here"


def refuse_partial(expression: typed.Expression) -> None:
    """InputError (``partial-operation``) with every part that may lack a value."""
    found: list[Diagnostic] = []
    for part in in_order(expression):
        error = _fault(part)
        if error is not None:
            found += error.diagnostics
    if found:
        raise InputError(found)


def _fault(part: typed.Expression) -> InputError | None:
    match part:
        case typed.Operation(
            typed.Operator.DIVIDE | typed.Operator.MODULO as operator, (_, divisor)
        ):
            return _division(part, operator, divisor)
        case typed.Operation(typed.Operator.POWER, (_, exponent)) if not _within(
            exponent, HIGHEST_EXPONENT
        ):
            message = f"an exponent in a formula is 0 to {HIGHEST_EXPONENT}"
            return wrong("partial-operation", message, part.span, _ELSEWHERE)
        case typed.Apply(typed.StandardFunction.MUX, (index, *values)) if not _within(
            index, len(values) - 1
        ):
            message = "MUX has no value where its index names none"
            way = "use a literal index, or SEL"
            return wrong("partial-operation", message, part.span, way)
        case typed.Apply(function, (_, count)) if function in _SHIFTS and not _within(count, None):
            message = f"{function.value} has no value where its count is negative"
            way = "use a literal count from 0 on"
            return wrong("partial-operation", message, part.span, way)
        case typed.Convert(operand, kind) if not _always_fits(operand.type, kind):
            return _conversion(part, operand.type, kind)
        case typed.ShortCircuit():
            message = "a formula has no operand that only counts where another one does not decide"
            return wrong("partial-operation", message, part.span, _ELSEWHERE)
        case typed.Element():
            message = "an index in a formula is a constant"
            return wrong("partial-operation", message, part.span, _ELSEWHERE)
        case typed.CallFunction():
            message = f"a formula cannot call the function '{part.name}'"
            return wrong("partial-operation", message, part.span, _ELSEWHERE)
    return None


def _division(
    part: typed.Operation, operator: typed.Operator, divisor: typed.Expression
) -> InputError | None:
    if isinstance(divisor, typed.Literal) and divisor.value != 0:
        return None
    sign = "/" if operator is typed.Operator.DIVIDE else "MOD"
    message = f"'{sign}' has no value where its right side is 0"
    way = f"divide by a literal other than 0, or {_ELSEWHERE}"
    return wrong("partial-operation", message, part.span, way)


def _conversion(part: typed.Convert, source: Type, target: Type) -> InputError:
    if isinstance(source, Duration):
        way = "compare with a duration, for instance T#300ms"
    else:
        way = "leave the conversion out, or convert to a type that holds every value"
    message = f"not every {source.name} fits into {target.name}"
    return wrong("partial-operation", message, part.span, way)


def _within(expression: typed.Expression, highest: int | None) -> bool:
    """Whether it is a literal from 0 to ``highest`` (None: without end)."""
    if not isinstance(expression, typed.Literal):
        return False
    value = int(expression.value)
    return value >= 0 and (highest is None or value <= highest)


def _always_fits(source: Type, target: Type) -> bool:
    """Whether the conversion has a value for each value of its operand's type."""
    match source, target:
        case Boolean() | Integer() | BitString(), BitString():
            return True
        case Boolean(), Integer():
            return True
        case Integer(), Integer():
            return source.lowest >= target.lowest and source.highest <= target.highest
        case BitString(), Integer():
            return source.bits == target.bits or source.highest <= target.highest
        case Enumeration(values=values), Integer():
            return all(target.lowest <= number <= target.highest for _, number in values)
        case Integer() | Duration(), Duration():
            return True
    return source == target
