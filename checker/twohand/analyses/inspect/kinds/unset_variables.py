"""Variables that a block reads and nothing writes, as causes of what never happens in it: sensors
that are declared as plain variables."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from twohand import program as typed
from twohand.analyses.inspect.kinds.unused_variables import Unused
from twohand.analyses.inspect.marking.branches import bodies_of
from twohand.analyses.inspect.subject import Subject
from twohand.program.effects import written
from twohand.program.walks import nodes_below
from twohand.text.source_text import Span

_LEAVING = (typed.Return, typed.Exit, typed.Continue)
_Variables = frozenset[typed.Variable]


def unset_variables(subject: Subject) -> list[typed.Variable]:
    """What the block reads, nothing writes, and keeps FALSE or 0: another value would be a
    constant that somebody chose."""
    program, routine = subject.specification.program, subject.routine
    found = Unused(program, routine, subject.outside, subject.around).never_written()
    return [v for v in found if v.role is typed.Role.LOCAL and v not in routine.initialise]


def acting_on(
    variables: Iterable[typed.Variable], spans: Sequence[Span], routine: typed.Routine
) -> list[typed.Variable]:
    """Those variables on whose values it may depend whether and how something at one of the places
    runs; more, where that is easier to say."""
    influences = _Influences(routine)
    reached = influences.behind(influences.around(spans))
    return [variable for variable in variables if variable in reached]


class _Influences:
    """What each variable may depend on, whatever the order of statements. All that a call reads
    counts for all that it writes."""

    def __init__(self, routine: typed.Routine) -> None:
        self._sources: dict[typed.Variable, set[typed.Variable]] = defaultdict(set)
        self._places: list[tuple[Span, _Variables]] = []
        self._leaving: set[typed.Variable] = set()
        """What decides whether a routine or loop is left."""
        self._entered: set[typed.Routine] = set()
        self._enter(routine, frozenset())

    def _enter(self, routine: typed.Routine, around: _Variables) -> None:
        if routine not in self._entered:
            self._entered.add(routine)
            self._body(routine.body, around)

    def _body(self, body: Sequence[typed.Statement], around: _Variables) -> None:
        for statement in body:
            inner = bodies_of(statement)
            apart = {id(node) for part in inner for node in nodes_below(part)}
            own = [node for node in nodes_below(statement) if id(node) not in apart]
            read = around.union(n.variable for n in own if isinstance(n, typed.Read))
            self._places.append((statement.span, read))
            if isinstance(statement, _LEAVING):
                self._leaving |= read
            for node in own:
                if isinstance(node, typed.CallStandard):
                    for pin in node.instance.pins.values():
                        self._sources[pin].update(node.instance.pins.values(), read)
            for variable in written(statement):
                self._sources[variable] |= read
            for node in own:
                if isinstance(node, typed.Routine):
                    self._enter(node, read)
            for part in inner:
                self._body(part, read)

    def around(self, spans: Sequence[Span]) -> set[typed.Variable]:
        """What is read by the statements that hold or are one of the places."""
        return {
            variable
            for place, read in self._places
            for span in spans
            if place.source is span.source and place.start <= span.start < place.end
            for variable in read
        }

    def behind(self, variables: Iterable[typed.Variable]) -> set[typed.Variable]:
        """Those, and all that they may depend on."""
        waiting, found = [*variables, *self._leaving], set[typed.Variable]()
        while waiting:
            variable = waiting.pop()
            if variable not in found:
                found.add(variable)
                waiting.extend(self._sources[variable])
        return found
