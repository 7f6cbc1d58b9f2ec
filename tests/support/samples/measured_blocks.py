"""Blocks whose figures can be worked out by hand, and their measuring in this process's workers."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from twohand.analyses.measure.figures import FigureKind
from twohand.analyses.measure.measure import measure
from twohand.analyses.measure.results import FigureResult, MeasureReport
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options, open_pool

from tests.support.samples.check_samples import specification

HEAD = """
FUNCTION_BLOCK Press
VAR_INPUT left, right, guardOpen, upstroke : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
VAR {more} END_VAR
"""
FIXED = "".join(
    f" READING {name} FALSE;"
    for name in (
        "edge_call_counts",
        "zero_preset_at_once",
        "preset_latched",
        "falling_edge_at_first_call",
        "counter_stops_at_preset",
        "loop_leaves_past_end",
    )
)
HANDS = "HAND left = left; HAND right = right; OUTPUT stroke; REQUIRE TWO_HAND LOGIC TYPE I;"


def block(statements: str, more: str = "") -> str:
    return HEAD.format(more=more) + statements + "\nEND_FUNCTION_BLOCK\n"


@contextmanager
def workers() -> Iterator[Pool]:
    with open_pool(Options(processes=1)) as pool:
        yield pool


def measured(
    folder: Path,
    pool: Pool,
    statements: str,
    more: str = "",
    spec: str = "",
    scan: str = "T#10ms",
    hands: str = HANDS,
    kinds: str = "",
    seconds: float = 20.0,
    readings: str = FIXED,
) -> MeasureReport:
    """The figures (of these ``kinds``, '': all) of a block of ``statements``; every reading is
    FALSE unless ``readings`` say otherwise."""
    text = f"{hands}{readings} {spec}"
    found = specification(folder, block(statements, more), text, scan)
    wanted = [FigureKind[word] for word in kinds.split()] or list(FigureKind)
    return measure(found, Options(effort=seconds), pool=pool, kinds=wanted)


def figure(report: MeasureReport, identifier: str) -> FigureResult:
    (found,) = [each for each in report.figures if each.figure.identifier == identifier]
    return found
