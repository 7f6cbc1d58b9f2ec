"""The faulty specs of the gallery by whether two small changes of their block reach a mended one.

A mended version is the gallery's own: the spec NAME_mended, or the right block that the same file
has. It counts as near where one or two of the changes of ``twohand audit`` make it of the faulty
block, up to parentheses and to variables that are left without a use.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Near:
    """The ``changes``, by their words, that make the mended version. ``found``: the search finds a
    change that mends it; ``why`` it does not."""

    changes: tuple[str, ...]
    found: bool = True
    why: str = ""


WITHIN_TWO = {
    "armed_by_one_release": Near(("'AND' becomes 'OR'",)),
    "beam_press_first_call": Near(("'first' is dropped from 'armed OR first'",)),
    "beam_press_remote": Near(
        ("'NOT remote' becomes 'TRUE'", "'remote AND NOT atTop.Q' becomes 'FALSE'")
    ),
    "beam_press_slow": Near(
        ("'rest.Q' becomes 'TRUE'",),
        found=False,
        why="the mended block starts strokes of which the spec says nothing (lags from 440 ms to "
        "480 ms) and the faulty one does not: outputs of runs that break nothing would not stay",
    ),
    "feeder_ready_at_once": Near(("'TRUE' becomes 'FALSE'",)),
    "hoop_press_guard_muted": Near(("'NOT upstroke' is dropped from 'stopped AND NOT upstroke'",)),
    "retained_run_bit": Near(("'RETAIN' is removed",)),
    "selector_table_goes_on": Near(
        (
            "'NOT stroke' is dropped from '(useFront <> wasFront OR useBack <> wasBack) AND NOT "
            "stroke'",
        )
    ),
    "stations_joined_by_or": Near(("'OR' becomes 'AND'",)),
    "table_jog_step": Near(
        (
            "'jog OR least.Q' becomes 'jog'",
            "'least.Q' is dropped from 'jog OR least.Q'",
        )
    ),
    "window_fed_by_both": Near(("'AND' becomes 'OR'",)),
}
"""By spec."""

_ADDED = "statements or conditions are added, which no kind of change does: {}"
_MORE = "more than two changes: {}"
_NONE = "the gallery has no mended version: {}"
BEYOND_TWO = {
    "beam_press_one_hand_holds": _ADDED.format("ELSE with a statement"),
    "beam_press_remembers": _MORE.format("the permission is kept apart from the output"),
    "beam_press_repeats": _MORE.format("the running bit is kept apart from the output"),
    "beam_press_switched": _MORE.format("two timers become one that both hands feed"),
    "beam_press_tapped": _MORE.format("the order of the branches"),
    "both_solenoids": _ADDED.format("AND NOT the other command, twice"),
    "bounce_counted": _ADDED.format("a timer for the contact"),
    "clutch_press_bouncing": _ADDED.format("a timer for open contacts"),
    "contradiction_believed": _ADDED.format("a timer and a fault bit"),
    "discrepancy_too_long": "a constant becomes 450 ms from 60 s, neither by a scan nor by two",
    "early_return": _MORE.format("outputs are off first, then set (the search finds another way)"),
    "edge_of_both": _ADDED.format("AND NOT window.Q"),
    "feeder_goes_on": _ADDED.format("the output is set and reset in the branches"),
    "feeder_keeps_ready": _ADDED.format("a statement that takes the permission back"),
    "feeder_ready_lamp": _ADDED.format("the permission as a condition of the start"),
    "feeder_reset_early": _ADDED.format("a statement that forgets the press"),
    "feeder_reset_on_press": _ADDED.format("a bit for the press"),
    "homing_waits_for_ever": _ADDED.format("a timer for each wait"),
    "hoop_press_guard_closes": _ADDED.format("a branch for the open guard"),
    "hoop_press_guard_late": "a statement moves that no call takes or gives",
    "hoop_press_reset_tapped": _ADDED.format("a branch for the time without reset"),
    "latched_start": _ADDED.format("OR NOT both hands"),
    "level_reset": _ADDED.format("an edge of the button, and its former state"),
    "lid_press_bouncing": _ADDED.format("a timer for open contacts"),
    "lid_press_bouncing_mended": _NONE.format("what bouncing costs of the availability stays"),
    "lid_press_distance": _NONE.format("the guard is asked of a block without one"),
    "lid_press_locks_out": _ADDED.format("timers for contacts that disagree"),
    "lid_press_locks_out_mended": _NONE.format("what bouncing costs of the availability stays"),
    "lot_counter": _MORE.format("one condition dropped in each of two places, and one negated"),
    "missed_window_forgotten": _MORE.format("two pulses become one timer"),
    "muted_upstroke": "another variable, negated, instead of one that is read",
    "off_delay_on_hands": "instances of another timer",
    "panel_request": _MORE.format("one bit and its statements go, another is reset last"),
    "press_modes": _ADDED.format("the former mode, and what its change resets"),
    "relay_off_delay": _NONE.format("a relay design"),
    "relay_off_delay_dead_band": _NONE.format("a relay design"),
    "relay_off_delay_faults": _NONE.format("a relay design"),
    "relay_off_delay_power_cycles": _NONE.format("a relay design"),
    "relay_off_delay_sluggish_rod": _NONE.format("a relay design"),
    "relay_series": _NONE.format("a relay design"),
    "relay_series_two_stations": _NONE.format("a relay design"),
    "relay_three_position": _NONE.format("a relay design"),
    "relay_three_position_sluggish": _NONE.format("a relay design"),
    "remote_jog_lost": _ADDED.format("a timer for the jog"),
    "round_table_one_resumes": _ADDED.format("a branch that disarms"),
    "round_table_one_window": _ADDED.format("a second station"),
    "second_stroke": _ADDED.format("a statement that disarms"),
    "selector_table_starts": "a comparison instead of a condition",
    "set_never_cleared": _ADDED.format("ELSE with a statement"),
    "stroke_without_end": _ADDED.format("an edge of the end switch"),
    "stuck_end_switch": "a timer has 1900 ms instead of 500 ms, which is not twice as much",
    "supervision_deaf": _ADDED.format("AND NOT each fault"),
    "supervision_late": _MORE.format("three timers and a bit go"),
    "table_jog_endless": _ADDED.format("a timer for the jog"),
    "tied_down_ladder": _ADDED.format("rungs for the window and the release"),
    "trip_repeats": _ADDED.format("a bit that arms"),
    "window_gated_by_run": _MORE.format("the timer is called first, and its input is another"),
    "written_twice": "two statements become one",
}
"""By spec, the reason why its mended version is not within two changes."""
