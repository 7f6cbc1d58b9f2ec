"""Figures of blocks that can be worked out by hand, by a fixed period and by a range.

Scans are numbered from the one in which the release (the press, the condition) is sampled; what is
truly possible is less than two longest scans more for a reaction, one more for a lag or an on-time,
and one less for the time between two starts (arithmetic: an edge may be a scan older than its
sampling, an output reaches its terminals up to a scan later).
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from twohand.analyses.measure import check
from twohand.analyses.measure.results import Decision, FigureResult, MeasureReport
from twohand.analyses.measure.text import measure_lines
from twohand.engine.system.contract import Unknown
from twohand.engine.workers.pool import Pool
from twohand.evidence.checks.assumptions import CheckAssumptions
from twohand.report.drawing.terminal import Terminal

from tests.support.samples.measured_blocks import figure, measured, workers

PLAIN = "stroke := left AND right;"


@pytest.fixture(scope="module")
def pool() -> Iterator[Pool]:
    with workers() as opened:
        yield opened


def exact(report: MeasureReport, identifier: str) -> tuple[object, ...]:
    """Time as sampled, least and greatest number of scans, bound of the true time."""
    found = figure(report, identifier)
    assert Decision.EXACT is found.time.decision
    assert found.time.reached == found.time.bound
    spec = report.specification
    return (found.time.reached, found.scan_bounds(spec), found.true_bound(spec))


def decision(report: MeasureReport, identifier: str) -> Decision:
    return figure(report, identifier).time.decision


@pytest.mark.long
def test_an_output_that_follows_the_hands_stops_in_the_scan_of_the_release(
    tmp_path: Path, pool: Pool
) -> None:
    report = measured(tmp_path, pool, PLAIN, kinds="REACTION BETWEEN_STARTS")
    assert exact(report, "reaction of left") == (0, (0, 0), 20)
    assert exact(report, "reaction of right") == (0, (0, 0), 20)
    assert exact(report, "between starts") == (20, (2, 2), 10)


def test_an_output_two_scans_behind_stops_two_scans_after_the_release(
    tmp_path: Path, pool: Pool
) -> None:
    late = "stroke := two; two := one; one := left AND right;"
    report = measured(tmp_path, pool, late, "one, two : BOOL;", kinds="REACTION")
    assert exact(report, "reaction of left") == (20, (2, 2), 40)


@pytest.mark.long
def test_the_shortest_and_the_longest_scans_make_scans_and_time_extreme(
    tmp_path: Path, pool: Pool
) -> None:
    """TOF of 5 ms at 2 to 3 ms a scan: late at 2 and 4 ms, off 2 or 3 ms later."""
    held = "hold(IN := left AND right, PT := T#5ms); stroke := hold.Q;"
    report = measured(tmp_path, pool, held, "hold : TOF;", scan="T#2ms..T#3ms", kinds="REACTION")
    assert exact(report, "reaction of right") == (7, (3, 3), 13)


@pytest.mark.long
def test_a_release_counts_where_the_hazard_is_only(tmp_path: Path, pool: Pool) -> None:
    latched = "stroke := left AND right OR stroke AND upstroke;"
    hazard = measured(
        tmp_path / "hazard", pool, latched, spec="HAZARD NOT upstroke;", kinds="REACTION"
    )
    assert exact(hazard, "reaction of left") == (0, (0, 0), 20)
    always = measured(tmp_path / "always", pool, latched, kinds="REACTION")
    assert Decision.NO_LIMIT is decision(always, "reaction of left")


@pytest.mark.long
def test_a_stop_condition_is_timed_from_its_coming(tmp_path: Path, pool: Pool) -> None:
    late = "stroke := left AND right AND NOT was; was := guardOpen;"
    report = measured(
        tmp_path, pool, late, "was : BOOL := TRUE;", "STOPPED_BY guardOpen, NOT left;", kinds="STOP"
    )
    assert exact(report, "stop of guardOpen") == (10, (1, 1), 30)
    assert exact(report, "stop of NOT left") == (0, (0, 0), 20)


@pytest.mark.parametrize(
    ("body", "kind", "subject"),
    [
        ("stroke := left AND right AND NOT was; was := guardOpen;", "STOP", "stop of guardOpen"),
        ("stroke := right AND NOT was; was := TRUE;", "REACTION", "reaction of left"),
    ],
)
def test_what_came_before_power_up_did_so_for_as_long_as_nobody_knows(
    body: str, kind: str, subject: str, tmp_path: Path, pool: Pool
) -> None:
    """The output is on in the first scan in spite of it."""
    report = measured(tmp_path, pool, body, "was : BOOL;", "STOPPED_BY guardOpen;", kinds=kind)
    found = figure(report, subject).time
    assert found.decision is Decision.NO_LIMIT
    assert found.stay is None
    assert "before power-up" in "\n".join(measure_lines(report, Terminal(80)))


@pytest.mark.long
def test_a_stop_condition_of_the_block_is_as_old_as_the_run(tmp_path: Path, pool: Pool) -> None:
    body = "stroke := left AND right; was := guardOpen;"
    report = measured(
        tmp_path, pool, f"{body} IF late AND was THEN stroke := FALSE; END_IF; late := was;",
        "was, late : BOOL;", "STOPPED_BY was;", kinds="STOP",
    )  # fmt: skip
    assert exact(report, "stop of was")[0] == 10


@pytest.mark.long
@pytest.mark.parametrize(("preset", "time"), [(50, 50), (45, 50), (51, 60)])
def test_an_on_time_is_its_pulse_rounded_up_to_scans(
    tmp_path: Path, pool: Pool, preset: int, time: int
) -> None:
    pulse = f"pulse(IN := left AND right, PT := T#{preset}ms); stroke := pulse.Q;"
    report = measured(tmp_path, pool, pulse, "pulse : TP;", kinds="ON_TIME")
    assert (time, (time // 10, time // 10), time + 10) == exact(report, "on-time")


def test_an_on_time_as_long_as_the_hands_please_has_no_limit(tmp_path: Path, pool: Pool) -> None:
    found = figure(measured(tmp_path, pool, PLAIN, kinds="ON_TIME"), "on-time").time
    assert Decision.NO_LIMIT is found.decision
    assert found.run is not None
    assert found.stay is not None
    records = found.run.records
    stay = records[found.stay.scan]
    assert all(stay.values["stroke"] for _ in records)
    assert records[-1].time - records[0].time >= found.reached
    assert found.stay.added


def test_a_run_too_long_to_be_prolonged_is_executed_itself(
    tmp_path: Path, pool: Pool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(check, "_LONGEST_STRETCHED", 3)
    report = measured(tmp_path, pool, PLAIN, kinds="ON_TIME")
    found = figure(report, "on-time").time
    assert Decision.NO_LIMIT is found.decision
    assert found.run is not None
    assert found.stay is not None
    assert found.stay.added == ()
    assert "executed with none" in " ".join(" ".join(measure_lines(report, Terminal())).split())


@pytest.mark.long
def test_a_limit_far_beyond_the_first_runs_is_not_taken_for_none(
    tmp_path: Path, pool: Pool
) -> None:
    pulse = "pulse(IN := left AND right, PT := T#9995ms); stroke := pulse.Q;"
    report = measured(tmp_path, pool, pulse, "pulse : TP;", kinds="ON_TIME")
    assert exact(report, "on-time") == (10_000, (1000, 1000), 10_010)


def test_a_lag_that_nothing_limits_has_no_limit(tmp_path: Path, pool: Pool) -> None:
    assert Decision.NO_LIMIT is decision(measured(tmp_path, pool, PLAIN, kinds="LAG"), "lag")


@pytest.mark.long
def test_a_start_with_a_hand_that_was_never_pressed_is_wider_than_any_lag(
    tmp_path: Path, pool: Pool
) -> None:
    """The lag of two presses is 0 at most, but a hand that is on in the first scan has no press."""
    edge = "stroke := left AND right AND (NOT wasLeft AND NOT wasRight OR stroke);"
    both = f"{edge} wasLeft := left; wasRight := right;"
    found = figure(
        measured(tmp_path, pool, both, "wasLeft, wasRight : BOOL;", kinds="LAG"), "lag"
    ).time
    assert (found.decision, found.stay) == (Decision.NO_LIMIT, None)
    armed = f"{both} IF first THEN stroke := FALSE; first := FALSE; END_IF;"
    more = "wasLeft, wasRight : BOOL; first : BOOL := TRUE;"
    report = measured(tmp_path, pool, armed, more, kinds="LAG")
    assert exact(report, "lag") == (0, (0, 0), 10)


@pytest.mark.long
def test_what_never_starts_has_no_figures(tmp_path: Path, pool: Pool) -> None:
    never = "stroke := left AND NOT left;"
    report = measured(tmp_path, pool, never, spec="STOPPED_BY guardOpen;")
    assert {Decision.NEVER} == {each.time.decision for each in report.figures}
    assert len(report.figures) == 6
    assert all(each.time.certificate is not None for each in report.figures)


@pytest.mark.long
def test_every_station_has_its_lag_and_every_hand_its_reaction(tmp_path: Path, pool: Pool) -> None:
    hands = (
        "HAND a = left; HAND b = right; HAND c = guardOpen; HAND d = upstroke;"
        "STATION front = a, b; STATION back = c, d; OUTPUT stroke;"
        "REQUIRE TWO_HAND LOGIC TYPE I;"
    )
    all_on = "stroke := left AND right AND guardOpen AND late; late := upstroke;"
    report = measured(tmp_path, pool, all_on, "late : BOOL;", hands=hands, kinds="LAG REACTION")
    assert [decision(report, f"lag of {s}") for s in ("front", "back")] == [Decision.NO_LIMIT] * 2
    reactions = [exact(report, f"reaction of {hand}")[0] for hand in "abcd"]
    assert reactions == [0, 0, 0, 10]


@pytest.mark.long
def test_a_station_that_is_not_in_use_stops_nothing(tmp_path: Path, pool: Pool) -> None:
    hands = (
        "HAND a = left; HAND b = right; HAND c = guardOpen; HAND d = upstroke;"
        "STATION front = a, b; STATION back = c, d WHEN upstroke; OUTPUT stroke;"
        "REQUIRE TWO_HAND LOGIC TYPE I;"
    )
    used = "stroke := left AND right AND (guardOpen OR NOT upstroke);"
    report = measured(tmp_path, pool, used, hands=hands, kinds="REACTION")
    assert [exact(report, f"reaction of {hand}")[0] for hand in "ac"] == [0, 0]


@pytest.mark.long
def test_the_worst_reading_counts_and_is_named(tmp_path: Path, pool: Pool) -> None:
    """TOF of 25 ms at 10 ms a scan: off at 30 ms where its edge call counts no time, else at 20."""
    held = "hold(IN := left AND right, PT := T#25ms); stroke := hold.Q;"
    report = measured(tmp_path, pool, held, "hold : TOF;", kinds="REACTION", readings="")
    assert exact(report, "reaction of left") == (30, (3, 3), 50)
    reaction = figure(report, "reaction of left").time
    assert reaction.run is not None
    assert (reaction.run.readings, reaction.otherwise) == ({"edge_call_counts": False}, 20)


@pytest.mark.long
def test_figures_hold_until_a_finding_ends_the_run(tmp_path: Path, pool: Pool) -> None:
    """SINT counts the scans with output to 127; the next one overflows."""
    counted = "IF left AND right THEN n := n + 1; END_IF; stroke := left AND right;"
    report = measured(tmp_path, pool, counted, "n : SINT;", kinds="ON_TIME", seconds=2)
    assert [each.finding.kind.value for each in report.findings] == ["overflow"]
    found = figure(report, "on-time").time
    assert found.decision is not Decision.NO_LIMIT
    assert found.reached is not None
    assert found.reached <= 1270


@pytest.mark.long
def test_nothing_is_exact_where_the_assumptions_may_contradict_each_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(CheckAssumptions, "__call__", lambda _: Unknown("too hard"))
    with workers() as own:
        report = measured(
            tmp_path, own, PLAIN, spec="ASSUME NOT (left AND upstroke);", kinds="REACTION"
        )
    assert [each.code for each in report.warnings] == ["assumptions-undecided"]
    reaction: FigureResult = figure(report, "reaction of left")
    assert (
        reaction.time.decision,
        reaction.time.reached,
        reaction.true_bound(report.specification),
    ) == (Decision.UNDECIDED, 0, None)
