"""TOF and TP (IEC 61131-3 Ed. 2, Table 37; Ed. 3, Table 46): 100 ms a scan unless told."""

from tests.agreement.expected_runs.rows import BlockRun

OFF_DELAY = "IEC 61131-3 Ed. 3, Table 46 and Figure 15, TOF"
PULSE = "IEC 61131-3 Ed. 3, Table 46 and Figure 15, TP"
OPEN_POINT = "manual, what_a_scan_means, readings; the standard leaves it open"
CLOCK = "manual, what_a_scan_means: a timer that is not called"

CALL = "t(IN := i, PT := T#300ms);"
WHERE_ENABLED = "IF en THEN t(IN := i, PT := T#300ms); END_IF;"
PRESET_GIVEN = "t(IN := i, PT := pt);"

EDGE_IS_FREE = {"edge_call_counts": False}
EDGE_COUNTS = {"edge_call_counts": True}
COUNTS_AT_FIRST = {"edge_call_counts": True, "first_scan_has_time": True}
COUNTS_LATER = {"edge_call_counts": True, "first_scan_has_time": False}
CALLED_TWICE = "t(IN := i OR j, PT := T#300ms); t(IN := i);"
AT_EVERY_CALL = {"edge_call_counts": False, "preset_latched": False}
AT_THE_EDGE = {"edge_call_counts": False, "preset_latched": True}

OFF_DELAY_ROWS = (
    BlockRun(
        "IN off from the first scan: no falling edge, Q and ET stay 0",
        OFF_DELAY,
        "t : TOF;",
        CALL,
        given={"i": "0 0 0"},
        expected={"t.Q": "0 0 0", "t.ET": "0 0 0"},
    ),
    BlockRun(
        "a short drop does not show, a long one ends after PT and ET stays",
        OFF_DELAY,
        "t : TOF;",
        CALL,
        readings=EDGE_IS_FREE,
        given={"i": "1 1 0 1 0 0 0 0 0"},
        expected={
            "t.Q": "1 1 1 1 1 1 1 0 0",
            "t.ET": "0 0 0 0 0 100 200 300 300",
        },
    ),
    BlockRun(
        "IN on again after the end: Q on at once, ET 0",
        OFF_DELAY,
        "t : TOF;",
        CALL,
        readings=EDGE_IS_FREE,
        given={"i": "1 0 0 0 0 1 0"},
        expected={"t.Q": "1 1 1 1 0 1 1", "t.ET": "0 0 100 200 300 0 0"},
    ),
    BlockRun(
        "an edge call that counts its scan's time",
        OPEN_POINT,
        "t : TOF;",
        CALL,
        readings=EDGE_COUNTS,
        given={"i": "1 0 0 0 0"},
        expected={"t.Q": "1 1 1 0 0", "t.ET": "0 100 200 300 300"},
    ),
    BlockRun(
        "a second call in the first scan is an edge that counts the scan's time",
        OPEN_POINT,
        "t : TOF;",
        CALLED_TWICE,
        readings=COUNTS_AT_FIRST,
        given={"i": "0 0 0", "j": "1 0 0"},
        expected={"t.Q": "1 1 0", "t.ET": "100 200 300"},
    ),
    BlockRun(
        "a second call in the first scan is an edge, and no time has passed yet",
        OPEN_POINT,
        "t : TOF;",
        CALLED_TWICE,
        readings=COUNTS_LATER,
        given={"i": "0 0 0 0", "j": "1 0 0 0"},
        expected={"t.Q": "1 1 1 0", "t.ET": "0 100 200 300"},
    ),
    BlockRun(
        "scans of uneven length: one millisecond short is not yet",
        OFF_DELAY,
        "t : TOF;",
        "t(IN := i, PT := T#30ms);",
        readings=EDGE_IS_FREE,
        elapsed="0 7 29 1",
        given={"i": "1 0 0 0"},
        expected={"t.Q": "1 1 1 0", "t.ET": "0 0 29 30"},
    ),
    BlockRun(
        "PT = 0 is over in the edge call: Q follows IN",
        OPEN_POINT,
        "t : TOF;",
        "t(IN := i, PT := T#0ms);",
        readings={"zero_preset_at_once": True},
        given={"i": "1 0 0 1 0"},
        expected={"t.Q": "1 0 0 1 0", "t.ET": "0 0 0 0 0"},
    ),
    BlockRun(
        "PT = 0 is over one call later: Q one call longer than IN",
        OPEN_POINT,
        "t : TOF;",
        "t(IN := i, PT := T#0ms);",
        readings={"zero_preset_at_once": False},
        given={"i": "1 0 0 1 0"},
        expected={"t.Q": "1 1 0 1 1", "t.ET": "0 0 0 0 0"},
    ),
    BlockRun(
        "not called: Q stays, and the next call sees all of the time",
        CLOCK,
        "t : TOF;",
        WHERE_ENABLED,
        readings=EDGE_IS_FREE,
        given={"en": "1 1 0 0 0 1", "i": "1 0 0 0 0 0"},
        expected={"t.Q": "1 1 1 1 1 0", "t.ET": "0 0 0 0 0 300"},
    ),
    BlockRun(
        "PT is read at the falling edge, not at the rising one and not later",
        OPEN_POINT,
        "t : TOF;",
        PRESET_GIVEN,
        readings=AT_THE_EDGE,
        given={"i": "1 0 0 0 0", "pt : TIME": "100 300 100 100 100"},
        expected={"t.Q": "1 1 1 1 0", "t.ET": "0 0 100 200 300"},
    ),
    BlockRun(
        "PT is read at every call",
        OPEN_POINT,
        "t : TOF;",
        PRESET_GIVEN,
        readings=AT_EVERY_CALL,
        given={"i": "1 0 0 0 0", "pt : TIME": "100 300 100 100 100"},
        expected={"t.Q": "1 1 0 0 0", "t.ET": "0 0 100 100 100"},
    ),
    # First written as off for good, by the table's 'ET stays until IN is on'. That speaks of a PT
    # that stays; the standard leaves open what a new one does, and the manual reads it at every
    # call. A platform that forgets the edge at the end differs.
    BlockRun(
        "PT read at every call: where it grows beyond the age after the end, Q is back",
        OPEN_POINT,
        "t : TOF;",
        PRESET_GIVEN,
        readings=AT_EVERY_CALL,
        given={"i": "1 0 0 0 0", "pt : TIME": "100 100 100 900 900"},
        expected={"t.Q": "1 1 0 1 1"},
    ),
    BlockRun(
        "PT read at the edge: where it grows after the end, Q stays off",
        OPEN_POINT,
        "t : TOF;",
        PRESET_GIVEN,
        readings=AT_THE_EDGE,
        given={"i": "1 0 0 0 0", "pt : TIME": "100 100 100 900 900"},
        expected={"t.Q": "1 1 0 0 0", "t.ET": "0 0 100 100 100"},
    ),
)

