"""The supply of the controller, which may go and come back at any scan.

In a scan without supply the block does not run, and what it drives shows the default of its type
(FALSE, 0). Meanwhile the program forgets what it does not retain (IEC 61131-3 Ed. 2, 2.4.2, warm
restart), so that its first scan under power begins as such a restart does. A run may begin
without supply: nothing has happened yet, and its first scan under power begins from the initial
values. What is around the program lives on.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from twohand import program as typed
from twohand.program.types import BOOL, Boolean, Enumeration, Type, Value
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_text import Span

PREFIX = "power."
"""Begins the names of the supply."""
POWER_ON = f"{PREFIX}on"
"""The input that says whether the controller has it."""
_TIMERS = (typed.StandardBlock.TON, typed.StandardBlock.TOF, typed.StandardBlock.TP)


@dataclass(frozen=True, eq=False)
class PowerCycles:
    """``on`` is the input that is TRUE in a scan with supply. ``driven`` are the variables of the
    block that show the default of their type without it, ``copies`` what some of them show again
    with it: those that are retained, or that begin as something else than that default."""

    on: typed.Variable
    driven: tuple[typed.Variable, ...]
    copies: Mapping[typed.Variable, typed.Variable]
    span: Span = field(repr=False)

    @property
    def variables(self) -> tuple[typed.Variable, ...]:
        return (self.on, *self.copies.values())


def power_cycles(block: typed.Program, named: Iterable[typed.Variable], span: Span) -> PowerCycles:
    """Power cycles of a block, which drives its outputs and what is ``named`` beside them.

    InputError for what is retained and measures time (a timer, a reading of the clock), and for a
    block whose names are in the way.
    """
    taken = [v for v in block.variables if v.name.casefold().startswith(PREFIX)]
    timers = [i for i in block.instances if i.retain and i.block in _TIMERS]
    problems = [*(_taken(v, span) for v in taken[:1]), *(_retained(i) for i in timers)]
    problems += [_retained_reading(v) for v in block.stamps if v.retain]
    if problems:
        raise InputError(problems)
    sampled = set(block.sampled)
    driven = tuple(v for v in dict.fromkeys([*block.outputs, *named]) if v not in sampled)
    copies = {v: _copy(v) for v in driven if v.retain or v.initial != off_value(v.type)}
    return PowerCycles(_supply(span), driven, copies, span)


def _supply(span: Span) -> typed.Variable:
    return typed.Variable(POWER_ON, BOOL, typed.Role.INPUT, False, span, surroundings=True)


def refuse_readings(program: typed.Program) -> None:
    """InputError where a program that does not restart keeps a reading of the clock, which begins
    anew when the controller does."""
    problems = [_lasting_reading(v) for v in program.stamps]
    if problems:
        raise InputError(problems)


def off_value(kind: Type) -> Value:
    """The default of a type (IEC 61131-3 Ed. 2, 2.4.2): FALSE, 0, an enumeration's first."""
    match kind:
        case Boolean():
            return False
        case Enumeration(values=((_, first), *_)):
            return first
    return 0


def guarded(
    block: typed.Program, run: tuple[typed.Statement, ...], power: PowerCycles
) -> tuple[typed.Statement, ...]:
    """The block's ``run`` where it has supply; else its restart, and what it drives off."""
    span = power.span
    shown = [typed.Assign(v, typed.Read(copy, span), span) for v, copy in power.copies.items()]
    copied = [typed.Assign(copy, typed.Read(v, span), span) for v, copy in power.copies.items()]
    off = [
        typed.Assign(v, typed.Literal(off_value(v.type), v.type, span), span) for v in power.driven
    ]
    without: tuple[typed.Statement, ...] = (_restart(block, power), *off)
    return (typed.If(((typed.Read(power.on, span), (*shown, *run, *copied)),), without, span),)


def _restart(block: typed.Program, power: PowerCycles) -> typed.Restart:
    """What is sampled or driven from outside is not in the program's memory."""
    outside = set(block.inputs)
    own = [v for v in (*block.variables, *power.copies.values()) if v not in outside]
    return typed.Restart(
        tuple(v for v in own if not v.retain),
        tuple(i for i in block.instances if not i.retain),
        power.span,
    )


def _copy(variable: typed.Variable) -> typed.Variable:
    name = f"{PREFIX}kept.{variable.name}"
    return typed.Variable(
        name, variable.type, typed.Role.LOCAL, variable.initial, variable.span, variable.retain
    )


def _taken(variable: typed.Variable, span: Span) -> Diagnostic:
    message = f"the block has a '{variable.name}', and '{POWER_ON}' is to be the supply"
    declared = ((variable.span, "declared here"),)
    return Diagnostic("ambiguous-name", message, span, "rename it in the block", declared)


def _retained(instance: typed.StandardInstance) -> Diagnostic:
    return Diagnostic(
        "retained-timer",
        f"'{instance.name}' is a retained {instance.block.value}: whether its time goes on without "
        "power differs from platform to platform, so it is not checked with POWER CYCLES",
        instance.span,
        "declare it in VAR (within a retained instance in VAR NON_RETAIN) and keep what must "
        "survive in variables of its own",
    )


def _retained_reading(variable: typed.Variable) -> Diagnostic:
    return Diagnostic(
        "retained-clock",
        f"'{variable.name}' is retained and keeps a reading of the clock: whether TIME() goes on "
        "without power differs from platform to platform, so it is not checked with POWER CYCLES",
        variable.span,
        "declare it in VAR (within a retained instance in VAR NON_RETAIN)",
    )


def _lasting_reading(variable: typed.Variable) -> Diagnostic:
    return Diagnostic(
        "retained-clock",
        f"'{variable.name}' of a plant keeps a reading of the clock, which may begin anew with the "
        "block after a loss of power: that is not checked with POWER CYCLES",
        variable.span,
        "let the plant measure time with a timer",
    )
