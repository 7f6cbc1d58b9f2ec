"""Pieces of documents for other programs that several reports have.

What is in a document keeps its name and meaning; later versions may add to it, and raise
``VERSION`` where anything changes.
"""

from __future__ import annotations

from fractions import Fraction

from twohand import __version__
from twohand.evidence.verdict import Certificate, Counterexample, FindingVerdict
from twohand.program.durations import Units
from twohand.program.types import Duration, Enumeration, Type, Value
from twohand.scan.clocking import NANOSECONDS_PER_MILLISECOND, Clocking
from twohand.specification.model.specification import Specification
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_text import Span

Data = dict[str, object]
VERSION = 1


def headed(kind: str, content: Data) -> Data:
    """A whole document of one kind (``measurement``): what it is, who wrote it, its content."""
    head = {"format": f"twohand-{kind}", "version": VERSION, "program": f"twohand {__version__}"}
    return head | content


def problem(said: Diagnostic) -> Data:
    """Why something could not be used, or came to no end; ``file`` is None where no file is meant,
    ``line`` and ``column`` where all of it is."""
    whole: Data = {"file": said.path or None, "line": None, "column": None}
    return {
        "severity": said.severity.value,
        "code": said.code,
        "message": said.message,
        "help": said.help,
        **(whole if said.span is None else place(said.span)),
    }


def place(span: Span) -> Data:
    return {"file": span.source.path, "line": span.line, "column": span.column}


def number(value: Fraction) -> int | float:
    return value.numerator if value.denominator == 1 else float(value)


def milliseconds(units: Units, clocking: Clocking) -> int | float:
    return number(Fraction(clocking.nanoseconds(units), NANOSECONDS_PER_MILLISECOND))


def scan_times(clocking: Clocking) -> Data:
    """The shortest and the longest scan."""
    return {
        "shortest": milliseconds(clocking.shortest, clocking),
        "longest": milliseconds(clocking.longest, clocking),
    }


def value_of(value: Value | None, kind: Type, clocking: Clocking) -> object:
    """A value as a document has it: durations in milliseconds, enumerations by name."""
    if value is None:
        return None
    if isinstance(kind, Duration):
        return milliseconds(Units(value), clocking)
    return kind.value_name(int(value)) if isinstance(kind, Enumeration) else value


def run_head(run: Counterexample, clocking: Clocking) -> Data:
    """How long a run is, and what it presumes of the platform."""
    return {
        "scans": run.scans,
        "scans_before_power_up": run.past,
        "ms": milliseconds(run.records[-1].time, clocking),
        "readings": run.all_readings,
    }


def proof(certificate: Certificate | None) -> Data | None:
    if certificate is None:
        return None
    return {
        "method": certificate.method,
        "checker": certificate.checker,
        "clauses": list(certificate.clauses),
    }


def tolerances(specification: Specification) -> Data:
    """Tolerances that fail a check, and those that the spec accepts, with the reasons."""
    return {
        "tolerances": [warning.message for warning in specification.wide],
        "accepted": [
            {"tolerance": each.warning.message, "reason": each.reason}
            for each in specification.accepted
        ],
    }


def finding(found: FindingVerdict) -> Data:
    span = found.finding.span
    return {
        "kind": found.finding.kind.value,
        "file": span.source.path,
        "line": span.line,
        "outcome": found.outcome.value,
    }
