"""Formulas about now and the past: 10 ms a scan where nothing else is said."""

from tests.agreement.expected_runs.rows import ValueRun

FIRST_SCAN = "manual, what_a_scan_means: the first scan"
BUILT_INS = "IEEE 1850, clause 5 (from memory)"
METRIC = "past operators of metric temporal logic, pointwise at scans, bounds inclusive"

EDGE_ROWS = (
    ValueRun(
        "prev in the first scan is now", FIRST_SCAN, "prev(p)", {"p": "1 0 1 1 0"}, "1 1 0 1 1"
    ),
    ValueRun("prev, off at first", FIRST_SCAN, "prev(p)", {"p": "0 1 1 0 0"}, "0 0 1 1 0"),
    ValueRun("prev of a number", FIRST_SCAN, "prev(n) = 3", {"n : INT": "3 4 3 5"}, "1 1 0 1"),
    ValueRun(
        "prev of prev looks back two scans",
        FIRST_SCAN,
        "prev(prev(p))",
        {"p": "1 0 0 1 0 0"},
        "1 1 1 0 0 1",
    ),
    ValueRun(
        "rose is FALSE in the first scan",
        FIRST_SCAN,
        "rose(p)",
        {"p": "1 1 0 1 1 0 1"},
        "0 0 0 1 0 0 1",
    ),
    ValueRun("rose in the second scan", BUILT_INS, "rose(p)", {"p": "0 1 1 0"}, "0 1 0 0"),
    ValueRun(
        "fell is FALSE in the first scan", FIRST_SCAN, "fell(p)", {"p": "0 0 1 0 0"}, "0 0 0 1 0"
    ),
    ValueRun("fell in the second scan", BUILT_INS, "fell(p)", {"p": "1 0 0 1"}, "0 1 0 0"),
    ValueRun("rose of a comparison", BUILT_INS, "rose(n > 2)", {"n : INT": "3 4 2 3"}, "0 0 0 1"),
    ValueRun("prev of rose", FIRST_SCAN, "prev(rose(p))", {"p": "0 1 1 0 1 1"}, "0 0 1 0 0 1"),
    ValueRun("rose of prev", FIRST_SCAN, "rose(prev(p))", {"p": "0 1 1 0 1"}, "0 0 1 0 0"),
    ValueRun(
        "stable is TRUE in the first scan", FIRST_SCAN, "stable(p)", {"p": "1 1 0 0 1"}, "1 1 0 1 0"
    ),
    ValueRun(
        "stable compares the whole value",
        BUILT_INS,
        "stable(n)",
        {"n : INT": "3 3 5 5 4"},
        "1 1 0 1 0",
    ),
    ValueRun("FIRST_SCAN", FIRST_SCAN, "FIRST_SCAN", {"p": "0 0 0 0"}, "1 0 0 0"),
    ValueRun(
        "prev of FIRST_SCAN is TRUE twice",
        FIRST_SCAN,
        "prev(FIRST_SCAN)",
        {"p": "0 0 0 0"},
        "1 1 0 0",
    ),
    ValueRun("fell of FIRST_SCAN", FIRST_SCAN, "fell(FIRST_SCAN)", {"p": "0 0 0 0"}, "0 1 0 0"),
    ValueRun(
        "implication is FALSE only from TRUE to FALSE",
        "common practice",
        "p -> q",
        {"p": "0 0 1 1", "q": "0 1 0 1"},
        "1 1 0 1",
    ),
    ValueRun(
        "implications group to the right",
        "common practice",
        "p -> q -> r",
        {"p": "0 1 1", "q": "1 1 0", "r": "0 0 0"},
        "1 0 1",
    ),
    ValueRun(
        "arithmetic in a formula neither overflows nor wraps",
        "manual, spec_language",
        "n + 1 > 32767 AND n * n > 32767",
        {"n : INT": "32767 32766"},
        "1 0",
    ),
)

UNBOUNDED_ROWS = (
    ValueRun("once", METRIC, "once(p)", {"p": "0 0 1 0 0"}, "0 0 1 1 1"),
    ValueRun("once from the first scan", METRIC, "once(p)", {"p": "1 0 0 0"}, "1 1 1 1"),
    ValueRun("held", METRIC, "held(p)", {"p": "1 1 0 1"}, "1 1 0 0"),
    ValueRun("held needs the first scan", METRIC, "held(p)", {"p": "0 1 1 1"}, "0 0 0 0"),
    ValueRun(
        "since: q once, and p in every scan after it",
        METRIC,
        "since(p, q)",
        {"p": "1 1 0 1 1 1", "q": "0 1 0 0 1 0"},
        "0 1 0 0 1 1",
    ),
    ValueRun(
        "since needs no p in the scan of q",
        METRIC,
        "since(p, q)",
        {"p": "0 1 0 1 0", "q": "1 0 0 0 1"},
        "1 1 0 0 1",
    ),
    ValueRun(
        "since is strong: without q it is FALSE",
        METRIC,
        "since(p, q)",
        {"p": "1 1 1", "q": "0 0 0"},
        "0 0 0",
    ),
    ValueRun(
        "SINCE between its operands",
        METRIC,
        "p SINCE q",
        {"p": "1 1 0 1 1 1", "q": "0 1 0 0 1 0"},
        "0 1 0 0 1 1",
    ),
    ValueRun(
        "SINCE binds weaker than OR and NOT",
        "grammar of the spec language",
        "NOT p SINCE q OR r",
        {"p": "0 0 1 0", "q": "0 0 0 0", "r": "1 0 0 0"},
        "1 1 0 0",
    ),
    ValueRun(
        "since of edges",
        METRIC,
        "since(NOT fell(p), rose(q))",
        {"p": "1 1 1 0 0 0", "q": "0 1 1 1 0 1"},
        "0 1 1 0 0 1",
    ),
)

