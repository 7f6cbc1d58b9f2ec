"""For each requirement small blocks that violate it, and one that does not."""

from __future__ import annotations

from dataclasses import dataclass

ROLES = "HAND l = left; HAND r = right; OUTPUT q;"
ARMED = """
IF NOT left AND NOT right THEN armed := TRUE; END_IF;
IF q AND NOT (left AND right{stop}) THEN armed := FALSE; END_IF;
q := left AND right AND armed{stop};
"""
ENDED_ONCE_ARMED = """
IF q AND (NOT (left AND right) OR {ends}) THEN armed := FALSE; END_IF;
q := left AND right AND armed;
held := top;
"""
ENDED = "IF NOT left AND NOT right THEN armed := TRUE; END_IF;" + ENDED_ONCE_ARMED
"""The hands end a stroke, and so does the signal of its end."""
AT_TOP = "top AND NOT held"
IN_TIME = ENDED.format(ends=f"{AT_TOP} OR t.Q")
RESTED = "t(IN := NOT left AND NOT right, PT := T#5ms); IF t.Q THEN armed := TRUE; END_IF;"
RESET = "REQUIRE manual_reset (reset := button, ready := ready, safeguards := shut"
TAKEN = """
IF button AND NOT was AND {pressed} AND seen THEN held := TRUE; END_IF;
IF NOT shut THEN ready := FALSE; held := FALSE;
ELSIF held AND NOT button THEN ready := TRUE; held := FALSE; END_IF;
was := button; seen := TRUE;
"""
"""A reset by a press that is seen to come, and by its release."""
STARTED = """
q := ready AND (q OR go AND NOT armed);
armed := go OR NOT ready;
"""
RELEASED = """
IF NOT ready THEN armed := FALSE; ELSIF {both} THEN armed := TRUE; END_IF;
q := ready AND armed AND left AND right;
"""
STOPPED = """
IF NOT (left AND right AND shut) AND run OR NOT shut THEN armed := FALSE; END_IF;
IF {arm}NOT left AND NOT right THEN armed := TRUE; END_IF;
run := left AND right AND armed AND {off};
q := run;
"""
"""The stop is looked at where it arms, and where it goes on."""
SETTLED = """
t(IN := NOT left AND NOT right AND shut, PT := T#5ms);
IF t.Q THEN armed := TRUE; END_IF;
IF NOT (left AND right AND shut) AND run OR NOT shut THEN armed := FALSE; END_IF;
run := left AND right AND armed;
q := run;
"""
"""Hands are off once both contacts were open for longer than they bounce."""
EDGES = "IF left AND right AND NOT {} THEN q := TRUE; ELSIF {} THEN q := FALSE; END_IF;"


@dataclass(frozen=True)
class Pair:
    """``demand`` on a block with BOOL ``inputs``; ``violated`` are the identifiers (after the
    word's own) that ``bad`` violates; ``good`` violates none."""

    demand: str
    inputs: str
    good: str
    bad: str
    violated: tuple[str, ...]
    roles: str = ROLES

    @property
    def word(self) -> str:
        return self.demand.split()[1].rstrip(";")


LET_GO = RELEASED.format(both="NOT left AND NOT right")


def reset_by_hands(bad: str, violated: tuple[str, ...], roles: str = ROLES) -> Pair:
    """A reset after which the hands have to be let go."""
    good = TAKEN.format(pressed="shut") + LET_GO
    return Pair(f"{RESET});", "button, left, right, shut", good, bad, violated, roles)


def of_a_stroke(violated: str, good: str, bad: str, more: str = "", roles: str = ROLES) -> Pair:
    """A press with a signal ``top`` that comes on at the end of a stroke."""
    word = "single_stroke" if violated.startswith("single") else "two_hand_trip"
    demand = f"REQUIRE {word} (complete := top{more});"
    return Pair(demand, "left, right, top", good, bad, (violated,), roles)


