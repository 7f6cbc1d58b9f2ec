"""Sentences for evidence: what was seen in a violation, in the user's names."""

from __future__ import annotations

from collections.abc import Sequence

from twohand.evidence.runs.answers import missing_answer
from twohand.evidence.runs.causes import in_time, variables_of
from twohand.evidence.runs.replay import Replayer
from twohand.program import Variable
from twohand.program.durations import Units
from twohand.scan.clocking import Clocking
from twohand.scan.finding import Finding
from twohand.scan.scan_record import ScanRecord, scans_before
from twohand.specification.logic.formula import Formula, Property, Until
from twohand.specification.model.specification import Requirement
from twohand.specification.phrases import duration, listing, value

_MOST_VALUES = 6


def seen_sentence(
    requirement: Requirement, records: Sequence[ScanRecord], replayer: Replayer
) -> str:
    """Requirement, when, what was seen and what was asked; no final full stop."""
    clocking = replayer.specification.clocking
    since = _asked_since(requirement.property, records, replayer)
    records = in_time(requirement.property, records)
    seen = _seen(requirement.property, records, clocking)
    return (
        f"{requirement.identifier}: {when(len(records) - 1, records, clocking)}{seen}{since}; "
        f"asked: {requirement.sentence}"
    )


def when(position: int, records: Sequence[ScanRecord], clocking: Clocking) -> str:
    """A scan of the run, by its time and its number since power-up."""
    number = position - scans_before(records) + 1
    return f"at {duration(records[position].time, clocking)} (scan {number})"


def _seen(about: Property | Formula, records: Sequence[ScanRecord], clocking: Clocking) -> str:
    """What the variables that it reads are in the last scan, those that the program writes
    first."""
    last = records[-1]
    variables = [v for v in variables_of(about) if v.name in last.values]
    written = [v for v in variables if v.name in last.writers]
    shown = [*written, *(v for v in variables if v not in written)]
    words = [_history(variable, records, clocking) for variable in shown[:_MOST_VALUES]]
    return f" {listing(words)}" if words else ""


def _history(variable: Variable, records: Sequence[ScanRecord], clocking: Clocking) -> str:
    """The last value of a variable, and since when it has it."""
    values = [record.values.get(variable.name) for record in records]
    words = value(values[-1], variable.type, clocking)
    known = scans_before(records) if values[0] is None else 0
    begins = len(values) - 1
    while begins > known and values[begins - 1] == values[-1]:
        begins -= 1
    first = records[begins]
    if first.before_power_up:
        earlier = "" if begins == 0 else f"{duration(Units(-first.time), clocking)} "
        return f"{variable.name} is {words} since {earlier}before power-up"
    if begins == known:
        return f"{variable.name} is {words}"
    if begins == len(values) - 1:
        return f"{variable.name} becomes {words}"
    return f"{variable.name} is {words} since {duration(records[begins].time, clocking)}"


def _asked_since(property: Property, records: Sequence[ScanRecord], replayer: Replayer) -> str:
    """Since when an answer or a release has been waited for."""
    clocking = replayer.specification.clocking
    missing = missing_answer(property, records, replayer)
    if missing is not None:
        at = when(missing.begin, records, clocking).removeprefix("at ")
        beyond = f" (the next scan is at {missing.next_scan})" if missing.next_scan else ""
        return f", unanswered since {at}, due by {missing.due}{beyond}"
    if not isinstance(property, Until):
        return ""
    begins = None
    truths = replayer.holds(property.trigger, records)
    releases = replayer.holds(property.release, records)
    for position, (asked, released) in enumerate(zip(truths, releases, strict=True)):
        if released:
            begins = None
        elif asked and begins is None:
            begins = position
    if begins is None or begins == len(records) - 1:
        return ""
    at = when(begins, records, clocking)
    return f", not released since {at.removeprefix('at ')}"


def finding_words(finding: Finding) -> str:
    return f"{finding.kind.value} in line {finding.span.line} of {finding.span.source.path}"
