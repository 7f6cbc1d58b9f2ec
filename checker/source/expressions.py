"""Expressions: from syntax tree to typed program."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from checker.source import program, tree
from checker.source.diagnostic import Diagnostic, InputError
from checker.source.functions import call_standard
from checker.source.operators import binary, is_total, sign_of, unary
from checker.source.program import Literal
from checker.source.scope import Scope, joined, unknown_name
from checker.source.types import Enumeration, Type
from checker.source.widening import Result, Untyped, fit

Item = TypeVar("Item")
Outcome = TypeVar("Outcome")


def resolve_expression(
    node: tree.Expression, scope: Scope, expected: Type | None = None
) -> program.Expression:
    """The typed expression; with ``expected`` converted to that type where the language widens
    implicitly. InputError with every wrong name and type in it."""
    return fit(infer(node, scope, expected), expected)


def resolve_constant(node: tree.Expression, scope: Scope, expected: Type | None = None) -> Literal:
    """The value of a constant expression; InputError (``not-constant``) where it is none."""
    expression = resolve_expression(node, scope, expected)
    if isinstance(expression, Literal):
        return expression
    raise InputError(
        Diagnostic(
            "not-constant",
            "a constant is needed here",
            expression.span,
            "use literals, constants and enumeration values whose result fits its type",
        )
    )


def infer(node: tree.Expression, scope: Scope, expected: Type | None = None) -> Result:
    """The expression in its own type; ``expected`` only helps where a type is open."""
    match node:
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


def _at(expression: program.Expression, node: tree.Name) -> program.Expression:
    """A constant stands for its value, at the place where it is used."""
    if isinstance(expression, Literal):
        return Literal(expression.value, expression.type, node.span)
    return expression


def each(items: Sequence[Item], resolve: Callable[[Item], Outcome]) -> list[Outcome]:
    """``resolve`` on every item; one InputError with what is wrong with any of them."""
    outcomes: list[Outcome] = []
    errors: list[InputError] = []
    for item in items:
        try:
            outcomes.append(resolve(item))
        except InputError as error:
            errors.append(error)
    if errors:
        raise joined(errors)
    return outcomes


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
    raise unknown_name(value, names, f"value of '{kind.name}'", "unknown-enumeration-value")


def _binary(node: tree.Binary, scope: Scope, expected: Type | None) -> Result:
    logic = node.operator in (
        program.Operator.AND, program.Operator.OR, program.Operator.XOR,
    )  # fmt: skip
    hint = expected if logic else None
    known: list[Type] = []

    def operand(part: tree.Expression) -> Result:
        result = infer(part, scope, known[0] if known else hint)
        if not isinstance(result, Untyped):
            known.append(result.type)
        return result

    left, right = each((node.left, node.right), operand)
    result = binary(node.operator, left, right, node.span, hint)
    if node.short_circuit and not isinstance(right, Untyped) and not is_total(right):
        word = "AND_THEN" if sign_of(node.operator) == "AND" else "OR_ELSE"
        raise InputError(
            Diagnostic(
                "unsupported-short-circuit",
                f"{word} with a right operand that may fail or have an effect is not read",
                node.operator_span,
                "use IF around it",
            )
        )
    return result


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
