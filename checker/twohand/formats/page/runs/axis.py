"""The time axis of a drawn run: true to scale, with quiet stretches cut short."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

ROOM = 640.0
"""Pixels that an axis should not exceed; it does where events would come too close."""
WIDEST_GAP, NARROWEST_GAP = 60.0, 12.0
"""Pixels between the two events that are nearest in time."""
LONGEST = 140.0
"""Pixels of a stretch that is drawn to scale; a longer one is cut."""
BESIDE, CUT = 34.0, 36.0
"""Pixels to scale on both sides of a cut, and those of the cut itself."""
TAIL = 26.0
"""Pixels behind the last event, so that its values are seen."""


@dataclass(frozen=True)
class Stretch:
    """From one event to the next, in nanoseconds, and in pixels; ``cut`` is where its middle is
    left out, in pixels."""

    begin: int
    end: int
    left: float
    right: float
    cut: tuple[float, float] | None


@dataclass(frozen=True)
class Axis:
    """``places`` are the pixels of the events; the last one is followed by a tail."""

    times: tuple[int, ...]
    places: tuple[float, ...]
    stretches: tuple[Stretch, ...]
    scale: float

    @property
    def end(self) -> float:
        return self.places[-1] + TAIL

    def place(self, time: int) -> float:
        """Of any time, in pixels; the ends of the axis for what is beyond."""
        if time <= self.times[0]:
            return self.places[0]
        for each in self.stretches:
            if time < each.end:
                passed, left = time - each.begin, each.end - time
                if each.cut is None:
                    return each.left + passed * self.scale
                if passed * self.scale <= BESIDE:
                    return each.left + passed * self.scale
                if left * self.scale <= BESIDE:
                    return each.right - left * self.scale
                return each.left + BESIDE + CUT / 2
        past = (time - self.times[-1]) * self.scale
        return self.places[-1] + min(past, TAIL)


def axis_of(times: Sequence[int], origin: float) -> Axis:
    """``times`` of the events, in nanoseconds, increasing; the first is at ``origin`` pixels."""
    gaps = [later - earlier for earlier, later in pairwise(times)]
    nearest = min(gaps, default=1)
    width = WIDEST_GAP
    while width > NARROWEST_GAP and sum(_drawn(gap * width / nearest) for gap in gaps) > ROOM:
        width -= 2.0
    scale = width / nearest
    places, stretches = [origin], []
    for (begin, end), gap in zip(pairwise(times), gaps, strict=True):
        left = places[-1]
        right = left + _drawn(gap * scale)
        cut = (left + BESIDE, left + BESIDE + CUT) if gap * scale > LONGEST else None
        stretches.append(Stretch(begin, end, left, right, cut))
        places.append(right)
    return Axis(tuple(times), tuple(places), tuple(stretches), scale)


def _drawn(pixels: float) -> float:
    return pixels if pixels <= LONGEST else 2 * BESIDE + CUT
