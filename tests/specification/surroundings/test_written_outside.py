"""OUTSIDE and at_scan_start: what others write between scans, what a scan begins with, and what
the hint takes for a bit of a handshake. FOR: what lasts. All of it by executed runs."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from random import Random

import pytest
from twohand.program.durations import Scans, Units
from twohand.program.types import Value
from twohand.scan.concrete.execute import Machine
from twohand.scan.concrete.execute import run as execute
from twohand.scan.scan_record import ScanRecord
from twohand.specification.load import load_specification
from twohand.specification.logic.evaluate import holds, refuted_at
from twohand.specification.logic.formula import Always
from twohand.specification.model.specification import Specification

TANK = """
FUNCTION_BLOCK Tank
VAR_INPUT a, b : BOOL; END_VAR
VAR_OUTPUT open : BOOL; END_VAR
VAR asked, lit : BOOL; n : INT := 3; END_VAR
VAR RETAIN kept : BOOL; END_VAR
VAR list : ARRAY[1..2] OF BOOL; w : BYTE; END_VAR
IF asked AND a THEN open := TRUE; kept := TRUE; END_IF;
IF b THEN open := FALSE; END_IF;
asked := FALSE;
n := n + 1;
list[2] := list[1];
w.3 := a;
END_FUNCTION_BLOCK
"""
ROD = """
FUNCTION_BLOCK Rod
VAR_INPUT coil : BOOL; END_VAR
VAR_OUTPUT away : BOOL; END_VAR
away := coil;
END_FUNCTION_BLOCK
"""


def spec_of(folder: Path, statements: str) -> Specification:
    (folder / "tank.st").write_text(TANK, encoding="utf-8")
    (folder / "rod.st").write_text(ROD, encoding="utf-8")
    path = folder / "tank.spec"
    text = f"SPEC Tank SOURCE 'tank.st'; SCAN T#10ms; {statements} REACHABLE FIRST_SCAN; END_SPEC"
    path.write_text(text, encoding="utf-8")
    return load_specification(path)


def run(spec: Specification, *rows: str) -> list[ScanRecord]:
    """Runs with what is named in each row TRUE; ``*`` is what others write to ``asked``."""
    machine = Machine(spec.program, spec.clocking, spec.readings.choices()[0])
    known = {"*": "at_scan_start(asked)"}
    given: list[dict[str, Value]] = [
        dict.fromkeys((known.get(name, name) for name in row.split()), True) for row in rows
    ]
    return [machine.scan(inputs, spec.clocking.longest) for inputs in given]


def values(records: Sequence[ScanRecord], name: str) -> list[Value]:
    return [record.values[name] for record in records]


def truths(spec: Specification, records: Sequence[ScanRecord], name: str = "p") -> list[bool]:
    """Where the formula of the PROPERTY of this name holds."""
    (found,) = (each for each in spec.requirements if each.identifier == name)
    assert isinstance(found.property, Always)
    return holds(found.property.formula, records, spec.clocking)


# --- what others write ------------------------------------------------------------------------


def test_others_write_at_the_beginning_of_every_scan_the_first_one_included(tmp_path: Path) -> None:
    records = run(spec_of(tmp_path, "OUTSIDE asked;"), "* a", "b", "a", "* a")
    assert values(records, "open") == [True, False, False, True]
    assert values(records, "asked") == [False] * 4
    assert values(records, "at_scan_start(asked)") == [True, False, False, True]


def test_a_variable_that_the_block_leaves_alone_keeps_what_was_written(tmp_path: Path) -> None:
    spec = spec_of(tmp_path, "OUTSIDE lit;")
    records = run(spec, "at_scan_start(lit)", "", "at_scan_start(lit)")
    assert values(records, "lit") == [True, False, True]


def test_numbers_and_elements_have_any_value_of_their_type(tmp_path: Path) -> None:
    spec = spec_of(tmp_path, "OUTSIDE n, list[1];")
    machine = Machine(spec.program, spec.clocking, spec.readings.choices()[0])
    record = machine.scan({"at_scan_start(n)": -7, "at_scan_start(list[1])": True}, 10)
    assert (record.values["n"], record.values["list[2]"]) == (-6, True)
    with pytest.raises(ValueError, match="cannot be 40000"):
        machine.scan({"at_scan_start(n)": 40_000}, 10)


def test_what_is_written_is_no_older_than_the_run_and_no_contact(tmp_path: Path) -> None:
    spec = spec_of(tmp_path, "OUTSIDE asked;")
    written = spec.program.variable("at_scan_start(asked)")
    assert written in spec.program.sampled
    assert written not in spec.program.older


def test_a_plant_reads_what_the_block_left(tmp_path: Path) -> None:
    plant = "PLANT rod : Rod IN 'rod.st' (coil := asked OR lit);"
    spec = spec_of(tmp_path, f"OUTSIDE asked, lit; {plant}")
    records = run(spec, "* at_scan_start(lit)", "*", "")
    assert values(records, "rod.away") == [False, True, False]


def test_without_supply_nobody_writes_and_with_it_the_value_is_theirs(tmp_path: Path) -> None:
    spec = spec_of(tmp_path, "POWER CYCLES; OUTSIDE lit, kept;")
    both = "at_scan_start(lit) at_scan_start(kept)"
    records = run(spec, both, f"power.on {both}", both, "power.on")
    assert values(records, "lit") == [False, True, False, False]
    assert values(records, "kept") == [False, True, True, False]


def test_with_physical_hands_others_write_all_the_same(tmp_path: Path) -> None:
    hands = "HAND left = a; HAND right = b; BOUNCE T#15ms; OUTPUT open;"
    spec = spec_of(tmp_path, f"OUTSIDE asked; {hands} REQUIRE TWO_HAND LOGIC TYPE I;")
    records = run(spec, "* hand.left", "", "hand.left")
    assert values(records, "open") == [True, True, True]
    assert values(records, "at_scan_start(asked)") == [True, False, False]


def test_what_others_write_within_a_scan_is_left_out_by_name(tmp_path: Path) -> None:
    notes = [note.what for note in spec_of(tmp_path, "OUTSIDE asked;").program.left_out]
    assert any("'asked' from outside while a scan runs" in note for note in notes)


def test_what_is_assumed_of_them_is_assumed_of_the_beginning(tmp_path: Path) -> None:
    spec = spec_of(tmp_path, "OUTSIDE asked; ASSUME at_scan_start(asked) -> a;")
    records = run(spec, "*", "* a", "a", "")
    (assumed,) = spec.assumptions
    assert holds(assumed.formula, records, spec.clocking) == [False, True, True, True]


# --- what a scan begins with ------------------------------------------------------------------


def test_a_scan_begins_with_what_the_one_before_left_at_first_the_initial_value(
    tmp_path: Path,
) -> None:
    spec = spec_of(tmp_path, "PROPERTY p : at_scan_start(n) = 4 AND n = 5;")
    records = run(spec, "", "", "")
    assert values(records, "at_scan_start(n)") == [3, 4, 5]
    assert truths(spec, records) == [False, True, False]


def test_of_inputs_and_hands_it_is_what_was_sampled(tmp_path: Path) -> None:
    hands = "HAND left = a; HAND right = b; OUTPUT open;"
    spec = spec_of(tmp_path, f"{hands} PROPERTY p : at_scan_start(left AND NOT b);")
    records = run(spec, "a", "", "a b", "a")
    assert truths(spec, records) == [True, False, False, True]


def test_an_expression_has_all_its_values_from_the_beginning(tmp_path: Path) -> None:
    asked = "PROPERTY p : at_scan_start(open OR w.3 OR list[2]);"
    spec = spec_of(tmp_path, f"OUTSIDE asked, list[1]; {asked}")
    records = run(spec, "* a", "b", "b at_scan_start(list[1])", "b", "b")
    assert truths(spec, records) == [False, True, False, True, False]


def test_temporal_words_take_it(tmp_path: Path) -> None:
    asked = "PROPERTY p : rose(at_scan_start(open)) AND NOT prev(at_scan_start(open));"
    spec = spec_of(tmp_path, f"OUTSIDE asked; {asked}")
    assert truths(spec, run(spec, "* a", "", "", "b", "")) == [False, True, False, False, False]


def test_after_a_restart_a_scan_begins_with_what_is_retained(tmp_path: Path) -> None:
    asked = "PROPERTY p : at_scan_start(kept); PROPERTY q : at_scan_start(open);"
    spec = spec_of(tmp_path, f"POWER CYCLES; OUTSIDE asked; OUTPUT open; {asked}")
    records = run(spec, "power.on * a", "power.on", "", "power.on")
    assert truths(spec, records) == [False, True, True, True]
    assert truths(spec, records, "q") == [False, True, True, False]


# --- what lasts -------------------------------------------------------------------------------


@pytest.mark.long
@pytest.mark.parametrize(("bound", "scans"), [("T#25ms", 2), ("T#30ms", 3), ("2 SCANS", 2)])
def test_what_lasts_holds_in_every_scan_of_its_time(bound: str, scans: int, tmp_path: Path) -> None:
    spec = spec_of(tmp_path, f"PROPERTY p : a -> b FOR {bound};")
    (asked,) = (each for each in spec.requirements if each.identifier == "p")
    random = Random(bound)
    found: set[int | None] = set()
    for _ in range(200):
        rows = [
            "".join(n for n in "ab" if random.random() < (0.2, 0.9)[n == "b"]) for _ in range(9)
        ]
        records = run(spec, *(" ".join(row) for row in rows))
        missed = [
            later
            for first, row in enumerate(rows)
            for later in range(first, min(first + scans + 1, len(rows)))
            if "a" in row and "b" not in rows[later]
        ]
        expected = min(missed, default=None)
        assert refuted_at(asked.property, records, spec.clocking) == expected
        found.add(expected)
    assert len(found) > 4


def test_what_began_before_power_up_need_not_last(tmp_path: Path) -> None:
    spec = spec_of(tmp_path, "PROPERTY p : a -> b FOR T#30ms;")
    (asked,) = (each for each in spec.requirements if each.identifier == "p")
    rows: list[tuple[dict[str, Value], Units]] = [({"a": True}, Units(10)), ({}, Units(10))]
    readings = spec.readings.choices()[0]
    for past, expected in ((0, 0), (1, None)):
        records = execute(spec.program, spec.clocking, readings, 100, rows, Scans(past))
        assert refuted_at(asked.property, records, spec.clocking) == expected


# --- the hint ---------------------------------------------------------------------------------


def hinted(folder: Path, body: str, statements: str = "") -> list[str]:
    (folder / "hint.st").write_text(
        "FUNCTION_BLOCK Hint VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR "
        "VAR r : BOOL; s : BOOL := TRUE; n : INT; t : TON; END_VAR "
        f"{body} END_FUNCTION_BLOCK",
        encoding="utf-8",
    )
    path = folder / "hint.spec"
    text = f"SPEC S SOURCE 'hint.st'; SCAN T#10ms; {statements} REACHABLE FIRST_SCAN; END_SPEC"
    path.write_text(text, encoding="utf-8")
    warnings = load_specification(path).warnings
    return [each.message.split("'")[1] for each in warnings if each.code == "never-set"]


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ("q := r; r := FALSE;", ["r"]),
        ("IF r AND a THEN q := TRUE; r := FALSE; END_IF;", ["r"]),
        ("q := s; s := TRUE;", ["s"]),
        ("q := n = 2; n := 0;", ["n"]),
        ("q := r; r := FALSE; n := 0;", ["r"]),
        ("q := r;", []),
        ("q := s; s := FALSE;", []),
        ("q := r; r := a;", []),
        ("q := r; r := FALSE; IF a THEN r := TRUE; END_IF;", []),
        ("q := a; r := FALSE;", []),
        ("t(IN := a, PT := T#1s, Q => r); q := r; r := FALSE;", []),
        ("q := t.IN; t.IN := FALSE;", []),
        ("q := n = 2; FOR n := 0 TO 1 DO q := TRUE; END_FOR; n := 0;", []),
    ],
)
def test_a_variable_that_is_read_and_only_ever_reset_is_named(
    body: str, expected: list[str], tmp_path: Path
) -> None:
    assert hinted(tmp_path, body) == expected
    if expected:
        assert hinted(tmp_path, body, f"OUTSIDE {expected[0]};") == []
