"""The clock of ``TIME()``: what it shows in each scan, and what variables keep of it."""

from __future__ import annotations

from collections.abc import Mapping, MutableMapping

from twohand.program import Program, Routine
from twohand.program.durations import Units
from twohand.program.types import Value
from twohand.program.walks import nodes_below
from twohand.scan.arithmetic import Arithmetic

Kept = tuple[int | None, ...]


class Clock:
    """Of a program, which may have none.

    In the first scan it shows what that scan's input says, in each later one as much more as time
    has passed; it wraps around. ``anew`` is its name and what it shows after a restart in the scan
    that was sampled.
    """

    def __init__(self, program: Program, arithmetic: Arithmetic) -> None:
        self._name = "" if program.clock is None else program.clock.name
        self._stamps = tuple(v.name for v in program.stamps)
        self._arithmetic = arithmetic
        self._shown: Units | None = None
        self.anew: tuple[str, Units] | None = None
        self._told = _initialised(program)

    def begin(self) -> None:
        """As before the first scan."""
        self._shown = self.anew = None

    def sampled(self, values: MutableMapping[str, Value], elapsed: Units) -> None:
        """A scan begins: ``values`` have the input, and then what the clock shows."""
        if not self._name:
            return
        chosen = self._arithmetic.clocked(values[self._name])
        self.anew = self._name, chosen
        if self._shown is not None:
            chosen = self._arithmetic.clocked(self._shown + elapsed)
        values[self._name] = chosen

    def ended(self, values: Mapping[str, Value]) -> None:
        """A scan is over, or a state was gone to."""
        if self._name in values:
            self._shown = Units(values[self._name])

    def snapshot(self, values: Mapping[str, Value]) -> Kept:
        """What later scans depend on: how long ago each reading was and, where variables get
        initial values again, what the clock shows."""
        if not self._name:
            return ()
        shown = self._shown
        ages = (self._age(shown or 0, values[name]) for name in self._stamps)
        return (shown if shown is None or self._told else 0, *ages)

    def _age(self, shown: int, value: int) -> int:
        return (shown - value) % self._arithmetic.clocking.clock_range

    def restore(self, kept: Kept, values: MutableMapping[str, Value]) -> None:
        if not self._name:
            return
        shown, *ages = kept
        self._shown = None if shown is None else Units(shown)
        for name, age in zip(self._stamps, ages, strict=True):
            values[name] = self._arithmetic.clocked((shown or 0) - (age or 0))


def _initialised(program: Program) -> bool:
    """Whether some routine gives a reading's variable its initial value at each call."""
    routines = (each for each in nodes_below(program.routine) if isinstance(each, Routine))
    return any(v.keeps_clock for routine in routines for v in routine.initialise)
