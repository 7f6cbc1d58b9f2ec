"""Edge blocks, bistables and counters (IEC 61131-3 Ed. 2, Tables 34 to 36; Ed. 3, 43 to 45)."""

from tests.agreement.expected_runs.rows import BlockRun

EDGES = "IEC 61131-3 Ed. 3, Table 44"
BISTABLES = "IEC 61131-3 Ed. 3, Table 43"
COUNTERS = "IEC 61131-3 Ed. 3, Table 45"
OPEN_POINT = "manual, what_a_scan_means, readings; the standard leaves it open"

AT_FIRST_CALL = {"falling_edge_at_first_call": True}
NOT_AT_FIRST_CALL = {"falling_edge_at_first_call": False}
WITHIN_PRESET = {"counter_stops_at_preset": True}
TO_THE_LIMITS = {"counter_stops_at_preset": False}

RISING = "e : R_TRIG;"
FALLING = "e : F_TRIG;"
CALL = "e(CLK := c);"
WHERE_ENABLED = "IF en THEN e(CLK := c); END_IF;"

EDGE_ROWS = (
    BlockRun(
        "R_TRIG: one call for each rising edge",
        EDGES,
        RISING,
        CALL,
        given={"c": "0 1 1 0 1"},
        expected={"e.Q": "0 1 0 0 1"},
    ),
    BlockRun(
        "R_TRIG fires at a first call with CLK on",
        EDGES,
        RISING,
        CALL,
        given={"c": "1 1 0 1"},
        expected={"e.Q": "1 0 0 1"},
    ),
    BlockRun(
        "R_TRIG compares with its last call, not with the last scan",
        EDGES,
        RISING,
        WHERE_ENABLED,
        given={"en": "1 0 1 1", "c": "0 1 1 1"},
        expected={"e.Q": "0 0 1 0"},
    ),
    BlockRun(
        "R_TRIG that is not called keeps Q, and a drop between calls is not seen",
        EDGES,
        RISING,
        WHERE_ENABLED,
        given={"en": "1 0 1", "c": "1 0 1"},
        expected={"e.Q": "1 1 0"},
    ),
    BlockRun(
        "R_TRIG called twice in a scan has its edge in the first call only",
        EDGES,
        RISING,
        "e(CLK := c); e(CLK := c);",
        given={"c": "0 1 1"},
        expected={"e.Q": "0 0 0"},
    ),
    BlockRun(
        "F_TRIG: one call for each falling edge",
        EDGES,
        FALLING,
        CALL,
        given={"c": "1 0 0 1 0"},
        expected={"e.Q": "0 1 0 0 1"},
    ),
    BlockRun(
        "F_TRIG with CLK off fires at its first call",
        OPEN_POINT,
        FALLING,
        CALL,
        readings=AT_FIRST_CALL,
        given={"c": "0 0 1 0"},
        expected={"e.Q": "1 0 0 1"},
    ),
    BlockRun(
        "F_TRIG with CLK off does not fire at its first call",
        OPEN_POINT,
        FALLING,
        CALL,
        readings=NOT_AT_FIRST_CALL,
        given={"c": "0 0 1 0"},
        expected={"e.Q": "0 0 0 1"},
    ),
    BlockRun(
        "F_TRIG: the first call counts, not the first scan",
        OPEN_POINT,
        FALLING,
        WHERE_ENABLED,
        readings=AT_FIRST_CALL,
        given={"en": "0 0 1 1", "c": "1 1 0 0"},
        expected={"e.Q": "0 0 1 0"},
    ),
    BlockRun(
        "F_TRIG: CLK on before the first call was not seen",
        OPEN_POINT,
        FALLING,
        WHERE_ENABLED,
        readings=NOT_AT_FIRST_CALL,
        given={"en": "0 0 1 1", "c": "1 1 0 0"},
        expected={"e.Q": "0 0 0 0"},
    ),
    BlockRun(
        "an input BOOL R_EDGE is TRUE for one call, the first call included",
        "IEC 61131-3 Ed. 3, Table 40: a hidden trigger for each name",
        "k : Counting;",
        "k(clock := c);",
        before="FUNCTION_BLOCK Counting VAR_INPUT clock : BOOL R_EDGE; END_VAR "
        "VAR_OUTPUT n : INT; END_VAR IF clock THEN n := n + 1; END_IF; END_FUNCTION_BLOCK",
        given={"c": "1 1 0 1 1"},
        expected={"k.n": "1 1 1 2 2"},
    ),
    BlockRun(
        "an input BOOL F_EDGE has the first call of F_TRIG: fires",
        "IEC 61131-3 Ed. 3, Table 40: a hidden trigger for each name",
        "k : Counting;",
        "k(clock := c);",
        before="FUNCTION_BLOCK Counting VAR_INPUT clock : BOOL F_EDGE; END_VAR "
        "VAR_OUTPUT n : INT; END_VAR IF clock THEN n := n + 1; END_IF; END_FUNCTION_BLOCK",
        readings=AT_FIRST_CALL,
        given={"c": "0 0 1 0 0"},
        expected={"k.n": "1 1 1 2 2"},
    ),
    BlockRun(
        "an input BOOL F_EDGE has the first call of F_TRIG: does not fire",
        "IEC 61131-3 Ed. 3, Table 40: a hidden trigger for each name",
        "k : Counting;",
        "k(clock := c);",
        before="FUNCTION_BLOCK Counting VAR_INPUT clock : BOOL F_EDGE; END_VAR "
        "VAR_OUTPUT n : INT; END_VAR IF clock THEN n := n + 1; END_IF; END_FUNCTION_BLOCK",
        readings=NOT_AT_FIRST_CALL,
        given={"c": "0 0 1 0 0"},
        expected={"k.n": "0 0 0 1 1"},
    ),
)

