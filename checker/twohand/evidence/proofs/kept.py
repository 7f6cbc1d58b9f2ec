"""Proofs and runs as plain data, and their way back: by the same checks as the engine's answers.

Who wrote the data is not known. A proof counts once it was checked from scratch; a run once it was
run, scan by scan, in the system that was asked about, and is bad in its last scan: then it is one
that the engine could have given.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping, Sequence

import z3

from twohand.engine.system.cone import cone
from twohand.engine.system.contract import Step, Violated
from twohand.engine.system.runs import Simulator
from twohand.engine.system.terms import name
from twohand.evidence.cache.question import Plain, Unbelieved
from twohand.evidence.proofs.certificate import Recheck, recheck
from twohand.program.durations import Ticks
from twohand.program.types import Value
from twohand.scan import serialisation as exchange
from twohand.scan.transition_system import TransitionSystem

_METHOD = re.compile(r"[A-Za-z0-9 ,.'()-]{1,200}")
"""Words that are shown as they are."""
_COMMANDS = ("declare-fun", "assert", "check-sat")
_PREAMBLE = re.compile(r"; [a-zA-Z ]*\n\(set-info :status unknown\)\n")
_TOKEN = re.compile(rf"\s+|[()]|\|{re.escape(exchange.CARRIER)}\||[A-Za-z0-9_!?$#.+*/<>=~-]+")


def rechecked_proof(
    kept: Plain, system: TransitionSystem, bad: z3.BoolRef, effort: float
) -> tuple[str, int, str, Recheck]:
    """The proof that no scan of the system is bad, checked from scratch: its clauses as text, how
    many they are, its method, and what the check gave. ``effort`` as of ``recheck``."""
    text, method = kept["clauses"], _method(kept)
    check_is_assertion(text)
    clauses: Sequence[z3.BoolRef] = exchange.load_terms(text, system)
    result = recheck(system, bad, clauses, effort)
    if not result.accepted:
        raise Unbelieved(result.fault)
    return text, len(clauses), method, result


def check_is_assertion(text: str) -> None:
    """Unbelieved for what is more than symbols and assertions: in a solver's language there are
    commands that set its options and write files."""
    header, _, rest = text.partition("\n")
    json.loads(header)
    if not rest:
        return
    begin = _PREAMBLE.match(rest)
    if begin is None:
        raise Unbelieved("it does not begin as terms do")
    place, depth, head = begin.end(), 0, False
    while place < len(rest):
        token = _TOKEN.match(rest, place)
        if token is None:
            raise Unbelieved("it has characters that no term has")
        place, word = token.end(), token.group()
        if head and word not in _COMMANDS:
            raise Unbelieved("it has a command besides assertions")
        head = word == "(" and depth == 0
        depth += {"(": 1, ")": -1}.get(word, 0)


def kept_run(run: Violated) -> Plain:
    """For ``rechecked_run``."""
    return {
        "steps": [[dict(step.inputs), step.elapsed] for step in run.steps],
        "initial": dict(run.initial),
        "method": run.method,
    }


def rechecked_run(kept: Plain, system: TransitionSystem, bad: z3.BoolRef) -> Violated:
    """The run, run in the system: bad in its last scan."""
    seen = cone(system, bad)
    inputs = {name(symbol): symbol for symbol in seen.inputs}
    free = {name(state.symbol): state.symbol for state in seen.states if state.initial is None}
    steps = tuple(
        Step(_values(values, inputs), Ticks(whole(elapsed))) for values, elapsed in kept["steps"]
    )
    run = Violated(steps, _values(kept["initial"], free), _method(kept))
    if Simulator(seen, bad).confirmed(run, whole=True) is None:
        raise Unbelieved("its run is none of this system, or not bad in the end")
    return run


def _values(plain: Mapping[str, object], symbols: Mapping[str, z3.ExprRef]) -> dict[str, Value]:
    return {each: _value(value, symbols[each]) for each, value in plain.items()}


def _value(plain: object, symbol: z3.ExprRef) -> Value:
    """The value, of the symbol's own kind."""
    if z3.is_bool(symbol) and isinstance(plain, bool):
        return plain
    number = whole(plain)
    if z3.is_bool(symbol) or (z3.is_bv(symbol) and not 0 <= number < 1 << symbol.size()):
        raise Unbelieved("a value is of another type")
    return number


def whole(plain: object) -> int:
    """The number; Unbelieved where it is none."""
    if isinstance(plain, bool) or not isinstance(plain, int):
        raise Unbelieved("a number is none")
    return plain


def _method(kept: Plain) -> str:
    method = kept["method"]
    if not isinstance(method, str) or _METHOD.fullmatch(method) is None:
        raise Unbelieved("the name of its method is none")
    return method


def is_cost(effort: object, most: float) -> bool:
    """Whether a question that may take ``most`` can have taken this effort. What shares a ledger
    goes on with what a kept answer says that it took; a wrong number leaves more or less for other
    questions, each of which has its own answer checked."""
    return isinstance(effort, float) and math.isfinite(effort) and 0 <= effort <= 2 * most + 1
