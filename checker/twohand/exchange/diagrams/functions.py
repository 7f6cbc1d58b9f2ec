"""Functions in diagrams: blocks without an instance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from twohand.exchange.diagrams.graph import ElementKind, Node
from twohand.exchange.diagrams.values import Level, Value, gathered, joined, negated
from twohand.exchange.rules import Piece, malformed
from twohand.program.standard_blocks import FUNCTION_NAMES, FUNCTIONS_WITHOUT_MODEL
from twohand.program.types import ELEMENTARY
from twohand.typecheck.expressions.conversions import is_conversion, is_standard_conversion

Argument = tuple[Piece, Value]

_LOGIC = {"AND": (" AND ", Level.AND), "OR": (" OR ", Level.OR), "XOR": (" XOR ", Level.XOR)}
_ARITHMETIC = {"ADD": " + ", "SUB": " - ", "MUL": " * ", "DIV": " / ", "MOD": " MOD "}
_COMPARISONS = {"GT": " > ", "GE": " >= ", "EQ": " = ", "LE": " <= ", "LT": " < ", "NE": " <> "}
OF_BITS = (*_LOGIC, "NOT")
"""Functions whose value and inputs are of one type."""

_CHOOSING = ("MOVE", "SEL", "MIN", "MAX")
"""Functions whose value has the type that all inputs have, but for the first one of SEL."""

_CANNOT_FAIL = {*OF_BITS, *_COMPARISONS, *_CHOOSING}


def is_pure(node: Node) -> bool:
    """Whether the function is the standard's, so that it reads nothing but its inputs and changes
    nothing."""
    name = node.type_key
    standard = name in FUNCTION_NAMES or name in FUNCTIONS_WITHOUT_MODEL
    return node.kind is ElementKind.FUNCTION and (standard or is_standard_conversion(name))


def standard_value(node: Node, arguments: Sequence[Argument]) -> Value:
    """The value of a function of the standard."""
    name = node.type_key
    value = _expression(node, name, arguments)
    kind = _type_of_value(name, arguments)
    comparison = name in _COMPARISONS
    sure = comparison or (name in OF_BITS and value.sure) or kind == "BOOL"
    fails = value.may_fail or name not in _CANNOT_FAIL
    return replace(value, type=kind, sure=sure, may_fail=fails)


def _type_of_value(name: str, arguments: Sequence[Argument]) -> str | None:
    if name in _COMPARISONS:
        return "BOOL"
    types = [value.type.upper() if value.type else None for _, value in arguments]
    if name in OF_BITS:
        return "BOOL" if "BOOL" in types else None
    if is_conversion(name):
        return target_of(name)
    if name in _CHOOSING:
        chosen = {
            value.type.upper() if value.type else None
            for pin, value in arguments
            if pin.text.upper() != "G"
        }
        return chosen.pop() if len(chosen) == 1 else None
    return None


def target_of(name: str) -> str | None:
    """The type that a function gives whose name is that of a conversion."""
    target = name.rpartition("TO_")[2]
    return target if is_conversion(name) and target in ELEMENTARY else None


def _expression(node: Node, name: str, arguments: Sequence[Argument]) -> Value:
    place = node.place
    if name == "NOT":
        if [pin.text.upper() for pin, _ in arguments] != ["IN"]:
            raise malformed("NOT has one input, IN", place, "connect its input IN")
        return negated(arguments[0][1], place)
    operands = _in_order(arguments)
    if operands is not None:
        if name in _LOGIC:
            operator, level = _LOGIC[name]
            return joined(operands, operator, level, place)
        operator = {**_ARITHMETIC, **_COMPARISONS}.get(name, "")
        if operator and len(operands) == 2:
            return joined(operands, operator, Level.OTHER, place)
    return called(node, arguments)


def _in_order(arguments: Sequence[Argument]) -> list[Value] | None:
    """The values of IN1, IN2, ...; None where there are others."""
    given = {pin.text.upper(): value for pin, value in arguments}
    names = [f"IN{number + 1}" for number in range(len(arguments))]
    if len(arguments) < 2 or set(names) != given.keys():
        return None
    return [given[name] for name in names]


def called(node: Node, arguments: Sequence[Argument]) -> Value:
    """A call with its arguments by name."""
    assert node.type_name is not None
    place = node.place
    pieces = [node.type_name, Piece("(", place), *listed(arguments, node), Piece(")", place)]
    return gathered([value for _, value in arguments], pieces, Level.OPERAND)


def listed(arguments: Sequence[Argument], node: Node) -> list[Piece]:
    """``IN := start, PT := T#5ms``"""
    pieces: list[Piece] = []
    for pin, value in arguments:
        if pieces:
            pieces.append(Piece(", ", node.place))
        pieces.extend((pin, Piece(" := ", pin.place), *value.pieces))
    return pieces