BISTABLE_ROWS = (
    BlockRun(
        "SR: the set side wins",
        BISTABLES,
        "b : SR;",
        "b(S1 := s, R := r);",
        given={"s": "0 1 0 0 1 0", "r": "0 0 0 1 1 1"},
        expected={"b.Q1": "0 1 1 0 1 0"},
    ),
    BlockRun(
        "SR: both on in the first scan",
        BISTABLES,
        "b : SR;",
        "b(S1 := s, R := r);",
        given={"s": "1 0 0", "r": "1 0 1"},
        expected={"b.Q1": "1 1 0"},
    ),
    BlockRun(
        "RS: the reset side wins",
        BISTABLES,
        "b : RS;",
        "b(S := s, R1 := r);",
        given={"s": "0 1 0 0 1 0", "r": "0 0 0 1 1 0"},
        expected={"b.Q1": "0 1 1 0 0 0"},
    ),
    BlockRun(
        "RS: both on in the first scan",
        BISTABLES,
        "b : RS;",
        "b(S := s, R1 := r);",
        given={"s": "1 1 0", "r": "1 0 0"},
        expected={"b.Q1": "0 1 1"},
    ),
)

UP = "c(CU := u, R := r, PV := pv);"
DOWN = "c(CD := d, LD := ld, PV := pv);"
BOTH = "c(CU := u, CD := d, R := r, LD := ld, PV := pv);"

