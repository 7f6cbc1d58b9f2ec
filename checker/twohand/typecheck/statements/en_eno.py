"""EN and ENO of a call (IEC 61131-3 Ed. 2, 2.5.1.2): what is not enabled does not run.

A block may declare inputs and outputs of these names; they are like any other then.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from twohand.program import CallBlock, Expression, If, PlatformChoice, Routine, Statement, Variable
from twohand.program.types import BOOL
from twohand.syntax import tree
from twohand.text.diagnostic import wrong
from twohand.text.source_text import Span
from twohand.typecheck.expressions.expressions import resolve_expression
from twohand.typecheck.expressions.standard_functions import refuse_en
from twohand.typecheck.statements.arguments import Parameters
from twohand.typecheck.statements.assignments import assign
from twohand.typecheck.statements.calls import CallingScope

AnyCall = TypeVar("AnyCall", bound=tree.Call | tree.PathCall)


@dataclass(frozen=True, eq=False)
class Enable:
    """The EN and ENO arguments of a call."""

    enable: tree.Argument | None
    enabled: tree.Argument | None


def without_en(call: AnyCall, parameters: Parameters) -> tuple[AnyCall, Enable]:
    """The call without the enable pins that its block does not declare.

    InputError where EN is given beside outputs: whether a call that is not enabled still passes
    them on is left open, and platforms differ."""
    declared = {*parameters.inputs, *parameters.in_outs, *parameters.outputs}
    pins: dict[str, tree.Argument] = {}
    others: list[tree.Argument] = []
    for argument in call.arguments:
        key = "" if argument.name is None else argument.name.key
        if key in ("EN", "ENO") and key not in declared:
            if argument.output != (key == "ENO") or key in pins:
                refuse_en(argument)
            pins[key] = argument
        else:
            others.append(argument)
    given = [argument for argument in others if argument.output]
    if "EN" in pins and given:
        message = "platforms differ in whether a call that is not enabled passes this output on"
        way = "read the output behind the call, or put the call under IF"
        raise wrong("unsupported-enable", message, given[0].span, way)
    unread = "" if "ENO" in declared else "ENO"
    left = tuple(p for p in call.unconnected if not (p.output and p.name.key == unread))
    return replace(call, arguments=tuple(others), unconnected=left), Enable(
        pins.get("EN"), pins.get("ENO")
    )


def enabled(
    scope: CallingScope,
    pins: Enable,
    statements: Sequence[Statement],
    inputs: tuple[tuple[Variable, Expression], ...] = (),
) -> Sequence[Statement]:
    """The statements of a call under its EN, with its ENO assigned. Where it does not run, its
    inputs are evaluated and taken, or not: platforms differ."""
    done = [*statements, *_tell(scope, pins.enabled, True)]
    if pins.enable is None:
        return done
    condition = resolve_expression(pins.enable.value, scope, BOOL)
    otherwise = [*_take(inputs, pins.enable.span), *_tell(scope, pins.enabled, False)]
    return [If(((condition, tuple(done)),), tuple(otherwise), pins.enable.span)]


def _take(inputs: tuple[tuple[Variable, Expression], ...], span: Span) -> Sequence[Statement]:
    """A call of nothing, which evaluates all inputs before it assigns the first."""
    if not inputs:
        return []
    taken = CallBlock("", inputs, Routine((), ()), (), span)
    return [If(((PlatformChoice("disabled_call_takes_inputs", span), (taken,)),), (), span)]


def _tell(scope: CallingScope, pin: tree.Argument | None, ran: bool) -> Sequence[Statement]:
    if pin is None:
        return []
    assert isinstance(pin.value, tree.Name | tree.AccessPath)
    value = tree.Literal(ran != pin.negated, BOOL, pin.span)
    return assign(scope, pin.value, value, pin.span)
