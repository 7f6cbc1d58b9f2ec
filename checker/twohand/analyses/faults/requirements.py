"""What is asked of a spec with a fault, beside its own requirements."""

from __future__ import annotations

from dataclasses import dataclass

from twohand.program import Read
from twohand.specification.logic.formula import (
    Always,
    And,
    Atom,
    Formula,
    Not,
    Once,
    Or,
    Previous,
    Rose,
)
from twohand.specification.model.specification import Aim, Requirement, Specification
from twohand.specification.model.station_formulas import any_of
from twohand.specification.phrases import listing, quoted

OFF_AFTER = "off_after"
NOTICED = "noticed"
SHOWS = "shows"
AFTER_FAULT = (SHOWS, OFF_AFTER, NOTICED)
"""What is reported of a fault, and asked of nobody."""


@dataclass(frozen=True, eq=False)
class AfterFault:
    """``shows`` asks for a run in which the fault makes a difference to an input. The other two
    are None where the spec names no output."""

    shows: Requirement
    stays_off: Requirement | None = None
    noticed: Requirement | None = None

    @property
    def all(self) -> list[Requirement]:
        return [each for each in (self.shows, self.stays_off, self.noticed) if each is not None]


def after_fault(specification: Specification) -> AfterFault:
    """The requirements about what happens after the fault that ``specification`` assumes."""
    assumed, lines = specification.assumed_faults, specification.lines
    if assumed is None or lines is None:
        raise ValueError("no fault is assumed")
    span = (lines.contacts[0] if lines.contacts else lines.supplies[0]).span
    shows = Requirement(
        SHOWS,
        "in some run the fault makes an input read otherwise than it would",
        Always(Not(assumed.shows)),
        span,
        Aim.REACHABLE,
    )
    if not specification.outputs:
        return AfterFault(shows)
    output = any_of(Atom(Read(v, v.span)) for v in specification.outputs)
    name = listing([quoted(v.name) for v in specification.outputs], "or")
    start = Rose(output)
    shown = Once(_seen(specification, assumed.shows))
    stays_off = Requirement(
        OFF_AFTER,
        f"from the scan on in which the fault shows at an input, {name} does not go on",
        Always(Not(And((start, shown)))),
        span,
    )
    slept = Previous(Once(And((start, assumed.present))))
    late: Formula = And((start, Or((shown, slept))))
    sentence = (
        f"once the fault has shown at an input, or has been there as {name} went on, {name} does "
        "not go on"
    )
    if specification.notice is not None:
        seen = Previous(Once(And((specification.notice.formula, assumed.begun))))
        late = And((late, Not(seen)))
        sentence += " before the fault was noticed"
    noticed = Requirement(NOTICED, sentence, Always(Not(late)), span)
    return AfterFault(shows, stays_off, noticed)


def _seen(specification: Specification, shows: Formula) -> Formula:
    """The fault shows to a controller that has its supply; without it nothing is seen."""
    power = specification.power
    return shows if power is None else And((shows, Atom(Read(power, power.span))))
