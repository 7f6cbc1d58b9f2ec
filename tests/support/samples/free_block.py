"""A block whose outputs are free, so that a spec of it says nothing but its requirements; and
traces of it written by hand, one character a scan."""

from __future__ import annotations

from pathlib import Path

from twohand.scan.clocking import Clocking
from twohand.scan.scan_record import ScanRecord
from twohand.specification.load import load_specification
from twohand.specification.logic.evaluate import refuted_at
from twohand.specification.model.specification import Requirement, Specification

INPUTS = (
    *("left", "right", "third", "fourth", "useFront", "useRear"),
    *("control", "reset", "ready", "start", "complete", "dangerous"),
    *("guardOpen", "stopPressed"),
    *("first", "second", "command", "feedback", "notice", "freeStroke"),
)
SIGNALS = (*INPUTS, "stroke", "power.on")
FREE = f"""
FUNCTION_BLOCK Free
VAR_INPUT {", ".join(INPUTS)} : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
stroke := freeStroke;
END_FUNCTION_BLOCK
"""
ONE_STATION = "HAND l = left; HAND r = right; OUTPUT stroke;"
TWO_STATIONS = (
    "HAND l = left; HAND r = right; HAND t = third; HAND f = fourth; OUTPUT stroke;"
    "STATION front = l, r{}; STATION rear = t, f{};"
)
CHOSEN = TWO_STATIONS.format(" WHEN useFront", " WHEN useRear")


def free_specification(
    folder: Path, statements: str, roles: str = ONE_STATION, scan: str = "T#10ms"
) -> Specification:
    """The spec of ``roles`` and ``statements`` on the free block."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "free.st").write_text(FREE, encoding="utf-8")
    path = folder / "free.spec"
    text = f"SPEC Free SOURCE 'free.st'; SCAN {scan}; {roles}\n{statements}\nEND_SPEC\n"
    path.write_text(text, encoding="utf-8")
    return load_specification(path)


def asked(
    folder: Path, statements: str, roles: str = ONE_STATION, scan: str = "T#10ms"
) -> dict[str, Requirement]:
    """The requirements by identifier."""
    found = free_specification(folder, statements, roles, scan).requirements
    return {requirement.identifier: requirement for requirement in found}


def refuted(requirement: Requirement, period: int = 10, **signals: str) -> int | None:
    """The scan in which the trace refutes the requirement; signals not given stay FALSE."""
    length = len(next(iter(signals.values())))
    assert {len(signal) for signal in signals.values()} == {length}
    assert set(signals) <= set(SIGNALS)
    records = [
        ScanRecord(
            scan * period,
            period,
            {name: signals.get(name, "0" * length)[scan] == "1" for name in SIGNALS},
        )
        for scan in range(length)
    ]
    return refuted_at(requirement.property, records, Clocking(1_000_000, period, period))
