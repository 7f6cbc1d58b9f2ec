"""Calls of the standard functions and conversions (IEC 61131-3, 2.5.1.5)."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import pairwise

from twohand.program import Apply, Expression, Literal, Operator, Read, StandardFunction
from twohand.program.standard_blocks import FUNCTION_NAMES, FUNCTIONS_WITHOUT_MODEL
from twohand.program.types import BOOL, BitString, Boolean, Duration, Integer, Type
from twohand.syntax import tree
from twohand.text.diagnostic import InputError, wrong
from twohand.typecheck.expressions.conversions import is_conversion, resolve_conversion
from twohand.typecheck.expressions.folding import fold, function_of_numbers
from twohand.typecheck.expressions.names import each, unknown_name
from twohand.typecheck.expressions.operators import (
    alike,
    binary,
    is_total,
    made_of,
    unary,
    uncomputed,
    without_model,
)
from twohand.typecheck.expressions.widening import NotModelled, Result, Untyped, fit
from twohand.typecheck.reals.formulas import joined

Infer = Callable[..., Result]

_FORMAL = {
    "LIMIT": ("MN", "IN", "MX"),
    "SEL": ("G", "IN0", "IN1"),
    "ABS": ("IN",),
    "MOVE": ("IN",),
    "NOT": ("IN",),
    **dict.fromkeys(("SHL", "SHR", "ROL", "ROR"), ("IN", "N")),
    **dict.fromkeys(("SUB", "DIV", "MOD", "NE"), ("IN1", "IN2")),
}
"""Formal names of the functions with a fixed number of inputs."""

_EXTENSIBLE = {"MIN", "MAX", "ADD", "MUL", "AND", "OR", "XOR", "GT", "GE", "EQ", "LE", "LT", "MUX"}

_OPERATORS = {
    "ADD": Operator.ADD, "SUB": Operator.SUBTRACT, "MUL": Operator.MULTIPLY,
    "DIV": Operator.DIVIDE, "MOD": Operator.MODULO, "AND": Operator.AND, "OR": Operator.OR,
    "XOR": Operator.XOR, "GT": Operator.GREATER, "GE": Operator.GREATER_EQUAL,
    "EQ": Operator.EQUAL, "LE": Operator.LESS_EQUAL, "LT": Operator.LESS, "NE": Operator.UNEQUAL,
}  # fmt: skip
_COMPARISONS = {"GT", "GE", "EQ", "LE", "LT"}


def call_standard(
    node: tree.Call, infer: Infer, expected: Type | None, own_functions: Iterable[str]
) -> Result:
    """A call of a standard function; InputError (``unknown-function``, ``argument`` codes)."""
    name = node.name.text.upper()
    if name in FUNCTIONS_WITHOUT_MODEL:
        return _without_model(node, name, infer, expected)
    if name == "TIME":
        message = "the clock cannot be read here, but in the statements of a block or program"
        way = "let the block keep the difference of two readings in a variable, and name that"
        raise wrong("clock-reading", message, node.span, way)
    if name in _FORMAL or name in _EXTENSIBLE:
        operands = _operands(node, name)
    elif len(node.name.parts) == 1 and is_conversion(name):
        operands = _only_operand(node)
        return resolve_conversion(node, infer(operands[0]))
    else:
        raise unknown_name(
            node.name, [*own_functions, *FUNCTION_NAMES], "function", "unknown-function"
        )
    hints = _hints(name, len(operands), expected)
    results = each(zip(operands, hints, strict=True), lambda pair: infer(*pair))
    if any(isinstance(result, NotModelled) for result in results):
        if name in _OPERATORS and len(results) == 2:
            return binary(_OPERATORS[name], results[0], results[1], node.span)
        return without_model(results, node.span, made_by=name)
    return _apply(name, results, node, expected)


def _without_model(node: tree.Call, name: str, infer: Infer, expected: Type | None) -> Result:
    """A function of numbers with a fraction, or of texts, and what it has to evaluate. TRUNC gives
    an integer of the type that is ``expected``."""
    _refuse_special(node)
    kind = FUNCTIONS_WITHOUT_MODEL[name]
    results = [infer(each.value) for each in node.arguments]
    if name == "TRUNC" and len(results) == 1 and type(expected) is Integer:
        made = joined(f"TRUNC {expected.name}", [made_of(results[0])])
        return uncomputed(expected, results, made, node.span)
    return without_model(results, node.span, kind, made_by=name)


def _hints(name: str, count: int, expected: Type | None) -> list[Type | None]:
    if name in _COMPARISONS or name == "NE":
        return [None] * count
    return [BOOL if name == "SEL" else None, *[expected] * (count - 1)] if name in (
        "SEL", "MUX",
    ) else [expected] * count  # fmt: skip


def _apply(name: str, results: list[Result], node: tree.Call, expected: Type | None) -> Result:
    span = node.span
    if name == "MOVE":
        return results[0]
    if name == "NOT":
        return unary(Operator.NOT, results[0], span, expected)
    if name in _COMPARISONS and len(results) > 2:
        return _chain(_OPERATORS[name], results, node)
    if name in _OPERATORS:
        total = results[0]
        for result in results[1:]:
            total = binary(_OPERATORS[name], total, result, span, expected)
        return total
    function = StandardFunction(name)
    if expected is None or isinstance(expected, Integer):
        exact = _exactly(function, results)
        if exact is not None:
            return Untyped(exact, span)
    if name in ("SHL", "SHR", "ROL", "ROR"):
        return _shift(function, results, node, expected)
    if name in ("SEL", "MUX"):
        chooser = fit(results[0], BOOL if name == "SEL" else None)
        if name == "MUX" and not isinstance(chooser.type, Integer):
            raise _wrong_type(name, chooser, "an integer")
        values = alike(results[1:], span, name, expected)
        return fold(Apply(function, (chooser, *values), values[0].type, span))
    values = alike(results, span, name, expected)
    kind = values[0].type
    allowed = (Integer,) if name == "ABS" else (Integer, BitString, Duration)
    if not isinstance(kind, allowed):
        raise _wrong_type(name, values[0], "numbers")
    return fold(Apply(function, tuple(values), kind, span))


def _exactly(function: StandardFunction, results: list[Result]) -> int | None:
    """The value of MIN, MAX, LIMIT, ABS, SEL or MUX of numbers without type, of which only the
    result has to fit; None for all else."""
    first, *others = results
    chosen = function in (StandardFunction.SEL, StandardFunction.MUX)
    if not isinstance(first, Untyped) and not (chosen and isinstance(first, Literal)):
        return None
    if not all(isinstance(other, Untyped) for other in others):
        return None
    values = [each.value for each in results if isinstance(each, Untyped | Literal)]
    return function_of_numbers(function, values)


def _chain(operator: Operator, results: list[Result], node: tree.Call) -> Result:
    """``GT(a, b, c)`` is a > b AND b > c; the middle operands are then evaluated twice."""
    middle = [part for part in results[1:-1] if not isinstance(part, Untyped | NotModelled)]
    if not all(isinstance(part, Read) or is_total(part) for part in middle):
        message = (
            "a comparison of three or more operands with a computed one in the middle is not read"
        )
        way = "write the comparisons out and join them with AND"
        raise wrong("unsupported-chain", message, node.span, way)
    total: Result | None = None
    for left, right in pairwise(results):
        part = binary(operator, left, right, node.span)
        total = part if total is None else binary(Operator.AND, total, part, node.span, BOOL)
    assert total is not None
    return total


def _shift(
    function: StandardFunction, results: list[Result], node: tree.Call, expected: Type | None
) -> Expression:
    bits = expected if isinstance(results[0], Untyped) else None
    value, count = fit(results[0], bits), fit(results[1], None)
    if not isinstance(value.type, BitString):
        raise _wrong_type(function.value, value, "a bit string")
    if not isinstance(count.type, Integer):
        raise _wrong_type(function.value, count, "an integer as number of bits")
    return fold(Apply(function, (value, count), value.type, node.span))


def _wrong_type(name: str, found: Expression, needed: str) -> InputError:
    way = "convert it, for instance INT_TO_WORD(...)" if needed == "a bit string" else (
        "convert it, for instance WORD_TO_UINT(...)"
        if isinstance(found.type, BitString | Boolean) else ""
    )  # fmt: skip
    return wrong("type-mismatch", f"{name} needs {needed}, not {found.type.name}", found.span, way)


def _operands(node: tree.Call, name: str) -> list[tree.Expression]:
    """The arguments in their order, whether given by position or by formal name."""
    arguments = node.arguments
    _refuse_special(node)
    formal = _FORMAL.get(name) or _extensible_names(name, len(arguments))
    if any(argument.name is not None for argument in arguments):
        return _by_name(node, name, formal)
    least = len(formal) if name in _FORMAL else 2
    if len(arguments) < least or (name in _FORMAL and len(arguments) > least):
        needs = f"{least}" if name in _FORMAL else f"at least {least}"
        message = f"{name} needs {needs} argument{'' if least == 1 else 's'}, not {len(arguments)}"
        way = f"its inputs are {', '.join(formal) or 'IN1, IN2'}"
        raise wrong("argument-count", message, node.span, way)
    return [argument.value for argument in arguments]


def _extensible_names(name: str, count: int) -> tuple[str, ...]:
    if name == "MUX":
        return ("K", *(f"IN{i}" for i in range(max(count - 1, 1))))
    return tuple(f"IN{i + 1}" for i in range(max(count, 2)))


def _by_name(node: tree.Call, name: str, formal: tuple[str, ...]) -> list[tree.Expression]:
    given: dict[str, tree.Expression] = {}
    for argument in node.arguments:
        if argument.name is None:
            message = "this argument has no name, but others have"
            raise wrong("mixed-arguments", message, argument.span, "name all arguments or none")
        key = argument.name.key
        if key not in formal:
            raise unknown_name(argument.name, formal, "input", "unknown-argument", name)
        if key in given:
            message = f"'{argument.name.text}' is given twice"
            raise wrong("duplicate-argument", message, argument.span, "remove one of them")
        given[key] = argument.value
    missing = [key for key in formal if key not in given]
    if missing or len(given) < min(2, len(formal)):
        message = f"{name} lacks its input {', '.join(missing)}"
        raise wrong("argument-count", message, node.span, f"its inputs are {', '.join(formal)}")
    return [given[key] for key in formal]


def _only_operand(node: tree.Call) -> list[tree.Expression]:
    _refuse_special(node)
    if len(node.arguments) != 1:
        message = f"{node.name.text} needs 1 argument, not {len(node.arguments)}"
        raise wrong("argument-count", message, node.span, f"write {node.name.text}(value)")
    name = node.arguments[0].name
    if name is not None and name.key != "IN":
        raise unknown_name(name, ("IN",), "input", "unknown-argument", node.name.text)
    return [node.arguments[0].value]


def check_clock_call(node: tree.Call) -> None:
    """InputError where a call of ``TIME()`` is given something."""
    _refuse_special(node)
    if node.arguments:
        message = f"'{node.name.text}' reads the clock and has no inputs"
        way = "write TIME(), or TO_TIME(...) to convert a number"
        raise wrong("argument-count", message, node.span, way)


def _refuse_special(node: tree.Call) -> None:
    for pin in node.unconnected:
        message = f"'{pin.name.text}' has no value, and a function keeps none"
        raise wrong("argument-count", message, pin.span, "write one behind :=, or remove it")
    for argument in node.arguments:
        refuse_en(argument)
        if argument.output:
            message = "a standard function has no outputs besides its value"
            raise wrong("unknown-argument", message, argument.span, "assign the value of the call")


def refuse_en(argument: tree.Argument) -> None:
    """InputError for EN and ENO, which are not read."""
    if argument.name is not None and argument.name.key in ("EN", "ENO"):
        message = f"the enable pin {argument.name.key} is not read"
        raise wrong("unsupported-enable", message, argument.span, "put the call under IF")
