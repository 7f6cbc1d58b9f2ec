"""Properties of whole runs: WITHIN, UNTIL, BEFORE, ALWAYS, NEVER; 10 ms a scan unless told."""

from tests.agreement.expected_runs.rows import PropertyRun

RESPONSE = "bounded response of metric temporal logic, bounds inclusive"
WEAK_UNTIL = "IEEE 1850: until is weak and does not ask for its left side in the ending scan"
WEAK_BEFORE = "IEEE 1850: before is weak and asks for its left side strictly before the right"
MANUAL = "manual, spec_language"

WITHIN_TIME = "f -> g WITHIN T#20ms"
WITHIN_SCANS = "f -> g WITHIN 2 SCANS"
UNTIL = "f -> g UNTIL h"
BEFORE = "f -> g BEFORE h"

# An open answer is late in the first scan beyond the bound. These rows first named the scan at the
# bound, where it is certain already; time goes on in every run, so that both say the same of it.
WITHIN_ROWS = (
    PropertyRun("no answer", RESPONSE, WITHIN_TIME, {"f": "0 1 0 0 0", "g": "0 0 0 0 0"}, 5),
    PropertyRun("in the same scan", RESPONSE, WITHIN_TIME, {"f": "1 0 0 0", "g": "1 0 0 0"}, None),
    PropertyRun(
        "exactly at the bound", RESPONSE, WITHIN_TIME, {"f": "1 0 0 0", "g": "0 0 1 0"}, None
    ),
    PropertyRun("one scan late", RESPONSE, WITHIN_TIME, {"f": "1 0 0 0", "g": "0 0 0 1"}, 4),
    PropertyRun(
        "an earlier g does not count",
        RESPONSE,
        WITHIN_TIME,
        {"f": "0 1 0 0 0", "g": "1 0 0 0 0"},
        5,
    ),
    PropertyRun("open at the end", RESPONSE, WITHIN_TIME, {"f": "0 0 1 0", "g": "0 0 0 0"}, None),
    PropertyRun(
        "the first f counts, not the latest",
        RESPONSE,
        WITHIN_TIME,
        {"f": "1 1 1 1", "g": "0 0 0 1"},
        4,
    ),
    PropertyRun(
        "an f after the answer asks anew",
        RESPONSE,
        WITHIN_TIME,
        {"f": "1 0 1 0 0 0", "g": "0 1 0 0 0 0"},
        6,
    ),
    PropertyRun(
        "scans of uneven length: 21 ms is late",
        RESPONSE,
        WITHIN_TIME,
        {"f": "1 0 0", "g": "0 0 1"},
        3,
        elapsed="0 5 16",
    ),
    PropertyRun(
        "scans of uneven length: 20 ms is in time",
        RESPONSE,
        WITHIN_TIME,
        {"f": "1 0 0 0", "g": "0 0 1 0"},
        None,
        elapsed="0 5 15 16",
    ),
    PropertyRun("scans, no answer", RESPONSE, WITHIN_SCANS, {"f": "1 0 0 0", "g": "0 0 0 0"}, 4),
    PropertyRun(
        "scans, at the bound", RESPONSE, WITHIN_SCANS, {"f": "1 0 0 0", "g": "0 0 1 0"}, None
    ),
    PropertyRun("scans, one late", RESPONSE, WITHIN_SCANS, {"f": "0 1 0 0 0", "g": "0 0 0 0 1"}, 5),
    PropertyRun("0 scans", RESPONSE, "f -> g WITHIN 0 SCANS", {"f": "0 1 0", "g": "0 0 1"}, 3),
    PropertyRun("0 ms", RESPONSE, "f -> g WITHIN T#0ms", {"f": "0 1 0", "g": "0 0 1"}, 3),
    PropertyRun(
        "off within a time after a fall",
        MANUAL,
        "fell(f) -> NOT g WITHIN T#20ms",
        {"f": "1 0 0 0 0", "g": "1 1 1 1 0"},
        5,
    ),
)

