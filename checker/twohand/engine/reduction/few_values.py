"""Numbers that take few values, as flags that say which.

The preset that a timer has latched is 0 or one of the constants that it was ever called with; what
is compared with it is compared with one of these. A state that keeps its value or takes a constant
is replaced by a flag for each constant; the other states and all runs stay as they are. What is
proved with flags is proved with the number once each flag is read as 'the number is this constant',
together with the clause that it is one of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import z3

from twohand.engine.system.contract import Answer, Proved
from twohand.engine.system.terms import Substitution, literal_value, name, walk
from twohand.scan.sorts import boolean
from twohand.scan.transition_system import StateKind, StateVariable, TransitionSystem

METHOD = "numbers of few values"
_MOST_VALUES = 4
_COMPARED = {z3.Z3_OP_LE, z3.Z3_OP_LT, z3.Z3_OP_GE, z3.Z3_OP_GT}


@dataclass(frozen=True)
class _Number:
    """A state and its ``values``, that which it has at the beginning first; ``flags`` say that it
    is the second, the third and so on."""

    state: StateVariable
    values: tuple[z3.ExprRef, ...]
    flags: tuple[z3.BoolRef, ...]

    @property
    def term(self) -> z3.ExprRef:
        """The number, by its flags."""
        term = self.values[0]
        for flag, value in zip(self.flags, self.values[1:], strict=True):
            term = z3.If(flag, value, term)
        return term

    def flag_states(self) -> Iterator[StateVariable]:
        for flag, value in zip(self.flags, self.values[1:], strict=True):
            update = _is(self.state.update, value, self.state.symbol, flag)
            yield StateVariable(name(flag), flag, z3.BoolVal(False, flag.ctx), update)


@dataclass(frozen=True)
class Flagged:
    """``system`` and ``bad`` with flags for the ``numbers``."""

    system: TransitionSystem
    bad: z3.BoolRef
    numbers: tuple[_Number, ...] = ()

    def answer(self, found: Answer) -> Answer:
        """An answer for the system with the numbers; runs are the same ones."""
        if not isinstance(found, Proved) or not self.numbers:
            return found
        pairs = [
            (flag, number.state.symbol == value)
            for number in self.numbers
            for flag, value in zip(number.flags, number.values[1:], strict=True)
        ]
        read = Substitution(pairs, self.bad.ctx)
        ranges = [z3.Or([n.state.symbol == value for value in n.values]) for n in self.numbers]
        method = f"{found.method}, with {METHOD}" if found.clauses else METHOD
        return Proved((*(read(clause) for clause in found.clauses), *ranges), method)


def with_flags(system: TransitionSystem, bad: z3.BoolRef) -> Flagged:
    """The system (its cone of influence) with flags for the numbers of few values that something is
    compared with as more or less."""
    numbers = tuple(_numbers(system, bad))
    if not numbers:
        return Flagged(system, bad)
    put = Substitution([(n.state.symbol, n.term) for n in numbers], bad.ctx)
    gone = {n.state.name for n in numbers}
    kept = [state for state in system.states if state.name not in gone]
    flags = [flag for number in numbers for flag in number.flag_states()]
    flagged = replace(
        system,
        states=tuple(replace(each, update=put(each.update)) for each in (*kept, *flags)),
        constraints=tuple(put(each) for each in system.constraints),
        signals={},
        findings=(),
    )
    return Flagged(flagged, put(bad), numbers)


def _numbers(system: TransitionSystem, bad: z3.BoolRef) -> Iterator[_Number]:
    found = {
        state.symbol.get_id(): (state, values)
        for state in system.states
        if state.kind is StateKind.DISCRETE and z3.is_int(state.symbol)
        if (values := _values(state)) is not None
    }
    compared = _compared(system, bad) if found else set()
    for identifier, (state, values) in found.items():
        if identifier in compared:
            names = [f"#{state.name} is {literal_value(value)}" for value in values[1:]]
            flags = tuple(z3.Bool(each, bad.ctx) for each in names)
            yield _Number(state, values, flags)


def _compared(system: TransitionSystem, bad: z3.BoolRef) -> set[int]:
    """The symbols below a comparison of more or less that is not with a constant alone."""
    roots = [*(state.update for state in system.states), *system.constraints, bad]
    found: set[int] = set()
    for term in walk(roots):
        if z3.is_app(term) and term.decl().kind() in _COMPARED:
            found.update(each.get_id() for each in walk(term.children()) if z3.is_int(each))
    return found


def _values(state: StateVariable) -> tuple[z3.ExprRef, ...] | None:
    """What it is at the beginning and the constants that it takes; None where that is open, or it
    takes others, or too many of them."""
    if state.initial is None or literal_value(state.initial) is None:
        return None
    found: dict[object, z3.ExprRef] = {literal_value(state.initial): state.initial}
    for leaf in _choices(state.update):
        if _is_choice(leaf) or leaf.eq(state.symbol):
            continue
        value = literal_value(leaf)
        if value is None:
            return None
        found.setdefault(value, leaf)
    return tuple(found.values()) if len(found) <= _MOST_VALUES else None


def _choices(term: z3.ExprRef) -> Iterator[z3.ExprRef]:
    """What a term chooses from, and the choices among it, each once, those below first."""
    waiting: list[tuple[z3.ExprRef, bool]] = [(term, False)]
    seen: set[int] = set()
    while waiting:
        node, below = waiting.pop()
        if below:
            yield node
        elif node.get_id() not in seen:
            seen.add(node.get_id())
            waiting.append((node, True))
            if _is_choice(node):
                waiting += [(node.arg(2), False), (node.arg(1), False)]


def _is_choice(node: z3.ExprRef) -> bool:
    return z3.is_app(node) and node.decl().kind() == z3.Z3_OP_ITE


def _is(update: z3.ExprRef, value: z3.ExprRef, symbol: z3.ExprRef, flag: z3.BoolRef) -> z3.BoolRef:
    """That the update gives this value."""
    made: dict[int, z3.BoolRef] = {}
    for node in _choices(update):
        if _is_choice(node):
            condition, one, other = node.children()
            chosen = made[one.get_id()], made[other.get_id()]
            made[node.get_id()] = z3.If(boolean(condition), *chosen)
        elif node.eq(symbol):
            made[node.get_id()] = flag
        else:
            made[node.get_id()] = z3.BoolVal(node.eq(value), flag.ctx)
    return made[update.get_id()]
