"""Contacts that bounce: after its hand moved, a contact shows anything for at most so long.

``settling.<hand>`` is TRUE in the scans that lie at most the bounce time after the one in which
the hand was seen to move; in them a contact shows its free input ``bounce.<input>``, in all others
what its hand makes it show. A hand that is on in the first scan has not moved. The time is
measured by a timer of the surroundings (``StandardInstance.surroundings``).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from twohand import program as typed
from twohand.program.durations import Nanoseconds
from twohand.program.types import BOOL, TIME
from twohand.specification.model.specification import Contact
from twohand.text.source_text import Span

SETTLING = "settling."
BOUNCE = "bounce."
BEGUN = f"{SETTLING}begun"


@dataclass(frozen=True)
class Bounce:
    """``time`` is how long a contact bounces at most, ``unit`` the unit of the clocking."""

    time: Nanoseconds
    unit: Nanoseconds
    span: Span = field(repr=False)


@dataclass
class Bouncing:
    """What is added around a block, and what its contacts show by it."""

    bounce: Bounce
    new_input: Callable[[str, Span], typed.Variable]
    """Makes an input of the surroundings, ``new`` any other variable."""
    new: Callable[[str, Span], typed.Variable]
    statements: list[typed.Statement] = field(default_factory=list)
    instances: list[typed.StandardInstance] = field(default_factory=list)
    pins: list[typed.Variable] = field(default_factory=list)
    settling: dict[str, typed.Variable] = field(default_factory=dict)

    def follow(self, hands: Sequence[tuple[str, typed.Variable]]) -> None:
        """Watches every hand for its moves; the statements run before any contact is read."""
        span = self.bounce.span
        begun = self.new(BEGUN, span)
        for name, hand in hands:
            self._follow(name, hand, begun)
        self.statements.append(typed.Assign(begun, typed.Literal(True, BOOL, span), span))

    def _follow(self, name: str, hand: typed.Variable, begun: typed.Variable) -> None:
        """moved := begun AND (hand XOR was); the timer runs from the last move to its end."""
        span = self.bounce.span
        settling = self.settling[name] = self.new(f"{SETTLING}{name}", span)
        was = self.new(f"{SETTLING}{name}.was", span)
        timer = self._timer(f"{SETTLING}{name}.time")
        changed = logic(typed.Operator.XOR, typed.Read(hand, span), typed.Read(was, span))
        moved = logic(typed.Operator.AND, typed.Read(begun, span), changed)
        stop = typed.CallStandard(
            timer, ((timer.pins["IN"], typed.Literal(False, BOOL, span)),), (), span
        )
        start = typed.CallStandard(
            timer, ((timer.pins["IN"], typed.Literal(True, BOOL, span)),), (), span
        )
        within = logic(typed.Operator.NOT, typed.Read(timer.pins["Q"], span))
        go_on = (start, typed.Assign(settling, within, span))
        self.statements += [
            typed.If(
                ((moved, (stop, typed.Assign(settling, typed.Literal(True, BOOL, span), span))),),
                (),
                span,
            ),
            typed.If(((typed.Read(settling, span), go_on),), (), span),
            typed.If(((typed.Read(settling, span), ()),), (stop,), span),
            typed.Assign(was, typed.Read(hand, span), span),
        ]

    def _timer(self, name: str) -> typed.StandardInstance:
        """Q from one unit beyond the bounce time on: at its end a contact may still bounce."""
        span = self.bounce.span
        preset = self.bounce.time + self.bounce.unit
        pins = {
            "IN": typed.Variable(f"{name}.IN", BOOL, typed.Role.INPUT, False, span),
            "PT": typed.Variable(f"{name}.PT", TIME, typed.Role.INPUT, preset, span),
            "Q": typed.Variable(f"{name}.Q", BOOL, typed.Role.OUTPUT, False, span),
            "ET": typed.Variable(f"{name}.ET", TIME, typed.Role.OUTPUT, 0, span),
        }
        self.pins += pins.values()
        timer = typed.StandardInstance(name, typed.StandardBlock.TON, pins, span, surroundings=True)
        self.instances.append(timer)
        return timer

    def shown(self, contact: Contact, steady: typed.Expression) -> typed.Expression:
        """What the contact shows, which is ``steady`` once it has settled."""
        span = contact.span
        free = typed.Read(self.new_input(f"{BOUNCE}{contact.input.name}", self.bounce.span), span)
        settling = typed.Read(self.settling[contact.hand], span)
        return logic(
            typed.Operator.OR,
            logic(typed.Operator.AND, settling, free),
            logic(typed.Operator.AND, logic(typed.Operator.NOT, settling), steady),
        )


def logic(operator: typed.Operator, *operands: typed.Expression) -> typed.Expression:
    """A Boolean operation at the place of its first operand."""
    return typed.Operation(operator, operands, BOOL, operands[0].span)
