"""The two-hand requirements of one or two stations, and traces written by hand."""

from __future__ import annotations

from twohand.program import Read, Role, Variable
from twohand.program.types import BOOL
from twohand.scan.clocking import Clocking
from twohand.scan.scan_record import ScanRecord
from twohand.specification.catalogue.two_hand import (
    two_hand_requirements,
)
from twohand.specification.logic.evaluate import refuted_at
from twohand.specification.logic.formula import Formula
from twohand.specification.model.control import Availability, LogicType, TwoHand
from twohand.specification.model.specification import Hand, Requirement, Station
from twohand.text.source_text import SourceText, Span

SPAN = Span(SourceText("sample.spec", "sample"), 0, 6)
UNIT = 1_000_000
VARIABLES = {
    name: Variable(name, BOOL, Role.INPUT, False, SPAN)
    for name in ("left", "right", "third", "fourth", "on", "second", "upstroke", "ready")
}


def read(name: str) -> Read:
    return Read(VARIABLES[name], SPAN)


def station(name: str, *hands: str) -> Station:
    return Station(name, tuple(Hand(hand, read(hand), SPAN) for hand in hands), SPAN)


ONE_STATION = (station("station", "left", "right"),)
TWO_STATIONS = (station("front", "left", "right"), station("rear", "third", "fourth"))


def asked(
    logic_type: LogicType = LogicType.THREE,
    stations: tuple[Station, ...] = ONE_STATION,
    outputs: tuple[str, ...] = ("on",),
    window: int = 500,
    hazard: Formula | None = None,
    release_scans: int = 0,
    available: Availability | None = None,
) -> dict[str, Requirement]:
    """The requirements by identifier; times in milliseconds."""
    control = TwoHand(
        logic_type,
        stations,
        tuple(VARIABLES[name] for name in outputs),
        SPAN,
        UNIT,
        longest=20,
        window=window if logic_type is LogicType.THREE else None,
        hazard=hazard,
        hazard_text="NOT upstroke" if hazard else "",
        release_scans=release_scans,
    )
    found = two_hand_requirements(control, available)
    return {requirement.identifier: requirement for requirement in found}


def refuted(requirement: Requirement, period: int = 100, **signals: str) -> int | None:
    """The scan in which the trace refutes the requirement; signals not given stay FALSE."""
    length = len(next(iter(signals.values())))
    assert {len(signal) for signal in signals.values()} == {length}
    records = [
        ScanRecord(
            scan * period,
            period,
            {name: signals.get(name, "0" * length)[scan] == "1" for name in VARIABLES},
        )
        for scan in range(length)
    ]
    return refuted_at(requirement.property, records, Clocking(UNIT, period, period))
