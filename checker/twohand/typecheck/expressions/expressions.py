"""Expressions: from syntax tree to typed program."""

from __future__ import annotations

from twohand import program
from twohand.program import Literal
from twohand.program.effects import has_effect
from twohand.program.types import BOOL, Enumeration, Type
from twohand.program.walks import nodes_below
from twohand.syntax import tree
from twohand.syntax.parsing.literals import not_modelled
from twohand.text.diagnostic import InputError, wrong
from twohand.typecheck.expressions.folding import fold
from twohand.typecheck.expressions.names import Scope, each, unknown_name
from twohand.typecheck.expressions.operators import binary, is_total, sign_of, unary
from twohand.typecheck.expressions.standard_functions import call_standard
from twohand.typecheck.expressions.widening import (
    NotModelled,
    Result,
    Untyped,
    fit,
    refusal,
    unranged,
)
from twohand.typecheck.reals.numbers import FORMATS, number_of


def resolve_expression(
    node: tree.Expression, scope: Scope, expected: Type | None = None
) -> program.Expression:
    """The typed expression; with ``expected`` converted to that type where the language widens
    implicitly. InputError with every wrong name and type in it."""
    expression = fit(infer(node, scope, expected), expected)
    if not scope.has_reals:
        for part in nodes_below(expression):
            if isinstance(part, program.Uncomputed):
                raise InputError(not_modelled("REAL", "REAL", part.span))
    return expression


def resolve_constant(node: tree.Expression, scope: Scope, expected: Type | None = None) -> Literal:
    """The value of a constant expression; InputError (``not-constant``) where it is none."""
    expression = resolve_expression(node, scope, expected)
    if isinstance(expression, Literal):
        return expression
    way = "use literals, constants and enumeration values whose result fits its type"
    raise wrong("not-constant", "a constant is needed here", expression.span, way)


def infer(node: tree.Expression, scope: Scope, expected: Type | None = None) -> Result:
    """The expression in its own type; ``expected`` only helps where a type is open."""
    return unranged(_infer(node, scope, expected))


def _infer(node: tree.Expression, scope: Scope, expected: Type | None) -> Result:
    match node:
        case tree.UnmodelledLiteral(type_name=name):
            number = number_of(node.span.text) if name in FORMATS else None
            return NotModelled(name, (), node.span, number)
        case tree.AccessPath():
            return _at(scope.resolve_path(node, expected), node)
        case tree.PathCall():
            message = (
                f"'{node.path.text}' is called in an expression; of arrays, instances and "
                "their methods are called in statements only"
            )
            way = "call it in a statement of its own and read its outputs"
            raise wrong("unsupported-element-call", message, node.span, way)
        case tree.Literal(value=value, type=None):
            return Untyped(int(value), node.span)
        case tree.Literal(value=value, type=kind):
            assert kind is not None
            return Literal(value, kind, node.span)
        case tree.Name():
            return _at(scope.resolve_name(node, expected), node)
        case tree.EnumerationValue():
            return enumeration_value(node, scope)
        case tree.Unary(operator=operator, operand=operand):
            return unary(operator, infer(operand, scope, expected), node.span, expected)
        case tree.Binary():
            return _binary(node, scope, expected)
        case tree.Call():
            return _call(node, scope, expected)


def _at(expression: Result, node: tree.Name | tree.AccessPath) -> Result:
    """A constant means its value, at the place where it is used."""
    if isinstance(expression, Literal):
        return Literal(expression.value, expression.type, node.span)
    return expression


def enumeration_value(node: tree.EnumerationValue, scope: Scope) -> Literal:
    """``Mode#Run``; InputError where type or value does not exist."""
    kind = scope.find_enumeration(node.type_name)
    if kind is None:
        raise unknown_name(node.type_name, (), "enumeration", "unknown-type")
    return value_of(kind, node.value, node)


def value_of(
    kind: Enumeration, value: tree.Identifier, node: tree.EnumerationValue | tree.Name
) -> Literal:
    """The value of this name in an enumeration."""
    for name, number in kind.values:
        if name.upper() == value.key:
            return Literal(number, kind, node.span)
    names = (name for name, _ in kind.values)
    raise unknown_name(value, names, "value", "unknown-enumeration-value", f"'{kind.name}'")


def _binary(node: tree.Binary, scope: Scope, expected: Type | None) -> Result:
    logic = node.operator in (
        program.Operator.AND, program.Operator.OR, program.Operator.XOR,
    )  # fmt: skip
    hint = expected if logic else None
    known: list[Type] = []

    def operand(part: tree.Expression) -> Result:
        result = infer(part, scope, known[0] if known else hint)
        if not isinstance(result, Untyped | NotModelled):
            known.append(result.type)
        return result

    left, right = each((node.left, node.right), operand)
    if node.short_circuit:
        return _short_circuit(node, left, right)
    result = binary(node.operator, left, right, node.span, hint)
    _check_right_operand(node, right)
    return result


def _short_circuit(node: tree.Binary, left: Result, right: Result) -> program.Expression:
    """AND_THEN and OR_ELSE: plain AND and OR where the right operand cannot tell the difference
    (IEC 61131-3 Ed. 3, from memory)."""
    for operand in (left, right):
        if isinstance(operand, NotModelled):
            raise refusal(operand)
        if isinstance(operand, Untyped) or operand.type != BOOL:
            found = "a number" if isinstance(operand, Untyped) else operand.type.name
            message = f"'{node.operator_span.text.upper()}' joins conditions, not {found}"
            way = "use AND or OR on bit strings; compare numbers"
            raise wrong("operator-types", message, operand.span, way)
    assert not isinstance(left, Untyped | NotModelled)
    assert not isinstance(right, Untyped | NotModelled)
    if is_total(right):
        return fold(program.Operation(node.operator, (left, right), BOOL, node.span))
    return program.ShortCircuit(node.operator, left, right, node.span)


def _check_right_operand(node: tree.Binary, right: Result) -> None:
    """AND and OR may leave the right operand out where the left one decides (IEC 61131-3:2003,
    3.3.1); here it is always evaluated, so that must not matter."""
    if isinstance(right, Untyped | NotModelled):
        return
    if node.operator in (program.Operator.AND, program.Operator.OR) and has_effect(right):
        message = (
            f"a call to the right of {sign_of(node.operator)} changes a variable, and "
            "platforms differ in whether it is made where the left side decides"
        )
        way = "make the call in a statement of its own before"
        raise wrong("effect-in-operand", message, node.operator_span, way)


def _call(node: tree.Call, scope: Scope, expected: Type | None) -> Result:
    own = scope.resolve_call(node, expected)
    if own is not None:
        return own
    return call_standard(
        node,
        lambda part, hint=None: infer(part, scope, hint),
        expected,
        scope.function_names(),
    )
