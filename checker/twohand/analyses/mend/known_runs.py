"""Runs that a mended block has to pass: most changes fail one, so that no solver is asked.

They only ever refuse a change. What passes is proved.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from twohand.evidence.runs.known_runs import MOST_SCANS, usual_runs, wrong_after_a_stroke
from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.trace import Trace
from twohand.program.product import shown
from twohand.program.types import Value
from twohand.specification.logic.formula import Property
from twohand.specification.model.specification import Aim, Specification


@dataclass(frozen=True)
class KeptOutputs:
    """A run in which the block breaks nothing, and what it shows in each scan."""

    trace: Trace
    values: tuple[Mapping[str, Value], ...]
    same: bool = True
    """Whether all of it has to be the same, or only no output on that is off in the block."""


def broken_at(properties: Sequence[Property], replayer: Replayer, trace: Trace) -> int | None:
    """The first scan that refutes one of them, in a run of scans without a finding; the number of
    its scans where none does; None where the run is not one of the spec."""
    records = replayer.sound_records(trace)
    if not records:
        return None
    found = [replayer.refuted_at(each, records) for each in properties]
    return min((at for at in found if at is not None), default=len(records))


class PassedRuns:
    """``refuting`` runs must not break anything; ``kept`` ones must show the same."""

    def __init__(self, block: Specification) -> None:
        self._block = block
        self._replayer = Replayer(block)
        self._names = [variable.name for variable in shown(block.program)]
        self._outputs = [variable.name for variable in block.outputs]
        self._names = list(dict.fromkeys([*self._names, *self._outputs]))
        self._asked = [r.property for r in block.requirements if r.aim is Aim.HOLDS]
        self.refuting: list[Trace] = []
        self.kept: list[KeptOutputs] = []
        scans = 0
        for trace in (*usual_runs(block), *wrong_after_a_stroke(block)):
            scans += len(trace.scans)
            if scans <= MOST_SCANS:
                self.keep(trace)
        self.shows_outputs = any(
            values[name] is True
            for each in self.kept
            for values in each.values
            for name in self._outputs
        )
        """Whether the block has an output on in one of the usual runs, before it breaks anything:
        then no block that stays off passes."""

    def keep(self, trace: Trace, same: bool = True) -> None:
        """A run, up to where the block breaks something."""
        end = broken_at(self._asked, self._replayer, trace)
        if not end:
            return
        records = self._replayer.sound_records(trace)[:end]
        values = tuple({name: each.values[name] for name in self._names} for each in records)
        self.kept.insert(0, KeptOutputs(trace.cut(end), values, same))

    def refute(self, trace: Trace) -> None:
        if trace not in self.refuting:
            self.refuting.insert(0, trace)

    def repaired(self, changed: Specification) -> frozenset[int]:
        """Which of the refuting runs break nothing any more."""
        replayer, asked = Replayer(changed), _held(changed)
        return frozenset(
            number
            for number, trace in enumerate(self.refuting)
            if broken_at(asked, replayer, trace) in (None, len(trace.scans))
        )

    def passes(self, changed: Specification) -> bool:
        replayer, asked = Replayer(changed), _held(changed)
        for trace in self.refuting:
            if broken_at(asked, replayer, trace) not in (None, len(trace.scans)):
                return False
        return all(self._same(each, replayer) for each in self.kept)

    def _same(self, kept: KeptOutputs, replayer: Replayer) -> bool:
        records = replayer.sound_records(kept.trace)
        if kept.same:
            now = [{name: each.values.get(name) for name in self._names} for each in records]
            return now == list(kept.values)
        both = zip(records, kept.values, strict=False)
        return not any(
            each.values.get(name) is True and before[name] is False
            for each, before in both
            for name in self._outputs
        )


def _held(specification: Specification) -> list[Property]:
    return [r.property for r in specification.requirements if r.aim is Aim.HOLDS]


def pairs_in_turn(repaired: Sequence[frozenset[int]], runs: int) -> Iterator[tuple[int, int]]:
    """Pairs of numbers of changes: first those that together repair every refuting run, then those
    that repair one, in their order."""
    numbers = range(len(repaired))
    pairs = [(one, other) for one in numbers for other in numbers if one < other]
    yield from sorted(pairs, key=lambda pair: -_worth(repaired[pair[0]] | repaired[pair[1]], runs))


def _worth(repaired: frozenset[int], runs: int) -> int:
    return 2 if len(repaired) == runs else int(bool(repaired))
