"""Answers of the engine that are believed only after an independent look at them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import cvc5
import z3
from twohand.engine.portfolio import decide
from twohand.engine.system.contract import Answer, Proved, Violated
from twohand.program import CLOCK, Program
from twohand.program.durations import Scans, Units
from twohand.scan import serialisation as exchange
from twohand.scan.clocking import CLOCK_AT_FIRST, PARAMETER_PREFIX, Clocking, Readings
from twohand.scan.concrete.execute import run
from twohand.scan.scan_record import ScanRecord
from twohand.scan.sorts import boolean
from twohand.scan.symbolic.encode import encode
from twohand.scan.transition_system import TransitionSystem
from twohand.specification.logic.evaluate import assumed, refuted_at
from twohand.specification.logic.formula import Formula, Property
from twohand.specification.logic.monitor import Monitors
from twohand.specification.logic.power_up import POWER_UP
from twohand.specification.surroundings.power import POWER_ON

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


def with_every_past(
    monitors: Monitors, system: TransitionSystem, bad: z3.BoolRef
) -> tuple[TransitionSystem, list[z3.BoolRef]]:
    """The system for runs with scans before power-up, where those can matter."""
    if not monitors.lasting:
        return system, [bad]
    changed, terms = monitors.with_past(system, [bad])
    return changed, [boolean(term) for term in terms]


def executed(
    program: Program,
    clocking: Clocking,
    readings: Readings,
    system: TransitionSystem,
    answer: Violated,
) -> list[ScanRecord]:
    """The records of the engine's run."""
    powered = [bool(step.inputs.get(POWER_UP, True)) for step in answer.steps]
    names = {variable.name for variable in program.inputs}
    past = Scans(powered.index(True))
    steps = [
        ({n: v for n, v in step.inputs.items() if n in names}, Units(step.elapsed * system.tick))
        for step in answer.steps
    ]
    inputs, elapsed = steps[past]
    if CLOCK_AT_FIRST in answer.initial and inputs.get(POWER_ON, True):
        shown = (answer.initial[CLOCK_AT_FIRST] + elapsed) % clocking.clock_range
        steps[past] = ({**inputs, CLOCK.name: shown}, elapsed)
    return run(program, clocking, readings, LOOPS, steps, past)


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
        bad = monitors.bad(asked)
        self.system, (self.bad,) = with_every_past(monitors, monitors.system, bad)
        self.choices = open_readings(self.system, self.readings)

    def decide(self, seconds: float) -> Answer:
        """The engine's answer, with its proof rechecked or its run replayed; asked in a context
        of its own, so that no test depends on those before it."""
        text = exchange.dump(self.system, [self.bad])
        system, (term,) = exchange.load(text, z3.Context())
        answer = decide(system, boolean(term), seconds)
        if isinstance(answer, Proved):
            here = self.bad.ctx
            clauses = tuple(boolean(each.translate(here)) for each in answer.clauses)
            answer = Proved(clauses, answer.method)
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
        records = executed(self.program, self.clocking, readings, self.system, answer)
        assert refuted_at(self.asked, records, self.clocking) == len(answer.steps) - 1
        for assumption in self.assumptions:
            assert assumed(assumption, records, self.clocking)


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
