"""A trial as scenarios, played before it is printed: every pause and every order that hands may
have, each under every reading and several scan times, by the executor and the direct evaluator."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from twohand.analyses.sheet.trial import Device, InputMove, OutputSeen, Trial
from twohand.evidence.branches.ways import Way
from twohand.program import Read, Variable
from twohand.program.durations import Units
from twohand.program.types import Value
from twohand.scan.scan_record import ScanRecord
from twohand.scenarios.inputs import Inputs, contact_inputs
from twohand.scenarios.model import Expected, InputChange, Scenario
from twohand.scenarios.play import PlayedRun, runs_of
from twohand.scenarios.timing import timings
from twohand.specification.logic import evaluate
from twohand.specification.logic.formula import Atom, Formula, Not, Or
from twohand.specification.model.specification import Aim, Requirement, Specification
from twohand.text.source_text import Span

SECOND = 1_000_000_000
SETTLED = SECOND // 2
"""Nanoseconds after which an output that comes or goes is looked at."""
APART = SECOND // 5
"""Nanoseconds that are still 'together' for hands; common practice."""
PAUSES = (1, 2)
"""Seconds between two steps: the least and the most that the sheet says."""
SEED = 1


@dataclass(frozen=True)
class Tempo:
    """``pause`` in seconds; of what is done together each is ``apart`` nanoseconds in all behind
    the first, in the order of the list or, ``turned``, against it."""

    pause: int
    apart: int = 0
    turned: bool = False


EXACT = Tempo(PAUSES[0])
TEMPI = (
    EXACT, Tempo(PAUSES[0], APART), Tempo(PAUSES[0], APART, True), Tempo(PAUSES[1], APART),
)  # fmt: skip
IN_ONE_SCAN = (EXACT, Tempo(PAUSES[1]))
"""What is done together is done by a generator."""


@dataclass(frozen=True)
class Rehearsed:
    """``plays``: in every run everything is seen as printed, and no assumption is broken.
    ``depends``: in some runs, not in all. ``ways`` are the branches that every run of the first
    tempo goes, ``triggers`` the requirements of which its first run brings about what they ask."""

    plays: bool
    depends: bool
    ways: frozenset[Way]
    triggers: frozenset[str]


class Rehearsal:
    """``specification`` has a program with marks for ``ways``; none of its assumptions that follow
    from the wiring of contacts are asked where a contact is off."""

    def __init__(self, specification: Specification, ways: Sequence[Way]) -> None:
        self.specification = specification
        self.ways = ways
        self._inputs = {v.name: v for v in specification.program.inputs}
        self._hands = {hand.name: hand for hand in specification.hands}
        output = tuple(Atom(Read(v, v.span)) for v in specification.outputs)
        self._on: Formula = Or(output)

    def rehearsed(self, trial: Trial, tempi: Sequence[Tempo] = TEMPI) -> Rehearsed:
        """The whole of a trial."""
        first, *others = tempi
        runs = list(self._runs(trial, first))
        good = [as_printed(run) for run in runs]
        good += [as_printed(run) for tempo in others for run in self._runs(trial, tempo, True)]
        if not all(good):
            return Rehearsed(False, any(good), frozenset(), frozenset())
        gone = [self._gone(run.execution.records) for run in runs]
        triggers = self._triggers(runs[0].execution.records)
        return Rehearsed(True, False, frozenset.intersection(*gone), triggers)

    def plays_once(self, trial: Trial) -> bool:
        """Whether one run of it is as printed: a cheap look before all others."""
        return as_printed(next(self._runs(trial, EXACT)))

    def _runs(self, trial: Trial, tempo: Tempo, briefly: bool = False) -> Iterator[PlayedRun]:
        """Under every choice of readings; ``briefly``: with scan times at random alone."""
        scenario = self.scenario(trial, tempo)
        asked = list(timings(self.specification.clocking, None, 1, SEED))
        for timing in asked[-1:] if briefly else asked:
            yield from runs_of(scenario, timing)

    # --- as a scenario ----------------------------------------------------------------------

    def scenario(self, trial: Trial, tempo: Tempo) -> Scenario:
        """What is asked of the spec is left out: of the trial itself everything is judged."""
        spec = self.specification
        starts: list[Units] = []
        for step in trial.steps:
            pause = self._units(SECOND * (tempo.pause + step.extra))
            starts.append(Units((starts[-1] if starts else 0) + pause))
        end = Units(starts[-1] + self._units(SECOND * tempo.pause))
        changes: list[InputChange] = []
        expected = [self._expected(trial.seen_first, Units(0), starts[0])]
        for step, begin, until in zip(trial.steps, starts, [*starts[1:], end], strict=True):
            moves = step.moves[::-1] if tempo.turned else step.moves
            gap = tempo.apart // max(1, len(moves) - 1)
            for number, move in enumerate(moves):
                at = Units(begin + self._units(gap * number))
                changes += [InputChange(at, v, on, v.span) for v, on in self._set(move)]
            expected.append(self._expected(step.seen, begin, until))
        at_first = self._at_first(trial)
        return Scenario(
            trial.title, spec.source, self._asked(trial), spec.readings, at_first,
            [each for each in changes if each.input.name != trial.wire_off],
            tuple(expected), None, end, trial_span(spec),
        )  # fmt: skip

    def _expected(self, seen: OutputSeen, begin: Units, until: Units) -> Expected:
        """Up to the last moment before the next step."""
        first = begin if seen.stays else Units(begin + self._units(SETTLED))
        formula = self._on if seen.on else Not(self._on)
        return Expected(formula, trial_span(self.specification), first, Units(until - 1))

    def _set(self, move: InputMove) -> list[tuple[Variable, bool]]:
        """The inputs that a move changes, and what each becomes; InputError where a contact is no
        plain input."""
        if move.device is Device.INPUT:
            return [(self._inputs[move.name], move.on)]
        contacts = contact_inputs(self._hands[move.name])
        return [(variable, move.on == as_on) for variable, as_on in contacts]

    def _at_first(self, trial: Trial) -> dict[str, Value]:
        found = Inputs(self.specification).at_first()
        for move in trial.at_first:
            found.update((variable.name, on) for variable, on in self._set(move))
        if trial.wire_off:
            found[trial.wire_off] = False
        return found

    def _asked(self, trial: Trial) -> Specification:
        """Without requirements, which cost time and are proved; and with a wire off without what
        is assumed of whole contacts."""
        stated = tuple(
            each for each in self.specification.assumptions if each.stated or not trial.wire_off
        )
        return replace(self.specification, requirements=(), assumptions=stated)

    def _units(self, nanoseconds: int) -> Units:
        return Units(-(-nanoseconds // self.specification.clocking.unit))

    # --- what a run shows -------------------------------------------------------------------

    def _gone(self, records: Sequence[ScanRecord]) -> frozenset[Way]:
        """The branches that some scan of the run goes."""
        found = set()
        for before, now in zip([None, *records], records, strict=False):
            found |= {w for w in self.ways if w not in found and _goes(w, before, now)}
        return frozenset(found)

    def _triggers(self, records: Sequence[ScanRecord]) -> frozenset[str]:
        clocking = self.specification.clocking
        return frozenset(
            each.identifier
            for each in self.specification.requirements
            if (trigger := _trigger(each)) is not None
            and any(evaluate.holds(trigger, records, clocking))
        )


def trial_span(specification: Specification) -> Span:
    """A place for what nobody wrote: the spec as a whole."""
    return Span(specification.source, 0, 0)


def _trigger(requirement: Requirement) -> Formula | None:
    """What has to happen for the requirement to say anything, of one that holds in all runs."""
    return None if requirement.aim is Aim.REACHABLE else requirement.property.trigger


def as_printed(run: PlayedRun) -> bool:
    return not run.judgement.failures and run.judgement.outside is None


_MEMORY = {"last": ("IN", "CLK"), "pulsing": ("Q",), "last_up": ("CU",), "last_down": ("CD",)}
"""The pins that show after a scan what an instance remembers."""


def _goes(way: Way, before: ScanRecord | None, now: ScanRecord) -> bool:
    if now.values.get(way.mark.name) is not True:
        return False
    return all(_remembered(name, before) is value for name, value in way.memory)


def _remembered(name: str, before: ScanRecord | None) -> bool:
    """What an instance remembers before a scan."""
    instance, _, word = name.rpartition("#")
    values = {} if before is None else before.values
    return any(values.get(f"{instance}.{pin}") is True for pin in _MEMORY[word])