BOUNDED_ROWS = (
    ValueRun(
        "once within 20 ms, inclusive", METRIC, "once(p, T#20ms)", {"p": "1 0 0 0 0"}, "1 1 1 0 0"
    ),
    ValueRun(
        "once counts from the latest",
        METRIC,
        "once(p, T#20ms)",
        {"p": "0 1 0 1 0 0 0"},
        "0 1 1 1 1 1 0",
    ),
    ValueRun(
        "once in scans of uneven length: 20 ms is in, 21 ms is out",
        METRIC,
        "once(p, T#20ms)",
        {"p": "1 0 0 0"},
        "1 1 1 0",
        elapsed="0 5 15 1",
    ),
    ValueRun(
        "a fixed period that does not divide the bound",
        METRIC,
        "once(p, T#20ms)",
        {"p": "1 0 0 0 0"},
        "1 1 1 0 0",
        elapsed="0 7 7 7 7",
    ),
    ValueRun(
        "a fixed period that divides the bound",
        METRIC,
        "once(p, T#21ms)",
        {"p": "1 0 0 0 0"},
        "1 1 1 1 0",
        elapsed="0 7 7 7 7",
    ),
    ValueRun("once within 0 ms is now", METRIC, "once(p, T#0ms)", {"p": "1 0 1 0"}, "1 0 1 0"),
    ValueRun("once within scans", METRIC, "once(p, 2 SCANS)", {"p": "1 0 0 0 1 0"}, "1 1 1 0 1 1"),
    ValueRun(
        "scans are counted however long they are",
        METRIC,
        "once(p, 2 SCANS)",
        {"p": "1 0 0 0"},
        "1 1 1 0",
        elapsed="0 1 1 1",
    ),
    ValueRun(
        "a bound in time and the same number of scans are two things",
        METRIC,
        "once(p, T#2ms) AND NOT once(p, 2 SCANS) OR NOT once(p, T#2ms) AND once(p, 2 SCANS)",
        {"p": "1 0 0 0 0"},
        "0 0 1 0 0",
        elapsed="0 1 2 1 1",
    ),
    ValueRun(
        "clocks of one operand by time and by scans, the one by time first",
        METRIC,
        "once(p, T#5ms) AND once(p, 2 SCANS)",
        {"p": "1 0 0 0"},
        "1 1 1 0",
        elapsed="0 2 2 3",
    ),
    ValueRun(
        "clocks of one operand by time and by scans, the one by scans first",
        METRIC,
        "once(p, 3 SCANS) AND once(p, T#3ms)",
        {"p": "1 0 0 0"},
        "1 1 0 0",
        elapsed="0 2 2 3",
    ),
    ValueRun("once at least 20 ms ago", METRIC, "once(p, T#20ms..)", {"p": "1 0 0 0"}, "0 0 1 1"),
    ValueRun(
        "once at least 20 ms ago counts from the earliest",
        METRIC,
        "once(p, T#20ms..)",
        {"p": "0 1 1 0 0"},
        "0 0 0 1 1",
    ),
    ValueRun(
        "once at least 20 ms ago: 19 ms is too soon",
        METRIC,
        "once(p, T#20ms..)",
        {"p": "1 0 0 0"},
        "0 0 1 1",
        elapsed="0 19 1 5",
    ),
    ValueRun("held for 20 ms", METRIC, "held(p, T#20ms)", {"p": "0 1 1 1 1 0 1"}, "0 0 0 1 1 0 0"),
    ValueRun(
        "held from the first scan counts as longer than any bound",
        FIRST_SCAN,
        "held(p, T#500ms)",
        {"p": "1 1 0 1"},
        "1 1 0 0",
    ),
    ValueRun(
        "held for 20 ms, scans of uneven length",
        METRIC,
        "held(p, T#20ms)",
        {"p": "0 1 1 1"},
        "0 0 0 1",
        elapsed="0 5 15 1",
    ),
    ValueRun("held for 2 scans", METRIC, "held(p, 2 SCANS)", {"p": "0 1 1 1 0 1"}, "0 0 0 1 0 0"),
    ValueRun(
        "a hand on in the first scan was pressed longer ago than any window",
        FIRST_SCAN,
        "once(rose(p), T#500ms)",
        {"p": "1 1 0 1"},
        "0 0 0 1",
    ),
    ValueRun(
        "held of once", METRIC, "held(once(p, T#10ms), T#10ms)", {"p": "1 0 0 1 0"}, "1 1 0 0 1"
    ),
    ValueRun(
        "prev of a bounded once", METRIC, "prev(once(p, T#10ms))", {"p": "1 0 0 0"}, "1 1 1 0"
    ),
)

