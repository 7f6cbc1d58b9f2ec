"""Which variables keep readings of the scan's clock, and that nothing else is done with them.

``TIME()`` counts on and wraps around, and what it shows at power-up is anybody's guess: only the
time between two readings says something. A reading may be copied from variable to variable and
subtracted from another one. What is more than that is refused by name.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from twohand.program import (
    CLOCK,
    Assign,
    AssignElement,
    CallBlock,
    CallFunction,
    CallStandard,
    Expression,
    Operation,
    Operator,
    Program,
    Read,
    Role,
    Variable,
)
from twohand.program.effects import written
from twohand.program.renaming import renamed
from twohand.program.types import Duration
from twohand.program.variables import UNSETTLED_CLOCK
from twohand.program.walks import nodes_below
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_text import Span

Given = tuple[Variable, Expression]

_WAY = "read the clock in differences, for instance TIME() - started >= T#480ms"
_VALUE = "is a reading of the clock, which can only be copied and subtracted from another reading"
_CODE = "clock-reading"


def with_clock(program: Program) -> Program:
    """The program, whose bodies call ``TIME()``, with the clock as an input and the variables that
    keep its readings as such. InputError (``clock-reading``) for every other use of them."""
    uses = _Uses(program)
    problems = [*uses.problems()]
    if problems:
        raise InputError(problems)
    whole = replace(
        program,
        inputs=(*program.inputs, UNSETTLED_CLOCK),
        variables=(*program.variables, UNSETTLED_CLOCK),
    )
    kept = {v: replace(v, type=CLOCK.type) for v in uses.stamps}
    settled = {v: v for v in program.variables} | kept | {UNSETTLED_CLOCK: CLOCK}
    return renamed(whole, "", settled).program


@dataclass
class _Uses:
    """What a program does with the clock."""

    program: Program
    copies: list[Given] = field(default_factory=list)
    """What one variable is given of another one, or of the clock."""
    others: list[Given] = field(default_factory=list)
    """What variables are given otherwise."""
    differences: list[Operation] = field(default_factory=list)
    reads: list[Read] = field(default_factory=list)
    calls: list[CallFunction] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.pins = {pin for each in self.program.instances for pin in each.pins.values()}
        for node in nodes_below(self.program.routine):
            match node:
                case Assign(target=target, value=value):
                    self._given(target, value)
                case AssignElement(targets=targets, value=value):
                    self.others += [(target, value) for target in targets]
                case CallBlock(arguments=arguments) | CallFunction(arguments=arguments):
                    for target, value in arguments:
                        self._given(target, value)
                case CallStandard(arguments=arguments):
                    self.others += arguments
                case Operation(operator=Operator.SUBTRACT) if isinstance(node.type, Duration):
                    self.differences.append(node)
                case Read():
                    self.reads.append(node)
            if isinstance(node, CallFunction):
                self.calls.append(node)
        self.stamps = self._stamps()

    def _given(self, target: Variable, value: Expression) -> None:
        copied = isinstance(value, Read) and target not in self.pins
        (self.copies if copied else self.others).append((target, value))

    def _stamps(self) -> set[Variable]:
        """Whatever is given a reading, and what such is subtracted from or copied into without ever
        being written: its initial value is a reading as any other."""
        found: set[Variable] = {UNSETTLED_CLOCK}
        moving = {*self.program.inputs, *written(self.program.routine), *self.pins}
        fixed = set(self.program.variables) - moving
        grown = True
        while grown:
            before = len(found)
            for target, value in self.copies:
                source = _variable(value)
                if source in found:
                    found.add(target)
                elif target in found and source in fixed:
                    found.add(source)
            for each in self.differences:
                sides = [_variable(operand) for operand in each.operands]
                if any(side in found for side in sides):
                    found |= {side for side in sides if side in fixed}
            grown = len(found) > before
        return found - {UNSETTLED_CLOCK}

    def problems(self) -> Iterator[Diagnostic]:
        known = {*self.stamps, UNSETTLED_CLOCK}
        fine = {id(value) for target, value in self.copies if target in known}
        for each in self.differences:
            if any(_variable(operand) in known for operand in each.operands):
                fine.update(map(id, each.operands))
                yield from _not_between(each, known)
        for read in self.reads:
            if read.variable in known and id(read) not in fine:
                yield _wrong(f"'{_words(read.span)}' {_VALUE}", read.span)
        for target, value in (*self.copies, *self.others):
            if target in known and _variable(value) not in known:
                message = (
                    f"'{target.name}' keeps a reading of the clock, and is given another value"
                )
                way = "keep the two in variables of their own; a BOOL can say that none is kept"
                yield Diagnostic(_CODE, message, value.span, way)
        for call in self.calls:
            if call.result in known:
                yield _wrong(f"what '{call.name}' gives {_VALUE}", call.span)
        yield from self._seen_outside(known)

    def _seen_outside(self, known: set[Variable]) -> Iterator[Diagnostic]:
        outside = {*self.program.inputs, *self.program.outputs}
        for variable in self.program.variables:
            if variable in known and (variable in outside or variable.role is Role.GLOBAL):
                message = f"'{variable.name}' is seen outside of the block, and {_VALUE}"
                way = "keep it in VAR, and show the time between two readings"
                yield Diagnostic(_CODE, message, variable.span, way)


def _not_between(each: Operation, known: set[Variable]) -> Iterator[Diagnostic]:
    """What a reading is subtracted from, or is subtracted from it, and is none."""
    for operand in each.operands:
        if _variable(operand) not in known:
            text = f"'{_words(operand.span)}' is no reading of the clock"
            yield _wrong(f"{text}, and only readings are subtracted from each other", operand.span)


def _variable(value: Expression) -> Variable | None:
    return value.variable if isinstance(value, Read) else None


def _wrong(message: str, span: Span) -> Diagnostic:
    return Diagnostic(_CODE, message, span, _WAY)


def _words(span: Span) -> str:
    return " ".join(span.text.split())
