"""Variables that begin anew at each call and are read before anything was assigned to them."""

from __future__ import annotations

from dataclasses import replace

from twohand.analyses.inspect.marking.source_words import shortly
from twohand.analyses.inspect.points import InspectionKind, Point, Weight, place_of
from twohand.analyses.inspect.subject import Subject
from twohand.evidence.verdict import FindingVerdict, Outcome
from twohand.program import Program, Read
from twohand.program.walks import nodes_below
from twohand.text.source_text import Span

EARLY = "it has the default of its type then, or on some platforms whatever was there before"


def on_any_platform(subject: Subject, asked: bool) -> Subject:
    """The subject, where it is not known whether the platform gives such variables a value, or
    where nobody asks: then it does."""
    spec = subject.specification
    readings = replace(spec.readings, temporaries_begin_anew=None if asked else True)
    return replace(subject, specification=replace(spec, readings=readings))


def early_read(verdict: FindingVerdict, program: Program) -> Point:
    """What is said of a read that is a finding where the platform gives no value."""
    span = verdict.finding.span
    happens = verdict.outcome is Outcome.VIOLATED
    early = f"{_read_there(program, span)} is read before it is assigned"
    return Point(
        InspectionKind.EARLY_READ,
        Weight.FAULT if happens else Weight.OPEN,
        early if happens else f"whether {early} was not decided",
        span,
        EARLY if happens else "",
        asked=f"whether {early} at line {span.line}",
    )


def _read_there(program: Program, span: Span) -> str:
    """What is read there: a variable, part of a structure, or the result of a call."""
    nodes = nodes_below(program.routine)
    there = (n for n in nodes if isinstance(n, Read) and place_of(n.span) == place_of(span))
    parts = {read.variable.name.rpartition(".")[2] for read in there}
    if not parts:
        return f"the result of '{shortly(span)}'"
    return f"a part of '{shortly(span)}'" if len(parts) > 1 else f"'{shortly(span)}'"
