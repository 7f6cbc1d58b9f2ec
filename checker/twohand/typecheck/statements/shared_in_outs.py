"""Variables that a call knows under two names, one of them an in-out parameter's.

By the standard an in-out parameter is the caller's variable itself (IEC 61131-3 Ed. 3, 6.5.2, from
memory), and so it is read here. Platforms that give the call a copy and take it back at its end
(common practice) do otherwise where the call changes the variable under one of the names.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from twohand.program import Routine, Variable
from twohand.program.effects import written
from twohand.text.diagnostic import Diagnostic, Severity
from twohand.text.source_text import Span
from twohand.typecheck.variables.instance_scope import (
    Entity,
    InstanceScope,
    ProgramBuilder,
    StandardEntity,
    parts_of_entity,
    variables_of,
)


def warn_of_shared_in_outs(
    assembly: ProgramBuilder,
    frame: InstanceScope,
    given: Mapping[str, Entity],
    routine: Routine,
    place: Span,
) -> None:
    """A warning (``in-out-shared``) where the routine changes what it is given as an in-out
    parameter and knows under another name too. ``given`` is by name in upper case."""
    if not given:
        return
    changed = set(written(routine))
    named = frame.named[routine]
    own = {key: changed.intersection(_parts(entity)) for key, entity in given.items()}
    for key, parts in own.items():
        again = [other for other in own if other > key and not parts.isdisjoint(own[other])]
        name = frame.in_outs[key].name.text
        for other in again:
            _warn(assembly, frame, place, f"'{name}' and '{frame.in_outs[other].name.text}'")
        direct = sorted(variable.name for variable in parts & named)
        if direct:
            _warn(assembly, frame, place, f"'{name}' and, by its own name, '{direct[0]}'")


def _parts(entity: Entity) -> Iterator[Variable]:
    yield from variables_of(entity)
    for part in parts_of_entity(entity):
        if isinstance(part, StandardEntity):
            yield from part.instance.pins.values()


def _warn(assembly: ProgramBuilder, frame: InstanceScope, place: Span, names: str) -> None:
    message = f"in this call of '{frame.unit.name.text}' {names} are one variable, which it changes"
    way = (
        "give it different variables; it is read as the standard says, so that both names show "
        "every change at once, but some platforms copy in-out parameters"
    )
    told = Diagnostic("in-out-shared", message, place, way, severity=Severity.WARNING)
    if all((each.span, each.message) != (place, message) for each in assembly.warnings):
        assembly.warnings.append(told)
