"""Concrete evaluation of terms: a term graph becomes one straight-line Python function.

Running a counterexample evaluates the same terms in thousands of scans; asking the solver each
time would cost a thousand times more.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import z3

from twohand.engine.system.terms import is_symbol, literal_value, name, operands, value_term, walk
from twohand.program.types import Value
from twohand.scan.sorts import bit_string

Function = Callable[[Sequence[Value]], tuple[Value, ...]]


def _divide(left: int, right: int) -> int:
    """Division of SMT-LIB: the remainder is never negative. By zero it may be anything: 0."""
    if right == 0:
        return 0
    return left // right if right > 0 else -(left // -right)


def _modulo(left: int, right: int) -> int:
    return left % abs(right) if right else left


def _signed(value: int, bits: int) -> int:
    return value - (1 << bits) if value >> (bits - 1) else value


_JOINED = {
    z3.Z3_OP_AND: " and ",
    z3.Z3_OP_OR: " or ",
    z3.Z3_OP_XOR: " != ",
    z3.Z3_OP_EQ: " == ",
    z3.Z3_OP_LE: " <= ",
    z3.Z3_OP_LT: " < ",
    z3.Z3_OP_GE: " >= ",
    z3.Z3_OP_GT: " > ",
    z3.Z3_OP_ADD: " + ",
    z3.Z3_OP_SUB: " - ",
    z3.Z3_OP_MUL: " * ",
    z3.Z3_OP_BAND: " & ",
    z3.Z3_OP_BOR: " | ",
    z3.Z3_OP_BXOR: " ^ ",
    z3.Z3_OP_ULEQ: " <= ",
    z3.Z3_OP_ULT: " < ",
    z3.Z3_OP_UGEQ: " >= ",
    z3.Z3_OP_UGT: " > ",
}
_WRAPPED = {z3.Z3_OP_BADD: " + ", z3.Z3_OP_BSUB: " - ", z3.Z3_OP_BMUL: " * "}
_SIGNED = {
    z3.Z3_OP_SLEQ: "<=",
    z3.Z3_OP_SLT: "<",
    z3.Z3_OP_SGEQ: ">=",
    z3.Z3_OP_SGT: ">",
}


def _text(term: z3.ExprRef, operands: list[str]) -> str | None:
    """``term`` as a Python expression over its operands' names, None where it has none here."""
    kind = term.decl().kind()
    if not operands:
        return {z3.Z3_OP_AND: "True", z3.Z3_OP_OR: "False"}.get(kind)
    if kind in _JOINED:
        return _JOINED[kind].join(operands)
    if kind == z3.Z3_OP_NOT:
        return f"not {operands[0]}"
    if kind == z3.Z3_OP_ITE:
        return f"{operands[1]} if {operands[0]} else {operands[2]}"
    if kind == z3.Z3_OP_IMPLIES:
        return f"not {operands[0]} or {operands[1]}"
    if kind == z3.Z3_OP_UMINUS:
        return f"-{operands[0]}"
    if kind == z3.Z3_OP_IDIV:
        return f"_divide({operands[0]}, {operands[1]})"
    if kind == z3.Z3_OP_MOD:
        return f"_modulo({operands[0]}, {operands[1]})"
    if kind == z3.Z3_OP_DISTINCT and len(operands) == 2:
        return f"{operands[0]} != {operands[1]}"
    return _bit_text(term, kind, operands)


def _bit_text(term: z3.ExprRef, kind: int, operands: list[str]) -> str | None:
    if kind in _WRAPPED:
        return f"({_WRAPPED[kind].join(operands)}) & {(1 << bit_string(term).size()) - 1}"
    if kind == z3.Z3_OP_BNOT:
        return f"{operands[0]} ^ {(1 << bit_string(term).size()) - 1}"
    if kind == z3.Z3_OP_BNEG:
        return f"-{operands[0]} & {(1 << bit_string(term).size()) - 1}"
    if kind in _SIGNED:
        bits = bit_string(term.arg(0)).size()
        left, right = (f"_signed({operand}, {bits})" for operand in operands)
        return f"{left} {_SIGNED[kind]} {right}"
    if kind == z3.Z3_OP_EXTRACT:
        high, low = term.params()
        return f"({operands[0]} >> {low}) & {(1 << (high - low + 1)) - 1}"
    if kind == z3.Z3_OP_ZERO_EXT or kind == z3.Z3_OP_BV2INT:
        return operands[0]
    if kind == z3.Z3_OP_INT2BV:
        return f"{operands[0]} & {(1 << bit_string(term).size()) - 1}"
    if kind == z3.Z3_OP_CONCAT:
        text = operands[0]
        for position in range(1, len(operands)):
            text = f"({text}) << {bit_string(term.arg(position)).size()} | {operands[position]}"
        return text
    return None


def _by_solver(term: z3.ExprRef) -> Callable[..., Value]:
    """Evaluates one operator by z3's simplifier: slow, complete."""
    patterns = term.children()
    declaration = term.decl()

    def evaluate(*values: Value) -> Value:
        literals = [value_term(v, p) for v, p in zip(values, patterns, strict=True)]
        simplified = z3.simplify(declaration(*literals))
        value = literal_value(simplified)
        if value is None:
            return False if z3.is_bool(term) else 0
        return value

    return evaluate


def compiled(arguments: Sequence[z3.ExprRef], terms: Sequence[z3.ExprRef]) -> Function:
    """A function from the values of ``arguments`` to the values of ``terms``.

    Every symbol of the terms must be an argument. Division by zero, which the logic leaves open,
    gives 0 (modulo: the dividend).
    """
    names: dict[int, str] = {}
    scope: dict[str, object] = {"_divide": _divide, "_modulo": _modulo, "_signed": _signed}
    lines = ["def function(values):"]
    places = {name(symbol): f"a{index}" for index, symbol in enumerate(arguments)}
    if places:
        lines.append(f"    {', '.join(places.values())}, = values")
    for node in walk(terms):
        literal = literal_value(node)
        if literal is not None:
            names[node.get_id()] = (
                str(literal)
                if literal is True or literal is False or (literal >= 0)
                else f"({literal})"
            )
        elif is_symbol(node):
            names[node.get_id()] = places[name(node)]
        else:
            target = f"t{len(names)}"
            given = [names[child.get_id()] for child in operands(node)]
            text = _text(node, given)
            if text is None:
                scope[f"f{len(names)}"] = _by_solver(node)
                text = f"f{len(names)}({', '.join(given)})"
            lines.append(f"    {target} = {text}")
            names[node.get_id()] = target
    results = "".join(f"{names[term.get_id()]}, " for term in terms)
    lines.append(f"    return ({results})")
    exec("\n".join(lines), scope)
    return scope["function"]  # type: ignore[return-value]
