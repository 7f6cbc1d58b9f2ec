"""Answers of the engine that are believed only after an independent look at them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import cvc5
import z3
from twohand.engine.portfolio import decide
from twohand.engine.system.contract import Answer, Proved, Violated
from twohand.program import Program
from twohand.scan.clocking import PARAMETER_PREFIX, Clocking, Readings
from twohand.scan.concrete.execute import run
from twohand.scan.symbolic.encode import encode
from twohand.scan.transition_system import TransitionSystem
from twohand.specification.logic.evaluate import holds, refuted_at
from twohand.specification.logic.formula import Formula, Property
from twohand.specification.logic.monitor import Monitors

LOOPS = 100


def open_readings(system: TransitionSystem, readings: Readings) -> list[Readings]:
    """Every choice of the readings that the system has as parameters; the others do not matter
    to it and are set FALSE."""
    names = [
        s.name.removeprefix(PARAMETER_PREFIX)
        for s in system.states
        if s.name.startswith(PARAMETER_PREFIX)
    ]
    others = {name: False for name in readings.open if name not in names}
    return replace(readings, **others).choices()


class Question:
    """One property of one program, encoded with its monitors."""

    def __init__(
        self,
        program: Program,
        clocking: Clocking,
        asked: Property,
        readings: Readings | None = None,
        assumptions: Sequence[Formula] = (),
    ) -> None:
        self.program = program
        self.clocking = clocking
        self.asked = asked
        self.readings = readings or Readings()
        self.assumptions = tuple(assumptions)
        monitors = Monitors(encode(program, clocking, self.readings, LOOPS))
        for assumption in assumptions:
            monitors.assume(assumption)
        self.bad = monitors.bad(asked)
        self.system = monitors.system
        self.choices = open_readings(self.system, self.readings)

    def decide(self, seconds: float) -> Answer:
        """The engine's answer, with its proof rechecked or its run replayed."""
        answer = decide(self.system, self.bad, seconds)
        if isinstance(answer, Proved):
            recheck(self.system, self.bad, answer)
        elif isinstance(answer, Violated):
            self.replay(answer)
        return answer

    def replay(self, answer: Violated) -> None:
        """The executor runs it; the evaluator refutes the property in the last scan, and no
        assumption in any."""
        chosen = {
            name.removeprefix(PARAMETER_PREFIX): bool(value)
            for name, value in answer.initial.items()
            if name.startswith(PARAMETER_PREFIX)
        }
        readings = replace(self.readings, **chosen)
        readings = replace(readings, **dict.fromkeys(readings.open, False))
        steps = [(step.inputs, step.elapsed * self.system.tick) for step in answer.steps]
        records = run(self.program, self.clocking, readings, LOOPS, steps)
        assert refuted_at(self.asked, records, self.clocking) == len(answer.steps) - 1
        for assumption in self.assumptions:
            assert all(holds(assumption, records, self.clocking))


def recheck(system: TransitionSystem, bad: z3.BoolRef, answer: Proved) -> None:
    """The invariant holds initially, is kept by every scan, and excludes the bad term."""
    for term in obligations(system, bad, answer):
        refuse(term)


def obligations(
    system: TransitionSystem, bad: z3.BoolRef, answer: Proved
) -> tuple[z3.BoolRef, z3.BoolRef, z3.BoolRef]:
    """What no values may make TRUE if the proof holds."""
    invariant = z3.And([z3.BoolVal(True), *answer.clauses])
    after = z3.substitute(invariant, *((s.symbol, s.update) for s in system.states))
    scan = z3.And(invariant, system.scan_constraint)
    return (
        z3.And(system.initial, z3.Not(invariant)),
        z3.And(scan, z3.Not(after)),
        z3.And(scan, bad),
    )


def standard_text(term: z3.BoolRef) -> str:
    """The question whether some values make the term TRUE, in SMT-LIB."""
    solver = z3.Solver()
    solver.add(term)
    return "(set-logic ALL)\n" + solver.sexpr() + "\n(check-sat)\n"


def refuse(term: z3.BoolRef) -> None:
    """cvc5 finds the term unsatisfiable; handed over as text of SMT-LIB."""
    text = standard_text(term)
    manager = cvc5.TermManager()
    other = cvc5.Solver(manager)
    parser = cvc5.InputParser(other)
    parser.setStringInput(cvc5.InputLanguage.SMT_LIB_2_6, text, "obligation")
    symbols = parser.getSymbolManager()
    verdict = ""
    while True:
        command = parser.nextCommand()
        if command.isNull():
            break
        verdict += command.invoke(other, symbols)
    assert verdict.strip() == "unsat"
