"""A drawn run is true to scale, but for what is cut, and says so."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from twohand.formats.page.invariant import clause_of
from twohand.formats.page.runs.axis import BESIDE, LONGEST, axis_of
from twohand.formats.page.runs.events import MOST_EVENTS, shown_run
from twohand.formats.page.runs.picture import picture_of
from twohand.formats.page.runs.values import values_of
from twohand.record.run import Run, RunStep, Signal, SignalRole
from twohand.record.spans import TimeSpan

TIMES = st.lists(st.integers(1, 10**10), min_size=1, max_size=12)
A = Signal("a", "BOOL", "", SignalRole.INPUT)
T = Signal("t", "TIME", "ns", SignalRole.INTERNAL)
MS = 1_000_000


def run_of(values: list[bool], period: int = 10 * MS) -> Run:
    """``a`` has these values, and ``t`` is the time."""
    steps = []
    for scan, value in enumerate(values):
        changes: list[tuple[str, bool | int]] = [("t", scan * period)]
        if scan == 0 or value != values[scan - 1]:
            changes.append(("a", value))
        steps.append(RunStep(scan * period, tuple(changes)))
    return Run((A, T), tuple(steps))


@given(TIMES)
def test_all_that_is_not_cut_has_one_scale(gaps: list[int]) -> None:
    times = [sum(gaps[:number]) for number in range(len(gaps) + 1)]
    axis = axis_of(times, 100.0)
    for each in axis.stretches:
        drawn = each.right - each.left
        if each.cut is None:
            assert drawn == pytest.approx((each.end - each.begin) * axis.scale)
        else:
            assert (each.end - each.begin) * axis.scale > LONGEST
            assert each.left < each.cut[0] < each.cut[1] < each.right
            beside = int(BESIDE / axis.scale / 2)
            drawn = each.right - axis.place(each.end - beside)
            assert drawn == pytest.approx(beside * axis.scale)


@pytest.mark.long
@given(TIMES, st.lists(st.integers(-(10**9), 2 * 10**11), min_size=2, max_size=20))
def test_what_is_later_is_never_drawn_before(gaps: list[int], asked: list[int]) -> None:
    axis = axis_of([sum(gaps[:number]) for number in range(len(gaps) + 1)], 100.0)
    places = [axis.place(time) for time in sorted(asked)]
    assert all(before <= after + 1e-6 for before, after in pairwise(places))
    assert all(axis.places[0] <= each <= axis.end for each in places)


def test_a_number_that_runs_on_is_no_event() -> None:
    run = run_of([False] * 20 + [True] * 20)
    assert [each.scan for each in shown_run(run).events] == [0, 20, 39]


def test_of_very_many_events_the_first_and_the_last_are_shown() -> None:
    run = run_of([scan % 2 == 0 for scan in range(101)])
    shown = shown_run(run)
    assert len(shown.events) == MOST_EVENTS
    assert shown.left_out is not None
    first, last = shown.left_out
    scans = [each.scan for each in shown.events]
    assert scans == [*range(first), *range(last + 1, 101)]
    (note,) = values_of(run).notes
    assert f"{last - first + 1} scans between 8 and {last + 2} are left out here" in note


def test_a_bound_of_time_has_its_length() -> None:
    span = TimeSpan("the last 15 ms", 15 * MS, 30 * MS, False)
    picture = picture_of(run_of([False, False, True, True]), "wrong", spans=[span])
    places = picture.events  # at 0, 20 and 30 ms
    (drawn,) = picture.spans
    assert drawn.right == pytest.approx(places[-1])
    assert (drawn.right - drawn.left) / (places[2] - places[1]) == pytest.approx(1.5)
    assert picture.last == places[-1]


def test_an_answer_that_is_missing_is_marked_where_it_was_due() -> None:
    span = TimeSpan("15 ms to answer", 10 * MS, 25 * MS, True)
    picture = picture_of(run_of([False, True, True, True]), "wrong", spans=[span])
    (drawn,) = picture.spans
    assert picture.last == pytest.approx(drawn.right) != picture.events[-1]
    assert picture.words == "no answer by 25 ms"
    assert picture.described.endswith("No answer by 25 ms.")


def test_lanes_of_hands_are_first() -> None:
    b = Signal("b", "BOOL", "", SignalRole.OUTPUT)
    steps = (RunStep(0, (("a", False), ("b", False))), RunStep(MS, (("a", True), ("b", True))))
    run = Run((b, A), steps)
    lanes = picture_of(run, "wrong", [("left", ("a",))]).lanes
    assert [(each.label, each.hand) for each in lanes] == [("left (a)", True), ("b", False)]


@pytest.mark.parametrize(
    ("clause", "sentence"),
    [
        ("not stroke or ready", "while stroke is TRUE, ready is TRUE"),
        ("ready or not stroke", "while stroke is TRUE, ready is TRUE"),
        ("not a or not b", "while a is TRUE, b is FALSE"),
        ("not a or b or c", "while a is TRUE and b is FALSE, c is TRUE"),
        ("not a", "always a is FALSE"),
        ("not stroke or once(key)", ""),
        ("not a or not first scan", ""),
        ("not a or last(b)", ""),
        ("n <= 3 or a", ""),
        ("a or b or c or d", ""),
    ],
)
def test_a_simple_clause_is_a_sentence(clause: str, sentence: str) -> None:
    assert clause_of(clause).sentence == sentence
