"""Transition systems and terms as text, for processes that share no memory.

The first line is a JSON header, the rest one SMT-LIB 2 assertion: a predicate applied to every
term, so that what they share is written once.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import Any

import z3

from twohand.scan.sorts import boolean, integer
from twohand.scan.transition_system import StateKind, StateVariable, TransitionSystem

CARRIER = "#terms"
GROUPS = ("inputs", "ranges", "constraints", "initial_constraints")


def dump(system: TransitionSystem, terms: Sequence[z3.ExprRef], with_signals: bool = False) -> str:
    """The system and further terms over it. Findings' spans stay behind: pass the terms of those
    that are wanted among ``terms``. Signals are written where asked for."""
    signals = dict(system.signals) if with_signals else {}
    header = {
        "states": [[s.name, s.kind.value, s.initial is not None] for s in system.states],
        "time": [system.shortest, system.longest, system.tick],
        "groups": [len(getattr(system, group)) for group in GROUPS],
        "signals": list(signals),
    }
    written: list[z3.ExprRef] = [system.elapsed, system.scans]
    for state in system.states:
        written.extend((state.symbol, state.update))
        if state.initial is not None:
            written.append(state.initial)
    for group in GROUPS:
        written.extend(getattr(system, group))
    written.extend(signals.values())
    written.extend(terms)
    return json.dumps(header) + "\n" + _written(written)


def load(
    text: str, context: z3.Context | None = None
) -> tuple[TransitionSystem, tuple[z3.ExprRef, ...]]:
    """What ``dump`` wrote, in this z3 context (None: the main one); the system has no findings."""
    first, _, rest = text.partition("\n")
    header: dict[str, Any] = json.loads(first)
    terms = iter(_read(rest, context))
    elapsed, scans = integer(next(terms)), integer(next(terms))
    states = tuple(_state(entry, terms) for entry in header["states"])
    inputs, *conditions = ([next(terms) for _ in range(size)] for size in header["groups"])
    ranges, constraints, initial = (tuple(map(boolean, group)) for group in conditions)
    shortest, longest, tick = header["time"]
    system = TransitionSystem(
        states=states,
        inputs=tuple(inputs),
        elapsed=elapsed,
        scans=scans,
        shortest=shortest,
        longest=longest,
        tick=tick,
        ranges=ranges,
        constraints=constraints,
        initial_constraints=initial,
        signals={name: next(terms) for name in header["signals"]},
    )
    return system, tuple(terms)


def _state(entry: tuple[str, str, bool], terms: Iterator[z3.ExprRef]) -> StateVariable:
    name, kind, has_initial = entry
    symbol, update = next(terms), next(terms)
    initial = next(terms) if has_initial else None
    return StateVariable(name, symbol, initial, update, StateKind(kind))


def dump_terms(terms: Sequence[z3.BoolRef]) -> str:
    """Terms over a system that the reader has too."""
    return _written(terms)


def load_terms(text: str, system: TransitionSystem) -> tuple[z3.BoolRef, ...]:
    """What ``dump_terms`` wrote, in the system's context. ValueError where a name is none of the
    system's."""
    context = system.elapsed.ctx
    known = {(symbol.decl().name(), symbol.sort()) for symbol in _symbols(system)}
    first = text.partition("\n")[0]
    for name, bits in json.loads(first)["symbols"]:
        if (name, _sort(bits, context)) not in known:
            raise ValueError(f"'{name}' is no symbol of the system")
    return tuple(map(boolean, _read(text, context)))


def _symbols(system: TransitionSystem) -> list[z3.ExprRef]:
    states = [state.symbol for state in system.states]
    return [*states, *system.inputs, system.elapsed, system.scans]


# --- one assertion ----------------------------------------------------------------------------


def _written(terms: Sequence[z3.ExprRef]) -> str:
    """A header with the names and negative numbers, then the assertion under plain names (a
    variable may be called ``store``, and a negative number would come back as a subtraction).

    It is printed from a context in which there is nothing else: the printer names and orders shared
    terms by their numbers in the context, and the reader makes them in that order."""
    if not terms:
        return json.dumps({"symbols": [], "negatives": []}) + "\n"
    context = terms[0].ctx
    symbols, negatives = _leaves(terms)
    carrier = z3.Function(CARRIER, *(term.sort() for term in terms), z3.BoolSort(context))
    plain = [(symbol, _plain(number, symbol.sort())) for number, symbol in enumerate(symbols)]
    alone = z3.Context()
    solver = z3.Solver(ctx=alone)
    solver.add(boolean(z3.substitute(carrier(*terms), *plain).translate(alone)))
    header = {
        "symbols": [[symbol.decl().name(), _bits(symbol.sort())] for symbol in symbols],
        "negatives": negatives,
    }
    return json.dumps(header) + "\n" + solver.to_smt2()


def _read(text: str, context: z3.Context | None) -> tuple[z3.ExprRef, ...]:
    first, _, rest = text.partition("\n")
    if not rest:
        return ()
    header: dict[str, Any] = json.loads(first)
    pairs = []
    for number, (name, bits) in enumerate(header["symbols"]):
        sort = _sort(bits, context)
        pairs.append((_plain(number, sort), z3.Const(name, sort)))
    pairs.extend(
        (-z3.IntVal(-value, context), z3.IntVal(value, context)) for value in header["negatives"]
    )
    (assertion,) = z3.parse_smt2_string(rest, ctx=context)
    return tuple(z3.substitute(assertion, *pairs).children())


def _plain(number: int, sort: z3.SortRef) -> z3.ExprRef:
    return z3.Const(f"s!{number}", sort)


def _bits(sort: z3.SortRef) -> int | str:
    return sort.size() if isinstance(sort, z3.BitVecSortRef) else str(sort)


def _sort(bits: int | str, context: z3.Context | None) -> z3.SortRef:
    if isinstance(bits, int):
        return z3.BitVecSort(bits, context)
    return z3.BoolSort(context) if bits == "Bool" else z3.IntSort(context)


def _leaves(terms: Sequence[z3.ExprRef]) -> tuple[list[z3.ExprRef], list[int]]:
    """The symbols and the negative integers of the terms, each once."""
    symbols: list[z3.ExprRef] = []
    negatives: list[int] = []
    seen: set[int] = set()
    waiting = list(terms)
    while waiting:
        term = waiting.pop()
        if term.get_id() in seen:
            continue
        seen.add(term.get_id())
        if z3.is_int_value(term):
            if term.as_long() < 0:
                negatives.append(term.as_long())
        elif term.num_args():
            waiting.extend(term.children())
        elif term.decl().kind() == z3.Z3_OP_UNINTERPRETED:
            symbols.append(term)
    return symbols, negatives
