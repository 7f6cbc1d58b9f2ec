"""The words of REQUIRE besides TWO_HAND, with their parameters and what they ask."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from twohand.specification.catalogue import machine_rules, press_rules
from twohand.specification.catalogue.clause import Clause
from twohand.specification.catalogue.tolerance import NEW_PRESS
from twohand.specification.model.specification import Requirement


class ParameterKind(Enum):
    CONDITION = "condition"
    """A formula."""
    ACTUATION = "actuation"
    """A formula over what people do, or what is so: under a fault it speaks of the healthy
    contact."""
    TIME = "time"
    """A duration literal above 0."""
    SPAN = "span of time"
    """A duration literal, 0 included."""
    COUNT = "number of scans"
    """A whole number written out, 0 included."""


TIMES = (ParameterKind.TIME, ParameterKind.SPAN)
_SHOWN = {ParameterKind.TIME: "T#...", ParameterKind.SPAN: "T#...", ParameterKind.COUNT: "1"}


@dataclass(frozen=True)
class Parameter:
    """``why`` says what would come of it, were a required one not given."""

    name: str
    kind: ParameterKind = ParameterKind.CONDITION
    required: bool = True
    why: str = ""


@dataclass(frozen=True)
class RequirementWord:
    """``parts`` are the identifiers that it gives, after its own name ('' for that alone),
    ``bouncing`` those that come in addition where contacts bounce.

    ``hands``: it speaks of the hands of the spec; ``hands_unless``: only where this parameter is
    not given. ``outputs``: it speaks of the spec's outputs unless ``output`` is given. ``hazard``:
    HAZARD limits what it asks.
    """

    name: str
    parameters: tuple[Parameter, ...]
    parts: tuple[str, ...]
    build: Callable[[Clause], list[Requirement]]
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
            text = f"{each.name} := {_SHOWN.get(each.kind, '...')}"
            shown.append(text if each.required else f"[{text}]")
        return f"{self.name} ({', '.join(shown)})" if shown else self.name


_OUTPUT = Parameter("output", required=False)
_START = Parameter("start", ParameterKind.ACTUATION, required=False)
_STROKE_END = (
    Parameter(
        "complete",
        ParameterKind.ACTUATION,
        why="the signal that comes on at the end of a stroke; without it logic that never ends a "
        "stroke while the hands stay on would be PROVED",
    ),
    Parameter("scans", ParameterKind.COUNT, required=False),
    Parameter("unchanged", ParameterKind.TIME, required=False),
)
_NOTICED = (Parameter("within", ParameterKind.SPAN), Parameter("notice"), _OUTPUT)

WORDS = (
    RequirementWord(
        "single_stroke",
        _STROKE_END,
        ("concurrent", "held", "anti_repeat", "resumption", "ends", "stuck_end"),
        press_rules.single_stroke,
        hands=True,
        hazard=True,
        bouncing=(NEW_PRESS,),
    ),
    RequirementWord(
        "two_hand_trip",
        _STROKE_END,
        ("concurrent", "anti_repeat", "ends", "stuck_end"),
        press_rules.two_hand_trip,
        hands=True,
        bouncing=(NEW_PRESS,),
    ),
    RequirementWord(
        "anti_tie_down",
        (Parameter("window", ParameterKind.TIME),),
        ("",),
        press_rules.anti_tie_down,
        hands=True,
    ),
    RequirementWord(
        "hold_to_run",
        (Parameter("control", ParameterKind.ACTUATION), _OUTPUT),
        ("",),
        machine_rules.hold_to_run,
    ),
    RequirementWord(
        "stop",
        (Parameter("condition", ParameterKind.ACTUATION), _START, _OUTPUT),
        ("off", "end_starts_nothing"),
        machine_rules.stop,
        hands_unless="start",
    ),
    RequirementWord(
        "manual_reset",
        (
            Parameter("reset", ParameterKind.ACTUATION),
            Parameter("ready"),
            Parameter("safeguards", ParameterKind.ACTUATION),
            _START,
            _OUTPUT,
        ),
        ("release", "safeguard_lost", "power_up", "stop_held", "starts_nothing"),
        machine_rules.manual_reset,
        hands_unless="start",
    ),
    RequirementWord(
        "no_restart",
        (_START, _OUTPUT),
        ("",),
        machine_rules.no_restart,
        hands_unless="start",
    ),
    RequirementWord(
        "never_together",
        (Parameter("first"), Parameter("second")),
        ("",),
        machine_rules.never_together,
        outputs=False,
    ),
    RequirementWord(
        "feedback_plausible",
        (Parameter("command"), Parameter("feedback"), *_NOTICED),
        ("", "off"),
        machine_rules.feedback_plausible,
        outputs=False,
    ),
    RequirementWord(
        "end_positions",
        (Parameter("first"), Parameter("second"), *_NOTICED),
        ("", "off"),
        machine_rules.end_positions,
        outputs=False,
    ),
    RequirementWord(
        "discrepancy",
        (Parameter("first"), Parameter("second"), *_NOTICED),
        ("", "off"),
        machine_rules.discrepancy,
        outputs=False,
    ),
    RequirementWord(
        "greatest_on_time",
        (Parameter("limit", ParameterKind.TIME), _OUTPUT),
        ("",),
        machine_rules.greatest_on_time,
    ),
)
BY_NAME = {word.name: word for word in WORDS}


def demand_identifiers() -> frozenset[str]:
    """Every identifier that a REQUIRE without a label can give."""
    return frozenset(name for word in WORDS for name in word.identifiers)
