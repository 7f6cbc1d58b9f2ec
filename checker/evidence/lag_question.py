"""The widest lag of a station's presses that still starts the output, as a job.

Found with a clock for each hand's last press, then proved not to be exceeded. A start with a hand
that has no press (it was on in the first scan) counts as wider than any lag.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations

import z3

from checker.engine.contract import Proved, Unknown, Violated
from checker.engine.events import maximise
from checker.engine.jobs import Problem
from checker.engine.runs import Simulator
from checker.engine.slice import cone
from checker.evidence.question import Certified, certify, decided
from checker.scan.system import TransitionSystem

_MOST_WIDENINGS = 8


@dataclass(frozen=True)
class LagTerms:
    """``start`` and, for each hand, whether it has been pressed and how long ago (ticks)."""

    start: z3.BoolRef
    pressed: tuple[z3.BoolRef, ...]
    ages: tuple[z3.ArithRef, ...]

    @property
    def all(self) -> list[z3.ExprRef]:
        return [self.start, *self.pressed, *self.ages]


@dataclass(frozen=True)
class Measured:
    """``widest`` ticks in ``run``; ``proof`` says that none is wider; ``wider`` is a run beyond
    the window, or with a hand that was never pressed; ``reason`` says why nothing is proved."""

    widest: int | None = None
    run: Violated | None = None
    proof: Certified | None = None
    wider: Violated | None = None
    reason: str = ""


@dataclass(frozen=True)
class MeasureLag:
    """A job. The problem's terms from ``first`` on are those of LagTerms for ``hands`` hands;
    ``window`` (ticks) is the most that is looked for."""

    problem: Problem
    first: int
    hands: int
    window: int | None
    seconds: float

    def __call__(self) -> Measured:
        end = time.monotonic() + self.seconds
        system, terms = self.problem.loaded()
        found = _Question(self._taken(terms))
        reached = found.bounded(self.window)
        best = maximise(system, reached, found.width, max(0.1, self.seconds / 3))
        widest, run = (None, None) if best is None else best
        for _ in range(_MOST_WIDENINGS):
            limit = -1 if widest is None else widest
            bad = found.wider_than(limit)
            answer = decided(system, bad, max(0.1, end - time.monotonic()))
            if isinstance(answer, Proved):
                whole, fresh = self.problem.afresh()
                again = _Question(self._taken(fresh))
                proof = certify(whole, again.wider_than(limit), answer)
                return Measured(widest, run, proof)
            if isinstance(answer, Unknown):
                return Measured(widest, run, reason=answer.reason)
            width = _width(system, found, answer)
            if width is None or (self.window is not None and width > self.window):
                return Measured(widest, run, wider=answer)
            widest, run = width, answer
        return Measured(widest, run, reason="ever wider lags were found")

    def _taken(self, terms: Sequence[z3.ExprRef]) -> LagTerms:
        first, hands = self.first, self.hands
        return LagTerms(
            terms[first],
            tuple(terms[first + 1 : first + 1 + hands]),
            tuple(terms[first + 1 + hands : first + 1 + 2 * hands]),
        )


class _Question:
    """The terms that are asked about."""

    def __init__(self, terms: LagTerms) -> None:
        self.start = terms.start
        self.all_pressed = z3.And(list(terms.pressed))
        self.ages = terms.ages
        differences = [a - b for a, b in permutations(terms.ages, 2)]
        widest = differences[0]
        for difference in differences[1:]:
            widest = z3.If(difference > widest, difference, widest)
        self.width: z3.ArithRef = widest

    def bounded(self, window: int | None) -> z3.BoolRef:
        limits = [] if window is None else [z3.Not(self._apart(window))]
        return z3.And(self.start, self.all_pressed, *limits)

    def wider_than(self, ticks: int) -> z3.BoolRef:
        return z3.And(self.start, z3.Or(z3.Not(self.all_pressed), self._apart(ticks)))

    def _apart(self, ticks: int) -> z3.BoolRef:
        return z3.Or([a > b + ticks for a, b in permutations(self.ages, 2)])


def _width(system: TransitionSystem, question: _Question, run: Violated) -> int | None:
    """The lag at the end of a run; None where a hand has no press."""
    number = z3.If(question.all_pressed, question.width, z3.IntVal(-1))
    bad = question.start
    simulator = Simulator(cone(system, bad, number), bad, number)
    width = simulator.measured(run)
    return None if width < 0 else width
