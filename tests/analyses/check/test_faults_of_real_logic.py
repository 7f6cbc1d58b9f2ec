"""Faults met in the trade (common practice): each is found by the requirement that it breaks, with
a run that replays, and the mended block is proved."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.trace import Scan, Trace, definite
from twohand.evidence.verdict import Outcome, Report, Verdict
from twohand.specification.model.specification import Aim

from tests.support.gallery_reports import GalleryReports
from tests.support.tiers import rows


@dataclass(frozen=True)
class Fault:
    """``found_by`` are all requirements of the gallery's ``spec`` that it breaks; the mended block
    has the same requirements in ``spec``_mended."""

    what: str
    spec: str
    found_by: tuple[str, ...]
    outcome: Outcome = Outcome.VIOLATED


FAULTS = (
    Fault(
        "a window timer fed by both hands never limits the lag",
        "window_fed_by_both",
        ("start_window", "window_missed"),
    ),
    Fault(
        "a window gated by its own run bit opens again at each release",
        "window_gated_by_run",
        ("release_both", "start_window"),
    ),
    Fault(
        "the edge of 'both on' accepts a hand held for hours",
        "edge_of_both",
        ("start_window", "window_missed"),
    ),
    Fault("a latched start that only STOP clears", "latched_start", ("both_hands",)),
    Fault(
        "a ladder that takes one button tied down for a hand",
        "tied_down_ladder",
        ("release_both", "power_up", "start_window", "window_missed"),
    ),
    Fault("arms again when one hand is off", "armed_by_one_release", ("release_both", "power_up")),
    Fault(
        "both held past the end of the cycle: a second stroke",
        "second_stroke",
        ("release_both", "one_stroke_a_press"),
    ),
    Fault(
        "held hands never end the stroke",
        "stroke_without_end",
        ("single_stroke_ends", "two_hand_trip_ends"),
    ),
    Fault(
        "an end switch whose wire breaks in mid-stroke",
        "stuck_end_switch",
        ("single_stroke_stuck_end", "two_hand_trip_stuck_end"),
    ),
    Fault(
        "an off-delay against bounce keeps the output on",
        "off_delay_on_hands",
        ("both_hands", "quick_stop"),
    ),
    Fault("bounce counts as a second press", "bounce_counted", ("needs_second_press",)),
    Fault("a discrepancy time far too long", "discrepancy_too_long", ("noticed_in_time",)),
    Fault(
        "an elapsed time compared with '=' steps over the value",
        "elapsed_time_equal",
        ("clamped_first", "can_press"),
        Outcome.VACUOUS,
    ),
    Fault("a request that came with the guard open acts later", "panel_request", ("on_request",)),
    Fault(
        "a change of mode takes over what is on",
        "press_modes",
        (
            *("release_both", "power_up", "start_window", "window_missed"),
            *("jog_off", "jog_end_starts_nothing", "mode_starts_nothing"),
        ),
    ),
    Fault("an output written twice: the last one wins", "written_twice", ("only_when_safe",)),
    Fault("set in a branch, never cleared", "set_never_cleared", ("both_hands",)),
    Fault(
        "a retained run bit restarts the machine when power returns",
        "retained_run_bit",
        ("release_both", "power_up", "power_starts_nothing"),
    ),
    Fault("a level-sensitive reset", "level_reset", ("reset_on_release",)),
    Fault("both solenoids on", "both_solenoids", ("never_both",)),
    Fault(
        "extended and retracted both TRUE is believed",
        "contradiction_believed",
        ("no_step_on_contradiction", "shown_in_time"),
    ),
    Fault(
        "a failed sensor blocks homing for ever",
        "homing_waits_for_ever",
        ("leaving_ends", "seeking_ends"),
    ),
    Fault("a lost release of a remote jog", "remote_jog_lost", ("longest_jog",)),
    Fault("several operators joined by OR", "stations_joined_by_or", ("both_hands",)),
    Fault(
        "a missed window is forgotten",
        "missed_window_forgotten",
        ("window_missed", "available"),
    ),
    Fault("an early RETURN skips the interlock below it", "early_return", ("never_both",)),
    Fault(
        "after the last stroke of a lot the window is forgotten",
        "lot_counter",
        ("start_window", "window_missed"),
    ),
)
QUICK = {"written_twice", "set_never_cleared", "both_solenoids", "stations_joined_by_or"}
"""Specs that take no time to decide; the gallery has the verdicts of the others as well."""


def by_outcome(report: Report, outcome: Outcome) -> tuple[str, ...]:
    return tuple(v.requirement.identifier for v in report.verdicts if v.outcome is outcome)


def replayed(verdict: Verdict, report: Report) -> bool:
    """Whether the run's inputs, executed anew from nothing, refute the requirement in the end."""
    found = verdict.counterexample
    assert found is not None
    spec = report.specification
    names = [variable.name for variable in spec.program.inputs]
    scans = tuple(
        Scan({name: record.values[name] for name in names}, record.elapsed)
        for record in found.records
    )
    readings = definite(spec.readings, found.readings)
    replayer = Replayer(spec)
    records = replayer.records(Trace(scans, readings, {}))
    refuted = replayer.refuted_at(verdict.requirement.property, records)
    return refuted == len(scans) - 1 and replayer.allowed(records)


@pytest.mark.parametrize(
    "fault", rows(FAULTS, lambda fault: fault.spec not in QUICK), ids=lambda fault: fault.spec
)
def test_a_fault_is_found_by_its_requirement_and_by_no_other(
    fault: Fault, gallery_report: GalleryReports
) -> None:
    report = gallery_report(fault.spec)
    found = [v for v in report.verdicts if v.requirement.identifier in fault.found_by]
    assert by_outcome(report, fault.outcome) == fault.found_by
    assert all(v.outcome in (Outcome.PROVED, fault.outcome) for v in report.verdicts)
    for verdict in found:
        if fault.outcome is Outcome.VIOLATED:
            assert replayed(verdict, report)
        else:
            assert verdict.certificate is not None


@pytest.mark.parametrize(
    "fault", rows(FAULTS, lambda fault: fault.spec not in QUICK), ids=lambda fault: fault.spec
)
def test_the_mended_block_is_proved_to_have_what_the_faulty_one_lacked(
    fault: Fault, gallery_report: GalleryReports
) -> None:
    report = gallery_report(f"{fault.spec}_mended")
    assert {v.outcome for v in report.verdicts} == {Outcome.PROVED}
    assert set(fault.found_by) <= {v.requirement.identifier for v in report.verdicts}
    assert report.findings == ()
    assert report.never_on == ()
    for verdict in report.verdicts:
        reached = verdict.requirement.aim is Aim.REACHABLE
        assert (verdict.witness if reached else verdict.certificate) is not None
