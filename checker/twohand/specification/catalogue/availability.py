"""AVAILABLE: that the output goes on when the hands ask for it. Our own; a block that never starts
is broken.

An attempt begins when the last hand comes on, after all hands were off and with none released in
between; every output answers (prohibitions concern any output, availability all). All of it is
under power, rest included: what hands did before power-up obliges a logic to nothing. Where
contacts bounce, a logic that waits for them to settle needs a rest of some length before, and what
bouncing costs is asked apart: ``available`` is about attempts in which no contact shows anything
but its hand, ``available_bouncing`` about all of them, from the scan on in which every contact has
settled.
"""

from __future__ import annotations

from collections.abc import Sequence

from twohand.program.durations import NO_TIME, Units
from twohand.specification.logic.formula import (
    And,
    Bound,
    Formula,
    Not,
    Once,
    Or,
    Previous,
    Response,
    Rose,
    Since,
)
from twohand.specification.model.control import Availability, LogicType, TwoHand
from twohand.specification.model.specification import Requirement
from twohand.specification.model.station_formulas import any_of, in_run, where_used
from twohand.specification.phrases import count, listing, quoted

AVAILABLE = "available"
AVAILABLE_BOUNCING = "available_bouncing"
REST = 4
"""Bounce times that a rest lasts before an attempt: a logic may wait twice that time to be sure of
a release, and as long again is to spare."""


def available(control: TwoHand, asked: Availability) -> tuple[Requirement, ...]:
    """``available``; where contacts bounce ``available_bouncing`` as well."""
    if control.bounce is None:
        return (_Attempt(control, asked, AVAILABLE, ()).requirement(False),)
    quiet = _Attempt(control, asked, AVAILABLE, (control.bounce.undisturbed,))
    bouncing = _Attempt(control, asked, AVAILABLE_BOUNCING, ())
    return (quiet.requirement(False), bouncing.requirement(True))


def attempt_lag(control: TwoHand, asked: Availability) -> Units | None:
    """The lag up to which an attempt must succeed; None: any (types I and II)."""
    if asked.lag is not None:
        return asked.lag
    if control.type is not LogicType.THREE or control.window is None:
        return None
    return Units(max(0, control.window - control.press_seen_late - 2 * control.longest))


class _Attempt:
    def __init__(
        self, control: TwoHand, asked: Availability, identifier: str, also: Sequence[Formula]
    ) -> None:
        self.control = control
        self.asked = asked
        self.identifier = identifier
        self.lag = attempt_lag(control, asked)
        conditions = (asked.condition, control.condition)
        self.meanwhile: list[Formula] = [each for each in conditions if each is not None]
        if control.power is not None:
            self.meanwhile.append(control.power)
        if control.hands.selectable:
            self.meanwhile.append(Not(control.hands.selection_changed))
        self.meanwhile += also

    def requirement(self, settled: bool) -> Requirement:
        """``settled``: the attempt has its answer from the scan on in which contacts are still."""
        control, asked = self.control, self.asked
        on, began = control.hands.all_on, self._began()
        trigger = self._settled(began) if settled else began
        given_up = (Not(on), *(Not(formula) for formula in self.meanwhile))
        return Requirement(
            self.identifier,
            self._sentence(settled),
            Response(trigger, Or((control.every_output, *given_up)), asked.bound),
            asked.span,
        )

    def _began(self) -> Formula:
        """The last hand comes on in this scan."""
        hands = self.control.hands
        on, meanwhile = hands.all_on, self.meanwhile
        approach = And((Not(on), *meanwhile, *hands.none_released))
        rest: Formula = And((in_run(hands.none_on), *meanwhile))
        if self.control.bounce is not None:
            rest = Since(rest, rest, Bound(self._rest, None))
        parts: list[Formula] = [on, Not(Previous(on)), Previous(Since(approach, rest)), *meanwhile]
        if self.lag is not None:
            parts += [
                where_used(in_use, Once(in_run(Rose(any_of(each))), Bound(NO_TIME, self.lag)))
                for in_use, each in hands.by_station
            ]
        return And(tuple(parts))

    @property
    def _rest(self) -> Units:
        """How long a rest lasts at least where contacts bounce."""
        return Units(REST * self.control.bounce_time + 2 * self.control.longest)

    def _settled(self, began: Formula) -> Formula:
        """All on since an attempt began, and for longer than the bounce time only now."""
        control = self.control
        held = Since(And((control.hands.all_on, *self.meanwhile)), began)
        still = And((held, control.hands_surely_on.all_on))
        return And((still, Not(Previous(still))))

    def _sentence(self, settled: bool) -> str:
        control, asked = self.control, self.asked
        names = listing([quoted(variable.name) for variable in control.outputs])
        verb = "is" if len(control.outputs) == 1 else "are"
        sentence = f"when {control.hand_names()} come on from rest"
        if control.bounce is not None:
            rest = control.time(self._rest)
            sentence = f"when {control.hand_names()} come on from a rest of {rest}"
        if control.power is not None:
            sentence += " under power"
        if self.lag is not None:
            sentence += f" at most {control.time(self.lag)} apart"
        if asked.condition is not None:
            sentence += f" while {asked.condition_text}"
        if control.bounce is not None:
            sentence += (
                " with contacts that bounce, once they are still" if settled else ", no bounce seen"
            )
        return f"{sentence}, {names} {verb} on {self._within()}"

    def _within(self) -> str:
        bound = self.asked.bound
        high = bound.high or 0
        if not bound.in_scans:
            return f"within {self.control.time(Units(high))}"
        return f"within {count(high, 'scan')}" if high else "in that scan"
