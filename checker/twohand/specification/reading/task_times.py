"""The scan time of a spec against the tasks of the sources' configurations."""

from __future__ import annotations

from dataclasses import replace

from twohand.program import Program, Task
from twohand.program.durations import Nanoseconds
from twohand.specification.problems import Problems
from twohand.specification.reading.statements import StatementTable
from twohand.specification.syntax import nodes as spec

_UNITS = (("s", 1_000_000_000), ("ms", 1_000_000), ("us", 1_000), ("ns", 1))


def check_task_times(parts: StatementTable, program: Program, problems: Problems) -> None:
    """Offer the tasks' intervals where SCAN is missing; warn where SCAN has none of them."""
    timed = [task for task in program.tasks if task.interval is not None]
    if not timed:
        return
    scan = parts.only(spec.ScanStatement)
    if scan is None:
        way = " or ".join(f"SCAN {_written(task)}; (task '{task.name}')" for task in timed)
        problems.errors[:] = [
            replace(error, help=f"write {way}") if error.code == "missing-scan" else error
            for error in problems.errors
        ]
        return
    longest = scan.shortest if scan.longest is None else scan.longest
    low, high = scan.shortest.nanoseconds, longest.nanoseconds
    if any(task.interval is not None and low <= task.interval <= high for task in timed):
        return
    listed = ", ".join(f"{_written(task)} of task '{task.name}'" for task in timed)
    message = f"SCAN does not contain the INTERVAL {listed}"
    way = f"write SCAN {_written(timed[0])};, or a range that contains it"
    problems.warn("scan-not-of-task", message, scan.span, way)


def _written(task: Task) -> str:
    """The interval as a literal."""
    assert task.interval is not None
    return written_time(task.interval)


def written_time(nanoseconds: Nanoseconds) -> str:
    """A whole number of nanoseconds as a literal, in the coarsest unit that needs no fraction."""
    name, size = next(unit for unit in _UNITS if nanoseconds % unit[1] == 0)
    return f"T#{nanoseconds // size}{name}"
