"""The probe's program on the executor, as on a controller of given readings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import product

from twohand.probe.number import READINGS, probe_program
from twohand.program import Program
from twohand.program.durations import Nanoseconds, Units
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.concrete.execute import Machine
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

CLOCKING = Clocking(Nanoseconds(1_000_000), Units(1), Units(100))
"""Milliseconds."""
OTHERS = Readings(
    disabled_call_takes_inputs=False,
    clock_is_signed=False,
    durations_are_signed=True,
    temporaries_begin_anew=True,
)
CHOICES = list(product((False, True), repeat=len(READINGS)))
MOST_SCANS = 20_000


@cache
def program() -> Program:
    return load_program([SourceText("probe.st", probe_program())])


def platform(choice: tuple[bool, ...]) -> Readings:
    return replace(OTHERS, **dict(zip(READINGS, choice, strict=True)))


def ended_with(readings: Readings, scan_time: Callable[[int], int]) -> int:
    """The number that a start of the controller ends with; ``scan_time`` gives the milliseconds
    before each scan."""
    machine = Machine(program(), CLOCKING, readings)
    for number in range(MOST_SCANS):
        record = machine.scan({}, Units(scan_time(number)))
        assert record.finding is None
        if record.values["finished"]:
            return int(record.values["result"])
    raise AssertionError("the program does not end")
