"""A block with slow scans, so that its trials have few of them."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from twohand.analyses.sheet.bench.agreement import judged_trial
from twohand.analyses.sheet.bench.copied_block import copied_block
from twohand.analyses.sheet.bench.parts import BenchTrial, Sequence, TrialPart
from twohand.analyses.sheet.bench.playing import Bench
from twohand.analyses.sheet.bench.reading_back import ReadBack
from twohand.analyses.sheet.bench.writing import BenchText, bench_text
from twohand.program.durations import Units
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Specification

BLOCK = """FUNCTION_BLOCK Press
VAR_INPUT leftPalm, rightPalm : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
VAR window : TON; armed : BOOL; END_VAR
window(IN := leftPalm OR rightPalm, PT := T#3s);
IF NOT leftPalm AND NOT rightPalm THEN armed := TRUE; END_IF;
stroke := leftPalm AND rightPalm AND armed AND (stroke OR NOT window.Q);
IF leftPalm AND rightPalm THEN armed := stroke; END_IF;
END_FUNCTION_BLOCK
"""
SPEC = """SPEC Press
SOURCE 'press.st';
SCAN T#100ms..T#200ms;
HAND left = leftPalm;
HAND right = rightPalm;
OUTPUT stroke;
REQUIRE TWO_HAND LOGIC TYPE I;
END_SPEC
"""
LEFT, RIGHT = "leftPalm", "rightPalm"


def spec_of(folder: Path, block: str = BLOCK, spec: str = SPEC) -> Specification:
    (folder / "press.st").write_text(block, encoding="utf-8")
    (folder / "press.spec").write_text(spec, encoding="utf-8")
    return load_specification(folder / "press.spec")


def sequence(*parts: tuple[Mapping[str, bool], int], title: str = "a trial") -> Sequence:
    """Both hands are off until the first part is over."""
    first = TrialPart({LEFT: False, RIGHT: False}, Units(1000))
    return Sequence(title, (first, *(TrialPart(given, Units(length)) for given, length in parts)))


BOTH = sequence(({LEFT: True, RIGHT: True}, 1000), ({LEFT: False, RIGHT: False}, 1000))
ONE = sequence(({LEFT: True}, 1000), ({LEFT: False}, 1000))
LATE = sequence(({LEFT: True}, 3800), ({RIGHT: True}, 1000))


def trials_of(spec: Specification, *sequences: Sequence) -> list[BenchTrial]:
    found = [judged_trial(Bench(spec), each) for each in sequences]
    assert all(found)
    return [each for each in found if each is not None]


def text_of(spec: Specification, trials: list[BenchTrial]) -> BenchText:
    return bench_text(spec, copied_block(spec), trials, ())


def read_back(spec: Specification, trials: list[BenchTrial]) -> ReadBack:
    """The program of these trials around this block, which may be another one than theirs."""
    return ReadBack(text_of(spec, trials), spec)
