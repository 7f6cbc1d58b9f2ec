"""The bounds of time of a requirement, laid over a run that violates it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from twohand.evidence.verdict import Counterexample
from twohand.program.durations import Units
from twohand.program.walks import nodes_below
from twohand.scan.clocking import Clocking
from twohand.specification.logic.formula import (
    Bound,
    Historically,
    Once,
    Property,
    Response,
    Since,
)
from twohand.specification.phrases import count, duration


@dataclass(frozen=True)
class TimeSpan:
    """``words`` say what it is; ``begin`` and ``end`` are in nanoseconds on the axis of the run,
    beyond which it may reach. ``due``: at its end there had to be an answer, and was none."""

    words: str
    begin: int
    end: int
    due: bool


def time_spans(
    asked: Property, run: Counterexample | None, clocking: Clocking
) -> tuple[TimeSpan, ...]:
    """Until when an answer was due, and how far back the requirement looks from the scan that is
    wrong (bounds from 0 on that are stated as times)."""
    if run is None or not run.records:
        return ()
    return (*_due(asked, run, clocking), *_looked_back(asked, run, clocking))


def _due(asked: Property, run: Counterexample, clocking: Clocking) -> Iterator[TimeSpan]:
    if not isinstance(asked, Response) or run.asked_at is None or asked.bound.high is None:
        return
    begin, high = run.records[run.asked_at].time, asked.bound.high
    end, words = Units(begin + high), f"{duration(Units(high), clocking)} to answer"
    if asked.bound.in_scans:
        end = run.records[min(run.asked_at + high, len(run.records) - 1)].time
        words = f"{count(high, 'scan')} to answer"
    yield TimeSpan(words, clocking.nanoseconds(begin), clocking.nanoseconds(end), True)


def _looked_back(asked: Property, run: Counterexample, clocking: Clocking) -> Iterator[TimeSpan]:
    bounds: dict[Bound, None] = {}
    for node in nodes_below(asked):
        if isinstance(node, Once | Historically | Since) and node.bound is not None:
            bounds.setdefault(node.bound)
    end = run.records[-1].time
    for bound in bounds:
        if bound.low == 0 and bound.high and not bound.in_scans:
            begin = Units(end - bound.high)
            words = f"the last {duration(Units(bound.high), clocking)}"
            yield TimeSpan(words, clocking.nanoseconds(begin), clocking.nanoseconds(end), False)
