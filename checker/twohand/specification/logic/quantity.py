"""A number that is read from a run: how far moments of it lie apart.

Its value in a scan is defined by the past of that scan alone, so that it can be read from a finite
run directly (``evaluate_quantity``) and by clocks beside the program.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from twohand.specification.logic.formula import Formula


class Missing(Enum):
    """What it means where one of the events has not been yet."""

    NOT_READ = "the scan is not read"
    WITHOUT_LIMIT = "the distance counts as without limit"


@dataclass(frozen=True, eq=False)
class Event:
    """``words`` name the event, the same words the same event: 'left was released'."""

    formula: Formula
    words: str


@dataclass(frozen=True, eq=False)
class Quantity:
    """Read in every scan with ``condition``: the distance between the first and the last of the
    moments. A moment is the last scan of the run with an event, this one included (``strict``:
    before this one); with ``until_now`` the present scan is a moment as well.

    In units of time, or (``in_scans``) in scans. ``least`` asks for the least value, else for the
    greatest one.
    """

    condition: Formula
    events: tuple[Event, ...]
    until_now: bool
    in_scans: bool = False
    strict: bool = False
    least: bool = False
    missing: Missing = Missing.NOT_READ
