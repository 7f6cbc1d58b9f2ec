"""The blocks of the textbook systems; a name in braces is where a variant differs."""

PETERSON = """
FUNCTION_BLOCK Peterson
VAR_INPUT second, wants : BOOL; END_VAR  (* whose step it is; whether he wants to be inside *)
VAR_OUTPUT inside1, inside2 : BOOL; END_VAR
VAR place1, place2 : INT; flag1, flag2, turnOfSecond : BOOL; END_VAR
IF NOT second THEN
    CASE place1 OF
        0: IF wants THEN {first1} place1 := 1; END_IF;
        1: {then1} place1 := 2;
        2: IF NOT flag2 OR NOT turnOfSecond THEN place1 := 3; END_IF;
        3: IF NOT wants THEN flag1 := FALSE; place1 := 0; END_IF;
    END_CASE;
ELSE
    CASE place2 OF
        0: IF wants THEN {first2} place2 := 1; END_IF;
        1: {then2} place2 := 2;
        2: IF NOT flag1 OR turnOfSecond THEN place2 := 3; END_IF;
        3: IF NOT wants THEN flag2 := FALSE; place2 := 0; END_IF;
    END_CASE;
END_IF;
inside1 := place1 = 3;
inside2 := place2 = 3;
END_FUNCTION_BLOCK
"""
FLAGS = {"1": "flag1 := TRUE;", "2": "flag2 := TRUE;"}
TURNS = {"1": "turnOfSecond := TRUE;", "2": "turnOfSecond := FALSE;"}
EXCLUSION = """
PROPERTY exclusion : NOT (inside1 AND inside2);
PROPERTY flag_first : FIRST_SCAN -> flag1 BEFORE inside1;
"""

FISCHER = """
FUNCTION_BLOCK Contender
VAR_INPUT me : INT; wants : BOOL; END_VAR
VAR_IN_OUT lock : INT; END_VAR
VAR_OUTPUT inside : BOOL; END_VAR
VAR place : INT; late, settled : TON; END_VAR
late(IN := place = 1, PT := T#2ms);
settled(IN := place = 2, PT := {delay});
CASE place OF
    0: IF wants AND lock = 0 THEN place := 1; END_IF;
    1: IF NOT wants OR late.Q THEN lock := me; place := 2; END_IF;
    2: IF settled.Q THEN place := SEL(lock = me, 0, 3); END_IF;
    3: IF NOT wants THEN lock := 0; place := 0; END_IF;
END_CASE;
inside := place = 3;
END_FUNCTION_BLOCK
FUNCTION_BLOCK Exclusion
VAR_INPUT wants1, wants2 : BOOL; END_VAR
VAR_OUTPUT inside1, inside2 : BOOL; END_VAR
VAR lock : INT; one, two : Contender; END_VAR
one(me := 1, wants := wants1, lock := lock, inside => inside1);
two(me := 2, wants := wants2, lock := lock, inside => inside2);
END_FUNCTION_BLOCK
"""

CROSSING = """
FUNCTION_BLOCK Crossing
VAR_INPUT arrives, moves : BOOL; END_VAR
VAR_OUTPUT crossing, lowered : BOOL; END_VAR
VAR near : BOOL; run, gate : TON; END_VAR
run(IN := near, PT := T#5ms);
IF crossing THEN
    crossing := NOT moves;
ELSIF near THEN
    IF moves AND run.Q THEN crossing := TRUE; near := FALSE; END_IF;
ELSE
    near := arrives;
END_IF;
gate(IN := near OR crossing, PT := {gate});
lowered := gate.Q;
END_FUNCTION_BLOCK
"""

COUNTERS = """
FUNCTION_BLOCK Counters
VAR_INPUT count : BOOL; END_VAR
VAR_OUTPUT low, high : INT; END_VAR
IF count THEN
    low := (low + 1) MOD 4;
    high := (high + 1) MOD 8;
END_IF;
END_FUNCTION_BLOCK
"""

GRAY = """
FUNCTION_BLOCK Gray
VAR_INPUT count : BOOL; END_VAR
VAR_OUTPUT g0, g1, g2 : BOOL; END_VAR
VAR number : INT; b0, b1, b2 : BOOL; END_VAR
IF count THEN number := (number + 1) MOD 8; END_IF;
b0 := number MOD 2 = 1;
b1 := number / 2 MOD 2 = 1;
b2 := number / 4 = 1;
g0 := b0{with1};
g1 := b1{with2};
g2 := b2;
END_FUNCTION_BLOCK
"""
ONE_BIT = """
PROPERTY not_first_two : NOT (g0 <> prev(g0) AND g1 <> prev(g1));
PROPERTY not_last_two  : stable(g1) OR stable(g2);
"""

DEBOUNCE_BY_TIMER = """
FUNCTION_BLOCK Debounce
VAR_INPUT raw : BOOL; END_VAR
VAR_OUTPUT clean : BOOL; END_VAR
VAR differs : TON; END_VAR
differs(IN := raw <> clean, PT := {settle});
IF differs.Q THEN
    clean := raw;
{again}
END_IF;
END_FUNCTION_BLOCK
"""
DEBOUNCE_BY_COUNT = """
FUNCTION_BLOCK Debounce
VAR_INPUT raw : BOOL; END_VAR
VAR_OUTPUT clean : BOOL; END_VAR
VAR number : INT; END_VAR
IF raw <> clean THEN
    number := number + 1;
    IF number >= 3 THEN clean := raw; number := 0; END_IF;
{otherwise}
END_IF;
END_FUNCTION_BLOCK
"""

