"""The frames of methods, actions and inherited bodies: code that runs within an instance."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from twohand.program import Variable
from twohand.syntax import tree
from twohand.text.diagnostic import InputError, wrong
from twohand.typecheck.variables.instance_scope import CodeKind, Entity, InstanceScope, variables_of

IN_CALL = (CodeKind.BODY, CodeKind.ACTION)
"""Code that runs within a call of its block, and so knows the call's in-out parameters."""
_STEPS = {CodeKind.GET: "GET.", CodeKind.SET: "SET."}


def code_frame(
    instance: InstanceScope,
    kind: CodeKind,
    level: int,
    code: tree.Method | tree.Action | tree.Unit,
    declare: Callable[[InstanceScope], object] | None = None,
) -> InstanceScope:
    """The frame of this code of an instance, made (and by ``declare`` filled) at its first use.

    ``level`` is where in the line of bases the code is."""
    key = (kind, level, code.name.key)
    frame = instance.codes.get(key)
    if frame is not None:
        return frame
    frame = InstanceScope(
        _as_unit(code), _prefix(instance, kind, level, code), instance.retain,
        outer=instance, level=level, kind=kind,
    )  # fmt: skip
    instance.codes[key] = frame
    if kind in (CodeKind.BODY, CodeKind.ACTION):
        frame.in_outs = instance.in_outs
    if kind in (CodeKind.BODY, CodeKind.BODY_FROM_METHOD):
        frame.temporaries.extend(_temporaries(instance, level))
    if declare is not None:
        declare(frame)
    return frame


def _as_unit(code: tree.Method | tree.Action | tree.Unit) -> tree.Unit:
    """The code as a unit without bases: a method is a function, all else has no declarations."""
    sections: tuple[tree.Section, ...] = ()
    result, body_kind = None, tree.UnitKind.FUNCTION_BLOCK
    if isinstance(code, tree.Method):
        sections, result, body_kind = code.sections, code.result, tree.UnitKind.FUNCTION
    return tree.Unit(body_kind, code.name, result, sections, code.body, code.span)


def _prefix(
    instance: InstanceScope,
    kind: CodeKind,
    level: int,
    code: tree.Method | tree.Action | tree.Unit,
) -> str:
    """Paths of its variables; SUPER and the accessors' words are no names of variables, so that
    no two paths are equal."""
    if isinstance(code, tree.Unit):
        return instance.prefix
    overriding = instance.lineage.units[:level]
    hidden = sum(any(m.name.key == code.name.key for m in unit.members) for unit in overriding)
    return f"{instance.prefix}{'SUPER.' * hidden}{code.name.text}.{_STEPS.get(kind, '')}"


def seen_from(
    frame: InstanceScope,
    name: tree.Identifier,
    level: int,
    bindings: Mapping[str, Entity],
) -> Entity | None:
    """What a method, action or inherited body sees under a name of its instance.

    ``level`` is where in the line of bases it looks from. InputError for what it must not see:
    VAR_TEMP outside of the body, in-out parameters outside of a call."""
    instance = frame.instance
    if instance.lineage.units and not instance.lineage.declares(name.key, level):
        return None
    if name.key in instance.in_outs:
        bound = bindings.get(name.key) if frame.in_outs is instance.in_outs else None
        if bound is None:
            raise _hidden(name, "an in-out parameter", "pass it to the method as VAR_IN_OUT")
        return bound
    if name.key in instance.edges and frame.kind not in IN_CALL:
        raise _hidden(name, "an edge input", "keep its edge in a variable")
    if name.key in instance.copies and frame.kind not in IN_CALL:
        raise _hidden(name, "an input that is assigned", "keep its value in a variable")
    entity = instance.entities.get(name.key)
    in_body = frame.kind in (CodeKind.BODY, CodeKind.BODY_FROM_METHOD)
    variables = variables_of(entity) if entity is not None and not in_body else []
    if any(variable in instance.temporaries for variable in variables):
        raise _hidden(name, "a VAR_TEMP", "declare it in VAR, or in the method")
    return entity


def _hidden(name: tree.Identifier, what: str, way: str) -> InputError:
    message = f"'{name.text}' is {what} of the block, which lives only in a call of the block"
    return wrong("hidden-variable", message, name.span, way)


def no_base(frame: InstanceScope, owner: tree.Identifier) -> InputError:
    """The error for a SUPER where there is none."""
    way = "remove SUPER^, or write EXTENDS behind the block's name"
    return wrong("no-base", f"'{frame.instance.unit.name.text}' extends no block", owner.span, way)


def _temporaries(instance: InstanceScope, level: int) -> list[Variable]:
    names = {name.key for unit in instance.lineage.units[level:] for name in unit.declared()}
    return [
        variable
        for variable in instance.temporaries
        if re.split(r"[.\[]", variable.name.removeprefix(instance.prefix))[0].upper() in names
    ]
