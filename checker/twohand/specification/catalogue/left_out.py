"""What a requirement of the catalogue leaves out, in one clause, and what is our own reading."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from twohand.specification.catalogue.availability import AVAILABLE
from twohand.specification.catalogue.words import RequirementWord
from twohand.specification.model.control import LogicType, TwoHand
from twohand.specification.model.specification import Requirement

_NO_END = "no end of a stroke is asked while the hands stay on"
_OF_TYPE = {
    LogicType.ONE: "of type I nothing is asked of power-up, nor a release of all hands before the "
    "next start",
    LogicType.TWO: "of type II no time is asked within which the hands come on",
}
_ALL_OFF = "that all are off in one scan is our reading of the clause"
_AFTER = "what it takes to start after that is not asked"
_LAST_MOTION = "that the signal comes with the end of the last hazardous motion is not asked"
_STUCK_END = "a stuck end switch is not asked (unchanged := T#...)"
_AT_REST = "when the machine is at rest is not asked"
_ALL_THE_WHILE = "that nothing is lost between press and release is our reading of the clause"
_CHANGES = "as the condition changes, what is on counts as starting or ending (our own reading)"
_NOT_OFF = "that anything goes off is not asked (output := ...)"


def of_two_hand(requirements: Sequence[Requirement], control: TwoHand) -> list[Requirement]:
    """The requirements of REQUIRE TWO_HAND and AVAILABLE, each with what it leaves out."""
    names = {
        "both_hands": [_NO_END, *([_OF_TYPE[control.type]] if control.type in _OF_TYPE else [])],
        "release_both": [_ALL_OFF],
        "power_up": [
            _AFTER,
            *([] if control.power else ["only the first power-up is asked (no POWER CYCLES)"]),
        ],
        "available": ["of presses that are farther apart or not from rest nothing is asked"],
    }
    stations = [station.name for station in control.stations]
    for name in ("window_missed", *(f"window_missed_{station}" for station in stations)):
        names[name] = [_ALL_OFF]
    if control.condition is not None:
        for each in requirements:
            if not each.identifier.startswith(AVAILABLE):
                names.setdefault(each.identifier, []).append(_CHANGES)
    return [
        replace(
            each,
            leaves_out="; ".join(names.get(each.identifier, ())),
            word="AVAILABLE" if each.identifier.startswith(AVAILABLE) else "TWO_HAND",
        )
        for each in requirements
    ]


def of_demand(
    requirements: Sequence[Requirement],
    name: str,
    word: RequirementWord,
    given: Collection[str],
    limited: bool = False,
) -> list[Requirement]:
    """The requirements of REQUIRE with a ``word``, which go by ``name``; ``given`` are its
    parameters; ``limited`` by a WHEN."""
    texts: dict[str, str] = {}
    match word.name:
        case "single_stroke" | "two_hand_trip":
            texts["anti_repeat"] = _ALL_OFF
            stuck = () if "unchanged" in given else (_STUCK_END,)
            texts["ends"] = "; ".join((_LAST_MOTION, *stuck))
        case "feedback_plausible" | "end_positions" | "discrepancy" if "output" not in given:
            texts[""] = _NOT_OFF
        case "no_restart":
            texts[""] = _AFTER
        case "stop":
            texts["off"] = _AT_REST
            texts["end_starts_nothing"] = _AFTER if "start" in given else f"{_ALL_OFF}; {_AFTER}"
        case "manual_reset":
            texts["release"] = _ALL_THE_WHILE
            texts["starts_nothing"] = _AFTER if "start" in given else f"{_ALL_OFF}; {_AFTER}"
        case "anti_tie_down":
            texts[""] = "of hands that are on in the first scan nothing is asked"
    changes = [_CHANGES] if limited else []
    parts = [each.identifier[len(name) + 1 :] for each in requirements]
    left = ("; ".join([*filter(None, [texts.get(part, "")]), *changes]) for part in parts)
    return [
        replace(each, leaves_out=out, word=word.name)
        for each, out in zip(requirements, left, strict=True)
    ]
