"""A whole press (guard, stop, reset, end of stroke, antivalent contacts): each faulty variant falls
by the entry that names its fault, and by no other one."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from twohand.analyses.check.check import check
from twohand.engine.workers.pool import Pool
from twohand.evidence.verdict import Outcome
from twohand.specification.load import load_specification

from tests.support.places import GALLERY
from tests.support.small_checks import OPTIONS

SOURCE, SPEC = "frame_press.st", "frame_press.spec"
WINDOW = ("start_window", "window_missed")
SAFE = "safe := guardShut AND stopClosed;"
ENDS = "IF topReached.Q OR longStroke.Q"
AFTER_THE_STOP = (
    "guard_end_starts_nothing",
    "button_end_starts_nothing",
    "manual_reset_starts_nothing",
)
FAULTS = {
    "one hand holds the stroke": (
        "ELSE\n    stroke := FALSE;\n    armed := armed",
        "ELSE\n    armed := armed",
        ("both_hands", "single_stroke_held"),
    ),
    "the window is too long": ("PT := T#480ms", "PT := T#700ms", WINDOW),
    "the window runs from one hand": ("(IN := NOT handsOff,", "(IN := NOT leftOff,", WINDOW),
    "the guard is forgotten": (
        SAFE,
        "safe := stopClosed;",
        (
            "guard_off",
            "guard_end_starts_nothing",
            "manual_reset_release",
            "manual_reset_safeguard_lost",
        ),
    ),
    "the stop button is muted in the stroke": (
        SAFE,
        "safe := guardShut AND (stopClosed OR stroke);",
        ("button_off", "button_end_starts_nothing", "manual_reset_safeguard_lost"),
    ),
    "hands that are pressed during the stop count": (
        "    stroke := FALSE;\n    armed := FALSE;\nELSIF",
        "    stroke := FALSE;\nELSIF",
        AFTER_THE_STOP,
    ),
    "the reset acts as it is pressed": (
        "        resetAccepted := TRUE;",
        "        ready := TRUE;",
        ("manual_reset_release",),
    ),
    "a reset that is held as the supply comes counts": (
        "resetWasOn    : BOOL := TRUE;",
        "resetWasOn    : BOOL;",
        ("manual_reset_release",),
    ),
    "a reset counts that was pressed before the guard opened": (
        "    ready := FALSE;\n    resetAccepted := FALSE;",
        "    ready := FALSE;",
        ("manual_reset_release",),
    ),
    "it is ready as the supply comes": (
        "ready  : BOOL; ",
        "ready  : BOOL := TRUE; ",
        ("manual_reset_power_up",),
    ),
    "the stroke has no end": (ENDS, "IF longStroke.Q", ("single_stroke_ends",)),
    "the end counts while no hands are on": (
        "topReached(CLK := top);",
        "topReached(CLK := top AND NOT handsOn);",
        ("single_stroke_ends",),
    ),
    "a switch that sticks ends nothing": (
        ENDS,
        "IF topReached.Q",
        ("single_stroke_stuck_end",),
    ),
    "a switch that sticks ends the stroke too late": (
        "PT := T#1900ms",
        "PT := T#2500ms",
        ("single_stroke_stuck_end",),
    ),
}


@pytest.mark.long
@pytest.mark.parametrize("fault", FAULTS)
def test_a_faulty_press_falls_by_what_names_its_fault_alone(
    fault: str, tmp_path: Path, pool: Pool
) -> None:
    right, wrong, lost = FAULTS[fault]
    text = (GALLERY / SOURCE).read_text(encoding="utf-8")
    assert text.count(right) == 1
    (tmp_path / SOURCE).write_text(text.replace(right, wrong), encoding="utf-8")
    spec = (GALLERY / SPEC).read_text(encoding="utf-8")
    (tmp_path / SPEC).write_text(spec, encoding="utf-8")
    options = replace(OPTIONS, causes=False, needless=False)
    report = check(load_specification(tmp_path / SPEC), options, pool=pool)
    found = {each.requirement.identifier: each.outcome for each in report.verdicts}
    assert {name for name, outcome in found.items() if outcome is Outcome.VIOLATED} == {*lost}
    assert {*found.values()} == {Outcome.VIOLATED, Outcome.PROVED}
