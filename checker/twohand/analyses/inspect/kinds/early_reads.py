"""Variables that begin anew at each call and are read before anything was assigned to them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from twohand import program as typed
from twohand.analyses.inspect.marking.source_words import has_initial_value, without_comments
from twohand.analyses.inspect.points import (
    Answers,
    InspectionKind,
    Marked,
    Place,
    Point,
    Question,
    Said,
    Status,
    Weight,
    answered,
    place_of,
)
from twohand.program.instrumentation import Probe, mark, negation, note, when
from twohand.program.walks import nodes_below

_ROLES = (typed.Role.TEMPORARY, typed.Role.LOCAL, typed.Role.OUTPUT)
EARLY = "it has the default of its type then, or on some platforms whatever was there before"
_STOPS_EARLY = ("AND_THEN", "OR_ELSE")


class EarlyReads(Probe):
    """Marks each read of a temporary variable (of a function: of any of its own) to which nothing
    was assigned since its routine began. Elements of arrays are not followed, nor what an operand
    behind AND_THEN or OR_ELSE reads that the program evaluates all the same."""

    def __init__(self, routine: typed.Routine) -> None:
        super().__init__()
        self._set: dict[typed.Variable, typed.Variable] = {}
        self._early: dict[Place, Marked] = {}
        self._whole: dict[Place, str] = {}
        """Structures that are read as a whole there."""
        nodes = list(nodes_below(routine))
        apart = set(_elements(nodes))
        self._not_followed = {id(read) for node in nodes for read in _masked(node)}
        for node in nodes:
            for variable in node.initialise if isinstance(node, typed.Routine) else ():
                followed = variable.role in _ROLES and variable not in apart
                if followed and not has_initial_value(variable.span):
                    self._set[variable] = mark(f"set.{len(self._set)}", variable.span)
        self.lasting += self._set.values()

    # --- watching -----------------------------------------------------------------------------

    def enter(
        self, node: typed.Statement | typed.Routine, branch: int
    ) -> Iterable[typed.Statement]:
        if isinstance(node, typed.Routine):
            own = [self._set[v] for v in node.initialise if v in self._set]
            return [note(each, each.span, False) for each in own]
        if isinstance(node, typed.For) and node.variable in self._set:
            return (note(self._set[node.variable], node.span),)
        return ()

    def after(self, statement: typed.Statement, last: bool) -> Iterable[typed.Statement]:
        if isinstance(statement, typed.For) and statement.variable in self._set:
            return (note(self._set[statement.variable], statement.span),)
        return ()

    def stored(self, store: typed.Store) -> Iterable[typed.Assign]:
        if isinstance(store, typed.Assign) and store.target in self._set:
            return (note(self._set[store.target], store.span),)
        return ()

    def reading(self, read: typed.Read) -> Iterable[typed.Statement]:
        known = self._set.get(read.variable)
        if known is None or id(read) in self._not_followed:
            return ()
        span = read.span
        early = mark(f"early.{len(self.anew)}", span)
        self.anew.append(early)
        name = read.variable.name
        asks = f"whether some scan reads '{name}' at line {span.line} before it is assigned"
        found = self._early.setdefault(place_of(span), Marked(name, span, asks))
        if found.name.rpartition(".")[2] != name.rpartition(".")[2]:
            self._whole[place_of(span)] = found.name.rpartition(".")[0]
        found.marks.append(early)
        return (when(negation(known, span), note(early, span)),)

    # --- questions ----------------------------------------------------------------------------

    def questions(self) -> Iterable[Question]:
        return [found.question for found in self._early.values()]

    def points(self, answers: Answers) -> Iterator[Point]:
        kind = InspectionKind.EARLY_READ
        for place, found in self._early.items():
            whole = self._whole.get(place)
            what = f"a part of '{whole}'" if whole is not None else f"'{found.name}'"
            early = f"{what} is read before it is assigned"
            said: dict[Status, Said] = {
                Status.REACHED: (Weight.FAULT, early, EARLY),
                Status.OPEN: (Weight.OPEN, f"whether {early} was not decided", ""),
            }
            yield from answered(kind, found.question, answers, found.span, said, (found.name,))


def _elements(nodes: list[object]) -> Iterator[typed.Variable]:
    for node in nodes:
        if isinstance(node, typed.AssignElement):
            yield from node.targets
        elif isinstance(node, typed.Element):
            yield from (each.variable for each in node.values if isinstance(each, typed.Read))


def _masked(node: object) -> Iterator[typed.Read]:
    """Reads that the text evaluates only where the operand before them does not decide."""
    if not isinstance(node, typed.Operation) or len(node.operands) < 2:
        return
    text = without_comments(node.span.text).upper()
    if any(word in text for word in _STOPS_EARLY):
        for operand in node.operands[1:]:
            yield from (each for each in nodes_below(operand) if isinstance(each, typed.Read))
