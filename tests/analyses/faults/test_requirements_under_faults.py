"""Under a fault a requirement speaks of what people do, not of what a faulty input shows."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.analyses.faults.cases import load_fault_analyses
from twohand.engine.system.contract import Proved, Violated

from tests.support.decided import Question

JOG = "drive := jog;"
RESET = """
IF button AND NOT was AND seen THEN held := TRUE; END_IF;
IF NOT use THEN ready := FALSE; held := FALSE;
ELSIF held AND NOT button THEN ready := TRUE; held := FALSE; END_IF;
was := button; seen := TRUE;
"""
RESET_ASKED = (
    "REQUIRE manual_reset (reset := button, ready := ready, safeguards := use, start := jog);"
)
MUTED = "drive := left AND right OR drive AND use;"
HANDS = "HAND l = left; HAND r = right; HAZARD NOT use;"
GUARDED = "IF NOT use THEN held := FALSE; ELSIF NOT jog THEN held := TRUE; END_IF;"
GUARDED += "drive := use AND jog AND held;"
SELECTED = "drive := left AND right AND (NOT use OR third AND fourth);"
STOP = "REQUIRE stop (condition := NOT use, start := jog);"
STATIONS = (
    "HAND l = left; HAND r = right; HAND t = third; HAND f = fourth;"
    "STATION front = l, r; STATION rear = t, f WHEN use; REQUIRE TWO_HAND LOGIC TYPE I;"
)


def block(body: str) -> str:
    return f"""
FUNCTION_BLOCK Under
VAR_INPUT jog, button, left, right, third, fourth, use : BOOL; END_VAR
VAR_OUTPUT drive, ready : BOOL; END_VAR
VAR held, was, seen : BOOL; END_VAR
{body}
END_FUNCTION_BLOCK
"""


@pytest.mark.parametrize(
    ("body", "statements", "fault", "requirement"),
    [
        (JOG, "REQUIRE hold_to_run (control := jog);", "jog-stuck-true", "hold_to_run"),
        (
            RESET,
            RESET_ASKED,
            "button-stuck-false",
            "manual_reset_release",
        ),
        (RESET, RESET_ASKED, "use-stuck-true", "manual_reset_safeguard_lost"),
        (RESET, RESET_ASKED, "use-stuck-true", "manual_reset_release"),
        (MUTED, f"{HANDS} REQUIRE TWO_HAND LOGIC TYPE I;", "use-stuck-true", "both_hands"),
        (MUTED, f"{HANDS} REQUIRE single_stroke;", "use-stuck-true", "single_stroke_held"),
        (SELECTED, STATIONS, "use-stuck-false", "both_hands"),
        (GUARDED, STOP, "use-stuck-true", "stop_off"),
        (GUARDED, STOP, "jog-stuck-true", "stop_end_starts_nothing"),
        (GUARDED, STOP, "use-stuck-true", "stop_end_starts_nothing"),
    ],
    ids=[
        *(
            "jog",
            "reset",
            "lost safeguard",
            "reset without a safeguard",
            "hazard",
            "hazard of a demand",
            "selection",
        ),
        *("stop", "start after a stop", "end of a stop"),
    ],
)
def test_an_input_that_is_stuck_does_not_excuse_the_logic(
    body: str, statements: str, fault: str, requirement: str, tmp_path: Path
) -> None:
    (tmp_path / "under.st").write_text(block(body), encoding="utf-8")
    path = tmp_path / "under.spec"
    path.write_text(
        f"SPEC Under SOURCE 'under.st'; SCAN T#10ms; OUTPUT drive; {statements}"
        "SUPPLY p = jog, button, use; END_SPEC\n",
        encoding="utf-8",
    )
    analysis = load_fault_analyses(path)[0]
    known = {each.identifier.casefold(): each for each in analysis.faults}
    for specification, kind in (
        (analysis.sound, Proved),
        (analysis.under(known[fault]), Violated),
    ):
        asked = {each.identifier: each for each in specification.requirements}[requirement]
        question = Question(
            specification.program,
            specification.clocking,
            asked.property,
            specification.readings,
            [each.formula for each in specification.assumptions],
        )
        assert isinstance(question.decide(60), kind)
