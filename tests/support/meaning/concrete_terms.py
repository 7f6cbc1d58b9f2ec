"""z3 terms as Python functions: one compilation, then fast evaluation with plain values.

For tests that run a transition system step by step beside something that it must agree with.
Integers and Booleans are Python's, bit vectors are unsigned integers.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import z3
from twohand.program.types import Value
from twohand.scan.clocking import CLOCK_AT_FIRST
from twohand.scan.transition_system import TransitionSystem

Environment = Mapping[str, Value]


def _divide(left: int, right: int) -> int:
    """z3's ``div``: the remainder is never negative."""
    return left // right if right > 0 else -(left // -right)


def _modulo(left: int, right: int) -> int:
    return left % abs(right)


def _signed(value: int, bits: int) -> int:
    return value - (1 << bits) if value >> (bits - 1) else value


_JOINED = {
    z3.Z3_OP_AND: " and ",
    z3.Z3_OP_OR: " or ",
    z3.Z3_OP_ADD: " + ",
    z3.Z3_OP_SUB: " - ",
    z3.Z3_OP_MUL: " * ",
    z3.Z3_OP_BAND: " & ",
    z3.Z3_OP_BOR: " | ",
    z3.Z3_OP_BXOR: " ^ ",
    z3.Z3_OP_XOR: " != ",
    z3.Z3_OP_EQ: " == ",
    z3.Z3_OP_IFF: " == ",
    z3.Z3_OP_LE: " <= ",
    z3.Z3_OP_LT: " < ",
    z3.Z3_OP_GE: " >= ",
    z3.Z3_OP_GT: " > ",
    z3.Z3_OP_ULEQ: " <= ",
    z3.Z3_OP_ULT: " < ",
    z3.Z3_OP_UGEQ: " >= ",
    z3.Z3_OP_UGT: " > ",
}
_WRAPPED = {z3.Z3_OP_BADD: " + ", z3.Z3_OP_BSUB: " - ", z3.Z3_OP_BMUL: " * "}
_SIGNED = {
    z3.Z3_OP_SLEQ: " <= ",
    z3.Z3_OP_SLT: " < ",
    z3.Z3_OP_SGEQ: " >= ",
    z3.Z3_OP_SGT: " > ",
}


def _code(term: z3.ExprRef, parts: Sequence[str]) -> str:
    """One application as Python source over its arguments' names."""
    kind = term.decl().kind()
    if kind == z3.Z3_OP_TRUE:
        return "True"
    if kind == z3.Z3_OP_FALSE:
        return "False"
    if z3.is_int_value(term) or z3.is_bv_value(term):
        return str(term.as_long())
    if kind == z3.Z3_OP_UNINTERPRETED and not parts:
        return f"env[{term.decl().name()!r}]"
    if kind in _JOINED:
        return f"({_JOINED[kind].join(parts)})"
    if kind == z3.Z3_OP_NOT:
        return f"(not {parts[0]})"
    if kind == z3.Z3_OP_IMPLIES:
        return f"((not {parts[0]}) or {parts[1]})"
    if kind == z3.Z3_OP_ITE:
        return f"({parts[1]} if {parts[0]} else {parts[2]})"
    if kind == z3.Z3_OP_DISTINCT:
        return f"(len({{{', '.join(parts)}}}) == {len(parts)})"
    if kind == z3.Z3_OP_UMINUS:
        return f"(-{parts[0]})"
    if kind == z3.Z3_OP_IDIV:
        return f"divide({parts[0]}, {parts[1]})"
    if kind in (z3.Z3_OP_MOD, z3.Z3_OP_REM):
        return f"modulo({parts[0]}, {parts[1]})"
    return _bit_code(term, kind, parts)