ALTERNATING_BIT = """
FUNCTION_BLOCK AlternatingBit
VAR_INPUT messageLost, answerLost : BOOL; END_VAR
VAR_OUTPUT acknowledged, accepted : INT; END_VAR
VAR bit, expected : BOOL; END_VAR
IF NOT messageLost THEN
    IF {fresh} THEN
        accepted := (accepted + 1) MOD 4;
        expected := NOT expected;
    END_IF;
    IF NOT answerLost THEN
        acknowledged := (acknowledged + 1) MOD 4;
        bit := NOT bit;
    END_IF;
END_IF;
END_FUNCTION_BLOCK
"""

WATER_LEVEL = """
FUNCTION_BLOCK WaterLevel
VAR_OUTPUT pump : BOOL := TRUE; level : INT := 2; END_VAR
VAR switching : BOOL; delay : INT; END_VAR
IF pump THEN level := level + 1; ELSE level := level - 2; END_IF;
IF switching THEN
    delay := delay - 1;
ELSIF pump AND level = 20 OR NOT pump AND level = 10 THEN
    switching := TRUE;
    delay := {delay};
END_IF;
IF switching AND delay = 0 THEN
    pump := NOT pump;
    switching := FALSE;
END_IF;
END_FUNCTION_BLOCK
"""

PHILOSOPHERS = """
FUNCTION_BLOCK Philosophers
VAR_INPUT second : BOOL; END_VAR
VAR_OUTPUT stuck : BOOL; END_VAR
VAR place1, place2, left, right : INT; END_VAR
IF NOT second THEN
    CASE place1 OF
        0: IF left = 0 THEN left := 1; place1 := 1; END_IF;
        1: IF right = 0 THEN right := 1; place1 := 2; END_IF;
        2: left := 0; right := 0; place1 := 0;
    END_CASE;
ELSE
    CASE place2 OF
        0: IF {one} = 0 THEN {one} := 2; place2 := 1; END_IF;
        1: IF {other} = 0 THEN {other} := 2; place2 := 2; END_IF;
        2: left := 0; right := 0; place2 := 0;
    END_CASE;
END_IF;
stuck := place1 = 1 AND right <> 0 AND place2 = 1 AND {other} <> 0;
END_FUNCTION_BLOCK
"""

RIVER = """
FUNCTION_BLOCK River
VAR_INPUT wolfOrGoat, wolfOrCabbage : BOOL; END_VAR
VAR_OUTPUT across : BOOL; END_VAR
VAR man, wolf, goat, cabbage, eaten : BOOL; END_VAR
IF NOT eaten THEN
    man := NOT man;
    IF wolfOrGoat AND wolfOrCabbage THEN
        IF wolf <> man THEN wolf := man; END_IF;
    ELSIF wolfOrGoat THEN
        IF goat <> man THEN goat := man; END_IF;
    ELSIF wolfOrCabbage THEN
        IF cabbage <> man THEN cabbage := man; END_IF;
    END_IF;
    eaten := goat <> man AND (wolf = goat OR cabbage = goat);
    across := NOT eaten AND man AND wolf AND goat AND cabbage;
END_IF;
END_FUNCTION_BLOCK
"""

JUGS = """
FUNCTION_BLOCK Jugs
VAR_INPUT pour, big, fill : BOOL; END_VAR
VAR_OUTPUT three, five : INT; END_VAR
VAR poured : INT; END_VAR
IF pour THEN
    IF big THEN
        poured := MIN(five, 3 - three);
        five := five - poured;
        three := three + poured;
    ELSE
        poured := MIN(three, 5 - five);
        three := three - poured;
        five := five + poured;
    END_IF;
ELSIF big THEN
    five := SEL(fill, 0, 5);
ELSE
    three := SEL(fill, 0, 3);
END_IF;
END_FUNCTION_BLOCK
"""

VIGILANCE = """
FUNCTION_BLOCK Vigilance
VAR_INPUT pedal : BOOL; END_VAR
VAR_OUTPUT brake : BOOL; END_VAR
VAR absent : TON; END_VAR
absent(IN := NOT pedal, PT := {patience});
brake := absent.Q;
END_FUNCTION_BLOCK
"""
BRAKES = """
PROPERTY brakes : fell(pedal) -> brake OR pedal WITHIN T#5ms;
PROPERTY keeps_braking : rose(brake) -> brake UNTIL pedal;
PROPERTY not_early : brake -> held(NOT pedal, T#2ms);
"""

BUFFER = """
FUNCTION_BLOCK Buffer
VAR_INPUT put, take : BOOL; END_VAR
VAR_OUTPUT filled : INT; END_VAR
IF put{room} THEN filled := filled + 1; END_IF;
IF take AND filled > 0 THEN filled := filled - 1; END_IF;
END_FUNCTION_BLOCK
"""
