"""What hands of one and of two stations come to, for every way in which they can be."""

from __future__ import annotations

from itertools import product

from twohand.scan.clocking import Clocking
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic.evaluate import holds
from twohand.specification.logic.formula import Formula
from twohand.specification.model.specification import Hand, Station
from twohand.specification.model.station_formulas import StationHands

from tests.support.requirement_traces import SPAN, UNIT, read

NAMES = ("left", "right", "third", "fourth", "upstroke", "ready")
"""Two hands of each station; ``upstroke`` selects the front one, ``ready`` the rear one."""


def station(name: str, condition: str, *hands: str) -> Station:
    members = tuple(Hand(hand, read(hand), SPAN) for hand in hands)
    return Station(name, members, SPAN, read(condition) if condition else None, condition)


FRONT = station("front", "upstroke", "left", "right")
REAR = station("rear", "ready", "third", "fourth")
ALWAYS = station("front", "", "left", "right")


def value(formula: Formula, *rows: tuple[bool, ...]) -> bool:
    """In the last of the rows."""
    records = [
        ScanRecord(scan, 1, dict(zip(NAMES, row, strict=True))) for scan, row in enumerate(rows)
    ]
    return holds(formula, records, Clocking(UNIT, 1, 1))[-1]


def test_hands_count_while_their_station_is_in_use() -> None:
    both, one = StationHands((FRONT, REAR)), StationHands((ALWAYS, REAR))
    for row in product((False, True), repeat=len(NAMES)):
        left, right, third, fourth, front, rear = row
        used = [*((left, right) if front else ()), *((third, fourth) if rear else ())]
        assert value(both.any_on, row) is any(used)
        assert value(both.all_on, row) is (bool(used) and all(used))
        assert value(both.none_on, row) is (bool(used) and not any(used))
        used = [left, right, *((third, fourth) if rear else ())]
        assert value(one.any_on, row) is any(used)
        assert value(one.all_on, row) is all(used)
        assert value(one.none_on, row) is not any(used)


def test_a_hand_is_released_only_while_its_station_is_in_use() -> None:
    hands = StationHands((FRONT, REAR))
    held = (True, True, True, True, True, True)
    for row in product((False, True), repeat=len(NAMES)):
        left, right, third, fourth, front, rear = row
        gone = (front and not (left and right)) or (rear and not (third and fourth))
        kept = all(value(formula, held, row) for formula in hands.none_released)
        assert kept is not gone
