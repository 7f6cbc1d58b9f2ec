"""The readings in which platforms differ, in words."""

from __future__ import annotations

from collections.abc import Mapping

from twohand.specification.phrases import listing

WORDS = {
    ("edge_call_counts", True): "a timer's edge call counts its scan",
    ("edge_call_counts", False): "a timer's edge call counts no time",
    ("first_scan_has_time", True): "timers count a scan's time in the first scan already",
    ("first_scan_has_time", False): "timers count no time in the first scan",
    ("zero_preset_at_once", True): "a timer with PT = 0 is over in its edge call",
    ("zero_preset_at_once", False): "a timer with PT = 0 is over one call after its edge",
    ("preset_latched", True): "a timer reads PT at its edge only",
    ("preset_latched", False): "a timer reads PT at every call",
    ("falling_edge_at_first_call", True): "F_TRIG fires when its first call finds CLK FALSE",
    ("falling_edge_at_first_call", False): "F_TRIG is silent when its first call finds CLK FALSE",
    ("counter_stops_at_preset", True): "a counter stops at PV",
    ("counter_stops_at_preset", False): "a counter counts on beyond PV",
    ("loop_leaves_past_end", True): "a FOR variable ends one step past its last value",
    ("loop_leaves_past_end", False): "a FOR variable ends at its last value",
    ("disabled_call_takes_inputs", True): "a call with EN FALSE still takes its inputs",
    ("disabled_call_takes_inputs", False): "a call with EN FALSE takes no inputs",
    ("clock_is_signed", True): "TIME() is a signed number of milliseconds",
    ("clock_is_signed", False): "TIME() is an unsigned number of milliseconds",
    ("durations_are_signed", True): "a duration may be below zero",
    ("durations_are_signed", False): "no duration is below zero",
    ("temporaries_begin_anew", True): "temporary variables begin anew at each call",
    ("temporaries_begin_anew", False): "temporary variables begin with what was there before",
}


def reading_clauses(readings: Mapping[str, bool]) -> list[str]:
    """Each choice as a clause; one without words as a spec states it."""
    return [
        WORDS.get((name, choice), f"{name} {str(choice).upper()}")
        for name, choice in readings.items()
    ]


def reading_words(readings: Mapping[str, bool]) -> str:
    """The choices of a run as clauses joined by 'and'."""
    return listing(reading_clauses(readings))


def reading_sentence(readings: Mapping[str, bool], decides: bool) -> str:
    """What a run presumes of the platform; '' where it presumes nothing."""
    if not readings:
        return ""
    if decides:
        return f"only where {reading_words(readings)}; proved under another reading"
    return f"this run is of a platform where {reading_words(readings)}"


def values_sentence(readings: Mapping[str, bool]) -> str:
    """On what platform the values of a run are these; '' where they are so on every one."""
    return f"its values are those of a platform where {reading_words(readings)}" if readings else ""


def never_sentence(readings: Mapping[str, bool]) -> str:
    """Under which readings something never happens that does happen under another one."""
    return f"where {reading_words(readings)}, though under another reading it does"