COUNTER_ROWS = (
    BlockRun(
        "CTU counts past PV to the limit of its type",
        COUNTERS,
        "c : CTU;",
        UP,
        readings=TO_THE_LIMITS,
        given={"u": "1 1 0 1 0 1 0 1", "r": "0 0 0 0 0 0 0 0", "pv : INT": "2 2 2 2 2 2 2 2"},
        expected={"c.CV": "1 1 1 2 2 3 3 4", "c.Q": "0 0 0 1 1 1 1 1"},
    ),
    BlockRun(
        "CTU stops at PV",
        OPEN_POINT,
        "c : CTU;",
        UP,
        readings=WITHIN_PRESET,
        given={"u": "1 1 0 1 0 1 0 1", "r": "0 0 0 0 0 0 0 0", "pv : INT": "2 2 2 2 2 2 2 2"},
        expected={"c.CV": "1 1 1 2 2 2 2 2", "c.Q": "0 0 0 1 1 1 1 1"},
    ),
    BlockRun(
        "CTU: R dominates, and an edge under R is lost",
        COUNTERS,
        "c : CTU;",
        UP,
        given={"u": "0 1 0 1 1 0 1", "r": "0 0 0 1 0 0 0", "pv : INT": "2 2 2 2 2 2 2"},
        expected={"c.CV": "0 1 1 0 0 0 1", "c.Q": "0 0 0 0 0 0 0"},
    ),
    BlockRun(
        "CTU with PV = 0 is on from the first call",
        COUNTERS,
        "c : CTU;",
        UP,
        readings=TO_THE_LIMITS,
        given={"u": "0 1 0", "r": "0 0 0", "pv : INT": "0 0 0"},
        expected={"c.CV": "0 1 1", "c.Q": "1 1 1"},
    ),
    BlockRun(
        "CTU reads PV at each call",
        COUNTERS,
        "c : CTU;",
        UP,
        given={"u": "1 0 1 0 0", "r": "0 0 0 0 0", "pv : INT": "5 5 5 1 3"},
        expected={"c.CV": "1 1 2 2 2", "c.Q": "0 0 0 1 0"},
    ),
    BlockRun(
        "CTU with a late first call and CU on: R_TRIG's first call counts",
        COUNTERS,
        "c : CTU;",
        "IF en THEN c(CU := u, R := FALSE, PV := 2); END_IF;",
        given={"en": "0 1 1", "u": "1 1 1"},
        expected={"c.CV": "0 1 1", "c.Q": "0 0 0"},
    ),
    BlockRun(
        "CTD: loaded with 3, on at the third edge",
        COUNTERS,
        "c : CTD;",
        DOWN,
        given={"d": "0 1 0 1 0 1 1", "ld": "1 0 0 0 0 0 0", "pv : INT": "3 3 3 3 3 3 3"},
        expected={"c.CV": "3 2 2 1 1 0 0", "c.Q": "0 0 0 0 0 1 1"},
    ),
    BlockRun(
        "CTD: LD dominates, and an edge under LD is lost",
        COUNTERS,
        "c : CTD;",
        DOWN,
        given={"d": "0 1 1 0 1", "ld": "1 1 0 0 0", "pv : INT": "3 3 3 3 3"},
        expected={"c.CV": "3 3 3 3 2", "c.Q": "0 0 0 0 0"},
    ),
    BlockRun(
        "CTD counts below 0 to the limit of its type",
        COUNTERS,
        "c : CTD;",
        DOWN,
        readings=TO_THE_LIMITS,
        given={"d": "0 1 0 1", "ld": "0 0 0 0", "pv : INT": "3 3 3 3"},
        expected={"c.CV": "0 -1 -1 -2", "c.Q": "1 1 1 1"},
    ),
    BlockRun(
        "CTD stops at 0",
        OPEN_POINT,
        "c : CTD;",
        DOWN,
        readings=WITHIN_PRESET,
        given={"d": "0 1 0 1", "ld": "0 0 0 0", "pv : INT": "3 3 3 3"},
        expected={"c.CV": "0 0 0 0", "c.Q": "1 1 1 1"},
    ),
    BlockRun(
        "CTD stays at the least value of INT",
        COUNTERS,
        "c : CTD;",
        DOWN,
        readings=TO_THE_LIMITS,
        given={"d": "0 1 0 1", "ld": "1 0 0 0", "pv : INT": "-32767 -32767 -32767 -32767"},
        expected={"c.CV": "-32767 -32768 -32768 -32768", "c.Q": "1 1 1 1"},
    ),
    BlockRun(
        "CTUD: up, both edges in one call change nothing, down",
        COUNTERS,
        "c : CTUD;",
        BOTH,
        given={
            "u": "0 1 0 1 0 0 0",
            "d": "0 0 0 1 0 1 0",
            "r": "0 0 0 0 0 0 0",
            "ld": "0 0 0 0 0 0 0",
            "pv : INT": "2 2 2 2 2 2 2",
        },
        expected={
            "c.CV": "0 1 1 1 1 0 0",
            "c.QU": "0 0 0 0 0 0 0",
            "c.QD": "1 0 0 0 0 1 1",
        },
    ),
    BlockRun(
        "CTUD: CU that stays on is no edge beside one of CD",
        COUNTERS,
        "c : CTUD;",
        BOTH,
        given={
            "u": "1 1 1",
            "d": "0 1 1",
            "r": "0 0 0",
            "ld": "0 0 0",
            "pv : INT": "1 1 1",
        },
        expected={"c.CV": "1 0 0", "c.QU": "1 0 0", "c.QD": "0 1 1"},
    ),
    BlockRun(
        "CTUD: R before LD before counting",
        COUNTERS,
        "c : CTUD;",
        BOTH,
        given={
            "u": "0 1 0 1 0",
            "d": "0 0 0 0 0",
            "r": "0 0 1 0 0",
            "ld": "1 1 1 0 0",
            "pv : INT": "5 5 5 5 5",
        },
        expected={
            "c.CV": "5 5 0 1 1",
            "c.QU": "1 1 0 0 0",
            "c.QD": "0 0 1 0 0",
        },
    ),
    BlockRun(
        "CTUD counts past PV and below 0",
        COUNTERS,
        "c : CTUD;",
        BOTH,
        readings=TO_THE_LIMITS,
        given={
            "u": "0 1 0 0 0 0 0",
            "d": "0 0 0 0 1 0 1",
            "r": "0 0 0 1 0 0 0",
            "ld": "1 0 0 0 0 0 0",
            "pv : INT": "2 2 2 2 2 2 2",
        },
        expected={
            "c.CV": "2 3 3 0 -1 -1 -2",
            "c.QU": "1 1 1 0 0 0 0",
            "c.QD": "0 0 0 1 1 1 1",
        },
    ),
    BlockRun(
        "CTUD stops at PV and at 0",
        OPEN_POINT,
        "c : CTUD;",
        BOTH,
        readings=WITHIN_PRESET,
        given={
            "u": "0 1 0 0 0 0 0",
            "d": "0 0 0 0 1 0 1",
            "r": "0 0 0 1 0 0 0",
            "ld": "1 0 0 0 0 0 0",
            "pv : INT": "2 2 2 2 2 2 2",
        },
        expected={
            "c.CV": "2 2 2 0 0 0 0",
            "c.QU": "1 1 1 0 0 0 0",
            "c.QD": "0 0 0 1 1 1 1",
        },
    ),
    BlockRun(
        "CTUD stays at the greatest value of INT",
        COUNTERS,
        "c : CTUD;",
        BOTH,
        readings=TO_THE_LIMITS,
        given={
            "u": "0 1 0 1",
            "d": "0 0 0 0",
            "r": "0 0 0 0",
            "ld": "1 0 0 0",
            "pv : INT": "32766 32766 32766 32766",
        },
        expected={"c.CV": "32766 32767 32767 32767", "c.QU": "1 1 1 1", "c.QD": "0 0 0 0"},
    ),
)

ROWS = EDGE_ROWS + BISTABLE_ROWS + COUNTER_ROWS
