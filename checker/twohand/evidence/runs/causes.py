"""Which statement acted: the writers of what a requirement speaks of."""

from __future__ import annotations

from collections.abc import Sequence

from twohand.program import Read, Variable
from twohand.program.walks import nodes_below
from twohand.scan.scan_record import ScanRecord, scans_before
from twohand.specification.logic.formula import Formula, Property, Response
from twohand.specification.model.specification import Specification
from twohand.text.source_text import Span


def variables_of(about: Property | Formula) -> tuple[Variable, ...]:
    """The variables that a property or formula reads, in order, each once."""
    found: dict[Variable, None] = {}
    for node in nodes_below(about):
        if isinstance(node, Read):
            found.setdefault(node.variable)
    return tuple(found)


def causes(
    about: Property | Formula | None,
    records: Sequence[ScanRecord],
    specification: Specification,
) -> dict[str, Span]:
    """For each output, and each variable that ``about`` reads, the statement that last changed it
    (where it never changed, that last wrote it)."""
    records = in_time(about, records)
    names = [variable.name for variable in specification.outputs]
    if about is not None:
        names += [variable.name for variable in variables_of(about)]
    found = {}
    for name in dict.fromkeys(names):
        span = _last_change(name, records)
        if span is not None:
            found[name] = span
    return found


def in_time(
    about: Property | Formula | None, records: Sequence[ScanRecord]
) -> Sequence[ScanRecord]:
    """The scans of a run that refutes a property, without the one beyond the bound of a response:
    an answer in it comes too late, and is not what is wrong."""
    return records[:-1] if isinstance(about, Response) and len(records) > 1 else records


def _last_change(name: str, records: Sequence[ScanRecord]) -> Span | None:
    for position in range(len(records) - 1, scans_before(records), -1):
        values = records[position].values, records[position - 1].values
        if values[0].get(name) != values[1].get(name):
            return records[position].writers.get(name)
    return records[-1].writers.get(name) if records else None