PULSE_ROWS = (
    BlockRun(
        "a pulse from the first scan; ET stays at PT while IN is on",
        PULSE,
        "t : TP;",
        CALL,
        readings=EDGE_IS_FREE,
        given={"i": "1 1 1 1 1 0 1 0"},
        expected={"t.Q": "1 1 1 0 0 0 1 1", "t.ET": "0 100 200 300 300 0 0 100"},
    ),
    BlockRun(
        "an edge during the pulse is ignored; IN off at its end: ET 0 at once",
        PULSE,
        "t : TP;",
        CALL,
        readings=EDGE_IS_FREE,
        given={"i": "1 0 1 0 0"},
        expected={"t.Q": "1 1 1 0 0", "t.ET": "0 100 200 0 0"},
    ),
    BlockRun(
        "IN off after the edge does not shorten the pulse",
        PULSE,
        "t : TP;",
        CALL,
        readings=EDGE_IS_FREE,
        given={"i": "0 1 0 0 0 0"},
        expected={"t.Q": "0 1 1 1 0 0", "t.ET": "0 0 100 200 0 0"},
    ),
    BlockRun(
        "IN on again in the very call that ends the pulse: off must be sampled after the end",
        PULSE,
        "t : TP;",
        CALL,
        readings=EDGE_IS_FREE,
        given={"i": "1 0 0 1 1 0 1"},
        expected={"t.Q": "1 1 1 0 0 0 1", "t.ET": "0 100 200 300 300 0 0"},
    ),
    BlockRun(
        "an edge call that counts its scan's time",
        OPEN_POINT,
        "t : TP;",
        CALL,
        readings=EDGE_COUNTS,
        given={"i": "0 1 1 1 1 0"},
        expected={"t.Q": "0 1 1 0 0 0", "t.ET": "0 100 200 300 300 0"},
    ),
    BlockRun(
        "a pulse from the first scan, which counts its scan's time",
        OPEN_POINT,
        "t : TP;",
        CALL,
        readings=COUNTS_AT_FIRST,
        given={"i": "1 1 1 1 0"},
        expected={"t.Q": "1 1 0 0 0", "t.ET": "100 200 300 300 0"},
    ),
    BlockRun(
        "a pulse from the first scan, in which no time has passed yet",
        OPEN_POINT,
        "t : TP;",
        CALL,
        readings=COUNTS_LATER,
        given={"i": "1 1 1 1 0"},
        expected={"t.Q": "1 1 1 0 0", "t.ET": "0 100 200 300 0"},
    ),
    BlockRun(
        "an edge call that counts a scan as long as PT ends the pulse as it begins",
        OPEN_POINT,
        "t : TP;",
        "t(IN := i, PT := T#100ms);",
        readings=EDGE_COUNTS,
        given={"i": "0 1 1 0 1"},
        expected={"t.Q": "0 0 0 0 0", "t.ET": "0 100 100 0 100"},
    ),
    BlockRun(
        "PT = 0 is over in the edge call: no pulse",
        OPEN_POINT,
        "t : TP;",
        "t(IN := i, PT := T#0ms);",
        readings={"zero_preset_at_once": True},
        given={"i": "1 1 0 1 0"},
        expected={"t.Q": "0 0 0 0 0", "t.ET": "0 0 0 0 0"},
    ),
    BlockRun(
        "PT = 0 is over one call later: a pulse of one call",
        OPEN_POINT,
        "t : TP;",
        "t(IN := i, PT := T#0ms);",
        readings={"zero_preset_at_once": False},
        given={"i": "1 1 0 1 0"},
        expected={"t.Q": "1 0 0 1 0", "t.ET": "0 0 0 0 0"},
    ),
    BlockRun(
        "not called: Q stays beyond PT, and the next call ends it",
        CLOCK,
        "t : TP;",
        WHERE_ENABLED,
        readings=EDGE_IS_FREE,
        given={"en": "1 0 0 0 1 1", "i": "1 1 1 1 1 1"},
        expected={"t.Q": "1 1 1 1 0 0", "t.ET": "0 0 0 0 300 300"},
    ),
    BlockRun(
        "PT read at every call ends the pulse early, and growing again does not revive it",
        OPEN_POINT,
        "t : TP;",
        PRESET_GIVEN,
        readings=AT_EVERY_CALL,
        given={"i": "1 1 1 1 1", "pt : TIME": "300 300 100 900 900"},
        expected={"t.Q": "1 1 0 0 0"},
    ),
    BlockRun(
        "PT read at every call lengthens the pulse",
        OPEN_POINT,
        "t : TP;",
        PRESET_GIVEN,
        readings=AT_EVERY_CALL,
        given={"i": "1 1 1 1 1", "pt : TIME": "300 300 300 400 400"},
        expected={"t.Q": "1 1 1 1 0", "t.ET": "0 100 200 300 400"},
    ),
    BlockRun(
        "PT read at the edge: later values do not count",
        OPEN_POINT,
        "t : TP;",
        PRESET_GIVEN,
        readings=AT_THE_EDGE,
        given={"i": "1 1 1 1 1", "pt : TIME": "300 300 100 900 900"},
        expected={"t.Q": "1 1 1 0 0", "t.ET": "0 100 200 300 300"},
    ),
    BlockRun(
        "a second edge during the pulse does not read PT: longer",
        OPEN_POINT,
        "t : TP;",
        PRESET_GIVEN,
        readings=AT_THE_EDGE,
        given={"i": "1 0 1 1 1", "pt : TIME": "300 300 900 900 900"},
        expected={"t.Q": "1 1 1 0 0", "t.ET": "0 100 200 300 300"},
    ),
    BlockRun(
        "a second edge during the pulse does not read PT: shorter",
        OPEN_POINT,
        "t : TP;",
        PRESET_GIVEN,
        readings=AT_THE_EDGE,
        given={"i": "1 0 1 0 0", "pt : TIME": "300 300 100 100 100"},
        expected={"t.Q": "1 1 1 0 0", "t.ET": "0 100 200 0 0"},
    ),
    BlockRun(
        "a second edge in the call in which a shorter PT ends the pulse starts none",
        OPEN_POINT,
        "t : TP;",
        PRESET_GIVEN,
        readings=AT_EVERY_CALL,
        given={"i": "1 0 1 0 0", "pt : TIME": "300 300 100 100 100"},
        expected={"t.Q": "1 1 0 0 0", "t.ET": "0 100 100 0 0"},
    ),
)

ROWS = OFF_DELAY_ROWS + PULSE_ROWS
