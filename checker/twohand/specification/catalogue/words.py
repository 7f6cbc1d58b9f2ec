"""The words of REQUIRE besides TWO_HAND, with their parameters and what they ask."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from twohand.specification.catalogue import machine_rules, press_rules
from twohand.specification.catalogue.clause import Demand
from twohand.specification.catalogue.tolerance import NEW_PRESS
from twohand.specification.model.specification import Requirement


class Kind(Enum):
    CONDITION = "condition"
    """A formula."""
    ACTUATION = "actuation"
    """A formula over what people do: under a fault it speaks of the healthy contact."""
    TIME = "time"
    """A duration literal above 0."""
    SPAN = "span of time"
    """A duration literal, 0 included."""


TIMES = (Kind.TIME, Kind.SPAN)


@dataclass(frozen=True)
class Parameter:
    name: str
    kind: Kind = Kind.CONDITION
    required: bool = True


@dataclass(frozen=True)
class Word:
    """``parts`` are the identifiers that it gives, after its own name ('' for that alone),
    ``bouncing`` those that come in addition where contacts bounce.

    ``hands``: it speaks of the hands of the spec; ``hands_unless``: only where this parameter is
    not given. ``outputs``: it speaks of the spec's outputs unless ``output`` is given. ``hazard``:
    HAZARD limits what it asks.
    """

    name: str
    parameters: tuple[Parameter, ...]
    parts: tuple[str, ...]
    build: Callable[[Demand], list[Requirement]]
    hands: bool = False
    hands_unless: str = ""
    outputs: bool = True
    hazard: bool = False
    bouncing: tuple[str, ...] = ()

    @property
    def identifiers(self) -> tuple[str, ...]:
        parts = (*self.parts, *self.bouncing)
        return tuple(f"{self.name}_{part}" if part else self.name for part in parts)

    def parameter(self, name: str) -> Parameter | None:
        return next((each for each in self.parameters if each.name == name.casefold()), None)

    @property
    def pattern(self) -> str:
        """What to write: ``hold_to_run (control := ...)``; what may be left out in brackets."""
        shown = []
        for each in self.parameters:
            text = f"{each.name} := {'T#...' if each.kind in TIMES else '...'}"
            shown.append(text if each.required else f"[{text}]")
        return f"{self.name} ({', '.join(shown)})" if shown else self.name


_OUTPUT = Parameter("output", required=False)
_START = Parameter("start", Kind.ACTUATION, required=False)
_COMPLETE = Parameter("complete", required=False)
_NOTICED = (Parameter("within", Kind.SPAN), Parameter("notice"), _OUTPUT)

WORDS = (
    Word(
        "single_stroke",
        (_COMPLETE,),
        ("concurrent", "held", "anti_repeat", "resumption"),
        press_rules.single_stroke,
        hands=True,
        hazard=True,
        bouncing=(NEW_PRESS,),
    ),
    Word(
        "two_hand_trip",
        (_COMPLETE,),
        ("concurrent", "anti_repeat"),
        press_rules.two_hand_trip,
        hands=True,
        bouncing=(NEW_PRESS,),
    ),
    Word(
        "anti_tie_down",
        (Parameter("window", Kind.TIME),),
        ("",),
        press_rules.anti_tie_down,
        hands=True,
    ),
    Word(
        "hold_to_run",
        (Parameter("control", Kind.ACTUATION), _OUTPUT),
        ("",),
        machine_rules.hold_to_run,
    ),
    Word(
        "manual_reset",
        (Parameter("reset", Kind.ACTUATION), Parameter("ready"), _START, _OUTPUT),
        ("release", "starts_nothing"),
        machine_rules.manual_reset,
        hands_unless="start",
    ),
    Word(
        "no_restart",
        (_START, _OUTPUT),
        ("",),
        machine_rules.no_restart,
        hands_unless="start",
    ),
    Word(
        "never_together",
        (Parameter("first"), Parameter("second")),
        ("",),
        machine_rules.never_together,
        outputs=False,
    ),
    Word(
        "feedback_plausible",
        (Parameter("command"), Parameter("feedback"), *_NOTICED),
        ("", "off"),
        machine_rules.feedback_plausible,
        outputs=False,
    ),
    Word(
        "end_positions",
        (Parameter("first"), Parameter("second"), *_NOTICED),
        ("", "off"),
        machine_rules.end_positions,
        outputs=False,
    ),
    Word(
        "discrepancy",
        (Parameter("first"), Parameter("second"), *_NOTICED),
        ("", "off"),
        machine_rules.discrepancy,
        outputs=False,
    ),
    Word(
        "greatest_on_time",
        (Parameter("limit", Kind.TIME), _OUTPUT),
        ("",),
        machine_rules.greatest_on_time,
    ),
)
BY_NAME = {word.name: word for word in WORDS}


def demand_identifiers() -> frozenset[str]:
    """Every identifier that a demand without a label can give."""
    return frozenset(name for word in WORDS for name in word.identifiers)
