"""What has to be reached on every platform: a run under each choice of the open readings.

A proof covers all readings at once; a run is of one platform. Runs that are known are tried under
every other choice first, since most do not depend on it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product
from typing import TypeAlias

from twohand.engine.jobs import Problem
from twohand.engine.system.contract import Unknown, Violated
from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.proofs.query import Certified, QueryResult
from twohand.evidence.runs.trace import Trace, definite
from twohand.scan.clocking import PARAMETER_PREFIX
from twohand.specification.logic.formula import Property


@dataclass(frozen=True)
class NeverThere:
    """Under this choice of the open readings no run gets there, or (``before_findings``) none
    does before a finding."""

    readings: Mapping[str, bool]
    proof: Certified
    before_findings: bool = False


Result: TypeAlias = NeverThere | Unknown | None
"""None: a run gets there under every choice."""


class EveryReading:
    """Asks for runs that refute ``property`` (the problem's bad term ``index``) under every
    choice; ``then`` is called once."""

    def __init__(
        self,
        case: CheckContext,
        name: str,
        property: Property,
        index: int,
        then: Callable[[Result], None],
    ) -> None:
        self._case = case
        self._name = name
        self._property = property
        self._index = index
        self._then = then
        self._runs: list[Trace] = []
        self._choices = self._all_choices()

    def begin(self, first: Trace) -> None:
        """``first`` is a run under one choice."""
        self._runs.append(first)
        self._next()

    def _all_choices(self) -> Iterator[dict[str, bool]]:
        names = self._case.questions.open_readings
        for values in product((False, True), repeat=len(names)):
            yield dict(zip(names, values, strict=True))

    def _next(self) -> None:
        for choice in self._choices:
            if not any(self._refuted(run, choice) for run in self._runs):
                self._ask(choice, self._case.problem(self._index))
                return
        self._then(None)

    def _refuted(self, run: Trace, choice: Mapping[str, bool]) -> bool:
        replayer = self._case.replayer
        records = replayer.records(self._under(run, choice))
        position = replayer.refuted_at(self._property, records)
        return position is not None and replayer.allowed(records[: position + 1])

    def _under(self, run: Trace, choice: Mapping[str, bool]) -> Trace:
        readings = definite(self._case.specification.readings, choice)
        return replace(run, readings=readings, chosen=dict(choice))

    def _ask(self, choice: dict[str, bool], problem: Problem) -> None:
        fixed = tuple((PARAMETER_PREFIX + name, value) for name, value in choice.items())
        self._case.desk.decide(
            f"{self._name} under every reading",
            replace(problem, fixed=fixed),
            self._index,
            lambda asked: self._answered(asked, choice, problem),
        )

    def _answered(self, asked: QueryResult, choice: dict[str, bool], problem: Problem) -> None:
        match asked.answer:
            case Certified() as proof:
                cut = problem is not self._case.problem(self._index)
                self._then(NeverThere(choice, proof, cut))
            case Unknown() as unknown:
                self._then(unknown)
            case Violated() as run:
                self._found(self._under(self._case.trace(run), choice), choice, problem)

    def _found(self, run: Trace, choice: dict[str, bool], problem: Problem) -> None:
        if self._refuted(run, choice):
            self._runs.append(run)
            self._next()
            return
        records = self._case.replayer.records(run)
        finding = records[-1].finding if records else None
        if finding is None or problem is not self._case.problem(self._index):
            raise InternalContradiction(
                f"{self._name}: a run under another reading was found that does not get there "
                "when it is executed"
            )
        self._case.seen_findings.append(finding)
        self._ask(choice, self._case.until_then(self._index))
