"""Specs that do not parse, or whose roles, times and demands do not fit the program."""

from __future__ import annotations

from tests.commands.faulty_inputs.case import in_spec, whole_spec

NO_SCAN = "SPEC «Press» SOURCE 'press.st'; REACHABLE enable; END_SPEC\n"
NO_DEMAND = "SPEC «Press» SOURCE 'press.st'; SCAN T#10ms; END_SPEC\n"
NO_SOURCE = "SPEC «Press» SCAN T#10ms; REACHABLE enable; END_SPEC\n"
TYPE_ONE = "«REQUIRE TWO_HAND LOGIC TYPE I»;"
WITHOUT_END = "«SPEC» Press\nSOURCE 'press.st';\nSCAN T#10ms;\n"

SPEC_SYNTAX = [
    in_spec("unknown-statement", "«HNAD» third = stop;", "did you mean 'HAND'?"),
    in_spec("draft-mark", "«HAND third = stop GUESSED»;", "remove GUESSED"),
    in_spec("draft-mark", "«MISSING 'the end of the stroke'»;", "write it"),
    in_spec("wrong-sign", "HAND third «:=» stop;", "write '='"),
    in_spec("missing-semicolon", "UNIT «T#1ms»", "';'"),
    in_spec("unexpected-text", "PROPERTY p : enable AND«;»", "an expression"),
    in_spec("unknown-character", "ASSUME stop «$» leftPalm;", "remove"),
    in_spec("unterminated-comment", "«(*» open", "close it with *)"),
    in_spec("unterminated-string", "SOURCE «'»more.st;", "close it with '"),
    in_spec("unbounded-liveness", "PROPERTY p : «EVENTUALLY» enable;", "WITHIN"),
    in_spec("two-sided-bound", "PROPERTY p : once(left, «T#1ms..T#5ms»);", "begin at 0"),
    in_spec("missing-trigger", "PROPERTY p : «enable FOR T#5ms»;", "rose(enable) -> enable FOR"),
    in_spec("unexpected-text", "PROPERTY p : stop -> enable FOR T#5ms«..»;", "';'"),
    whole_spec("missing-spec", "«HAND» left = leftPalm;\n", "SPEC Name"),
    whole_spec("missing-end", WITHOUT_END, "END_SPEC"),
]

LATE = "REQUIRE TWO_HAND LOGIC TYPE I, RELEASE WITHIN 20 SCANS;"
ACCEPTANCES = [
    in_spec("nothing-to-accept", "ACCEPT «'release-too-late'» BECAUSE 'slow';", "remove"),
    in_spec("nothing-to-accept", "ACCEPT «'release-to-late'» BECAUSE 'slow';", "did you mean"),
    in_spec("nothing-to-accept", "ACCEPT «'reading-decides'» BECAUSE 'slow';", "it can accept"),
    in_spec("missing-reason", f"{LATE} ACCEPT 'release-too-late' BECAUSE «''»;", "say", "REQUIRE"),
    in_spec(
        "repeated-name",
        f"{LATE} ACCEPT 'release-too-late' BECAUSE 'x'; ACCEPT «'release-too-late'» BECAUSE 'y';",
        "remove one",
        "REQUIRE",
    ),
    in_spec("unexpected-text", "ACCEPT «release» BECAUSE 'slow';", ""),
]

OUTSIDE = [
    in_spec("not-outside", "OUTSIDE «stop»;", "remove"),
    in_spec("not-outside", "OUTSIDE «window.Q»;", "keeps its value"),
    in_spec("unknown-name", "OUTSIDE «stroks»;", "did you mean 'strokes'?"),
    in_spec("repeated-name", "OUTSIDE strokes, «strokes»;", "remove one"),
    in_spec("not-an-input", "OUTSIDE enable; ASSUME «enable»;", "at_scan_start(enable)"),
    in_spec("not-an-input", "ASSUME at_scan_start(«enable»);", "PROPERTY"),
    in_spec("no-value-at-start", "PROPERTY p : at_scan_start(«window.Q») -> stop;", "prev(x)"),
    in_spec("past-not-allowed", "HAND third = «at_scan_start(enable)»;", "name a variable"),
    in_spec("past-not-allowed", "PROPERTY p : at_scan_start(«prev(stop)»);", "prev(at_scan"),
    in_spec("wrong-arguments", "PROPERTY p : «at_scan_start(stop, enable)»;", "at_scan_start(x)"),
    in_spec("temporal-in-call", "PROPERTY p : at_scan_start(«rose(stop)»);", "join formulas"),
]

