"""Quantities read directly from a finite run, by their definition: no solver, no clocks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from twohand.program.durations import Scans, Units
from twohand.scan.clocking import Clocking
from twohand.scan.scan_record import ScanRecord, scans_before
from twohand.specification.logic.evaluate import holds
from twohand.specification.logic.quantity import Missing, Quantity


@dataclass(frozen=True)
class Reading:
    """``value`` None: without limit."""

    value: Units | Scans | None


def last_reading(
    quantity: Quantity, records: Sequence[ScanRecord], clocking: Clocking
) -> Reading | None:
    """The quantity at the end of the run, None where it is not read there."""
    if not holds(quantity.condition, records, clocking)[-1]:
        return None
    now = len(records) - 1
    first_scan = scans_before(records)
    moments = [now] if quantity.until_now else []
    for event in quantity.events:
        happened = holds(event.formula, records, clocking)
        scan = now - 1 if quantity.strict else now
        while scan >= first_scan and not happened[scan]:
            scan -= 1
        if scan < first_scan:
            return None if quantity.missing is Missing.NOT_READ else Reading(None)
        moments.append(scan)
    first, last = min(moments), max(moments)
    if quantity.in_scans:
        return Reading(Scans(last - first))
    return Reading(Units(records[last].time - records[first].time))
