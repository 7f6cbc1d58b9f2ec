"""Answers that are missing: since when, and until when they were due.

A run refutes a bounded response in the first scan beyond the bound. That scan may have the answer,
too late; what is wrong is that those before it do not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from twohand.evidence.runs.replay import Replayer
from twohand.program.durations import Units
from twohand.scan.scan_record import ScanRecord, scans_before
from twohand.specification.logic.formula import Formula, Property, Response
from twohand.specification.phrases import duration


@dataclass(frozen=True)
class MissingAnswer:
    """``begin`` is the position of the scan that asks for it, ``due`` says until when it had to
    come: '40 ms' or 'scan 5'; ``next_scan`` when the scan beyond is, where the last one in time is
    before that ('' else)."""

    begin: int
    due: str
    next_scan: str = ""


def missing_answer(
    about: Property | Formula | None, records: Sequence[ScanRecord], replayer: Replayer
) -> MissingAnswer | None:
    """What a run that refutes a response misses; None for other properties."""
    if not isinstance(about, Response) or about.bound.high is None:
        return None
    last = len(records) - 1
    asked = replayer.holds(about.trigger, records)
    answered = replayer.holds(about.answer, records)
    since = max((at for at in range(last) if answered[at]), default=-1)
    begin = next((at for at in range(since + 1, last) if asked[at]), None)
    if begin is None:
        return None
    if about.bound.in_scans:
        number = begin - scans_before(records) + about.bound.high + 1
        return MissingAnswer(begin, f"scan {number}")
    until = Units(records[begin].time + about.bound.high)
    clocking = replayer.specification.clocking
    early = records[last - 1].time < until
    beyond = duration(records[last].time, clocking) if early else ""
    return MissingAnswer(begin, duration(until, clocking), beyond)
