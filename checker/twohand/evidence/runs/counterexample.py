"""From an engine's run to one that people read: replayed, simplified, with its causes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.runs.answers import missing_answer
from twohand.evidence.runs.causes import causes
from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.simplify import Wanted, relevant_readings, simplified
from twohand.evidence.runs.trace import Trace
from twohand.evidence.verdict import Counterexample
from twohand.scan.finding import Finding, same
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic.formula import Formula, Property


@dataclass(frozen=True)
class CutByFinding:
    """The run does not get to what was asked, because a finding comes first."""

    finding: Finding


def refutation(
    trace: Trace, property: Property, replayer: Replayer, name: str, simple: bool = True
) -> Counterexample | CutByFinding:
    """The run that refutes ``property`` in its last scan, made ``simple`` or as it is.
    InternalContradiction, naming what differs, where it does not refute it by execution."""
    records = replayer.records(trace)
    position = replayer.refuted_at(property, records)
    if position is None:
        if records and records[-1].finding is not None:
            return CutByFinding(records[-1].finding)
        raise InternalContradiction(
            f"{name}: a run of {len(trace.scans)} scans was found that violates it, but executed "
            f"it does not"
        )
    trace, records = trace.cut(position + 1), records[: position + 1]
    if not replayer.allowed(records):
        raise InternalContradiction(
            f"{name}: the run that was found breaks an assumption when it is executed"
        )

    if not simple:
        return Counterexample(tuple(records), dict(trace.chosen))

    def wanted(tried: Sequence[ScanRecord]) -> bool:
        return tried[-1].finding is None and replayer.refuted_at(property, tried) == len(tried) - 1

    return readable(trace, wanted, replayer, property)


def readable(
    trace: Trace, wanted: Wanted, replayer: Replayer, about: Property | Formula | None
) -> Counterexample:
    """The run simplified, with the readings that matter to it and what acted in it."""
    return explained(simplified(trace, replayer, wanted), wanted, replayer, about)


def explained(
    trace: Trace, wanted: Wanted, replayer: Replayer, about: Property | Formula | None
) -> Counterexample:
    """The run as it is, with the readings that matter to it and what acted in it."""
    trace = _on_a_usual_platform(trace, wanted, replayer)
    records = tuple(replayer.records(trace))
    readings = relevant_readings(trace, replayer, wanted)
    acted = causes(about, records, replayer.specification)
    missing = missing_answer(about, records, replayer)
    due, asked_at = ("", None) if missing is None else (missing.due, missing.begin)
    of_values = {
        name: choice
        for name, choice in readings_of_values(trace, records, replayer).items()
        if name not in readings
    }
    return Counterexample(
        records,
        readings,
        causes=acted,
        of_values=of_values,
        due=due,
        asked_at=asked_at,
        sampled=tuple(scan.inputs for scan in trace.scans[: len(records)]),
    )


def _on_a_usual_platform(trace: Trace, wanted: Wanted, replayer: Replayer) -> Trace:
    """The run with FALSE for every reading that does not matter to it: which choice an engine comes
    upon first is chance. As it is, where that makes another run of it."""
    needed = relevant_readings(trace, replayer, wanted)
    chosen = {name: needed.get(name, False) for name in trace.chosen}
    usual = replace(trace, chosen=chosen, readings=replace(trace.readings, **chosen))
    records = replayer.records(usual)
    same = len(records) == len(trace.scans) and wanted(records) and replayer.allowed(records)
    return usual if same else trace


def readings_of_values(
    trace: Trace, records: Sequence[ScanRecord], replayer: Replayer
) -> dict[str, bool]:
    """The choices of open readings without which some value of the run is another one."""

    def differs(name: str, choice: bool) -> bool:
        other = replace(trace, readings=replace(trace.readings, **{name: not choice}))
        executed = replayer.records(other)
        return [each.values for each in executed] != [each.values for each in records]

    names = replayer.specification.readings.open
    choices = {name: bool(getattr(trace.readings, name)) for name in names}
    return {name: choice for name, choice in choices.items() if differs(name, choice)}


def finding_run(trace: Trace, replayer: Replayer) -> Counterexample:
    """A run that ends in a finding. InternalContradiction where it has none by execution."""
    records = replayer.records(trace)
    finding = records[-1].finding if records else None
    if finding is None:
        raise InternalContradiction(
            "a run to an automatic finding was found, but executed it has none"
        )
    if not replayer.allowed(records):
        raise InternalContradiction(
            "the run to an automatic finding breaks an assumption when it is executed"
        )

    def wanted(tried: Sequence[ScanRecord]) -> bool:
        last = tried[-1].finding
        return last is not None and same(last, finding)

    return readable(trace.cut(len(records)), wanted, replayer, None)
