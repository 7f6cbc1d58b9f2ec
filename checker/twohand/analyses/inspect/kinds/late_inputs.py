"""Inputs of an instance that are assigned behind its call, and thus seen one scan late."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from twohand import program as typed
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
from twohand.program.instrumentation import Probe, keep, logic, mark, note, when
from twohand.program.walks import nodes_below
from twohand.text.source_text import Span

LATE = "it takes effect one scan late, at the next call"


@dataclass(frozen=True, eq=False)
class _Input:
    """One input of one instance, and where it is assigned beside the call."""

    variable: typed.Variable
    owner: str
    place: Span
    called: typed.Variable
    seen: typed.Variable
    late: typed.Variable


class LateInputs(Probe):
    """Marks inputs that at the end of the scan are not what the last call in it saw."""

    def __init__(self, program: typed.Program, routine: typed.Routine) -> None:
        super().__init__()
        self._inputs: dict[str, list[_Input]] = {}
        self._places: dict[Place, tuple[_Input, Marked]] = {}
        nodes = list(nodes_below(routine))
        owners = _owners(program, nodes)
        inside = _inside(nodes)
        found: dict[typed.Variable, list[Span]] = {}
        for node in nodes:
            if not isinstance(node, typed.Assign) or node.target not in owners:
                continue
            if id(node) not in inside.get(owners[node.target], ()):
                found.setdefault(node.target, []).append(node.span)
        for variable, spans in found.items():
            self._follow(variable, owners[variable], min(spans, key=lambda span: span.start))

    def _follow(self, variable: typed.Variable, owner: str, place: Span) -> None:
        number = len(self.anew)
        called, late = mark(f"heard.{number}", place), mark(f"late.{number}", place)
        seen = mark(f"given.{number}", place, variable.type, variable.initial)
        self.anew += [called, late]
        self.lasting.append(seen)
        made = _Input(variable, owner, place, called, seen, late)
        self._inputs.setdefault(owner, []).append(made)
        name = variable.name
        asks = f"whether some scan ends with another '{name}' than its last call of '{owner}' saw"
        found = self._places.setdefault(place_of(place), (made, Marked(name, place, asks)))
        found[1].marks.append(late)

    # --- watching -----------------------------------------------------------------------------

    def called(self, call: typed.CallBlock) -> Iterable[typed.Statement]:
        return self._heard(call.name, call.span)

    def after(self, statement: typed.Statement, last: bool) -> Iterable[typed.Statement]:
        if isinstance(statement, typed.CallStandard):
            return self._heard(statement.instance.name, statement.span)
        return ()

    def _heard(self, owner: str, span: Span) -> list[typed.Statement]:
        found: list[typed.Statement] = []
        for each in self._inputs.get(owner, ()):
            found += [note(each.called, span), keep(each.seen, typed.Read(each.variable, span))]
        return found

    def end(self) -> Iterable[typed.Statement]:
        for inputs in self._inputs.values():
            for each in inputs:
                span = each.place
                other = logic(
                    typed.Operator.UNEQUAL,
                    typed.Read(each.variable, span),
                    typed.Read(each.seen, span),
                )
                late = logic(typed.Operator.AND, typed.Read(each.called, span), other)
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


def _owners(program: typed.Program, nodes: list[object]) -> dict[typed.Variable, str]:
    """The inputs of the instances that are called, and whose they are."""
    owners = {}
    for node in nodes:
        if isinstance(node, typed.CallStandard):
            pins = node.instance.pins.values()
            owners.update({p: node.instance.name for p in pins if p.role is typed.Role.INPUT})
    called = {
        node.name.casefold(): node.name for node in nodes if isinstance(node, typed.CallBlock)
    }
    for variable in program.variables:
        owner = called.get(variable.name.rpartition(".")[0].casefold())
        if owner is not None and variable.role is typed.Role.INPUT:
            owners.setdefault(variable, owner)
    return owners


def _inside(nodes: list[object]) -> dict[str, set[int]]:
    """The assignments that an instance's own calls make."""
    found: dict[str, set[int]] = {}
    for node in nodes:
        if isinstance(node, typed.CallBlock):
            own = (id(each) for each in nodes_below(node.routine) if isinstance(each, typed.Assign))
            found.setdefault(node.name, set()).update(own)
    return found
