"""Contacts that bounce: after its hand moved, a contact shows anything for at most so long.

``settling.<hand>`` is TRUE in the scans that lie at most the bounce time after the one in which
the hand was seen to move; in them a contact shows its free input ``bounce.<input>``, in all others
what its hand makes it show. A hand that is on in the first scan has not moved. The time is
measured by a timer of the surroundings (``StandardInstance.surroundings``).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from twohand.program import (
    Assign,
    CallStandard,
    Expression,
    If,
    Literal,
    Operation,
    Operator,
    Read,
    Role,
    StandardBlock,
    StandardInstance,
    Statement,
    Variable,
)
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
    new_input: Callable[[str, Span], Variable]
    """Makes an input of the surroundings, ``new`` any other variable."""
    new: Callable[[str, Span], Variable]
    statements: list[Statement] = field(default_factory=list)
    instances: list[StandardInstance] = field(default_factory=list)
    pins: list[Variable] = field(default_factory=list)
    settling: dict[str, Variable] = field(default_factory=dict)

    def follow(self, hands: Sequence[tuple[str, Variable]]) -> None:
        """Watches every hand for its moves; the statements run before any contact is read."""
        span = self.bounce.span
        begun = self.new(BEGUN, span)
        for name, hand in hands:
            self._follow(name, hand, begun)
        self.statements.append(Assign(begun, Literal(True, BOOL, span), span))

    def _follow(self, name: str, hand: Variable, begun: Variable) -> None:
        """moved := begun AND (hand XOR was); the timer runs from the last move to its end."""
        span = self.bounce.span
        settling = self.settling[name] = self.new(f"{SETTLING}{name}", span)
        was = self.new(f"{SETTLING}{name}.was", span)
        timer = self._timer(f"{SETTLING}{name}.time")
        changed = logic(Operator.XOR, Read(hand, span), Read(was, span))
        moved = logic(Operator.AND, Read(begun, span), changed)
        stop = CallStandard(timer, ((timer.pins["IN"], Literal(False, BOOL, span)),), (), span)
        start = CallStandard(timer, ((timer.pins["IN"], Literal(True, BOOL, span)),), (), span)
        within = logic(Operator.NOT, Read(timer.pins["Q"], span))
        go_on = (start, Assign(settling, within, span))
        self.statements += [
            If(((moved, (stop, Assign(settling, Literal(True, BOOL, span), span))),), (), span),
            If(((Read(settling, span), go_on),), (), span),
            If(((Read(settling, span), ()),), (stop,), span),
            Assign(was, Read(hand, span), span),
        ]

    def _timer(self, name: str) -> StandardInstance:
        """Q from one unit beyond the bounce time on: at its end a contact may still bounce."""
        span = self.bounce.span
        preset = self.bounce.time + self.bounce.unit
        pins = {
            "IN": Variable(f"{name}.IN", BOOL, Role.INPUT, False, span),
            "PT": Variable(f"{name}.PT", TIME, Role.INPUT, preset, span),
            "Q": Variable(f"{name}.Q", BOOL, Role.OUTPUT, False, span),
            "ET": Variable(f"{name}.ET", TIME, Role.OUTPUT, 0, span),
        }
        self.pins += pins.values()
        timer = StandardInstance(name, StandardBlock.TON, pins, span, surroundings=True)
        self.instances.append(timer)
        return timer

    def shown(self, contact: Contact, steady: Expression) -> Expression:
        """What the contact shows, which is ``steady`` once it has settled."""
        span = contact.span
        free = Read(self.new_input(f"{BOUNCE}{contact.input.name}", self.bounce.span), span)
        settling = Read(self.settling[contact.hand], span)
        return logic(
            Operator.OR,
            logic(Operator.AND, settling, free),
            logic(Operator.AND, logic(Operator.NOT, settling), steady),
        )


def logic(operator: Operator, *operands: Expression) -> Expression:
    """A Boolean operation at the place of its first operand."""
    return Operation(operator, operands, BOOL, operands[0].span)
