"""The number that the program of ``twohand probe`` ends with, and what several of them say.

Read from its end: two check digits, the rounds that were made, then two bits for each thing that
was looked at, the clock last, and before them the version of the program. The program writes it
with its own words (``probe.st``); tests hold the two together.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum
from pathlib import Path

TO_FILL_IN = "controller ?, firmware ?, task ?, compiler options ?, by ?, date ?"
VERSION = 1
ROUNDS = 3
ASKED_NUMBERS = 3
"""So many starts of the controller must give the same number."""
READINGS = (
    "edge_call_counts",
    "first_scan_has_time",
    "zero_preset_at_once",
    "preset_latched",
    "falling_edge_at_first_call",
    "counter_stops_at_preset",
    "loop_leaves_past_end",
)
"""What is looked at, in the order of the bits, the clock behind them."""
NOT_LOOKED_AT = {
    "disabled_call_takes_inputs": "many controllers have no EN in structured text, and would not "
    "take the program",
    "durations_are_signed": "many controllers stop where a result leaves its type",
    "temporaries_begin_anew": "what happens to be there before may be right by chance",
    "clock_is_signed": "it shows after 24.8 days only, and many controllers have no TIME()",
}
"""Readings that stay open, and why."""
ONLY_WHERE_EDGE_CALLS_COUNT = "first_scan_has_time"


class Seen(IntEnum):
    """The two bits."""

    NOT_CLEAR = 0
    TRUE = 1
    FALSE = 2
    NEITHER = 3
    """Now one and now the other, or something that is not modelled."""


@dataclass(frozen=True)
class Observation:
    """What one number says: of each of READINGS, and whether the clock stands within a scan."""

    readings: Mapping[str, Seen]
    clock_is_still: Seen


@dataclass(frozen=True)
class Conclusion:
    """What may be fixed in a spec: nothing, where anything is ``not_clear`` or ``not_modelled``,
    which say what. ``without_effect`` are readings that change nothing beside the fixed ones."""

    fixed: Mapping[str, bool]
    not_clear: tuple[str, ...] = ()
    not_modelled: tuple[str, ...] = ()
    without_effect: tuple[str, ...] = ()
    clock_moves: bool = False


def check_digits(number: int) -> int:
    """ISO/IEC 7064, MOD 97-10 (from memory): with these behind it, the number is 1 modulo 97."""
    return 98 - number * 100 % 97


def observation(number: int) -> Observation:
    """What a number says. ValueError with the reason where the program cannot have shown it."""
    body, check = divmod(number, 100)
    if number <= 0 or check_digits(body) != check:
        raise ValueError("its check digits do not fit: a digit is wrong, or some are missing")
    bits, rounds = divmod(body, 10)
    version, bits = divmod(bits, 4 ** (len(READINGS) + 1))
    if version != VERSION:
        raise ValueError(f"it is of version {version} of the program; this reads {VERSION}")
    if rounds != ROUNDS:
        raise ValueError(f"it is of {rounds} rounds, and the program makes {ROUNDS}")
    seen = [Seen(bits // 4**place % 4) for place in range(len(READINGS), -1, -1)]
    return Observation(dict(zip(READINGS, seen, strict=False)), seen[-1])


def conclusion(observations: Sequence[Observation]) -> Conclusion:
    """What the numbers of one controller say together."""
    readings = {name: {each.readings[name] for each in observations} for name in READINGS}
    clock = {each.clock_is_still for each in observations}
    not_modelled = [name for name, seen in readings.items() if Seen.NEITHER in seen]
    edges, first = readings["edge_call_counts"], readings[ONLY_WHERE_EDGE_CALLS_COUNT]
    if edges == {Seen.FALSE} and Seen.TRUE in first:
        not_modelled.append(ONLY_WHERE_EDGE_CALLS_COUNT)
    clock_moves = not clock.isdisjoint({Seen.FALSE, Seen.NEITHER})
    if clock_moves:
        not_modelled.append("the clock moves within a scan")
    not_clear = [
        name
        for name, seen in readings.items()
        if name not in not_modelled and (len(seen) > 1 or Seen.NOT_CLEAR in seen)
    ]
    if Seen.NOT_CLEAR in clock:
        not_clear.append("whether the clock moves within a scan")
    if len(observations) < ASKED_NUMBERS:
        not_clear.append(f"{len(observations)} of {ASKED_NUMBERS} starts are known")
    if not_modelled or not_clear:
        both = tuple(not_clear), tuple(dict.fromkeys(not_modelled))
        return Conclusion({}, *both, clock_moves=clock_moves)
    fixed = {name: seen == {Seen.TRUE} for name, seen in readings.items()}
    if fixed["edge_call_counts"]:
        return Conclusion(fixed)
    del fixed[ONLY_WHERE_EDGE_CALLS_COUNT]
    return Conclusion(fixed, without_effect=(ONLY_WHERE_EDGE_CALLS_COUNT,))


def probe_program() -> str:
    """The program's text."""
    return Path(__file__).with_name("probe.st").read_text(encoding="utf-8")


def reading_lines(fixed: Mapping[str, bool]) -> list[str]:
    """Statements for a spec, in which what was looked at is to be filled in."""
    return [
        f"READING {name} {str(choice).upper()} SHOWN BY '{TO_FILL_IN}';"
        for name, choice in fixed.items()
    ]