def _bit_code(term: z3.ExprRef, kind: int, parts: Sequence[str]) -> str:
    bits = term.arg(0).size() if z3.is_bv(term.arg(0)) else 0
    if kind in _WRAPPED:
        return f"(({_WRAPPED[kind].join(parts)}) % {1 << bits})"
    if kind in _SIGNED:
        left, right = (f"signed({part}, {bits})" for part in parts)
        return f"({left}{_SIGNED[kind]}{right})"
    if kind == z3.Z3_OP_BNOT:
        return f"({(1 << bits) - 1} ^ {parts[0]})"
    if kind == z3.Z3_OP_BNEG:
        return f"(-{parts[0]} % {1 << bits})"
    if kind == z3.Z3_OP_BSHL:
        return f"(({parts[0]} << min({parts[1]}, {bits})) % {1 << bits})"
    if kind == z3.Z3_OP_BLSHR:
        return f"({parts[0]} >> min({parts[1]}, {bits}))"
    if kind == z3.Z3_OP_EXTRACT:
        high, low = term.decl().params()
        return f"(({parts[0]} >> {low}) % {1 << (high - low + 1)})"
    if kind == z3.Z3_OP_ZERO_EXT:
        return parts[0]
    if kind == z3.Z3_OP_SIGN_EXT:
        return f"(signed({parts[0]}, {bits}) % {1 << term.size()})"
    if kind == z3.Z3_OP_CONCAT:
        code = parts[0]
        for child, part in zip(term.children()[1:], parts[1:], strict=True):
            code = f"(({code} << {child.size()}) | {part})"
        return code
    if kind == z3.Z3_OP_BV2INT:
        return parts[0]
    if kind == z3.Z3_OP_INT2BV:
        return f"({parts[0]} % {1 << term.size()})"
    if kind in (z3.Z3_OP_EXT_ROTATE_LEFT, z3.Z3_OP_EXT_ROTATE_RIGHT):
        way = 1 if kind == z3.Z3_OP_EXT_ROTATE_LEFT else -1
        turn = f"({way} * {parts[1]} % {bits})"
        return f"((({parts[0]} << {turn}) | ({parts[0]} >> ({bits} - {turn}))) % {1 << bits})"
    raise NotImplementedError(f"no concrete meaning for {term.decl()}")


def _order(terms: Sequence[z3.ExprRef]) -> list[z3.ExprRef]:
    """Every subterm once, after its arguments."""
    order: list[z3.ExprRef] = []
    seen: set[int] = set()
    stack = [(term, False) for term in reversed(terms)]
    while stack:
        term, expanded = stack.pop()
        if expanded:
            order.append(term)
        elif term.get_id() not in seen:
            seen.add(term.get_id())
            stack.append((term, True))
            stack.extend((child, False) for child in term.children())
    return order


def compiled(terms: Sequence[z3.ExprRef]) -> Callable[[Environment], tuple[Value, ...]]:
    """A function from values by symbol name to the values of ``terms``."""
    names: dict[int, str] = {}
    lines = ["def run(env):"]
    for term in _order(terms):
        parts = [names[child.get_id()] for child in term.children()]
        names[term.get_id()] = f"t{len(names)}"
        lines.append(f"    {names[term.get_id()]} = {_code(term, parts)}")
    results = "".join(f"{names[term.get_id()]}, " for term in terms)
    lines.append(f"    return ({results})")
    scope: dict[str, object] = {"divide": _divide, "modulo": _modulo, "signed": _signed}
    exec("\n".join(lines), scope)
    run = scope["run"]
    assert callable(run)
    return run  # type: ignore[no-any-return]


def value_of(term: z3.ExprRef, known: Environment | None = None) -> Value:
    """The value of a term over symbols that are ``known``."""
    return compiled([term])(known or {})[0]


class ConcreteSystem:
    """A transition system that runs with values; ``observed`` terms are given at each step."""

    def __init__(self, system: TransitionSystem, observed: Sequence[z3.ExprRef]) -> None:
        self.system = system
        self.names = [state.name for state in system.states]
        self.symbols = [state.symbol.decl().name() for state in system.states]
        self.initial = self.begun({CLOCK_AT_FIRST: 0})
        self.elapsed = system.elapsed.decl().name()
        self.scans = system.scans.decl().name()
        self._observed = len(observed)
        self._run = compiled([*observed, *(state.update for state in system.states)])

    def begun(self, free: Environment) -> dict[str, Value | None]:
        """The first state with these free values; other free ones are None."""
        return {
            symbol: free.get(symbol) if state.initial is None else value_of(state.initial, free)
            for symbol, state in zip(self.symbols, self.system.states, strict=True)
        }

    def step(
        self, state: Environment, inputs: Environment, elapsed: int, scans: int = 1
    ) -> tuple[tuple[Value, ...], dict[str, Value]]:
        """Values of the observed terms, and the next state by symbol name."""
        results = self._run({**inputs, **state, self.elapsed: elapsed, self.scans: scans})
        after = dict(zip(self.symbols, results[self._observed :], strict=True))
        return results[: self._observed], after
