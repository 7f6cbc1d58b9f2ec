"""What is really asked is shown as a formula that asks the same."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic.evaluate import refuted_at
from twohand.specification.logic.property_text import property_text

from tests.support.samples.free_block import INPUTS, ONE_STATION, asked, free_specification

STOP = "REQUIRE stop (condition := guardOpen{});"
RESET = "REQUIRE manual_reset (reset := reset, ready := ready, safeguards := NOT guardOpen{});"
HAZARD = "HAZARD dangerous; REQUIRE TWO_HAND LOGIC TYPE"
SPECS = (
    f"{HAZARD} III, WINDOW T#50ms, RELEASE WITHIN 2 SCANS; AVAILABLE WITHIN 1 SCANS WHEN ready;",
    "REQUIRE TWO_HAND LOGIC TYPE II; POWER CYCLES; REQUIRE no_restart;",
    "REQUIRE single_stroke (complete := complete); REQUIRE anti_tie_down (window := T#40ms);",
    "REQUIRE two_hand_trip (complete := complete, scans := 2, unchanged := T#30ms);",
    f"POWER CYCLES; {STOP.format('')} {RESET.format(', start := start')}",
    """REQUIRE discrepancy (first := first, second := second, within := T#30ms, notice := notice,
    output := stroke); REQUIRE greatest_on_time (limit := T#50ms);""",
)
NAMES = (*INPUTS, "stroke", "power.on")


@pytest.mark.parametrize("statements", SPECS)
def test_the_formula_that_is_shown_asks_the_same(statements: str, tmp_path: Path) -> None:
    """It is read again, beside the statements from which it comes."""
    first = free_specification(tmp_path, statements)
    texts = {r.identifier: property_text(r.property, first.clocking) for r in first.requirements}
    again = "".join(f"PROPERTY shown_{name} : {text};" for name, text in texts.items())
    found = asked(tmp_path, f"{statements} {again}")
    chance, refuted = Random(1), 0
    for name in texts:
        for _ in range(60):
            values = dict.fromkeys(NAMES, False)
            records = []
            for scan in range(16):
                values |= {key: chance.random() < 0.5 for key in NAMES if chance.random() < 0.4}
                records.append(ScanRecord(10 * scan, 10, dict(values)))
            one, other = (
                refuted_at(found[key].property, records, first.clocking)
                for key in (name, f"shown_{name}")
            )
            assert one == other, texts[name]
            refuted += one is not None
    assert refuted


@pytest.mark.parametrize(
    "text",
    [
        "stroke -> once(left, T#500ms) AND NOT held(right, 3 SCANS)",
        "stroke -> NOT left WITHIN T#2s",
        "stroke -> left UNTIL since(right, ready, T#20ms..)",
        "fell(stroke) -> left BEFORE right",
        "NOT (prev(left) AND FIRST_SCAN) OR (stroke = rose(right))",
    ],
)
def test_a_property_is_shown_whole(text: str, tmp_path: Path) -> None:
    spec = free_specification(tmp_path, f"PROPERTY p : {text};")
    (requirement,) = spec.requirements
    shown = property_text(requirement.property, spec.clocking)
    again = free_specification(tmp_path, f"PROPERTY p : {shown};")
    assert property_text(again.requirements[0].property, spec.clocking) == shown
    for word in text.replace("T#2s", "T#2000ms").replace("(", " ").replace(")", " ").split():
        assert word.strip(",") in shown


@pytest.mark.parametrize(
    ("statements", "name", "said"),
    [
        ("REQUIRE TWO_HAND LOGIC TYPE I;", "both_hands", "of type I nothing is asked of power-up"),
        ("REQUIRE TWO_HAND LOGIC TYPE I;", "both_hands", "no end of a stroke is asked"),
        ("REQUIRE TWO_HAND LOGIC TYPE II;", "both_hands", "of type II no time is asked"),
        ("REQUIRE TWO_HAND LOGIC TYPE II;", "release_both", "our reading of the clause"),
        ("REQUIRE TWO_HAND LOGIC TYPE II;", "power_up", "only the first power-up"),
        *(
            (f"REQUIRE {word} (complete := complete{more});", f"{word}_{part}", said)
            for word in ("single_stroke", "two_hand_trip")
            for more, part, said in (
                ("", "ends", "a stuck end switch is not asked"),
                (", unchanged := T#30ms", "ends", "the end of the last hazardous motion"),
                ("", "anti_repeat", "off in one scan is our reading"),
            )
        ),
        ("REQUIRE no_restart;", "no_restart", "what it takes to start after that"),
        (STOP.format(""), "stop_off", "when the machine is at rest"),
        (STOP.format(""), "stop_end_starts_nothing", "off in one scan is our reading"),
        (STOP.format(", start := start"), "stop_end_starts_nothing", "what it takes to start"),
        (RESET.format(""), "manual_reset_release", "lost between press and release"),
        (RESET.format(""), "manual_reset_starts_nothing", "off in one scan is our reading"),
        (
            "REQUIRE watch : discrepancy (first := first, second := second, within := T#30ms,"
            " notice := notice);",
            "watch",
            "that anything goes off is not asked",
        ),
    ],
)
def test_what_a_requirement_leaves_out_is_beside_it(
    statements: str, name: str, said: str, tmp_path: Path
) -> None:
    assert said in asked(tmp_path, statements)[name].leaves_out


@pytest.mark.parametrize(
    ("statements", "name", "unsaid"),
    [
        (STOP.format(", start := start"), "stop_end_starts_nothing", "off in one scan"),
        (RESET.format(", start := start"), "manual_reset_starts_nothing", "off in one scan"),
        ("REQUIRE TWO_HAND LOGIC TYPE III, TRUE_LAG T#500ms;", "both_hands", "of type"),
        ("POWER CYCLES; REQUIRE TWO_HAND LOGIC TYPE II;", "power_up", "only the first power-up"),
        *(
            (f"REQUIRE {word} (complete := complete{more});", f"{word}_{part}", "stuck end switch")
            for word in ("single_stroke", "two_hand_trip")
            for more, part in (
                (", unchanged := T#30ms", "ends"),
                (", unchanged := T#30ms", "stuck_end"),
                ("", "concurrent"),
            )
        ),
    ],
)
def test_what_is_asked_is_not_said_to_be_left_out(
    statements: str, name: str, unsaid: str, tmp_path: Path
) -> None:
    assert unsaid not in asked(tmp_path, statements, ONE_STATION)[name].leaves_out