PAIRS = [
    Pair(
        "REQUIRE single_stroke (complete := NOT go);",
        "left, right, go",
        ARMED.format(stop=" AND go"),
        "q := left AND right AND go;",
        ("single_stroke_resumption",),
    ),
    Pair(
        "REQUIRE single_stroke (complete := NOT go);",
        "left, right, go",
        ARMED.format(stop=" AND go"),
        ARMED.replace("left AND right{stop}) THEN", "left AND right) THEN").format(stop=" AND go"),
        ("single_stroke_anti_repeat",),
    ),
    Pair(
        "REQUIRE single_stroke (complete := NOT go);",
        "left, right, go",
        ARMED.format(stop=" AND go"),
        "IF left AND right AND NOT held THEN q := TRUE; END_IF; held := held OR q;"
        "IF NOT left AND NOT right THEN held := FALSE; q := FALSE; END_IF;",
        ("single_stroke_held",),
    ),
    of_a_stroke("single_stroke_ends", ENDED.format(ends=AT_TOP), ARMED.format(stop="")),
    of_a_stroke(
        "single_stroke_ends",
        ENDED.format(ends=AT_TOP),
        ENDED.format(ends=f"{AT_TOP} AND seen").replace("q :=", "seen := q; q :="),
        roles=f"POWER CYCLES; {ROLES}",
    ),
    of_a_stroke(
        "single_stroke_ends",
        ENDED.format(ends="seen").replace("q :=", f"seen := q AND {AT_TOP}; q :="),
        ENDED.format(ends="seen").replace("q :=", f"seen := was; was := q AND {AT_TOP}; q :="),
        ", scans := 1",
    ),
    of_a_stroke(
        "two_hand_trip_ends",
        RESTED + ENDED_ONCE_ARMED.format(ends=AT_TOP),
        RESTED + ENDED_ONCE_ARMED.format(ends="FALSE"),
        roles=f"BOUNCE T#1ms; {ROLES}",
    ),
    of_a_stroke(
        "two_hand_trip_stuck_end",
        f"t(IN := q, PT := T#2ms); {IN_TIME}",
        f"t(IN := q AND top, PT := T#2ms); {IN_TIME}",
        ", unchanged := T#3ms",
    ),
    of_a_stroke(
        "two_hand_trip_stuck_end",
        f"t(IN := q AND top = held, PT := T#2ms); {IN_TIME}",
        f"t(IN := q AND NOT top, PT := T#2ms); {IN_TIME}",
        ", unchanged := T#3ms",
        f"POWER CYCLES; {ROLES}",
    ),
    Pair(
        "REQUIRE two_hand_trip (complete := go);",
        "left, right, go",
        "IF NOT left AND NOT right THEN armed := TRUE; END_IF;"
        "IF go THEN q := FALSE; armed := FALSE;"
        "ELSIF left AND right AND armed THEN q := TRUE; armed := FALSE; END_IF;",
        "IF left OR right THEN q := armed; armed := FALSE;ELSE armed := TRUE; q := FALSE; END_IF;",
        ("two_hand_trip_concurrent",),
    ),
    Pair(
        "REQUIRE two_hand_trip (complete := NOT go);",
        "left, right, go",
        ARMED.format(stop=" AND go"),
        "q := left AND right AND NOT q;",
        ("two_hand_trip_anti_repeat",),
    ),
    Pair(
        "REQUIRE anti_tie_down (window := T#2ms);",
        "left, right",
        "t(IN := left OR right, PT := T#2ms);"
        "IF NOT left AND NOT right THEN armed := TRUE; END_IF;"
        "IF left AND right THEN q := q OR armed AND NOT t.Q; armed := FALSE;"
        "ELSE q := FALSE; END_IF;",
        "t(IN := left AND right, PT := T#2ms); q := left AND right AND NOT t.Q;",
        ("anti_tie_down",),
    ),
    Pair(
        "REQUIRE hold_to_run (control := jog);",
        "jog, go",
        "q := jog AND go;",
        "t(IN := jog, PT := T#2ms); q := go AND t.Q OR q AND go;",
        ("hold_to_run",),
        "OUTPUT q;",
    ),
    Pair(
        "REQUIRE stop (condition := NOT shut);",
        "left, right, shut",
        STOPPED.format(arm="shut AND ", off="shut"),
        STOPPED.format(arm="", off="shut"),
        ("stop_end_starts_nothing",),
        f"POWER CYCLES; {ROLES}",
    ),
    Pair(
        "REQUIRE stop (condition := NOT shut);",
        "left, right, shut",
        STOPPED.format(arm="shut AND ", off="shut"),
        STOPPED.format(arm="shut AND ", off="shut").replace("shut", "held") + "held := shut;",
        ("stop_off",),
    ),
    Pair(
        "REQUIRE stop (condition := NOT shut);",
        "left, right, shut",
        SETTLED,
        STOPPED.format(arm="shut AND ", off="shut"),
        ("stop_end_starts_nothing",),
        f"BOUNCE T#1ms; {ROLES}",
    ),
    Pair(
        "REQUIRE stop (condition := NOT shut, start := go);",
        "go, shut",
        "q := shut AND (q OR go AND NOT held AND armed); held := go; armed := shut;",
        "q := shut AND (q OR go AND NOT held); held := go;",
        ("stop_end_starts_nothing",),
        "OUTPUT q;",
    ),
    Pair(
        f"{RESET}, start := go);",
        "button, go, shut",
        TAKEN.format(pressed="shut") + STARTED,
        TAKEN.format(pressed="TRUE").replace("NOT button THEN", "button THEN") + STARTED,
        ("manual_reset_release",),
        "OUTPUT q;",
    ),
    reset_by_hands(
        TAKEN.format(pressed="shut") + RELEASED.format(both="NOT (left AND right)"),
        ("manual_reset_starts_nothing",),
    ),
    reset_by_hands(
        TAKEN.format(pressed="shut").replace(" AND seen", "") + LET_GO,
        ("manual_reset_release",),
        f"POWER CYCLES; {ROLES}",
    ),
    reset_by_hands(
        TAKEN.format(pressed="shut").replace("ready", "run") + "ready := run;" + LET_GO,
        ("manual_reset_power_up",),
        f"POWER CYCLES; {ROLES}",
    ),
    reset_by_hands(
        TAKEN.format(pressed="shut") + "q := left AND right AND shut;",
        ("manual_reset_stop_held", "manual_reset_starts_nothing"),
    ),
    reset_by_hands(
        TAKEN.format(pressed="shut").replace("IF NOT shut THEN ready := FALSE;", "IF FALSE THEN")
        + LET_GO,
        ("manual_reset_release", "manual_reset_safeguard_lost"),
    ),
    Pair(
        "REQUIRE no_restart;",
        "left, right",
        ARMED.format(stop=""),
        "q := left AND right;",
        ("no_restart",),
    ),
    Pair(
        "REQUIRE no_restart (start := go);",
        "go, left",
        "IF go AND NOT held AND armed THEN q := TRUE; END_IF;"
        "IF left THEN q := FALSE; END_IF; held := go; armed := TRUE;",
        "IF go AND NOT held THEN q := TRUE; END_IF; IF left THEN q := FALSE; END_IF; held := go;",
        ("no_restart",),
        "OUTPUT q;",
    ),
    Pair(
        "REQUIRE no_restart (start := go);",
        "go, left",
        "IF go AND NOT held AND armed THEN q := TRUE; END_IF;"
        "IF left THEN q := FALSE; END_IF; held := go; armed := TRUE;",
        "IF go AND NOT held AND armed THEN run := TRUE; END_IF;"
        "IF left THEN run := FALSE; END_IF; q := run; held := go; armed := TRUE;",
        ("no_restart",),
        "POWER CYCLES; OUTPUT q;",
    ),
    Pair(
        "REQUIRE no_restart;",
        "left, right",
        ARMED.format(stop=""),
        "IF NOT left AND NOT right THEN run := TRUE; END_IF; q := left AND right AND run;",
        ("no_restart",),
        f"POWER CYCLES; {ROLES}",
    ),
    Pair(
        "REQUIRE never_together (first := q, second := ready);",
        "left, right",
        "q := left AND NOT right; ready := right AND NOT left;",
        "q := left; ready := right AND NOT held; held := left;",
        ("never_together",),
        "",
    ),
    Pair(
        "REQUIRE feedback_plausible (command := left, feedback := right, within := T#3ms,"
        " notice := ready, output := q);",
        "left, right",
        "t(IN := left XOR right, PT := T#2ms); ready := t.Q; q := left AND NOT ready;",
        "t(IN := left XOR right, PT := T#2ms); ready := t.Q; q := left;",
        ("feedback_plausible_off",),
        "",
    ),
    Pair(
        "REQUIRE end_positions (first := left, second := right, within := T#0ms, notice := ready,"
        " output := q);",
        "left, right",
        "ready := left AND right; q := left AND NOT right;",
        "ready := left AND held; q := left AND NOT right; held := right;",
        ("end_positions",),
        "",
    ),
    Pair(
        "REQUIRE discrepancy (first := left, second := NOT right, within := T#2ms,"
        " notice := ready);",
        "left, right",
        "t(IN := left = right, PT := T#1ms); ready := t.Q;",
        "t(IN := left = right, PT := T#4ms); ready := t.Q;",
        ("discrepancy",),
        "",
    ),
    Pair(
        "REQUIRE greatest_on_time (limit := T#3ms);",
        "left",
        "t(IN := left, PT := T#2ms); q := left AND NOT t.Q;",
        "t(IN := left, PT := T#4ms); q := left AND NOT t.Q;",
        ("greatest_on_time",),
        "OUTPUT q;",
    ),
]


