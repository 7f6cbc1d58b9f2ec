"""A proof checked from scratch: an inductive invariant against the whole system.

What is asked is written as SMT-LIB 2 and read by another solver (cvc5 where it is installed, else
z3 in a fresh context), which has no part in how the invariant was found:

    initial state => I         I and scan => I after the scan, and the scan is not bad

I is the conjunction of the clauses, which speak of state before a scan only.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum
from functools import lru_cache
from importlib import import_module

import z3

from twohand.engine.system.budget import units
from twohand.scan.transition_system import TransitionSystem

_CVC5_UNITS = 100_000
"""cvc5's resource units in one effort: it does 20 000 (search) to 500 000 (rewriting) a second."""


class CheckerAnswer(Enum):
    HOLDS = "unsat"
    FAILS = "sat"
    UNKNOWN = "unknown"


Checker = Callable[[str, float], CheckerAnswer]
"""Takes an SMT-LIB text and what may be spent on it; HOLDS where the text has no model."""


@dataclass(frozen=True)
class Recheck:
    """``checker`` names who accepted (or last refused); ``fault`` is empty where it was accepted,
    and ``certain`` where the checker found it wrong rather than no answer."""

    checker: str
    fault: str = ""
    certain: bool = True

    @property
    def accepted(self) -> bool:
        return not self.fault


def recheck(
    system: TransitionSystem,
    bad: z3.BoolRef,
    clauses: Sequence[z3.BoolRef],
    effort: float,
    checkers: Sequence[str] | None = None,
) -> Recheck:
    """Whether the clauses are a certificate; the next checker is asked where one does not know.

    ``effort`` (``twohand.engine.system.budget``) is for each query; ``checkers`` are names of
    CHECKERS (default: cvc5 where installed, then z3).
    """
    if checkers is None:
        checkers = ("cvc5", "z3") if _installed("cvc5") else ("z3",)
    if not _over_states(system, clauses):
        return Recheck("the reader", "it speaks of more than the state before a scan")
    questions = obligations(system, bad, clauses)
    result = Recheck("nobody", "no checker was asked", certain=False)
    for name in checkers:
        version, check = CHECKERS[name]
        for fault, text in questions:
            answer = check(text, effort)
            if answer is not CheckerAnswer.HOLDS:
                result = Recheck(version(), fault, answer is CheckerAnswer.FAILS)
                break
        else:
            return Recheck(version())
        if result.certain:
            return result
    return result


def obligations(
    system: TransitionSystem, bad: z3.BoolRef, clauses: Sequence[z3.BoolRef]
) -> tuple[tuple[str, str], ...]:
    """What must have no model, as SMT-LIB, with what a model would mean."""
    return tuple((fault, _text(term)) for fault, term in obligation_terms(system, bad, clauses))


def obligation_terms(
    system: TransitionSystem, bad: z3.BoolRef, clauses: Sequence[z3.BoolRef]
) -> tuple[tuple[str, z3.BoolRef], tuple[str, z3.BoolRef]]:
    """The same as terms: of the beginning, and of a scan."""
    invariant = z3.And([*clauses, z3.BoolVal(True, bad.ctx)])
    after = z3.substitute(invariant, *[(s.symbol, s.update) for s in system.states])
    step = z3.And(invariant, system.scan_constraint, z3.Or(z3.Not(after), bad))
    return (
        ("an initial state is outside", z3.And(system.initial, z3.Not(invariant))),
        ("a scan leaves it or is bad", step),
    )


def _text(term: z3.BoolRef) -> str:
    solver = z3.Solver(ctx=term.ctx)
    solver.add(term)
    return str(solver.to_smt2()).replace("(check-sat)", "")


def _over_states(system: TransitionSystem, clauses: Sequence[z3.BoolRef]) -> bool:
    allowed = {state.symbol.get_id() for state in system.states}
    seen: set[int] = set()
    waiting: list[z3.ExprRef] = list(clauses)
    while waiting:
        term = waiting.pop()
        if term.get_id() in seen:
            continue
        seen.add(term.get_id())
        if not z3.is_app(term):
            return False
        waiting.extend(term.children())
        symbol = term.decl().kind() == z3.Z3_OP_UNINTERPRETED
        if symbol and term.get_id() not in allowed:
            return False
    return True


@lru_cache
def _installed(module: str) -> bool:
    try:
        import_module(module)
    except ImportError:
        return False
    return True


# --- checkers ---------------------------------------------------------------------------------


def _check_with_cvc5(text: str, effort: float) -> CheckerAnswer:
    import cvc5

    solver = cvc5.Solver(cvc5.TermManager())
    solver.setOption("rlimit-per", str(max(1, int(_CVC5_UNITS * effort))))
    solver.setLogic("ALL")
    parser = cvc5.InputParser(solver)
    parser.setStringInput(cvc5.InputLanguage.SMT_LIB_2_6, text, "certificate")
    try:
        while not (command := parser.nextCommand()).isNull():
            if str(command.invoke(solver, parser.getSymbolManager())).strip():
                return CheckerAnswer.UNKNOWN
        result = solver.checkSat()
    except RuntimeError:  # a function that it does not know
        return CheckerAnswer.UNKNOWN
    if result.isUnsat():
        return CheckerAnswer.HOLDS
    return CheckerAnswer.FAILS if result.isSat() else CheckerAnswer.UNKNOWN


def _check_with_z3(text: str, effort: float) -> CheckerAnswer:
    context = z3.Context()
    solver = z3.Solver(ctx=context)
    solver.set("rlimit", units(effort))
    solver.add(z3.parse_smt2_string(text, ctx=context))
    result = solver.check()
    if result == z3.unsat:
        return CheckerAnswer.HOLDS
    return CheckerAnswer.FAILS if result == z3.sat else CheckerAnswer.UNKNOWN


def _cvc5_version() -> str:
    import cvc5

    return f"cvc5 {cvc5.__version__}"


def _z3_version() -> str:
    return f"z3 {z3.get_version_string()}, fresh context"


CHECKERS: dict[str, tuple[Callable[[], str], Checker]] = {
    "cvc5": (_cvc5_version, _check_with_cvc5),
    "z3": (_z3_version, _check_with_z3),
}
