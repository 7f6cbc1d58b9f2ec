"""Clauses that are known from another system prove something only where they are inductive here."""

from __future__ import annotations

import z3
from twohand.engine.proof.known_clauses import prove_with
from twohand.engine.system.budget import Budget
from twohand.engine.system.contract import Proved
from twohand.program import Program
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.symbolic.encode import encode
from twohand.scan.transition_system import TransitionSystem
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.decided import recheck

CLOCKING = Clocking(1_000_000, 1, 2)
DECLARED = """VAR_INPUT a : BOOL; END_VAR
VAR_OUTPUT q : BOOL; END_VAR
VAR seen, again : BOOL; END_VAR
"""


def system_of(body: str) -> TransitionSystem:
    text = f"FUNCTION_BLOCK B\n{DECLARED}{body}\nEND_FUNCTION_BLOCK\n"
    program: Program = load_program([SourceText("b.st", text)])
    return encode(program, CLOCKING, Readings(), 4).system


def state(system: TransitionSystem, name: str) -> z3.BoolRef:
    found = next(each.symbol for each in system.states if each.name == name)
    assert isinstance(found, z3.BoolRef)
    return found


BODY = (
    "IF a THEN seen := TRUE; END_IF;\nIF again AND NOT seen THEN q := TRUE; END_IF;\nagain := {};"
)


def test_the_inductive_ones_of_some_clauses_are_a_proof() -> None:
    system = system_of(BODY.format("seen"))
    seen, again, q = (state(system, name) for name in ("seen", "again", "q"))
    bad = system.signals["q"]
    assert isinstance(bad, z3.BoolRef)
    useful = z3.Or(z3.Not(again), seen)
    clauses = [seen, z3.Not(seen), useful, z3.Not(q)]
    proof = prove_with(system, bad, clauses, Budget(10))
    assert isinstance(proof, Proved)
    assert {str(each) for each in proof.clauses} == {str(useful), str(z3.Not(q))}
    recheck(system, bad, proof)


def test_clauses_that_a_scan_leaves_prove_nothing() -> None:
    system = system_of(BODY.format("TRUE"))
    seen, again, q = (state(system, name) for name in ("seen", "again", "q"))
    bad = system.signals["q"]
    assert isinstance(bad, z3.BoolRef)
    clauses = [z3.Or(z3.Not(again), seen), z3.Not(q)]
    assert prove_with(system, bad, clauses, Budget(10)) is None


def test_inductive_clauses_that_exclude_nothing_prove_nothing() -> None:
    system = system_of(BODY.format("seen"))
    seen, again = (state(system, name) for name in ("seen", "again"))
    signal = system.signals["seen"]
    assert isinstance(signal, z3.BoolRef)
    assert prove_with(system, signal, [z3.Or(z3.Not(again), seen)], Budget(10)) is None