BEFORE = "manual, what_a_scan_means: before power-up"

BEFORE_POWER_UP_ROWS = (
    ValueRun("held looks back", BEFORE, "held(p, T#20ms)", {"p": "0 1 | 1 1 1"}, "0 1 1"),
    ValueRun("held since long before", BEFORE, "held(p, T#20ms)", {"p": "1 1 | 1 0"}, "1 0"),
    ValueRun("once looks back", BEFORE, "once(p, T#20ms)", {"p": "1 0 | 0 0"}, "1 0"),
    ValueRun("once without a bound", BEFORE, "once(p)", {"p": "1 0 | 0 0"}, "1 1"),
    ValueRun("once by scans", BEFORE, "once(p, 2 SCANS)", {"p": "1 0 | 0 0"}, "1 0"),
    ValueRun("once long ago", BEFORE, "once(p, T#20ms..)", {"p": "1 0 | 0 0"}, "1 1"),
    ValueRun(
        "since looks back",
        BEFORE,
        "since(p, q)",
        {"p": "0 1 | 1 1 0", "q": "1 0 | 0 0 0"},
        "1 1 0",
    ),
    ValueRun(
        "samples of uneven distance",
        BEFORE,
        "held(p, T#20ms)",
        {"p": "0 1 1 | 1 1"},
        "0 1",
        elapsed="0 5 10 5 1",
    ),
    ValueRun("rose sees no change at power-up", BEFORE, "rose(p)", {"p": "0 | 1 0"}, "0 0"),
    ValueRun("fell sees no change at power-up", BEFORE, "fell(p)", {"p": "1 | 0 1"}, "0 0"),
    ValueRun("prev at power-up is now", BEFORE, "prev(p)", {"p": "0 | 1 0"}, "1 1"),
    ValueRun("prev of a number at power-up", BEFORE, "prev(n) = 3", {"n : INT": "2 | 3 2"}, "1 1"),
    ValueRun("an edge before power-up", BEFORE, "once(rose(p))", {"p": "0 1 0 | 0"}, "1"),
    ValueRun("no edge at power-up", BEFORE, "once(rose(p))", {"p": "0 | 1 1"}, "0 0"),
    ValueRun("no edge in the first sample", BEFORE, "once(rose(p))", {"p": "1 1 | 1"}, "0"),
    ValueRun("prev before power-up", BEFORE, "once(prev(p))", {"p": "1 0 0 | 0"}, "1"),
    ValueRun("FIRST_SCAN is at power-up", BEFORE, "FIRST_SCAN", {"p": "0 0 | 0 0"}, "1 0"),
    ValueRun("ANY_SCAN", BEFORE, "ANY_SCAN", {"p": "0 | 0 0"}, "1 1"),
    ValueRun(
        "what is joined with ANY_SCAN is as old as the run",
        BEFORE,
        "once(p AND ANY_SCAN)",
        {"p": "1 1 | 0 1"},
        "0 1",
    ),
    ValueRun(
        "held for 20 ms needs a run so old",
        BEFORE,
        "held(p AND ANY_SCAN, T#20ms)",
        {"p": "1 1 1 | 1 1 1 0 1"},
        "0 0 1 0 0",
    ),
    ValueRun(
        "held for 20 ms after less in a run that is older",
        BEFORE,
        "held(p AND ANY_SCAN, T#20ms)",
        {"p": "1 0 1 1 1 1"},
        "0 0 0 0 1 1",
    ),
    ValueRun(
        "held for 2 scans needs a run so old",
        BEFORE,
        "held(p AND ANY_SCAN, 2 SCANS)",
        {"p": "1 1 1 | 1 1 1 1"},
        "0 0 1 1",
        elapsed="0 5 5 5 1 1 1",
    ),
    ValueRun(
        "held in a run of uneven scans",
        BEFORE,
        "held(p AND ANY_SCAN, T#20ms)",
        {"p": "1 1 1 1"},
        "0 0 1 1",
        elapsed="0 5 15 1",
    ),
    ValueRun(
        "held with a fixed period that does not divide the bound",
        BEFORE,
        "held(p AND ANY_SCAN, T#20ms)",
        {"p": "1 1 1 1 1"},
        "0 0 0 1 1",
        elapsed="0 7 7 7 7",
    ),
    ValueRun(
        "held without a bound is about the run",
        BEFORE,
        "held(p AND ANY_SCAN)",
        {"p": "0 | 1 1 0"},
        "1 1 0",
    ),
    ValueRun(
        "held is more than never the opposite while the run is young",
        BEFORE,
        "NOT once(NOT (p AND ANY_SCAN), T#20ms) AND NOT held(p AND ANY_SCAN, T#20ms)",
        {"p": "1 1 1"},
        "1 1 0",
    ),
)

ROWS = EDGE_ROWS + UNBOUNDED_ROWS + BOUNDED_ROWS + BEFORE_POWER_UP_ROWS
