"""Small blocks with contacts, feedback and supplies, and their specs under faults."""

from __future__ import annotations

from pathlib import Path

from twohand.analyses.faults.cases import FaultAnalysis, load_fault_analyses
from twohand.program.types import Value
from twohand.scan.concrete.execute import Machine
from twohand.specification.model.fault import Fault
from twohand.specification.model.specification import Specification

PAIR = """
FUNCTION_BLOCK Pair
VAR_INPUT leftNO, leftNC, rightNO, rightNC, guardShut : BOOL; END_VAR
VAR_OUTPUT go : BOOL; END_VAR
VAR armed : BOOL; END_VAR
IF NOT leftNO AND leftNC AND NOT rightNO AND rightNC THEN
    armed := TRUE;
END_IF;
go := (go OR armed) AND leftNO AND NOT leftNC AND rightNO AND NOT rightNC AND guardShut;
armed := armed AND NOT go;
END_FUNCTION_BLOCK
"""
"""Type II on antivalent contacts; without a memory of what disagreed."""

SINGLE = """
FUNCTION_BLOCK Single
VAR_INPUT leftNO, rightNO, guardShut : BOOL; END_VAR
VAR_OUTPUT go : BOOL; END_VAR
VAR armed : BOOL; END_VAR
IF NOT leftNO AND NOT rightNO THEN
    armed := TRUE;
END_IF;
go := (go OR armed) AND leftNO AND rightNO AND guardShut;
armed := armed AND NOT go;
END_FUNCTION_BLOCK
"""
"""The same logic on one contact for each hand."""

ROD = """
FUNCTION_BLOCK Rod
VAR_INPUT forward : BOOL; END_VAR
VAR_OUTPUT home : BOOL := TRUE; END_VAR
home := NOT forward;
END_FUNCTION_BLOCK
FUNCTION_BLOCK Fed
VAR_INPUT left, right, rodHome, door : BOOL; END_VAR
VAR_OUTPUT go, alarm : BOOL; END_VAR
VAR was : BOOL; END_VAR
alarm := alarm OR (was = rodHome);
go := left AND right AND NOT alarm;
was := go;
END_FUNCTION_BLOCK
"""
"""Feedback that must be the opposite of the output a scan before; else an alarm that stays."""

WATCHED = """
FUNCTION_BLOCK Watched
VAR_INPUT leftNO, leftNC, rightNO, rightNC : BOOL; END_VAR
VAR_OUTPUT go : BOOL; END_VAR
VAR armed : BOOL; END_VAR
VAR RETAIN bad : BOOL; END_VAR
bad := bad OR leftNO = leftNC OR rightNO = rightNC;
armed := (armed OR NOT leftNO AND NOT rightNO) AND NOT bad;
go := armed AND leftNO AND rightNO;
armed := armed AND NOT go;
END_FUNCTION_BLOCK
"""
"""Remembers for good, without its supply too, that the contacts of a hand disagreed."""

FILES = {"watched.st": WATCHED, "pair.st": PAIR, "single.st": SINGLE, "rod.st": ROD}

PAIR_SPEC = """
SPEC Pair
    SOURCE 'pair.st';
    SCAN T#10ms;
    HAND left = leftNO, NOT leftNC;
    HAND right = rightNO, NOT rightNC;
    OUTPUT go;
    REQUIRE TWO_HAND LOGIC TYPE II;
    {more}
END_SPEC
"""
WATCHED_SPEC = PAIR_SPEC.replace("Pair", "Watched").replace("pair.st", "watched.st")
SINGLE_SPEC = """
SPEC Single
    SOURCE 'single.st';
    SCAN T#10ms;
    HAND left = leftNO;
    HAND right = rightNO;
    OUTPUT go;
    REQUIRE TWO_HAND LOGIC TYPE II;
    {more}
END_SPEC
"""
FED_SPEC = """
SPEC Fed
    SOURCE 'rod.st';
    BLOCK Fed;
    SCAN T#10ms;
    HAND lefty = left;
    HAND righty = right;
    OUTPUT go;
    PLANT rod : Rod (forward := go);
    FEEDBACK rodHome := rod.home;
    REQUIRE TWO_HAND LOGIC TYPE I;
    {more}
END_SPEC
"""


def written_spec(folder: Path, text: str, more: str = "") -> Path:
    """A spec file beside all sources."""
    for name, source in FILES.items():
        (folder / name).write_text(source, encoding="utf-8")
    path = folder / "sample.spec"
    path.write_text(text.replace("{more}", more), encoding="utf-8")
    return path


def analysis(folder: Path, text: str, more: str = "") -> FaultAnalysis:
    return load_fault_analyses(written_spec(folder, text, more))[0]


def faults_named(analysed: FaultAnalysis, *identifiers: str) -> tuple[Fault, ...]:
    known = {fault.identifier: fault for fault in analysed.faults}
    return tuple(known[identifier] for identifier in identifiers)


def runs(
    specification: Specification, scans: list[dict[str, Value]], *watched: str
) -> list[tuple[Value, ...]]:
    """The watched variables, scan by scan; inputs that are not given are FALSE."""
    clocking = specification.clocking
    machine = Machine(specification.program, clocking, specification.readings.choices()[0])
    records = [machine.scan(inputs, clocking.longest) for inputs in scans]
    return [tuple(record.values[name] for name in watched) for record in records]
