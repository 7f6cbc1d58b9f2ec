"""Typed programs from structured text, their runs, and expressions over recorded values."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from twohand.program import Program
from twohand.program.durations import Units
from twohand.program.types import Value
from twohand.scan.clocking import NANOSECONDS_PER_MILLISECOND, Clocking, Readings
from twohand.scan.concrete.execute import run
from twohand.scan.finding import Finding
from twohand.scan.scan_record import ScanRecord
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

MILLISECONDS = Clocking(NANOSECONDS_PER_MILLISECOND, 1, 1_000_000)
"""Any scan time, in units of 1 ms."""

PLAIN = Readings(
    edge_call_counts=False,
    first_scan_has_time=True,
    zero_preset_at_once=False,
    preset_latched=False,
    falling_edge_at_first_call=False,
    counter_stops_at_preset=False,
    loop_leaves_past_end=False,
    disabled_call_takes_inputs=False,
    clock_is_signed=False,
    durations_are_signed=True,
    temporaries_begin_anew=True,
)


def program(declarations: str, body: str, before: str = "") -> Program:
    """The program of one block; ``before`` has the types and blocks that it uses."""
    text = f"{before}\nFUNCTION_BLOCK Tested\n{declarations}\n{body}\nEND_FUNCTION_BLOCK\n"
    return load_program([SourceText("tested.st", text)], "Tested")


def run_of(
    tested: Program,
    rows: Sequence[Mapping[str, Value]],
    elapsed: int = 100,
    clocking: Clocking = MILLISECONDS,
    loop_bound: int = 100,
    **choices: bool,
) -> list[ScanRecord]:
    """The run with these inputs, ``elapsed`` units apart, under the plain readings but for
    ``choices``."""
    readings = replace(PLAIN, **choices)
    return run(tested, clocking, readings, loop_bound, [(row, Units(elapsed)) for row in rows])


def inputs(name: str, values: str) -> list[dict[str, Value]]:
    """Rows of one Boolean input, ``"1101"``."""
    return [{name: character == "1"} for character in values]


def seen(records: Sequence[ScanRecord], name: str) -> list[Value]:
    """What a variable was at the end of each scan."""
    return [record.values[name] for record in records]


def bits(records: Sequence[ScanRecord], name: str) -> str:
    """What a Boolean variable was at the end of each scan, ``"0110"``."""
    return "".join("1" if value else "0" for value in seen(records, name))


def result(
    declarations: str, body: str, before: str = "", loop_bound: int = 100, **choices: bool
) -> ScanRecord:
    """The first scan of a block without inputs."""
    tested = program(declarations, body, before)
    (record,) = run_of(tested, [{}], loop_bound=loop_bound, **choices)
    return record


def found(record: ScanRecord) -> tuple[str, str] | None:
    """The finding's kind and the text that it points at."""
    finding: Finding | None = record.finding
    return None if finding is None else (finding.kind.value, finding.span.text)
