"""The window of type III with contacts that bounce: it is wider by the bounce time and a scan."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.engine.system.contract import Answer, Proved, Violated
from twohand.specification.load import load_specifications
from twohand.specification.model.specification import Requirement, Specification

from tests.support.decided import Question

BLOCK = """
FUNCTION_BLOCK Settled
VAR_INPUT leftPalm, rightPalm : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
VAR open, window : TON; armed : BOOL; END_VAR
open(IN := NOT leftPalm AND NOT rightPalm, PT := T#40ms);
window(IN := NOT open.Q, PT := T#480ms);
IF open.Q THEN armed := TRUE; END_IF;
IF NOT leftPalm OR NOT rightPalm THEN
    stroke := FALSE;
ELSE
    stroke := stroke OR armed AND NOT window.Q;
    armed := FALSE;
END_IF;
END_FUNCTION_BLOCK
"""
"""Starts up to 470 ms (47 scans) after the first contact that it sees closed."""
SPEC = """
SPEC Settled
    SOURCE 'settled.st';
    SCAN T#10ms;
    HAND left = leftPalm;
    HAND right = rightPalm;
    OUTPUT stroke;
    BOUNCE T#10ms;
    REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#{window}ms;
END_SPEC
"""


def loaded(folder: Path, window: int) -> tuple[Specification, Requirement]:
    """The spec with its ``start_window``."""
    (folder / "settled.st").write_text(BLOCK, encoding="utf-8")
    path = folder / "settled.spec"
    path.write_text(SPEC.replace("{window}", str(window)), encoding="utf-8")
    (spec,) = load_specifications(path)
    return spec, next(r for r in spec.requirements if r.identifier == "start_window")


def answer(folder: Path, window: int) -> Answer:
    spec, asked = loaded(folder, window)
    return Question(spec.program, spec.clocking, asked.property, spec.readings).decide(300)


def test_the_sentence_says_how_wide_the_window_is_with_bounce(tmp_path: Path) -> None:
    assert "at most 500 ms apart" in loaded(tmp_path, 480)[1].sentence


@pytest.mark.long
def test_bounce_lets_hands_start_that_are_farther_apart_than_the_logic_sees(
    tmp_path: Path,
) -> None:
    """A contact shows its hand two scans late at most (in that of the move and in the one 10 ms
    later it may not): 490 ms truly sampled apart, seen as 470. A window of 460 allows 480."""
    assert isinstance(answer(tmp_path, 460), Violated)


@pytest.mark.long
def test_no_lag_is_wider_than_what_bounce_adds(tmp_path: Path) -> None:
    assert isinstance(answer(tmp_path, 470), Proved)
