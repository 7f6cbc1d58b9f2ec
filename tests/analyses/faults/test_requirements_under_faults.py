"""Under a fault a requirement speaks of what people do, not of what a faulty input shows."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.analyses.faults.cases import FaultAnalysis, load_fault_analyses
from twohand.engine.system.contract import Proved, Violated
from twohand.specification.model.specification import Specification

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
STROKE = """
t(IN := drive, PT := T#100ms);
IF NOT left AND NOT right THEN held := TRUE; END_IF;
IF drive AND (NOT (left AND right) OR use AND NOT was OR t.Q) THEN held := FALSE; END_IF;
drive := left AND right AND held; was := use;
"""
"""A stroke that ends at its end, and in time where that is not seen."""
STROKE_ASKED = "HAND l = left; HAND r = right; REQUIRE {} (complete := use, unchanged := T#130ms);"
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
VAR held, was, seen : BOOL; t : TON; END_VAR
{body}
END_FUNCTION_BLOCK
"""


@pytest.mark.long
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
        (
            MUTED,
            f"{HANDS} REQUIRE single_stroke (complete := jog);",
            "use-stuck-true",
            "single_stroke_held",
        ),
        (SELECTED, STATIONS, "use-stuck-false", "both_hands"),
        (GUARDED, STOP, "use-stuck-true", "stop_off"),
        (GUARDED, STOP, "jog-stuck-true", "stop_end_starts_nothing"),
        (GUARDED, STOP, "use-stuck-true", "stop_end_starts_nothing"),
        (STROKE, STROKE_ASKED.format("single_stroke"), "use-stuck-false", "single_stroke_ends"),
        (STROKE, STROKE_ASKED.format("two_hand_trip"), "use-stuck-true", "two_hand_trip_ends"),
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
        *("stop", "start after a stop", "end of a stop", "stroke", "trip"),
    ],
)
def test_an_input_that_is_stuck_does_not_excuse_the_logic(
    body: str, statements: str, fault: str, requirement: str, tmp_path: Path
) -> None:
    analysis = analysis_of(tmp_path, body, statements)
    assert proved(analysis.sound, requirement)
    assert not proved(under(analysis, fault), requirement)


@pytest.mark.long
@pytest.mark.parametrize("fault", ["use-stuck-false", "use-stuck-true"])
@pytest.mark.parametrize("word", ["single_stroke", "two_hand_trip"])
def test_a_stuck_end_signal_is_asked_of_what_the_logic_sees(
    word: str, fault: str, tmp_path: Path
) -> None:
    """The stroke ends in time under the fault, though what the switch would show changes."""
    unchanged, half = (
        STROKE.replace("IN := drive", f"IN := drive AND {condition}")
        for condition in ("use = was", "use")
    )
    for name, body, kept in (("unchanged", unchanged, True), ("half", half, False)):
        analysis = analysis_of(tmp_path / name, body, STROKE_ASKED.format(word))
        assert proved(under(analysis, fault), f"{word}_stuck_end") is kept


def analysis_of(folder: Path, body: str, statements: str) -> FaultAnalysis:
    folder.mkdir(exist_ok=True)
    (folder / "under.st").write_text(block(body), encoding="utf-8")
    path = folder / "under.spec"
    path.write_text(
        f"SPEC Under SOURCE 'under.st'; SCAN T#10ms; OUTPUT drive; {statements}"
        "SUPPLY p = jog, button, use; END_SPEC\n",
        encoding="utf-8",
    )
    return load_fault_analyses(path)[0]


def under(analysis: FaultAnalysis, fault: str) -> Specification:
    known = {each.identifier.casefold(): each for each in analysis.faults}
    return analysis.under(known[fault])


def proved(specification: Specification, requirement: str) -> bool:
    asked = {each.identifier: each for each in specification.requirements}[requirement]
    question = Question(
        specification.program,
        specification.clocking,
        asked.property,
        specification.readings,
        [each.formula for each in specification.assumptions],
    )
    answer = question.decide(60)
    assert isinstance(answer, Proved | Violated)
    return isinstance(answer, Proved)