UNTIL_ROWS = (
    PropertyRun(
        "h need not come", WEAK_UNTIL, UNTIL, {"f": "1 0 0", "g": "1 1 1", "h": "0 0 0"}, None
    ),
    PropertyRun(
        "no g in the scan of h", WEAK_UNTIL, UNTIL, {"f": "1 0 0", "g": "1 1 0", "h": "0 0 1"}, None
    ),
    PropertyRun("g too short", WEAK_UNTIL, UNTIL, {"f": "1 0 0", "g": "1 0 0", "h": "0 0 1"}, 2),
    PropertyRun(
        "g in the scan of f", WEAK_UNTIL, UNTIL, {"f": "1 0 0", "g": "0 1 1", "h": "0 0 0"}, 1
    ),
    PropertyRun("h with f", WEAK_UNTIL, UNTIL, {"f": "1 0 0", "g": "0 0 0", "h": "1 0 0"}, None),
    PropertyRun(
        "free after h", WEAK_UNTIL, UNTIL, {"f": "1 0 0 0", "g": "1 0 0 0", "h": "0 1 0 0"}, None
    ),
    PropertyRun("h before f", WEAK_UNTIL, UNTIL, {"f": "0 1 0", "g": "0 1 0", "h": "1 0 0"}, 3),
    PropertyRun("f again", WEAK_UNTIL, UNTIL, {"f": "1 0 1 0", "g": "1 0 1 0", "h": "0 1 0 0"}, 4),
    PropertyRun("never f", WEAK_UNTIL, UNTIL, {"f": "0 0 0", "g": "0 0 0", "h": "0 0 0"}, None),
)

BEFORE_ROWS = (
    PropertyRun("g, then h", WEAK_BEFORE, BEFORE, {"f": "1 0 0", "g": "0 1 0", "h": "0 0 1"}, None),
    PropertyRun("h first", WEAK_BEFORE, BEFORE, {"f": "1 0 0", "g": "0 0 1", "h": "0 1 0"}, 2),
    PropertyRun("in one scan", WEAK_BEFORE, BEFORE, {"f": "1 0 0", "g": "0 1 0", "h": "0 1 0"}, 2),
    PropertyRun(
        "neither ever", WEAK_BEFORE, BEFORE, {"f": "1 0 0", "g": "0 0 0", "h": "0 0 0"}, None
    ),
    PropertyRun(
        "all three at once", WEAK_BEFORE, BEFORE, {"f": "0 1 0", "g": "0 1 0", "h": "0 1 0"}, 2
    ),
    PropertyRun("g with f", WEAK_BEFORE, BEFORE, {"f": "1 0 0", "g": "1 0 0", "h": "0 1 0"}, None),
    PropertyRun("h with f", WEAK_BEFORE, BEFORE, {"f": "1 0 0", "g": "0 0 0", "h": "1 0 0"}, 1),
    PropertyRun(
        "h before f", WEAK_BEFORE, BEFORE, {"f": "0 1 0", "g": "0 0 0", "h": "1 0 0"}, None
    ),
    PropertyRun("g before f", WEAK_BEFORE, BEFORE, {"f": "0 1 0", "g": "1 0 0", "h": "0 0 1"}, 3),
    PropertyRun(
        "f again after g asks anew",
        WEAK_BEFORE,
        BEFORE,
        {"f": "1 0 1 0", "g": "0 1 0 0", "h": "0 0 0 1"},
        4,
    ),
)

PLAIN_ROWS = (
    PropertyRun("in every scan", MANUAL, "f -> g", {"f": "0 0 1 1", "g": "0 1 1 0"}, 4),
    PropertyRun("ALWAYS", MANUAL, "ALWAYS f", {"f": "1 1 0 1"}, 3),
    PropertyRun("ALWAYS, kept", MANUAL, "ALWAYS f", {"f": "1 1 1"}, None),
    PropertyRun("NEVER", MANUAL, "NEVER f", {"f": "0 0 1 0"}, 3),
    PropertyRun("NEVER, in the first scan", MANUAL, "NEVER f", {"f": "1 0 0"}, 1),
    PropertyRun("NEVER, kept", MANUAL, "NEVER f", {"f": "0 0 0"}, None),
)

BEFORE_POWER_UP = "manual, what_a_scan_means: before power-up"

BEFORE_POWER_UP_ROWS = (
    PropertyRun("not before power-up", BEFORE_POWER_UP, "ALWAYS f", {"f": "0 0 | 1 1"}, None),
    PropertyRun("by what was before", BEFORE_POWER_UP, "NEVER once(f)", {"f": "1 0 | 0 0"}, 1),
    PropertyRun(
        "nothing answers before power-up",
        BEFORE_POWER_UP,
        "f -> g WITHIN 1 SCANS",
        {"f": "0 1 | 0 0 0", "g": "0 0 | 0 0 0"},
        None,
    ),
    PropertyRun(
        "nothing begins before power-up",
        BEFORE_POWER_UP,
        "f -> g UNTIL h",
        {"f": "1 0 | 0 0", "g": "1 1 | 0 0", "h": "0 0 | 0 0"},
        None,
    ),
)

ROWS = WITHIN_ROWS + UNTIL_ROWS + BEFORE_ROWS + PLAIN_ROWS + BEFORE_POWER_UP_ROWS
