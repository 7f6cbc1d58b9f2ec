"""The kinds of points of an inspection in words: what is looked for, and what it means that
nothing was found."""

from __future__ import annotations

from twohand.analyses.inspect.points import InspectionKind, Weight
from twohand.report.drawing.terminal import Paint

WORDS = {
    Weight.FAULT: ("FAULT", Paint.BAD),
    Weight.OPEN: ("UNDECIDED", Paint.OPEN),
    Weight.NOTE: ("NOTE", Paint.STRONG),
    Weight.HARMLESS: ("HARMLESS", Paint.GOOD),
}
LOOKED_FOR = {
    InspectionKind.SKIPPED_CALL: "timers, counters and edge blocks that a scan does not call",
    InspectionKind.CALLED_TWICE: "one of them called twice in a scan",
    InspectionKind.LOST_WRITE: "an output written twice in a scan, the first value lost",
    InspectionKind.DEAD_CODE: "code that can never run",
    InspectionKind.CONSTANT_CONDITION: "conditions that are always TRUE, or always FALSE",
    InspectionKind.MISSED_CASE: "a CASE without ELSE that misses a value",
    InspectionKind.PASSED_CLOCK: "= and <> with a running clock, which passes the value",
    InspectionKind.LATE_INPUT: "an input of an instance assigned behind its call",
    InspectionKind.EARLY_READ: "a temporary variable read before it is assigned",
    InspectionKind.UNUSED: "variables and instances that nobody uses",
    InspectionKind.FINDING: "overflow, division by zero, index outside, endless loop, duration "
    "below zero",
}
CLEAN = {
    InspectionKind.SKIPPED_CALL: "every timer, counter and edge block is called in every scan",
    InspectionKind.CALLED_TWICE: "no timer, counter or edge block is called in two places",
    InspectionKind.LOST_WRITE: "no output is written in two places, literals aside",
    InspectionKind.DEAD_CODE: "all code can run",
    InspectionKind.CONSTANT_CONDITION: "every condition that is ever asked can be TRUE and can be "
    "FALSE",
    InspectionKind.MISSED_CASE: "no CASE misses a value",
    InspectionKind.PASSED_CLOCK: "no clock is compared with =",
    InspectionKind.LATE_INPUT: "no input of an instance is assigned beside its call",
    InspectionKind.EARLY_READ: "no temporary variable is read before it is assigned",
    InspectionKind.UNUSED: "every variable is used",
    InspectionKind.FINDING: "no overflow, division by zero, index outside, endless loop or "
    "duration below zero",
}
SUSPECTED = {
    InspectionKind.SKIPPED_CALL: "no call that is left out does harm",
    InspectionKind.CALLED_TWICE: "no instance is called twice in a scan to any harm",
    InspectionKind.LOST_WRITE: "no output's value is lost",
    InspectionKind.MISSED_CASE: "no CASE misses a value",
    InspectionKind.PASSED_CLOCK: "no clock passes the value that it is compared with",
    InspectionKind.LATE_INPUT: "no input comes late",
    InspectionKind.DEAD_CODE: "all code can run but what is there as a safeguard",
    InspectionKind.CONSTANT_CONDITION: "all conditions but those noted can be TRUE and FALSE",
}
"""Where all that was suspected was proved harmless, or is only noted."""
ALL_OTHER_CODE = "all code can run but what the conditions above shut out"
NOT_ASKED = (
    "Not asked: elements of arrays that a variable index chooses (lost writes), clocks compared "
    "with moving values or turned into numbers, calls of SR and RS, and variables used only where "
    "the model leaves something out."
)
ONLY_FORM = (
    "An inspection asks what any block can be asked by whoever does not know what it is for. That "
    "it finds nothing says nothing about whether the block does what it should: 'twohand check' "
    "asks that."
)
TWIN_WORDS = (
    "'Harmless' of a call that is left out: what the block shows (outputs, in-out parameters and "
    "global variables that are written, but not the pins of instances that are global variables; "
    "where there are none, all its variables) is proved to be the same, in every scan, as if the "
    "instance were called at the end of such scans."
)
