"""The unit of time and the range of the scan time, from the spec and the program's literals."""

from __future__ import annotations

from collections.abc import Sequence
from math import gcd

from twohand.program.durations import Nanoseconds, Units
from twohand.scan.clocking import NANOSECONDS_PER_MILLISECOND, Clocking
from twohand.specification.phrases import duration_of
from twohand.specification.problems import Problems
from twohand.specification.syntax.nodes import ScanStatement, UnitStatement
from twohand.text.source_text import Span

FINEST_UNIT = Nanoseconds(1_000)
"""No scan and no window of a PLC is stated finer than in microseconds."""

Stated = tuple[Nanoseconds, Span]
"""A duration and its place."""


def choose_clocking(
    scan: ScanStatement | None,
    unit: UnitStatement | None,
    stated: Sequence[Stated],
    problems: Problems,
) -> Clocking:
    """One millisecond, or the greatest fraction of it that divides every stated duration, or the
    spec's own unit. Where something is wrong (it is in ``problems`` then) or the scan time is not
    stated, a clocking that at least turns every stated duration into units."""
    common = Nanoseconds(
        gcd(NANOSECONDS_PER_MILLISECOND, *(nanoseconds for nanoseconds, _ in stated))
    )
    chosen = common
    if unit is not None:
        if _usable(unit, problems):
            _check_finer(unit.unit.nanoseconds, stated, problems)
            if common % unit.unit.nanoseconds == 0:
                chosen = unit.unit.nanoseconds
    elif common < FINEST_UNIT:
        _report_finest(stated, problems)
    if scan is None:
        return Clocking(chosen, Units(1), Units(1))
    shortest, longest = _range(scan, problems)
    return Clocking(chosen, Units(max(1, shortest // chosen)), Units(max(1, longest // chosen)))


def _usable(unit: UnitStatement, problems: Problems) -> bool:
    nanoseconds, span = unit.unit.nanoseconds, unit.unit.span
    if nanoseconds <= 0 or NANOSECONDS_PER_MILLISECOND % nanoseconds:
        message = f"the unit must divide 1 ms, and {duration_of(nanoseconds)} does not"
        problems.error("unit-not-a-fraction", message, span, "write for instance UNIT T#100us")
        return False
    if nanoseconds < FINEST_UNIT:
        way = "write UNIT T#1us, or none"
        problems.error("unit-too-fine", "the unit is at least 1 us", span, way)
        return False
    return True


def _check_finer(unit: Nanoseconds, stated: Sequence[Stated], problems: Problems) -> None:
    for nanoseconds, span in stated:
        if nanoseconds % unit:
            message = f"this is no whole number of units of {duration_of(unit)}"
            problems.error("finer-than-unit", message, span, "state a finer UNIT, or none")


def _report_finest(stated: Sequence[Stated], problems: Problems) -> None:
    for nanoseconds, span in stated:
        if nanoseconds % FINEST_UNIT:
            message = "this is finer than 1 us, the finest unit of time"
            problems.error("finer-than-unit", message, span, "state it in whole microseconds")


def _range(scan: ScanStatement, problems: Problems) -> tuple[Nanoseconds, Nanoseconds]:
    """Shortest and longest scan time."""
    longest = scan.shortest if scan.longest is None else scan.longest
    for time in {scan.shortest: None, longest: None}:
        if time.nanoseconds <= 0:
            way = "write for instance SCAN T#10ms; or SCAN T#5ms..T#20ms;"
            problems.error("scan-not-positive", "a scan takes longer than 0", time.span, way)
    if longest.nanoseconds < scan.shortest.nanoseconds:
        message = "the longest scan time is less than the shortest"
        way = "write the shortest first: SCAN T#5ms..T#20ms"
        problems.error("scan-range-reversed", message, scan.span, way)
    return scan.shortest.nanoseconds, longest.nanoseconds
