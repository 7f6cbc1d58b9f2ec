"""A proof as two questions in SMT-LIB 2, which any solver answers with unsat.

https://smt-lib.org, version 2.6: the logic, the expected answer (3.6.6 of its text) and full names.
"""

from __future__ import annotations

import z3

from twohand.evidence.checks.requirement import ProvedRequirement
from twohand.evidence.proofs.certificate import obligation_terms
from twohand.scan import serialisation as exchange
from twohand.scan.sorts import boolean

_LOGICS = (("is-qflia", "QF_LIA"), ("is-qfnia", "QF_NIA"), ("is-qfbv", "QF_BV"))
"""The solver's own tests, and the logic of each; others have no name in the standard but ALL."""
STEPS = ("begin", "scan")


def proof_texts(proved: ProvedRequirement, about: str) -> tuple[str, str]:
    """That the invariant holds at the beginning, and that every scan keeps it and is not bad.
    ``about`` says what is proved, of what."""
    system, terms = proved.problem.loaded()
    clauses = exchange.load_terms(proved.proof.clauses, system)
    begin, scan = obligation_terms(system, boolean(terms[proved.index]), clauses)
    return _written(begin, about), _written(scan, about)


def _written(question: tuple[str, z3.BoolRef], about: str) -> str:
    meaning, term = question
    lines = [
        "(set-info :smt-lib-version 2.6)",
        f"(set-info :source |{_quoted(about)}. A model would mean: {meaning}|)",
        "(set-info :status unsat)",
        f"(set-logic {_logic(term)})",
        _asserted(term),
        "(check-sat)",
        "(exit)",
    ]
    return "\n".join(lines) + "\n"


def _logic(term: z3.BoolRef) -> str:
    goal = z3.Goal(ctx=term.ctx)
    goal.add(term)
    for test, logic in _LOGICS:
        if z3.Probe(test, ctx=term.ctx)(goal):
            return logic
    return "ALL"


def _asserted(term: z3.BoolRef) -> str:
    """Declarations and the assertion."""
    solver = z3.Solver(ctx=term.ctx)
    solver.add(term)
    return str(solver.sexpr()).rstrip()


def _quoted(text: str) -> str:
    """Without what would end a quoted symbol."""
    return text.replace("|", "?").replace("\\", "/")
