"""The values with which a scan begins: of what others write between scans, and of what is asked.

Both are program text in front of the block, like everything that surrounds it. A variable that is
written from outside gets any value at the beginning of each scan under power, the first one
included; what the block then makes of it is its value at the end. What the text only notes is what
is there at that moment.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from twohand.program import Assign, LeftOut, Read, Role, Statement, Variable
from twohand.specification.syntax.formulas import start_name
from twohand.text.source_text import Span


@dataclass(frozen=True, eq=False)
class ScanStart:
    """``statements`` run before the block, in each scan in which that runs; ``inputs`` are free."""

    inputs: tuple[Variable, ...] = ()
    variables: tuple[Variable, ...] = ()
    statements: tuple[Statement, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    outside: frozenset[Variable] = frozenset()
    """The block's variables that others write."""


NO_SCAN_START = ScanStart()


def scan_start(outside: Mapping[Variable, Span], noted: Mapping[Variable, Span]) -> ScanStart:
    """What is ``outside`` is written between scans, and the values of what is ``noted`` are kept
    as they are when a scan begins; the places are those of the spec that say so."""
    written = {v: _start(v, Role.INPUT, span) for v, span in outside.items()}
    kept = {v: _start(v, Role.LOCAL, span) for v, span in noted.items() if v not in written}
    statements = [
        *(Assign(v, Read(free, free.span), free.span) for v, free in written.items()),
        *(Assign(start, Read(v, start.span), start.span) for v, start in kept.items()),
    ]
    notes = tuple(LeftOut(_left_out(variable), span) for variable, span in outside.items())
    inputs = tuple(written.values())
    variables = (*inputs, *kept.values())
    return ScanStart(inputs, variables, tuple(statements), notes, frozenset(written))


def _left_out(variable: Variable) -> str:
    return (
        f"writes to '{variable.name}' from outside while a scan runs (it can have any value at the "
        "beginning of each)"
    )


def _start(variable: Variable, role: Role, span: Span) -> Variable:
    """Before power-up there is no memory of the program: no such value is older than the run."""
    name = start_name(variable.name)
    outer = role is Role.INPUT
    return replace(variable, name=name, role=role, span=span, retain=False, surroundings=outer)