ROLES = [
    in_spec("unknown-name", "HAND third = «stopp»;", "did you mean 'stop'?"),
    in_spec("not-an-input", "HAND third = «enable»;", "inputs"),
    in_spec("not-an-input", "HAND third = «window.Q»;", "inputs"),
    in_spec("type-mismatch", "HAND third = «speed»;", "compare"),
    in_spec("constant-hand", "HAND third = «TRUE»;", "input"),
    in_spec("repeated-name", "HAND «left» = stop;", "another name"),
    in_spec("not-boolean", "OUTPUT «strokes»;", "BOOL variable", "OUTPUT"),
    in_spec("output-is-input", "OUTPUT «stop»;", "VAR_OUTPUT", "OUTPUT"),
    in_spec("unknown-name", "OUTPUT «enabel»;", "did you mean 'enable'?", "OUTPUT"),
    in_spec("unknown-name", "OUTPUT «solenoid»;", "there is 'enable'", "OUTPUT"),
    in_spec(
        "too-few-hands",
        "HAND third = stop; STATION front = left, right; STATION «rear» = third;",
        "two",
    ),
    in_spec("too-few-hands", "HAND «left» = leftPalm;", "two", "HAND"),
    in_spec("hand-without-station", "HAND «third» = stop; STATION front = left, right;", "STATION"),
    in_spec("missing-hand", TYPE_ONE, "HAND left", "HAND REQUIRE"),
    in_spec("missing-output", TYPE_ONE, "write OUTPUT", "OUTPUT REQUIRE"),
]

TIMES = [
    whole_spec("missing-scan", NO_SCAN, "SCAN T#10ms;"),
    in_spec("scan-range-reversed", "«SCAN T#20ms..T#5ms»;", "shortest first", "SCAN"),
    in_spec("scan-not-positive", "SCAN «T#0ms»;", "SCAN T#10ms", "SCAN"),
    in_spec("repeated-statement", "«SCAN T#10ms»;", "remove"),
    in_spec("unit-not-a-fraction", "UNIT «T#3ms»;", "UNIT T#100us"),
    in_spec("bound-out-of-range", "LOOPS «0»;", "LOOPS 100"),
]

DEMANDS = [
    whole_spec("nothing-to-check", NO_DEMAND, "PROPERTY"),
    in_spec("unknown-type", "REQUIRE TWO_HAND LOGIC TYPE «IV»;", "I, II or III", "REQUIRE"),
    in_spec("missing-window", "«REQUIRE TWO_HAND LOGIC TYPE III»;", "WINDOW", "REQUIRE"),
    in_spec("missing-require", "«HAZARD enable»; REACHABLE enable;", "REQUIRE", "REQUIRE"),
    in_spec("unknown-name", "EXPECT VIOLATED «both_hand»;", "both_hands"),
    in_spec("unknown-name", "PROPERTY p : «enabel» -> stop;", "enable"),
    in_spec("not-an-input", "ASSUME «enable» -> stop;", "PROPERTY"),
    in_spec("reserved-name", "PROPERTY «both_hands» : enable;", "another"),
    in_spec("missing-parameter", "«REQUIRE two_hand_trip»;", "complete := ..."),
    in_spec("end-reads-output", "REQUIRE single_stroke («complete := NOT enable»);", "end switch"),
    in_spec("unknown-name", "READING «edge_cal_counts» TRUE;", "edge_call_counts"),
    in_spec("observation-not-filled-in", "READING preset_latched TRUE SHOWN BY «' '»;", "firmware"),
    in_spec(
        "observation-not-filled-in", "READING preset_latched TRUE SHOWN BY «'by ?'»;", "firmware"
    ),
]

FILES_NAMED = [
    in_spec("missing-file", "SOURCE «'prss.st'»;", "press.st", "SOURCE"),
    whole_spec("missing-source", NO_SOURCE, "SOURCE 'file.st'"),
    in_spec("missing-file", "PLANT rod : Cylinder IN «'cylinder.st'»;", "folder of the spec"),
    in_spec("unknown-block", "PLANT rod : «Cylinder»;", "the blocks there are: Press"),
    in_spec("repeated-name", "SOURCE «'press.st'»;", "remove"),
]

ASSUMPTIONS = [
    in_spec("contradictory-assumptions", "ASSUME leftPalm;\n«ASSUME NOT leftPalm»;", "always be"),
    in_spec("contradictory-assumptions", "«ASSUME speed > 5 AND speed < 3»;", "always be"),
    in_spec("contradictory-assumptions", "«ASSUME FALSE»;", "always be"),
]
