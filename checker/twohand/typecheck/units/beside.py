"""What is wrong with a project beside what is checked: units that several files declare, units
that have each other in them, files in which nothing is declared."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from twohand.files.index import Segment
from twohand.files.project import Project
from twohand.text.diagnostic import Diagnostic, Severity
from twohand.text.source_text import Span
from twohand.text.split_units import located
from twohand.typecheck.units.kinds import types_in

_UNITS = frozenset({"FUNCTION_BLOCK", "FUNCTION", "PROGRAM"})
_MOST_TOLD = 10
"""Of each kind; more notes help nobody."""
_WAY = "nothing needs to be done for this check"

Graph = dict[Segment, list[Segment]]


def told_beside(project: Project, needed: Sequence[Segment]) -> Iterator[Diagnostic]:
    """Notes about what a folder holds beside the parts that are needed."""
    beside = frozenset(project.searched_segments()).difference(needed)
    yield from _several(project, beside)
    yield from _circles(project, beside)
    empty = [file for file in project.files if project.is_searched(file) and not file.segments]
    for file in [file for file in empty if not file.problems][:_MOST_TOLD]:
        message = "this file declares no unit, type or global variable, so that it belongs to none"
        yield Diagnostic(
            "unread-file", message, None, "nothing is taken from it",
            severity=Severity.NOTE, path=file.source.path,
        )  # fmt: skip


def _several(project: Project, beside: frozenset[Segment]) -> Iterator[Diagnostic]:
    declaring: dict[str, list[Segment]] = defaultdict(list)
    for segment in project.segments:
        if segment.kind in _UNITS and segment.name:
            declaring[segment.name.upper()].append(segment)
    found = [some for some in declaring.values() if len(some) > 1 and beside.issuperset(some)]
    for first, second, *more in found[:_MOST_TOLD]:
        also = f", and {len(more)} times more" if more else ""
        message = (
            f"'{second.name}' is declared by '{first.file.source.path}' too{also}; nothing that is "
            "checked needs it"
        )
        yield _note("duplicate-name", message, second)


def _circles(project: Project, beside: frozenset[Segment]) -> Iterator[Diagnostic]:
    """Units of which each has an instance of the next, or extends it. The index shows where one
    may be, the trees whether it is there."""
    units = [s for s in project.segments if s in beside and s.kind == "FUNCTION_BLOCK" and s.name]
    named: dict[str, Segment] = {}
    for unit in units:
        named.setdefault(unit.name.upper(), unit)
    graph: Graph = {s: [named[key] for key in s.types & named.keys()] for s in named.values()}
    graph = {s: _really(project, s, following) for s, following in _inner(graph).items()}
    graph = _inner(graph)
    told: set[Segment] = set()
    for start in [*graph][: 10 * _MOST_TOLD]:
        circle = [] if start in told else _circle(graph, start)
        if circle:
            told.update(circle)
            names = " has ".join(f"'{each.name}'" for each in [*circle, start])
            message = f"{names} in it, without an end; nothing that is checked needs it"
            yield _note("recursion", message, start)


def _inner(graph: Graph) -> Graph:
    """Without what nothing leads back to."""
    while True:
        inside = {s: [f for f in following if f in graph] for s, following in graph.items()}
        inside = {s: following for s, following in inside.items() if following}
        led_to = {each for following in inside.values() for each in following}
        smaller = {s: following for s, following in inside.items() if s in led_to}
        if smaller == graph:
            return graph
        graph = smaller


def _really(project: Project, segment: Segment, following: list[Segment]) -> list[Segment]:
    """Those of which it declares an instance, or which it extends."""
    names: set[str] = set()
    for file in project.parsed_alone(segment):
        for unit in file.units:
            names |= {*types_in(unit.sections), *([unit.base.key] if unit.base else ())}
    return [each for each in following if each.name.upper() in names]


def _circle(graph: Graph, start: Segment) -> list[Segment]:
    """The shortest way from a unit to itself, without its end; nothing where there is none."""
    ways: dict[Segment, list[Segment]] = {start: [start]}
    waiting = [start]
    for segment in waiting:
        for following in graph[segment]:
            if following is start:
                return ways[segment]
            if following not in ways:
                ways[following] = [*ways[segment], following]
                waiting.append(following)
    return []


def _note(code: str, message: str, segment: Segment) -> Diagnostic:
    at = segment.file.text.find(segment.name, segment.begin)
    span = located(Span(segment.file.source, at, at + len(segment.name)))
    return Diagnostic(code, message, span, _WAY, severity=Severity.NOTE)
