"""First scans: that of the run, and the first one after each restart.

Time since the scan before may be undefined there, which only an edge call that counts time can
tell (``Readings.first_scan_has_time``).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from twohand.program import Program, Restart, StandardInstance, Variable
from twohand.scan.clocking import Readings
from twohand.scan.symbolic.timers import TIMERS
from twohand.scan.symbolic.writes import restarts_of


@dataclass(frozen=True)
class Beginning:
    """Timers whose first scans are the same: that of the run, and those after ``restarts``."""

    slot: str
    """TRUE once their program has begun."""
    instances: tuple[StandardInstance, ...]
    restarts: frozenset[Restart]

    def known(self, variables: Iterable[Variable]) -> frozenset[Variable]:
        """Those that have their initial values in each of these scans."""
        return frozenset(variables).intersection(*(each.variables for each in self.restarts))

    def known_instances(self, instances: Iterable[StandardInstance]) -> frozenset[StandardInstance]:
        """Those of which the same is true."""
        return frozenset(instances).intersection(*(each.instances for each in self.restarts))


def beginnings(program: Program, readings: Readings) -> tuple[Beginning, ...]:
    """What the program's timers may depend on; nothing where a first scan is as any other."""
    if readings.edge_call_counts is False or readings.first_scan_has_time:
        return ()
    every = restarts_of(program)
    together: dict[frozenset[Restart], list[StandardInstance]] = {}
    for instance in program.instances:
        if instance.block in TIMERS and not instance.surroundings:
            restarts = frozenset(each for each in every if instance in each.instances)
            together.setdefault(restarts, []).append(instance)
    return tuple(
        Beginning(f"#begun{number or ''}", tuple(timers), restarts)
        for number, (restarts, timers) in enumerate(together.items())
    )
