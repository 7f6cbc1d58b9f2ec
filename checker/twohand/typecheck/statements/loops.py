"""What the body of a FOR loop must leave alone."""

from __future__ import annotations

from twohand.program import Expression, Statement, Variable
from twohand.program.effects import reads, written
from twohand.syntax import tree
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import Span
from twohand.typecheck.variables.body_scope import loop_variable_changed


def check_bounds(
    node: tree.For, variable: Variable, last: Expression, body: tuple[Statement, ...]
) -> None:
    """IEC 61131-3:2003, 3.3.2.4: the body alters neither the control variable nor the final
    value. Platforms differ in whether they would see it."""
    changed = set(written(body))
    if variable in changed:
        raise loop_variable_changed(node.variable)
    for bound in reads(last):
        if bound in changed:
            message = f"the loop changes '{bound.name}', on which its last value depends"
            way = "copy the last value to a variable of its own before, or use WHILE"
            raise wrong("loop-bound-changed", message, node.last.span, way)


def zero_step(span: Span) -> InputError:
    """The error for a loop that would never go on."""
    return wrong("zero-step", "a FOR loop cannot step by 0", span, "step up or down by a number")
