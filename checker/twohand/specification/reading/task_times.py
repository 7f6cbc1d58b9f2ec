"""The scan time of a spec against the tasks of the sources' configurations."""

from __future__ import annotations

from dataclasses import replace

from twohand.program import Program
from twohand.program.durations import Nanoseconds
from twohand.specification.problems import Problems
from twohand.specification.reading.statements import StatementTable
from twohand.specification.syntax import nodes as spec

_UNITS = (("s", 1_000_000_000), ("ms", 1_000_000), ("us", 1_000), ("ns", 1))


def check_task_times(parts: StatementTable, program: Program, problems: Problems) -> None:
    """Offer the tasks' intervals where SCAN is missing; warn where SCAN has none of them."""
    timed = [(task.name, task.interval) for task in program.tasks if task.interval is not None]
    if not timed:
        return
    scan = parts.only(spec.ScanStatement)
    if scan is None:
        way = " or ".join(f"SCAN {written_time(each)}; (task '{name}')" for name, each in timed)
        problems.errors[:] = [
            replace(error, help=f"write {way}") if error.code == "missing-scan" else error
            for error in problems.errors
        ]
        return
    longest = scan.shortest if scan.longest is None else scan.longest
    low, high = scan.shortest.nanoseconds, longest.nanoseconds
    if any(low <= interval <= high for _, interval in timed):
        return
    listed = ", ".join(f"{written_time(each)} of task '{name}'" for name, each in timed)
    message = f"SCAN does not contain the INTERVAL {listed}"
    way = f"write SCAN {written_time(timed[0][1])};, or a range that contains it"
    problems.warn("scan-not-of-task", message, scan.span, way)


def written_time(nanoseconds: Nanoseconds) -> str:
    """A whole number of nanoseconds as a literal, in the coarsest unit that needs no fraction."""
    name, size = next(unit for unit in _UNITS if nanoseconds % unit[1] == 0)
    return f"T#{nanoseconds // size}{name}"
