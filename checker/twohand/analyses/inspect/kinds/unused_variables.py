"""Variables that nobody reads, and variables that are read and never written: found in the text."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from twohand.analyses.inspect.marking.source_words import without_comments
from twohand.analyses.inspect.points import (
    Answers,
    InspectionKind,
    Place,
    Point,
    Question,
    Weight,
    place_of,
)
from twohand.program import (
    Assign,
    CallFunction,
    For,
    Program,
    Read,
    Role,
    Routine,
    Variable,
)
from twohand.program.effects import written
from twohand.program.walks import nodes_below

_OWN = (Role.LOCAL, Role.TEMPORARY)
NEVER_READ = "what is written to it goes nowhere"
NEVER_WRITTEN = "it is a constant, or an assignment is missing"
IDLE = "it could be left out"
IGNORED = "nothing depends on it, or what should is missing"


@dataclass(eq=False)
class _Declared:
    """A variable by its place, in all the instances of the block that declares it."""

    variables: list[Variable] = field(default_factory=list)
    read: bool = False
    written: bool = False


class Unused:
    """``outside`` are variables that something around the block reads or drives; ``apart`` begins
    the names of those that are not the block's. Where something has no model, what reads a variable
    may be missing in the typed program: then the text is asked as well."""

    def __init__(
        self,
        program: Program,
        routine: Routine,
        outside: Iterable[Variable] = (),
        apart: tuple[str, ...] = (),
    ) -> None:
        self._declared: dict[Place, _Declared] = {}
        nodes = list(nodes_below(routine))
        reads = {node.variable for node in nodes if isinstance(node, Read)}
        reads |= {node.result for node in nodes if isinstance(node, CallFunction)}
        reads |= {node.variable for node in nodes if isinstance(node, For)}
        writes = set(written(routine))
        shared = set(outside)
        pins = {pin for each in program.instances for pin in each.pins.values()}
        inside = {v for v in _declared_in(program) if not v.name.startswith(apart or "#")}
        self._places = _places_of_writing(nodes) if program.left_out else None
        inputs = set(program.inputs)
        for variable in program.variables:
            if variable in pins or variable not in inside:
                continue
            found = self._declared.setdefault(place_of(variable.span), _Declared())
            found.variables.append(variable)
            visible = variable.role in (Role.OUTPUT, Role.IN_OUT, Role.GLOBAL)
            found.read |= variable in reads or variable in shared or visible
            found.written |= variable in writes or variable in shared or variable in inputs
        self._inputs = inputs

    def questions(self) -> Iterable[Question]:
        return ()

    def points(self, answers: Answers) -> Iterator[Point]:
        for found in self._declared.values():
            variable = found.variables[0]
            name, is_input = variable.name, variable.role is Role.INPUT
            if not found.read:
                if not self._alone(variable):
                    continue
                if is_input:
                    yield _point(variable, f"the input '{name}' is never read", IGNORED)
                elif found.written:
                    yield _point(variable, f"'{name}' is written and never read", NEVER_READ)
                else:
                    yield _point(variable, f"'{name}' is neither written nor read", IDLE)
            elif not found.written and variable.role in _OWN:
                sentence = f"'{name}' is read and never written: it keeps its initial value"
                yield _point(variable, sentence, NEVER_WRITTEN)

    def never_written(self) -> Iterator[Variable]:
        """What is read, never written, and begins with FALSE or 0."""
        for found in self._declared.values():
            if found.read and not found.written and not any(v.initial for v in found.variables):
                yield from found.variables

    def _alone(self, variable: Variable) -> bool:
        """Whether the name occurs nowhere but where it is declared and assigned."""
        if self._places is None:
            return True
        word = re.escape(variable.span.text)
        text = without_comments(variable.span.source.text)
        occurrences = len(re.findall(rf"\b{word}\b", text, re.IGNORECASE))
        return occurrences <= 1 + len(self._places.get(place_of(variable.span), ()))


def _places_of_writing(nodes: list[object]) -> dict[Place, set[Place]]:
    """Where variables are assigned, by the place of their declaration."""
    found: dict[Place, set[Place]] = {}
    for node in nodes:
        if isinstance(node, Assign):
            found.setdefault(place_of(node.target.span), set()).add(place_of(node.span))
    return found


def _declared_in(program: Program) -> set[Variable]:
    """The variables that the program's own text declares by name (no part of a structure or an
    array, which are often used in part)."""
    sources = set(program.sources)
    plain = (v for v in program.variables if "[" not in v.name and v.span.source in sources)
    return {v for v in plain if v.name.casefold().endswith(v.span.text.casefold())}


def _point(variable: Variable, sentence: str, why: str) -> Point:
    return Point(InspectionKind.UNUSED, Weight.NOTE, sentence, variable.span, why)
