"""Runs that are known already: what one of them reaches need not be searched for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import TypeAlias

from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.trace import Scan, Trace, definite
from twohand.program.durations import Scans
from twohand.program.types import BOOL, Value
from twohand.program.walks import variables_read
from twohand.scan.concrete.execute import formula_evaluator
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic.formula import Formula
from twohand.specification.model.specification import Hand, Specification

_MOST_OTHERS = 3
_LONGEST_RUN = 500
_MOST_LONG_SCANS = 200
MOST_SCANS = 1500
"""Scans that are executed for the usual runs of a specification."""


@dataclass(frozen=True)
class KnownRun:
    trace: Trace
    records: tuple[ScanRecord, ...]


class KnownRuns:
    """Executed runs that meet the assumptions and have no finding, the shortest first."""

    def __init__(self, replayer: Replayer) -> None:
        self._replayer = replayer
        self._runs: list[KnownRun] = []

    def add(self, trace: Trace) -> None:
        """One more run, where it is not too long to be looked through again and again; none where
        it may hang on what nobody computes."""
        uncomputed = self._replayer.specification.program.uncomputed
        if len(trace.scans) > _LONGEST_RUN or uncomputed:
            return
        records = self._replayer.sound_records(trace)
        if records:
            self._runs.append(KnownRun(trace.cut(len(records)), tuple(records)))
            self._runs.sort(key=lambda run: len(run.records))

    def add_usual(self) -> None:
        """What hands usually do, in a few positions of the other inputs."""
        executed = self._replayer.scans_executed
        if self._replayer.specification.program.uncomputed:
            return
        for trace in usual_runs(self._replayer.specification):
            if self._replayer.scans_executed - executed + len(trace.scans) > MOST_SCANS:
                return
            self.add(trace)

    def shortest(self, count: int, scans: int) -> list[KnownRun]:
        """So many known runs of at most so many scans, the shortest first."""
        return [run for run in self._runs if len(run.records) <= scans][:count]

    def reaching(self, formula: Formula) -> Trace | None:
        """A known run cut at the first scan with ``formula``."""
        for run in self._runs:
            position = self._replayer.first(formula, run.records)
            if position is not None:
                return run.trace.cut(position + 1)
        return None


_Acts: TypeAlias = list[tuple[int | None, int]]
"""Who is on (None: all, -1: none, else all but or just that hand: the first alone after rest, all
but it after all) and for how many scans."""


def usual_runs(specification: Specification) -> Iterator[Trace]:
    """Press together and let go one after the other; press one hand for long. Power stays on."""
    long = _long_scans(specification)
    together: _Acts = [(-1, 2), (None, 3), (0, 2), (-1, 2), (None, 2)]
    at_once: _Acts = [(None, 3), (-1, 1), (None, 2)]
    alone: _Acts = [(-1, 2), (0, long), (None, 2), (-1, 1)]
    yield from _played(specification, (together, at_once, alone))


def wrong_after_a_stroke(specification: Specification) -> Iterator[Trace]:
    """A stroke and what must not begin another one: one hand much earlier than the other, or one
    that lets go and presses again. Power stays on."""
    stroke: _Acts = [(-1, 2), (None, 3)]
    long = _long_scans(specification)
    late: list[_Acts] = [[*stroke, (-1, 2), (hand, long), (None, 2)] for hand in (0, 1)]
    again: list[_Acts] = [[*stroke, (hand, 2), (None, 2)] for hand in (0, 1)]
    if len(specification.hands) > 1:
        yield from _played(specification, (*late, *again))


def _played(specification: Specification, scripts: Sequence[_Acts]) -> Iterator[Trace]:
    """Each of them in a few positions of the other inputs; none where the hands are not plain."""
    hands = [_positions(hand, specification) for hand in specification.hands]
    positions = [hand for hand in hands if hand is not None]
    if not hands or len(positions) < len(hands):
        return
    used = {name for hand in positions for name in hand[0]}
    supply = {} if specification.power is None else {specification.power.name: True}
    inputs = specification.program.inputs
    others = [v.name for v in inputs if v.type == BOOL and v.name not in {*used, *supply}]
    readings = definite(specification.readings, {})
    for setting in settings(others):
        for acts in scripts:
            scans = _script(positions, {**setting, **supply}, acts)
            timed = tuple(Scan(each, specification.clocking.longest) for each in scans)
            yield Trace(timed, readings, {})


def _long_scans(specification: Specification) -> Scans:
    """Scans that outlast every window, so far as that is not too many."""
    windows = [lag.window or lag.true_lag or 0 for lag in specification.lags]
    longest = specification.clocking.longest
    return Scans(min(_MOST_LONG_SCANS, max([0, *windows]) // longest + 2))


def settings(names: list[str]) -> Iterator[dict[str, Value]]:
    """All FALSE, all TRUE, then the mixtures of the first few."""
    yield dict.fromkeys(names, False)
    if names:
        yield dict.fromkeys(names, True)
    few = names[:_MOST_OTHERS]
    for choice in product((False, True), repeat=len(few)):
        if len(set(choice)) > 1:
            yield {**dict.fromkeys(names, False), **dict(zip(few, choice, strict=True))}


def _positions(
    hand: Hand, specification: Specification
) -> tuple[dict[str, Value], dict[str, Value]] | None:
    """Inputs with which the hand is off, and on; None where that is not plain."""
    names = list(dict.fromkeys(read.variable.name for read in variables_read(hand.pressed)))
    found: dict[bool, dict[str, Value]] = {}
    if len(names) > 4 or any(read.variable.type != BOOL for read in variables_read(hand.pressed)):
        return None
    evaluator = formula_evaluator(specification.clocking)
    for choice in product((False, True), repeat=len(names)):
        values: dict[str, Value] = dict(zip(names, choice, strict=True))
        pressed = evaluator.value(hand.pressed, values)
        found.setdefault(bool(pressed), values)
    return (found[False], found[True]) if len(found) == 2 else None


def rest_position(specification: Specification) -> dict[str, Value]:
    """The inputs of the program with which all hands are off, where that is plain."""
    names = {variable.name for variable in specification.program.inputs}
    found: dict[str, Value] = {}
    for positions in (_positions(hand, specification) for hand in specification.hands):
        if positions is not None and names.issuperset(positions[0]):
            found.update(positions[0])
    return found


def _script(
    hands: list[tuple[dict[str, Value], dict[str, Value]]],
    rest: dict[str, Value],
    acts: _Acts,
) -> list[dict[str, Value]]:
    """Inputs scan by scan."""
    scans: list[dict[str, Value]] = []
    all_on = False
    for who, count in acts:
        inputs = dict(rest)
        for number, (off, on) in enumerate(hands):
            pressed = who is None or (who >= 0 and ((number != who) if all_on else number == who))
            inputs.update(on if pressed else off)
        all_on = who is None
        scans += [dict(inputs) for _ in range(count)]
    return scans
