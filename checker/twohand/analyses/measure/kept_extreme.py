"""An extreme of a quantity that is exact, as plain data and back (``twohand.evidence.cache``).

The run that reaches it and the proof that none goes beyond it leave one value only, so that a kept
one that both hold for is the one that would be found anew. All else is never kept.
"""

from __future__ import annotations

from collections.abc import Sequence

import z3

from twohand.engine.jobs import Problem
from twohand.engine.system.contract import Violated
from twohand.evidence.cache.question import Plain
from twohand.evidence.proofs.kept import kept_run, rechecked_run, whole
from twohand.evidence.proofs.query import Certified
from twohand.specification.logic.monitor_quantity import QuantityTerms


def kept_extreme(
    value: int | None, run: Violated | None, proof: Certified | None, bound: int | None
) -> Plain | None:
    """What is to be kept; None where the value is not exact, or a read of it was not excluded."""
    if proof is None or not proof.recheck.accepted or value != bound:
        return None
    if (run is None) is not (value is None):
        return None
    shown = None if run is None else kept_run(run)
    return {"value": value, "run": shown, "proof": proof.kept}


def rechecked_extreme(
    kept: Plain, problem: Problem, first: int, least: bool
) -> tuple[int | None, Violated | None, Certified]:
    """The value, its run and its proof, checked again; value and run None where the quantity, whose
    terms begin at ``first``, is never read."""
    system, terms = problem.loaded()
    value = None if kept["value"] is None else whole(kept["value"])
    run = None
    if value is not None:
        ending = _ending_in(value, terms, first)
        run = rechecked_run(kept["run"], system, ending)
    fresh, others = problem.loaded()
    beyond = QuantityTerms.taken(others, first).beyond(value, least)
    return value, run, Certified.rechecked(kept["proof"], fresh, beyond)


def _ending_in(value: int, terms: Sequence[z3.ExprRef], first: int) -> z3.BoolRef:
    quantity = QuantityTerms.taken(terms, first)
    return z3.And(quantity.read, quantity.value == value)
