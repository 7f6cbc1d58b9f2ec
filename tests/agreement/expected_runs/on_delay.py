"""TON (IEC 61131-3 Ed. 2, Table 37; Ed. 3, Table 46): 100 ms a scan where nothing else is said."""

from tests.agreement.expected_runs.rows import BlockRun

TABLE = "IEC 61131-3 Ed. 3, Table 46 and Figure 15, TON"
CLOCK = "manual, what_a_scan_means: a timer that is not called"
OPEN_POINT = "manual, what_a_scan_means, readings; the standard leaves it open"

CALL = "t(IN := i, PT := T#300ms);"
CALL_WHERE_ENABLED = "IF en THEN t(IN := i, PT := T#300ms); END_IF;"
TIMER = "t : TON;"

EDGE_IS_FREE = {"edge_call_counts": False}
EDGE_COUNTS = {"edge_call_counts": True}

ROWS = (
    BlockRun(
        "IN on from the first scan: Q after PT, both reset at once with IN",
        TABLE,
        TIMER,
        CALL,
        readings=EDGE_IS_FREE,
        given={"i": "1 1 1 1 1 0 1 0"},
        expected={
            "t.Q": "0 0 0 1 1 0 0 0",
            "t.ET": "0 100 200 300 300 0 0 0",
        },
    ),
    BlockRun(
        "a first scan with IN off, an edge that contributes no time",
        TABLE,
        TIMER,
        CALL,
        readings=EDGE_IS_FREE,
        given={"i": "0 0 1 1 1 1 0 1"},
        expected={
            "t.Q": "0 0 0 0 0 1 0 0",
            "t.ET": "0 0 0 100 200 300 0 0",
        },
    ),
    BlockRun(
        "an edge call that counts its scan's time",
        OPEN_POINT,
        TIMER,
        CALL,
        readings=EDGE_COUNTS,
        given={"i": "0 0 1 1 1 1 0 1"},
        expected={
            "t.Q": "0 0 0 0 1 1 0 0",
            "t.ET": "0 0 100 200 300 300 0 100",
        },
    ),
    BlockRun(
        "one scan with IN off starts the delay anew",
        TABLE,
        TIMER,
        CALL,
        readings=EDGE_IS_FREE,
        given={"i": "1 1 1 0 1 1 1 1"},
        expected={
            "t.Q": "0 0 0 0 0 0 0 1",
            "t.ET": "0 100 200 0 0 100 200 300",
        },
    ),
    BlockRun(
        "scans of uneven length: one millisecond short is not yet",
        TABLE,
        TIMER,
        "t(IN := i, PT := T#30ms);",
        readings=EDGE_IS_FREE,
        elapsed="0 5 20 4 1",
        given={"i": "1 1 1 1 1"},
        expected={"t.Q": "0 0 0 0 1", "t.ET": "0 5 25 29 30"},
    ),
    BlockRun(
        "ET does not pass PT where a scan steps over it",
        TABLE,
        TIMER,
        "t(IN := i, PT := T#30ms);",
        readings=EDGE_IS_FREE,
        elapsed="0 20 20 20",
        given={"i": "1 1 1 1"},
        expected={"t.Q": "0 0 1 1", "t.ET": "0 20 30 30"},
    ),
    BlockRun(
        "PT = 0 is over in the edge call",
        OPEN_POINT,
        TIMER,
        "t(IN := i, PT := T#0ms);",
        readings={"zero_preset_at_once": True},
        given={"i": "0 1 1 0 1"},
        expected={"t.Q": "0 1 1 0 1", "t.ET": "0 0 0 0 0"},
    ),
    BlockRun(
        "PT = 0 is over one call after the edge",
        OPEN_POINT,
        TIMER,
        "t(IN := i, PT := T#0ms);",
        readings={"zero_preset_at_once": False},
        given={"i": "0 1 1 0 1"},
        expected={"t.Q": "0 0 1 0 0", "t.ET": "0 0 0 0 0"},
    ),
    BlockRun(
        "PT = 0 at once, IN on in the first scan",
        OPEN_POINT,
        TIMER,
        "t(IN := i, PT := T#0ms);",
        readings={"zero_preset_at_once": True},
        given={"i": "1 1 0"},
        expected={"t.Q": "1 1 0"},
    ),
    BlockRun(
        "PT = 0 a call later, IN on in the first scan",
        OPEN_POINT,
        TIMER,
        "t(IN := i, PT := T#0ms);",
        readings={"zero_preset_at_once": False},
        given={"i": "1 1 0"},
        expected={"t.Q": "0 1 0"},
    ),
    BlockRun(
        "time goes on while the timer is not called, and the next call sees all of it",
        CLOCK,
        TIMER,
        CALL_WHERE_ENABLED,
        readings=EDGE_IS_FREE,
        given={"en": "1 0 0 1", "i": "1 1 1 1"},
        expected={"t.Q": "0 0 0 1", "t.ET": "0 0 0 300"},
    ),
    BlockRun(
        "Q and ET stay as the last call left them",
        CLOCK,
        TIMER,
        CALL_WHERE_ENABLED,
        readings=EDGE_IS_FREE,
        given={"en": "1 1 1 1 0 0 1", "i": "1 1 1 1 0 0 0"},
        expected={
            "t.Q": "0 0 0 1 1 1 0",
            "t.ET": "0 100 200 300 300 300 0",
        },
    ),
    BlockRun(
        "what IN does between two calls is not seen",
        CLOCK,
        TIMER,
        CALL_WHERE_ENABLED,
        readings=EDGE_IS_FREE,
        given={"en": "1 0 0 1", "i": "1 0 0 1"},
        expected={"t.Q": "0 0 0 1", "t.ET": "0 0 0 300"},
    ),
    BlockRun(
        "an instance that was never called has no age",
        "common practice: an instance never called has no age",
        TIMER,
        "IF en THEN t(IN := i, PT := T#100ms); END_IF;",
        readings=EDGE_IS_FREE,
        given={"en": "0 0 1 1", "i": "1 1 1 1"},
        expected={"t.Q": "0 0 0 1", "t.ET": "0 0 0 100"},
    ),
    BlockRun(
        "a late first call that counts its scan's time counts one scan only",
        OPEN_POINT,
        TIMER,
        "IF en THEN t(IN := i, PT := T#200ms); END_IF;",
        readings=EDGE_COUNTS,
        given={"en": "0 0 1 1", "i": "1 1 1 1"},
        expected={"t.Q": "0 0 0 1", "t.ET": "0 0 100 200"},
    ),
    BlockRun(
        "PT is read at every call: shortened, then lengthened beyond the age",
        OPEN_POINT,
        TIMER,
        "t(IN := i, PT := pt);",
        readings={"edge_call_counts": False, "preset_latched": False},
        given={"i": "1 1 1 1", "pt : TIME": "300 300 100 400"},
        expected={"t.Q": "0 0 1 0", "t.ET": "0 100 100 300"},
    ),
    BlockRun(
        "PT is read at the edge: later values do not count",
        OPEN_POINT,
        TIMER,
        "t(IN := i, PT := pt);",
        readings={"edge_call_counts": False, "preset_latched": True},
        given={"i": "1 1 1 1 0 1 1", "pt : TIME": "300 300 100 400 100 100 100"},
        expected={"t.Q": "0 0 0 1 0 0 1", "t.ET": "0 100 200 300 0 0 100"},
    ),
    BlockRun(
        "the clock stands still within a scan: a second call sees the same time",
        "manual, what_a_scan_means",
        TIMER,
        "t(IN := i, PT := T#200ms); t(IN := i, PT := T#200ms);",
        readings=EDGE_IS_FREE,
        given={"i": "1 1 1 1"},
        expected={"t.Q": "0 0 1 1", "t.ET": "0 100 200 200"},
    ),
    BlockRun(
        "a call with IN off and one with IN on in each scan: an edge in each",
        "manual, what_a_scan_means",
        TIMER,
        "t(IN := FALSE, PT := T#100ms); t(IN := i, PT := T#100ms);",
        readings=EDGE_IS_FREE,
        given={"i": "1 1 1 1"},
        expected={"t.Q": "0 0 0 0", "t.ET": "0 0 0 0"},
    ),
    BlockRun(
        "Q read in front of the call is that of the scan before",
        "manual, what_a_scan_means: the body runs once from top to bottom",
        "t : TON; early : BOOL;",
        "early := t.Q; t(IN := i, PT := T#200ms);",
        readings=EDGE_IS_FREE,
        given={"i": "1 1 1 1 0 0"},
        expected={"t.Q": "0 0 1 1 0 0", "early": "0 0 0 1 1 0"},
    ),
)
