"""The measures of time, as types: a number in one of them is not passed for one in another.

At run time each is an ``int``. What arithmetic gives is an ``int`` as well; it is named where a
quantity is made of it: ``Units(window + longest)``.
"""

from __future__ import annotations

from typing import NewType

Nanoseconds = NewType("Nanoseconds", int)
"""What texts state: a literal of the program or of a spec, the unit of a clocking."""

Units = NewType("Units", int)
"""Whole units of a clocking (``Clocking.unit`` nanoseconds each): what scans and values count."""

Ticks = NewType("Ticks", int)
"""What a transition system counts (``TransitionSystem.tick`` units each): one scan where the period
is fixed, else one unit."""

Scans = NewType("Scans", int)
"""A number of scans; not the position of a scan in a run."""

NO_TIME = Units(0)
NO_SCANS = Scans(0)
ONE_SCAN = Scans(1)


def ticks_in_units(ticks: Ticks, tick: Units) -> Units:
    """The units of so many ticks of ``tick`` units each."""
    return Units(ticks * tick)


def whole_ticks(units: Units, tick: Units) -> Ticks:
    """The ticks of ``tick`` units each that fit into so many units."""
    return Ticks(units // tick)
