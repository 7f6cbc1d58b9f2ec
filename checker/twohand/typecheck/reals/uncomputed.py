"""What nobody computes of REALs becomes inputs of the program, which may have any value.

Platforms differ in how they round and in which order they compute, so comparisons of computed REALs
have no value here. Each is an input of its own, with a new value in each scan: what is proved is
proved whatever they are. One input stands for all comparisons of one formula over values that are
the same throughout a scan (inputs and constants), in both programs of a comparison. Of any other
comparison each execution has an input of its own, for a value that it depends on may have changed
since the one before; that is why those in loops are refused.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, replace
from typing import Any, get_args

from twohand.program import (
    Apply,
    Expression,
    For,
    LeftOut,
    Literal,
    Operation,
    Operator,
    Program,
    Read,
    Repeat,
    Role,
    Routine,
    StandardFunction,
    Statement,
    Uncomputed,
    Variable,
    While,
)
from twohand.program.effects import written
from twohand.program.nodes import Dimension
from twohand.program.types import BOOL, Boolean, Enumeration
from twohand.program.walks import nodes_below
from twohand.text.diagnostic import Diagnostic, InputError, wrong
from twohand.text.source_text import Span

SIGN = "#real "
MOST_INPUTS = 500
_NODES = (*get_args(Statement), *get_args(Expression), Routine, Dimension)
_LONGEST_NAME = 200
_UNUSABLE = '|\\"'
"""Characters that no name of a solver's symbol may have."""


def with_uncomputed_inputs(program: Program, prefix: str) -> Program:
    """The program without ``Uncomputed``, of which each is an input and a note of what is left out.
    InputError (``real-in-loop``) for one that a loop makes anew."""
    if not any(isinstance(node, Uncomputed) for node in nodes_below(program.routine)):
        return program
    inputs = _Inputs(program, prefix)
    routine = inputs.of(program.routine, False)
    if inputs.problems:
        raise InputError(list({(p.span, p.code): p for p in inputs.problems}.values()))
    return replace(
        program,
        inputs=(*program.inputs, *inputs.made),
        variables=(*program.variables, *inputs.made),
        routine=routine,
        left_out=(*program.left_out, *_notes(inputs.made)),
    )


def refuse_uncomputed(program: Program, what: str) -> None:
    """InputError (``real-not-computed``) where the program has such inputs; ``what`` cannot say
    anything of them."""
    for variable in program.uncomputed:
        message = f"{what} needs what comes of '{variable.uncomputed}', and REALs are not computed"
        way = "compare inputs with constants only, or make the result a VAR_INPUT of BOOL"
        raise wrong("real-not-computed", message, variable.span, way)


def _notes(variables: list[Variable]) -> Iterator[LeftOut]:
    for variable in {(v.span, v.uncomputed): v for v in variables}.values():
        text = f"the value of '{variable.uncomputed}', which may be any of its type in each scan"
        if variable.type == BOOL:
            text = f"the comparison '{variable.uncomputed}', which may come out either way"
        yield LeftOut(text, variable.span)


class _Inputs:
    """``made`` are the inputs, in the order of the text. Every node is made anew for each of its
    executions: what is called twice has two bodies."""

    def __init__(self, program: Program, prefix: str) -> None:
        self._prefix = prefix
        self._lasting = set(program.sampled) - set(written(program.routine))
        self._known: dict[str, Variable] = {}
        self.made: list[Variable] = []
        self.problems: list[Diagnostic] = []
        self._has: dict[int, bool] = {}

    def of(self, node: Any, loop: bool) -> Any:
        if isinstance(node, tuple):
            return tuple(self.of(part, loop) for part in node)
        if not isinstance(node, _NODES) or not self._has_any(node):
            return node
        if isinstance(node, Uncomputed):
            return self._read(node, loop)
        parts = {
            each.name: self.of(getattr(node, each.name), loop or self._again(node, each.name))
            for each in fields(node)
        }
        return replace(node, **parts)

    def _has_any(self, node: Any) -> bool:
        known = self._has.get(id(node))
        if known is None:
            known = any(isinstance(each, Uncomputed) for each in nodes_below(node))
            self._has[id(node)] = known
        return known

    def _again(self, node: object, part: str) -> bool:
        """Whether a part of the node may run several times where the node runs once."""
        return isinstance(node, While | Repeat) or (isinstance(node, For) and part == "body")

    def _read(self, node: Uncomputed, loop: bool) -> Expression:
        parts = [self.of(part, loop) for part in node.parts]
        lasting = bool(node.formula) and self._lasting.issuperset(node.leaves)
        if loop and not lasting:
            self.problems.append(_in_loop(node.span))
        value: Expression = Read(self._input(node, lasting), node.span)
        for part in reversed(parts):  # evaluated for what may happen there
            value = Apply(
                StandardFunction.SEL, (_as_condition(part), value, value), node.type, part.span
            )
        return value

    def _input(self, node: Uncomputed, lasting: bool) -> Variable:
        if lasting and node.formula in self._known:
            return self._known[node.formula]
        if len(self.made) >= MOST_INPUTS:
            message = f"more than {MOST_INPUTS} comparisons and conversions of REALs are not read"
            raise wrong("array-too-large", message, node.span, "check a smaller block")
        text = " ".join(node.span.text.split())
        shared = lasting and _is_usable(node.formula)
        name = node.formula if shared else f"{len(self.made) + 1} {self._prefix}{_plain(text)}"
        variable = Variable(
            SIGN + name,
            node.type,
            Role.INPUT,
            _least(node),
            node.span,
            surroundings=True,
            uncomputed=text,
            shared_text=shared,
        )
        self.made.append(variable)
        if lasting:
            self._known[node.formula] = variable
        return variable


def _is_usable(text: str) -> bool:
    return len(text) <= _LONGEST_NAME and not any(sign in text for sign in _UNUSABLE)


def _plain(text: str) -> str:
    return "".join("_" if sign in _UNUSABLE else sign for sign in text[:_LONGEST_NAME])


def _least(node: Uncomputed) -> int | bool:
    return False if isinstance(node.type, Boolean) else 0


def _as_condition(part: Expression) -> Expression:
    if isinstance(part.type, Boolean):
        return part
    value = part.type.values[0][1] if isinstance(part.type, Enumeration) else 0
    zero = Literal(value, part.type, part.span)
    return Operation(Operator.EQUAL, (part, zero), BOOL, part.span)


def _in_loop(span: Span) -> Diagnostic:
    return Diagnostic(
        "real-in-loop",
        "a loop makes this of REALs that may change from round to round, and their values are not "
        "computed",
        span,
        "compare before the loop, or keep the results in an array of BOOL that is an input",
    )
