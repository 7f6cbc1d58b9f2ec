"""The words of the spec language; letter case does not matter."""

from __future__ import annotations

START = "SPEC"
END = "END_SPEC"

STATEMENTS = frozenset(
    (
        *("SOURCE", "BLOCK", "SCAN", "UNIT", "READING", "INTEGERS", "LOOPS"),
        *("HAND", "STATION", "OUTPUT", "HAZARD", "PLANT", "FEEDBACK"),
        *("REQUIRE", "AVAILABLE", "ASSUME", "PROPERTY", "REACHABLE", "EXPECT"),
        *("POWER", "OUTSIDE", "BOUNCE", "SUPPLY", "ARRANGEMENT", "NOTICE"),
        *("STOPPED_BY", "STOPPING", "CLUTCH", "ENCROACHMENT", "EDITION", "ACCEPT", "MISSING"),
    )
)
"""The words that begin a statement."""

TOP_LEVEL = frozenset(("WITHIN", "FOR", "UNTIL", "BEFORE", "ALWAYS", "NEVER"))
"""The temporal words that occur at the top of a property only."""

OTHERS = frozenset(
    (
        *("WRAP", "IN", "TWO_HAND", "LOGIC", "TYPE", "WINDOW", "TRUE_LAG", "RELEASE"),
        *("LAG", "WHEN", "SCANS", "SINCE", "CYCLES", "PREVENTED"),
        *("INPUT", "MACHINE", "INCLUDED", "POINTS", "REVOLUTION", "BECAUSE", "SHOWN", "BY"),
        "GUESSED",
    )
)

TERMINALS = {word: f"_{word}" for word in STATEMENTS | TOP_LEVEL | OTHERS} | {
    "FIRST_SCAN": "FIRST_SCAN",
    "ANY_SCAN": "ANY_SCAN",
}
"""Each word's terminal in the grammar."""
