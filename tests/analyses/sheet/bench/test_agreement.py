"""A controller is judged only where every run has the same."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from twohand.analyses.sheet.bench.agreement import agreed
from twohand.analyses.sheet.bench.parts import JudgedStretch
from twohand.analyses.sheet.bench.playing import SeenScan
from twohand.program.durations import Units

MARGIN = Units(30)
RUNS = st.lists(st.lists(st.booleans(), min_size=12, max_size=12), min_size=1, max_size=4)


def scans(shown: list[bool], step: int = 10) -> list[SeenScan]:
    return [SeenScan(Units(at * step), {"q": on}) for at, on in enumerate(shown)]


def test_what_is_so_from_the_first_scan_on_is_judged_from_there() -> None:
    runs = [scans([True] * 12), scans([True] * 6, 20)]
    assert list(agreed("q", runs, MARGIN)) == [JudgedStretch("q", True, Units(0), None)]


def test_what_changes_with_the_time_keeps_a_margin_on_both_sides() -> None:
    runs = [scans([False] * 6 + [True] * 6), scans([False] * 3 + [True] * 3, 21)]
    first, second = agreed("q", runs, MARGIN)
    assert first == JudgedStretch("q", False, Units(0), Units(60 - MARGIN))
    assert second == JudgedStretch("q", True, Units(63 + MARGIN), None)


def test_what_differs_from_run_to_run_is_not_judged() -> None:
    assert list(agreed("q", [scans([True] * 12), scans([False] * 12)], MARGIN)) == []


@settings(max_examples=30)
@given(RUNS)
def test_every_scan_within_a_stretch_shows_what_is_judged(shown: list[list[bool]]) -> None:
    runs = [scans(each, 10 + 3 * number) for number, each in enumerate(shown)]
    for judged in agreed("q", runs, MARGIN):
        near = [
            scan.on["q"]
            for run in runs
            for scan in run
            if (not judged.first or scan.since >= judged.first - MARGIN)
            and (judged.last is None or scan.since < judged.last + MARGIN)
        ]
        assert set(near) <= {judged.on}