STATIONS = (
    "HAND l = left; HAND r = right; HAND t = third; HAND f = fourth;"
    "STATION front = l, r; STATION rear = t, f WHEN use; OUTPUT q;"
)
SELECTABLE = """
IF {change} THEN armed := FALSE; END_IF;
IF q AND NOT (left AND right AND (NOT use OR third AND fourth)) THEN armed := FALSE; END_IF;
IF NOT left AND NOT right AND (NOT use OR NOT third AND NOT fourth) THEN armed := TRUE; END_IF;
q := left AND right AND (NOT use OR third AND fourth) AND armed;
held := use;
"""
TYPE_TWO = "REQUIRE TWO_HAND LOGIC TYPE II; AVAILABLE WITHIN 1 SCANS;"
PAIRS += [
    Pair(
        TYPE_TWO,
        "left, right, third, fourth, use",
        SELECTABLE.format(change="use <> held"),
        SELECTABLE.format(change="FALSE"),
        ("hands_before_selection", "selection_starts_nothing"),
        STATIONS,
    ),
    Pair(
        TYPE_TWO,
        "left, right, third, fourth, use",
        SELECTABLE.format(change="use <> held"),
        SELECTABLE.format(change="use AND NOT held"),
        ("selection_starts_nothing",),
        STATIONS,
    ),
]
