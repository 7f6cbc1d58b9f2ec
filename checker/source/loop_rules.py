"""What the body of a FOR loop must leave alone."""

from __future__ import annotations

from checker.source import tree
from checker.source.body_scope import loop_variable_changed
from checker.source.diagnostic import Diagnostic, InputError
from checker.source.effects import reads, written
from checker.source.program import Expression, Statement, Variable
from checker.source.text import Span


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
            raise InputError(
                Diagnostic(
                    "loop-bound-changed",
                    f"the loop changes '{bound.name}', on which its last value depends",
                    node.last.span,
                    "copy the last value to a variable of its own before, or use WHILE",
                )
            )


def zero_step(span: Span) -> InputError:
    """The error for a loop that would never go on."""
    return InputError(
        Diagnostic("zero-step", "a FOR loop cannot step by 0", span, "step up or down by a number")
    )
