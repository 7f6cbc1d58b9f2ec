"""Expressions, statements, calls and first values (IEC 61131-3 Ed. 2, Tables 55 and 56)."""

from tests.agreement.expected_runs.rows import BlockRun

EXPRESSIONS = "IEC 61131-3 Ed. 2, Table 55"
STATEMENTS = "IEC 61131-3 Ed. 2, 3.3.2"
CALLS = "IEC 61131-3 Ed. 2, 2.5.2"
FIRST_VALUES = "IEC 61131-3 Ed. 2, 2.4.2"
OPEN_POINT = "manual, what_a_scan_means, readings; the standard leaves it open"

HOLDING = (
    "FUNCTION_BLOCK Holding VAR_INPUT a : INT; END_VAR VAR_OUTPUT y : INT; END_VAR "
    "y := a; END_FUNCTION_BLOCK"
)

ABOVE = (
    "FUNCTION Above : INT VAR_INPUT a : INT; END_VAR IF a > 2 THEN Above := a; END_IF; END_FUNCTION"
)

ROWS = (
    BlockRun(
        "the standard's own example of precedence",
        "IEC 61131-3 Ed. 2, 3.3.1",
        "y, z : INT;",
        "y := a + b - c * ABS(d); z := (a + b - c) * ABS(d);",
        given={"a : INT": "1", "b : INT": "2", "c : INT": "3", "d : INT": "4"},
        expected={"y": "-9", "z": "0"},
    ),
    BlockRun(
        "* and MOD from left to right, before +",
        EXPRESSIONS,
        "y : INT;",
        "y := a + b * c MOD d;",
        given={"a : INT": "2", "b : INT": "3", "c : INT": "4", "d : INT": "5"},
        expected={"y": "4"},
    ),
    BlockRun(
        "XOR binds tighter than OR, AND tighter than XOR, NOT tighter than AND",
        EXPRESSIONS,
        "x, y, z : BOOL;",
        "x := p OR q XOR r; y := p XOR q AND r; z := NOT q AND r;",
        given={"p": "1 1 0", "q": "1 0 0", "r": "1 0 1"},
        expected={"x": "1 1 1", "y": "0 1 0", "z": "0 0 1"},
    ),
    BlockRun(
        "a comparison by order binds tighter than one by equality",
        EXPRESSIONS,
        "y : BOOL;",
        "y := p = a < b;",
        given={"p": "1 0 1", "a : INT": "1 1 2", "b : INT": "2 2 1"},
        expected={"y": "1 0 0"},
    ),
    BlockRun(
        "division truncates toward zero; the remainder has the sign of the dividend",
        "IEC 61131-3 Ed. 2, Table 24 (from memory): IN1 - (IN1 / IN2) * IN2",
        "y, z : INT;",
        "y := a / b; z := a MOD b;",
        given={"a : INT": "7 -7 7 -7", "b : INT": "3 3 -3 -3"},
        expected={"y": "2 -2 -2 2", "z": "1 -1 1 -1"},
    ),
    BlockRun(
        "CASE takes the first group that has the value, falls through to none, else ELSE",
        "IEC 61131-3 Ed. 2, 3.3.2.3",
        "y : INT;",
        "CASE n OF 1: y := 10; 2..4, 6: y := 20; ELSE y := 30; END_CASE;",
        given={"n : INT": "0 1 2 4 5 6"},
        expected={"y": "30 10 20 20 30 20"},
    ),
    BlockRun(
        "CASE without ELSE does nothing where no group has the value",
        "IEC 61131-3 Ed. 2, 3.3.2.3",
        "y : INT;",
        "CASE n OF 1: y := 10; 2: y := 20; END_CASE;",
        given={"n : INT": "0 1 7 2 0"},
        expected={"y": "0 10 10 20 20"},
    ),
    BlockRun(
        "FOR up and down, and not at all where it is past its end",
        "IEC 61131-3 Ed. 2, 3.3.2.4 (from memory)",
        "i, up, down, none : INT;",
        "up := 0; down := 0; none := 0;"
        "FOR i := 1 TO 3 DO up := up + i; END_FOR;"
        "FOR i := 3 TO 1 BY -2 DO down := down * 10 + i; END_FOR;"
        "FOR i := 5 TO 4 DO none := none + 1; END_FOR;",
        given={"p": "0 0"},
        expected={"up": "6 6", "down": "31 31", "none": "0 0"},
    ),
    BlockRun(
        "a FOR variable is one step past the end behind the loop",
        OPEN_POINT,
        "i, j : INT;",
        "FOR i := 0 TO 5 DO ; END_FOR; FOR j := 6 TO 1 BY -2 DO ; END_FOR;",
        readings={"loop_leaves_past_end": True},
        given={"p": "0 0"},
        expected={"i": "6 6", "j": "0 0"},
    ),
    BlockRun(
        "a FOR variable keeps its last value behind the loop",
        OPEN_POINT,
        "i, j : INT;",
        "FOR i := 0 TO 5 DO ; END_FOR; FOR j := 6 TO 1 BY -2 DO ; END_FOR;",
        readings={"loop_leaves_past_end": False},
        given={"p": "0 0"},
        expected={"i": "5 5", "j": "2 2"},
    ),
    BlockRun(
        "EXIT leaves the innermost loop; CONTINUE the turn; REPEAT runs at least once",
        "public glossary of the standard; IEC 61131-3 Ed. 3 for CONTINUE",
        "i, j, turns, odd, once : INT;",
        "turns := 0; odd := 0; once := 0;"
        "FOR i := 1 TO 2 DO FOR j := 1 TO 5 DO IF j = 3 THEN EXIT; END_IF; turns := turns + 1;"
        " END_FOR; END_FOR;"
        "FOR i := 1 TO 5 DO IF i MOD 2 = 0 THEN CONTINUE; END_IF; odd := odd + i; END_FOR;"
        "REPEAT once := once + 1; UNTIL TRUE END_REPEAT;",
        given={"p": "0"},
        expected={"turns": "4", "odd": "9", "once": "1"},
    ),
    BlockRun(
        "variables begin with their initial value, else 0 and FALSE, and live on",
        FIRST_VALUES,
        "n : INT := 7; m : INT; f : BOOL := TRUE; g : BOOL;",
        "n := n + 1; m := m + 1; g := f; f := p;",
        given={"p": "0 1 0"},
        expected={"n": "8 9 10", "m": "1 2 3", "g": "1 0 1", "f": "0 1 0"},
    ),
    BlockRun(
        "a temporary variable begins anew in every scan",
        "IEC 61131-3 Ed. 3, 6.5.2 (from memory)",
        "y : INT; END_VAR VAR_TEMP k : INT := 5;",
        "k := k + 1; y := k;",
        given={"p": "0 0 0"},
        expected={"y": "6 6 6"},
    ),
    BlockRun(
        "statements run from top to bottom, and the last write stays",
        STATEMENTS,
        "x, y : BOOL;",
        "y := x; x := p; x := NOT x;",
        given={"p": "0 1 0"},
        expected={"x": "1 0 1", "y": "0 1 0"},
    ),
    BlockRun(
        "an input that a call leaves out keeps the value of the call before",
        CALLS,
        "h : Holding;",
        "IF p THEN h(a := n); ELSE h(); END_IF;",
        before=HOLDING,
        given={"p": "0 1 0 1 0", "n : INT": "1 2 3 4 5"},
        expected={"h.y": "0 2 2 4 4"},
    ),
    BlockRun(
        "a call with EN off runs nothing, and gives its block the inputs",
        OPEN_POINT,
        "h : Holding; y : INT;",
        "h(EN := p, a := n); y := h.y; h();",
        before=HOLDING,
        readings={"disabled_call_takes_inputs": True},
        given={"p": "1 0 0", "n : INT": "1 2 3"},
        expected={"y": "1 1 2", "h.y": "1 2 3"},
    ),
    BlockRun(
        "a call with EN off runs nothing, and leaves the inputs as they are",
        OPEN_POINT,
        "h : Holding; y : INT;",
        "h(EN := p, a := n); y := h.y; h();",
        before=HOLDING,
        readings={"disabled_call_takes_inputs": False},
        given={"p": "1 0 0", "n : INT": "1 2 3"},
        expected={"y": "1 1 1", "h.y": "1 1 1"},
    ),
    BlockRun(
        "a later reading of the clock less an earlier one",
        "common practice; manual, what_a_scan_means, the clock",
        "m, n, y, z : TIME;",
        "IF p THEN m := TIME(); END_IF; y := TIME() - m; n := m; z := n - m;",
        given={"p": "1 0 0 1 0"},
        expected={"y": "0 100 200 0 100", "z": "0 0 0 0 0"},
    ),
    BlockRun(
        "an earlier reading less a later one, where the clock is signed",
        OPEN_POINT,
        "m, y : TIME;",
        "IF p THEN m := TIME(); END_IF; y := m - TIME();",
        given={"p": "1 0 0"},
        expected={"y": "0 -100 -200"},
        readings={"clock_is_signed": True},
    ),
    BlockRun(
        "an earlier reading less a later one, where the clock is unsigned",
        OPEN_POINT,
        "m, y : TIME;",
        "IF p THEN m := TIME(); END_IF; y := m - TIME();",
        given={"p": "1 0 0"},
        expected={"y": "0 4294967196 4294967096"},
        readings={"clock_is_signed": False},
    ),
    BlockRun(
        "a duration below zero where durations are signed",
        OPEN_POINT,
        "y : TIME; z : BOOL;",
        "y := t - u; z := y > T#0s;",
        given={"t : TIME": "5 3 0", "u : TIME": "3 5 0"},
        expected={"y": "2 -2 0", "z": "1 0 0"},
        readings={"durations_are_signed": True},
    ),
    BlockRun(
        "a duration below zero where durations are unsigned",
        OPEN_POINT,
        "y : TIME; z : BOOL;",
        "y := t - u; z := y > T#0s;",
        given={"t : TIME": "5 0 3", "u : TIME": "3 0 5"},
        expected={"y": "2 0", "z": "1 0"},
        readings={"durations_are_signed": False},
        finding="duration below zero",
    ),
    BlockRun(
        "the result of a function that assigns none is the default of its type",
        "IEC 61131-3 Ed. 3, 6.5.2 (from memory)",
        "y : INT;",
        "y := Above(a);",
        before=ABOVE,
        given={"a : INT": "5 2 3 1"},
        expected={"y": "5 0 3 0"},
        readings={"temporaries_begin_anew": True},
    ),
    BlockRun(
        "the result of a function that assigns none is what was there before",
        "common practice; manual, what_a_scan_means, readings",
        "y : INT;",
        "y := Above(a);",
        before=ABOVE,
        given={"a : INT": "5 3 2"},
        expected={"y": "5 3"},
        readings={"temporaries_begin_anew": False},
        finding="read before assignment",
    ),
    BlockRun(
        "S= and R= write only where their side is on",
        "IEC 61131-3 Ed. 3 (from memory); manual, language_read",
        "y : BOOL;",
        "y S= s; y R= r;",
        given={"s": "0 1 0 1 0", "r": "0 0 0 1 0"},
        expected={"y": "0 1 1 0 0"},
    ),
    BlockRun(
        "MIN, MAX, LIMIT, ABS",
        "IEC 61131-3 Ed. 2, Tables 23 and 27 (from memory)",
        "low, high, kept, size : INT;",
        "low := MIN(a, b); high := MAX(a, b); kept := LIMIT(-2, a, 3); size := ABS(a);",
        given={"a : INT": "-5 3 4", "b : INT": "2 2 9"},
        expected={"low": "-5 2 4", "high": "2 3 9", "kept": "-2 3 3", "size": "5 3 4"},
    ),
    BlockRun(
        "SEL takes the second where G is on; MUX counts from 0",
        "IEC 61131-3 Ed. 2, Table 27 (from memory)",
        "y, z : INT;",
        "y := SEL(p, a, b); z := MUX(k, a, b, 99);",
        given={"p": "0 1 0", "k : INT": "0 1 2", "a : INT": "10 11 12", "b : INT": "20 21 22"},
        expected={"y": "10 21 12", "z": "10 21 99"},
    ),
    BlockRun(
        "shifts fill with 0, rotations with what falls out; bits count from the right",
        "IEC 61131-3 Ed. 2, Table 25 (from memory)",
        "l, r, ol, ors : BYTE; last, first : BOOL;",
        "l := SHL(w, 1); r := SHR(w, 1); ol := ROL(w, 1); ors := ROR(w, 1);"
        "first := w.0; last := w.7;",
        given={"w : BYTE": "129 2 64"},
        expected={
            "l": "2 4 128",
            "r": "64 1 32",
            "ol": "3 4 128",
            "ors": "192 1 32",
            "first": "1 0 0",
            "last": "1 0 0",
        },
    ),
)
