"""What of the block no requirement speaks of, nor depends on."""

from __future__ import annotations

from dataclasses import dataclass

from twohand.program import CallFunction, Program, Read, Role, Variable
from twohand.program.dependencies import Dependencies
from twohand.program.walks import nodes_below
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.report.verdict_line import worded
from twohand.specification.model.specification import Specification
from twohand.specification.phrases import listing

_MOST_NAMES = 6
"""Of one kind, unless all are asked for."""


@dataclass(frozen=True)
class NotAsked:
    """Names in the order of declaration: of a structure, an array or an instance only where
    nothing of it is asked."""

    inputs: tuple[str, ...]
    outputs: tuple[str, ...]
    variables: tuple[str, ...]

    def __bool__(self) -> bool:
        return bool(self.inputs or self.outputs or self.variables)


def not_asked(specification: Specification) -> NotAsked:
    """What neither a requirement nor the question whether an output can be on has to do with."""
    program = specification.program
    spoken = {
        node.variable
        for requirement in specification.requirements
        for node in nodes_below(requirement.property)
        if isinstance(node, Read)
    }
    asked = Dependencies(program).of({*spoken, *specification.outputs})
    if any(variable.uncomputed for variable in asked):
        return NotAsked((), (), ())  # who knows what comes into REALs
    taken = {_whole(variable) for variable in asked}
    names: dict[str, Variable] = {}
    for variable in _declared(program):
        if _whole(variable) not in taken:
            names.setdefault(_whole(variable), variable)
    kinds: dict[str, list[str]] = {"inputs": [], "outputs": [], "variables": []}
    for name, variable in names.items():
        kinds[_kind(name, variable)].append(name)
    return NotAsked(**{kind: tuple(found) for kind, found in kinds.items()})


_SUBJECTS = {
    "any type of two-hand control": ("TWO_HAND", "two_hand_trip", "single_stroke"),
    "that the output can be started": ("AVAILABLE",),
    "the end of a stroke while the hands stay on": ("single_stroke", "two_hand_trip"),
    "a stop": ("stop",),
    "a reset": ("manual_reset",),
    "that the coming of the supply starts nothing": ("no_restart", "power_up"),
    "that contacts which disagree are noticed": ("discrepancy",),
    "that feedback which disagrees is noticed": ("feedback_plausible", "end_positions"),
}
"""What a machine usually needs, and the words of REQUIRE (or parts of TWO_HAND) that ask for it."""
_POWER = "power cycles: what retained and lost values do when the supply comes back"
_BOUNCE = "contacts that bounce"
FAULTS = "faults of contacts, feedback and supply"


def subjects_not_asked(specification: Specification) -> tuple[str, ...]:
    """What no word of the spec asks for; a PROPERTY may ask for such a thing in its own way."""
    of_catalogue = [each for each in specification.requirements if each.word]
    words = {each.word for each in of_catalogue} | {each.identifier for each in of_catalogue}
    missing = [subject for subject, asks in _SUBJECTS.items() if not words & {*asks}]
    missing += [_POWER] if specification.power is None else []
    missing += [_BOUNCE] if specification.hands and not specification.bounce else []
    missing += [FAULTS] if specification.assumed_faults is None else []
    return tuple(missing)


def not_asked_lines(specification: Specification, terminal: Terminal, every: bool) -> list[str]:
    """One sentence; nothing where all is asked."""
    found = not_asked(specification)
    parts = [
        f"{noun} {_names(names, every)}"
        for noun, names in (
            ("input" if len(found.inputs) == 1 else "inputs", found.inputs),
            ("output" if len(found.outputs) == 1 else "outputs", found.outputs),
            ("variable" if len(found.variables) == 1 else "variables", found.variables),
        )
        if names
    ]
    if not parts:
        return []
    text = f"no requirement speaks of or depends on {'; '.join(parts)}"
    return worded("NOT ASKED", Paint.STRONG, text, terminal)


def _names(names: tuple[str, ...], every: bool) -> str:
    rest = len(names) - _MOST_NAMES
    if every or rest <= 1:
        return listing(names)
    return listing([*names[:_MOST_NAMES], f"{rest} more"])


def _declared(program: Program) -> list[Variable]:
    """The block's own variables: none of functions, none that a spec puts around it, none that
    lives for one scan only."""
    calls = [node for node in nodes_below(program.routine) if isinstance(node, CallFunction)]
    inside = {v for call in calls for v in (*call.routine.initialise, call.result)}
    inside |= {variable for call in calls for variable, _ in call.arguments}
    sources = set(program.sources)
    return [
        variable
        for variable in program.variables
        if variable not in inside
        and variable.span.source in sources
        and variable.role is not Role.TEMPORARY
    ]


def _whole(variable: Variable) -> str:
    """The name of what a variable is a part of, or its own."""
    return variable.name.partition(".")[0].partition("[")[0]


def _kind(name: str, variable: Variable) -> str:
    """A part of an instance is an input of that, not of the block."""
    if variable.name.startswith(f"{name}."):
        return "variables"
    if variable.role in (Role.INPUT, Role.IN_OUT):
        return "inputs"
    return "outputs" if variable.role is Role.OUTPUT else "variables"
