"""What a played scenario shows, in sentences."""

from __future__ import annotations

from collections.abc import Sequence

from twohand.evidence.runs.causes import variables_of
from twohand.program.durations import Units
from twohand.scan.scan_record import ScanRecord, scans_before
from twohand.scenarios.judging import Failure, Outside
from twohand.scenarios.model import Expected, InputChange
from twohand.scenarios.play import PlayedRun, PlayedScenario, SeenFailure
from twohand.scenarios.timing import timings_words
from twohand.specification.logic.formula import Formula, Property
from twohand.specification.model.specification import Requirement
from twohand.specification.phrases import count, duration, listing, value, written

_MOST_VALUES = 6
_VERBS = ("is", "are")


def moment(position: int, records: Sequence[ScanRecord], played: PlayedScenario) -> str:
    """``at 40 ms (scan 5)``; before power-up it has no number."""
    clocking = played.scenario.specification.clocking
    number = position - scans_before(records) + 1
    if number < 1:
        return f"{duration(Units(-records[position].time), clocking)} before power-up"
    return f"at {duration(records[position].time, clocking)} (scan {number})"


def name_of(failure: Failure) -> str:
    about = failure.about
    if isinstance(about, Requirement):
        return about.identifier
    if isinstance(about, Expected):
        return f"EXPECT in line {about.span.line}"
    return about.kind.value


def failure_sentence(seen: SeenFailure, played: PlayedScenario) -> str:
    """What fails, where it does first, what was seen there and what is asked."""
    failure, records = seen.failure, seen.run.execution.records
    about, clocking = failure.about, played.scenario.specification.clocking
    at = moment(failure.position, records, played)
    if isinstance(about, Requirement):
        return (
            f"{name_of(failure)} fails {at}{_values(about.property, failure, played, seen)}; "
            f"asked: {about.sentence}"
        )
    if not isinstance(about, Expected):
        return f"{about.kind.value} {at}: the scan does not complete, and the run ends"
    shown = _values(about.formula, failure, played, seen)
    if about.within is not None:
        by = duration(about.within, clocking)
        return f"not seen within {by}{shown}; asked: {written(about.span)}"
    if records[failure.position].time < about.first:
        return f"the run ends {at}, before this: {written(about.span)}"
    return f"not so {at}{shown}; asked: {written(about.span)}"


def runs_sentence(seen: SeenFailure, played: PlayedScenario) -> str:
    """In how many runs it fails, and which one is shown."""
    run = seen.run.timing.words
    if played.runs == 1:
        return f"scan times: {run}"
    every = "all" if seen.runs == played.runs else str(seen.runs)
    return f"in {every} of {count(played.runs, 'run')}; shown: scan times {run}"


def outside_sentence(outside: Outside, run: PlayedRun, played: PlayedScenario) -> str:
    at = moment(outside.position, run.execution.records, played)
    text = written(outside.assumption.span)
    if not outside.assumption.stated:
        text = f"the contacts of a hand agree ({text})"
    return f"this breaks an assumption {at}, and says nothing of requirements from there on: {text}"


def unseen_sentence(change: InputChange, played: PlayedScenario) -> str:
    clocking = played.scenario.specification.clocking
    at = duration(change.time, clocking)
    return f"no scan of a run sees this change at {at}: {written(change.span)}"


def played_sentence(played: PlayedScenario) -> str:
    """How many runs were played, and of which kinds."""
    kinds = timings_words(played.times, played.seed)
    parts = [f"{count(played.runs, 'run')}: scan times {kinds}"]
    names = listing(list(played.readings))
    if not played.all_played:
        parts.append(f"NOT every choice of {names}, which are open: there are too many")
    elif played.readings:
        parts.append(f"every choice of {names}, which {_VERBS[len(played.readings) > 1]} open")
    return "; ".join(parts)


def _values(
    about: Property | Formula, failure: Failure, played: PlayedScenario, seen: SeenFailure
) -> str:
    """What the variables that it reads are in that scan."""
    values = seen.run.execution.records[failure.position].values
    clocking = played.scenario.specification.clocking
    words = [
        f"{each.name} is {value(values[each.name], each.type, clocking)}"
        for each in variables_of(about)
        if each.name in values
    ]
    return f": {listing(words[:_MOST_VALUES])}" if words else ""
