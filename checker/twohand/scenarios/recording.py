"""A recording: what inputs were when, as ``time,name,value`` in lines.

The header is required. A time is a number of milliseconds (``12.5``) or a date with a time of day
as ISO 8601 writes it (``2026-05-01T08:00:00.250Z``), one of the two in all lines. The least time of
the file is that of the first scan. A value is TRUE, FALSE, 1 or 0 of a BOOL, else a value of
structured text (``-3``, ``16#FF``, ``T#20ms``, an enumeration's).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from decimal import Decimal, InvalidOperation
from pathlib import Path

from twohand.files.reading import read_source
from twohand.program.durations import NO_TIME, Units
from twohand.scan.clocking import Clocking
from twohand.scenarios.inputs import Inputs
from twohand.scenarios.model import MOST_SCANS, InputChange, Scenario
from twohand.scenarios.syntax.nodes import InitiallyStatement, Setting
from twohand.scenarios.syntax.parse import parse_scenarios
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Specification
from twohand.specification.phrases import count
from twohand.specification.problems import Problems
from twohand.text.diagnostic import Diagnostic, InputError, wrong
from twohand.text.source_text import SourceText, Span

HEADER = ("time", "name", "value")
MOST_PROBLEMS = 20
_BEGIN = "SCENARIO recording INITIALLY "
_VALUE = 300
"""Where the value begins in the text that is read for a line."""
_LONGEST = 200
"""Signs of a value."""
_TRUTHS = {"1": "TRUE", "0": "FALSE"}
_FIELD = re.compile(r'\s*(?:"((?:[^"]|"")*)"|([^,"]*))\s*(?:,|$)')
_CODE = "not-a-recording"
_FORM = "write time,name,value in each line, for instance 120.5,leftPalm,TRUE"


@dataclass(frozen=True)
class Field:
    """One field of a line, without its quotes."""

    text: str
    span: Span


def load_recording(path: Path, spec: Path) -> Scenario:
    """The recording as a scenario of the spec; InputError with everything that is wrong."""
    specification = load_specification(spec, str(spec))
    source = read_source(path, str(path))
    problems = Problems()
    lines, inputs = _Lines(specification), Inputs(specification)
    rows = list(_rows(source, problems))
    changes: list[InputChange] = []
    nanoseconds = _Times(problems).all([row[0] for row in rows])
    first = min(nanoseconds, default=0)
    timed = sorted(zip(nanoseconds, rows, strict=True), key=lambda each: each[0])
    for time, row in timed:
        with problems.collected():
            at = _units(time - first, specification.clocking, row[0].span)
            changes += lines.changes(row[1], row[2], at)
        if len(problems.errors) > MOST_PROBLEMS:
            break
    problems.raise_if_any()
    at_first = inputs.at_first()
    at_first |= {each.input.name: each.value for each in changes if each.time == 0}
    later = tuple(each for each in changes if each.time > 0)
    end = max([NO_TIME, *(each.time for each in later)])
    whole = Span(source, 0, len(",".join(HEADER)))
    return Scenario(
        path.stem, source, specification, specification.readings, at_first, later, (), None, end,
        whole,
    )  # fmt: skip


def _rows(source: SourceText, problems: Problems) -> Iterator[tuple[Field, Field, Field]]:
    """The lines behind the header, each of three fields; empty lines say nothing."""
    begun = False
    for number, start in enumerate(source.line_starts, 1):
        line = source.line(number)
        if not line.strip():
            continue
        span = Span(source, start, start + len(line))
        fields = list(_fields(line, span))
        if not begun:
            begun = True
            if tuple(each.text.strip().casefold() for each in fields) != HEADER:
                message = "a recording begins with the line time,name,value"
                raise wrong(_CODE, message, span, _FORM)
        elif len(fields) != len(HEADER):
            message = f"this line has {count(len(fields), 'field')}, not {len(HEADER)}"
            problems.error(_CODE, message, span, _FORM)
            if len(problems.errors) > MOST_PROBLEMS:
                return
        else:
            yield fields[0], fields[1], fields[2]
    if not begun:
        message = "a recording begins with the line time,name,value"
        raise wrong(_CODE, message, Span(source, 0, 0), _FORM)


def _fields(line: str, span: Span) -> Iterator[Field]:
    """What is between commas; the rest of a line that is no field counts as one."""
    at = 0
    while True:
        match = _FIELD.match(line, at)
        if match is None:
            yield Field(line[at:], Span(span.source, span.start + at, span.end))
            return
        quoted, plain = match.groups()
        group = 2 if quoted is None else 1
        text = (plain or "").rstrip() if quoted is None else quoted.replace('""', '"')
        begin = span.start + match.start(group)
        yield Field(text, Span(span.source, begin, max(begin, begin + len(text))))
        at = match.end()
        if not match.group().endswith(","):
            return


# --- times --------------------------------------------------------------------------------------


class _Times:
    """All of one kind; nanoseconds of each."""

    def __init__(self, problems: Problems) -> None:
        self.problems = problems
        self.kind = ""

    def all(self, fields: list[Field]) -> list[int]:
        return [self._one(each) for each in fields]

    def _one(self, field: Field) -> int:
        """0 where it is none, which is a problem."""
        found = _milliseconds(field.text) or _date(field.text)
        if found is None:
            message = f"'{field.text}' is no time"
            way = "write milliseconds (120.5) or a date and time (2026-05-01T08:00:00.250Z)"
            self.problems.error(_CODE, message, field.span, way)
            return 0
        kind, nanoseconds = found
        self.kind = self.kind or kind
        if kind != self.kind:
            message = "this time is of another kind than those before"
            way = "write all times in milliseconds, or all with date (and all with an offset)"
            self.problems.error(_CODE, message, field.span, way)
        return nanoseconds


def _milliseconds(text: str) -> tuple[str, int] | None:
    try:
        number = Decimal(text.strip())
    except InvalidOperation:
        return None
    if not number.is_finite() or abs(number) > 10**15:
        return None
    return "milliseconds", int(number * 10**6)


def _date(text: str) -> tuple[str, int] | None:
    try:
        moment = datetime.fromisoformat(text.strip())
    except ValueError:
        return None
    aware = moment.tzinfo is not None
    begin = datetime(1970, 1, 1, tzinfo=moment.tzinfo if aware else None)
    passed = moment - begin + (timedelta(0) if not aware else -(moment.utcoffset() or timedelta(0)))
    return f"date {'with' if aware else 'without'} offset", passed // timedelta(
        microseconds=1
    ) * 1000


def _units(nanoseconds: int, clocking: Clocking, span: Span) -> Units:
    """The least number of units that is not earlier: no scan is between the two."""
    units = Units(-(-nanoseconds // clocking.unit))
    if units // clocking.shortest > MOST_SCANS:
        message = f"this run has more than {count(MOST_SCANS, 'scan')}"
        way = "cut the recording, or leave out a line that is far from the others"
        raise wrong("scenario-too-long", message, span, way)
    return units


# --- names and values ---------------------------------------------------------------------------


class _Lines:
    """Lines as assignments of the language of scenarios."""

    def __init__(self, specification: Specification) -> None:
        self._inputs = Inputs(specification)
        self._known: dict[tuple[str, str], Setting] = {}

    def changes(self, name: Field, value: Field, time: Units) -> Iterator[InputChange]:
        """InputError with the places of the recording."""
        try:
            for change in self._inputs.changes(self._binding(name.text, value.text), time):
                yield replace(change, span=name.span.through(value.span))
        except InputError as error:
            raise InputError(_placed(each, name, value) for each in error.diagnostics) from None

    def _binding(self, name: str, value: str) -> Setting:
        if (name, value) not in self._known:
            binding = _parsed(name, value)
            if value in _TRUTHS and self._inputs.takes_truth(binding.input):
                binding = _parsed(name, _TRUTHS[value])
            self._known[name, value] = binding
        return self._known[name, value]


def _parsed(name: str, value: str) -> Setting:
    """InputError with places of its own text: those before ``_VALUE`` are of the name."""
    text = f"{_BEGIN}{name.ljust(_VALUE - len(_BEGIN))}:= {value};\nEND_SCENARIO\n"
    if (
        len(name) >= _VALUE - len(_BEGIN)
        or len(value) > _LONGEST
        or not f"{name}{value}".isprintable()
    ):
        raise wrong(_CODE, "this is no name with a value", None, _FORM)
    (tree,) = parse_scenarios(SourceText("", text))
    match tree.statements:
        case (InitiallyStatement(bindings=(binding,)),):
            return binding
    raise wrong(_CODE, "this is more than one value", None, _FORM)


def _placed(problem: Diagnostic, name: Field, value: Field) -> Diagnostic:
    """At the name or at the value, whichever it is about."""
    of_name = problem.span is None or problem.span.start < _VALUE
    return replace(problem, span=name.span if of_name else value.span, related=())
