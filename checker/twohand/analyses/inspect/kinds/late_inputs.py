"""Inputs of an instance that are assigned behind its call, and thus seen one scan late."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from twohand.analyses.inspect.marking.instrumentation import Probe, keep, logic, mark, note, when
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
from twohand.program import (
    Assign,
    CallBlock,
    CallStandard,
    Operator,
    Program,
    Read,
    Role,
    Routine,
    Statement,
    Variable,
)
from twohand.program.walks import nodes_below
from twohand.text.source_text import Span

LATE = "it takes effect one scan late, at the next call"


@dataclass(frozen=True, eq=False)
class _Input:
    """One input of one instance, and where it is assigned beside the call."""

    variable: Variable
    owner: str
    place: Span
    called: Variable
    seen: Variable
    late: Variable


class LateInputs(Probe):
    """Marks inputs that at the end of the scan are not what the last call in it saw."""

    def __init__(self, program: Program, routine: Routine) -> None:
        super().__init__()
        self._inputs: dict[str, list[_Input]] = {}
        self._places: dict[Place, tuple[_Input, Marked]] = {}
        nodes = list(nodes_below(routine))
        owners = _owners(program, nodes)
        inside = _inside(nodes)
        found: dict[Variable, list[Span]] = {}
        for node in nodes:
            if not isinstance(node, Assign) or node.target not in owners:
                continue
            if id(node) not in inside.get(owners[node.target], ()):
                found.setdefault(node.target, []).append(node.span)
        for variable, spans in found.items():
            self._follow(variable, owners[variable], min(spans, key=lambda span: span.start))

    def _follow(self, variable: Variable, owner: str, place: Span) -> None:
        number = len(self.anew)
        called, late = mark(f"heard.{number}", place), mark(f"late.{number}", place)
        seen = mark(f"given.{number}", place, variable.type, variable.initial)
        self.anew += [called, late]
        self.lasting.append(seen)
        made = _Input(variable, owner, place, called, seen, late)
        self._inputs.setdefault(owner, []).append(made)
        found = self._places.setdefault(place_of(place), (made, Marked(variable.name, place)))
        found[1].marks.append(late)

    # --- watching -----------------------------------------------------------------------------

    def called(self, call: CallBlock) -> Iterable[Statement]:
        return self._heard(call.name, call.span)

    def after(self, statement: Statement, last: bool) -> Iterable[Statement]:
        if isinstance(statement, CallStandard):
            return self._heard(statement.instance.name, statement.span)
        return ()

    def _heard(self, owner: str, span: Span) -> list[Statement]:
        found: list[Statement] = []
        for each in self._inputs.get(owner, ()):
            found += [note(each.called, span), keep(each.seen, Read(each.variable, span))]
        return found

    def end(self) -> Iterable[Statement]:
        for inputs in self._inputs.values():
            for each in inputs:
                span = each.place
                other = logic(Operator.UNEQUAL, Read(each.variable, span), Read(each.seen, span))
                late = logic(Operator.AND, Read(each.called, span), other)
                yield when(late, note(each.late, span))

    # --- questions ----------------------------------------------------------------------------

    def questions(self) -> Iterable[Question]:
        return [found.question for _, found in self._places.values()]

    def points(self, answers: Answers) -> Iterator[Point]:
        for each, found in self._places.values():
            name, owner = found.name, each.owner
            late = f"'{name}' is assigned behind the call of '{owner}'"
            never = f"no assignment to '{name}' is too late for the call of '{owner}'"
            open_ = f"whether the calls of '{owner}' see '{name}' late was not decided"
            said: dict[Status, Said] = {
                Status.REACHED: (Weight.FAULT, late, LATE),
                Status.NEVER: (Weight.HARMLESS, never, ""),
                Status.OPEN: (Weight.OPEN, open_, ""),
            }
            kind = InspectionKind.LATE_INPUT
            yield from answered(kind, found.question, answers, found.span, said, (name,))


def _owners(program: Program, nodes: list[object]) -> dict[Variable, str]:
    """The inputs of the instances that are called, and whose they are."""
    owners = {}
    for node in nodes:
        if isinstance(node, CallStandard):
            pins = node.instance.pins.values()
            owners.update({p: node.instance.name for p in pins if p.role is Role.INPUT})
    called = {node.name.casefold(): node.name for node in nodes if isinstance(node, CallBlock)}
    for variable in program.variables:
        owner = called.get(variable.name.rpartition(".")[0].casefold())
        if owner is not None and variable.role is Role.INPUT:
            owners.setdefault(variable, owner)
    return owners


def _inside(nodes: list[object]) -> dict[str, set[int]]:
    """The assignments that an instance's own calls make."""
    found: dict[str, set[int]] = {}
    for node in nodes:
        if isinstance(node, CallBlock):
            own = (id(each) for each in nodes_below(node.routine) if isinstance(each, Assign))
            found.setdefault(node.name, set()).update(own)
    return found
