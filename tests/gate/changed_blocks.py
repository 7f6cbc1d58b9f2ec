"""A block and its spec, and changes of them: some mean something, some do not."""

from __future__ import annotations

BLOCK = """FUNCTION_BLOCK Press
VAR_INPUT a, b : BOOL; n : INT; END_VAR
VAR_OUTPUT q : BOOL; END_VAR
VAR x : INT := 3; t : TON; w : BOOL; END_VAR
VAR CONSTANT most : INT := 7; END_VAR
t(IN := a, PT := T#100ms);
IF a AND NOT t.Q THEN x := 1; ELSE x := most; END_IF;
q := b AND x = 1 AND n > 2;
END_FUNCTION_BLOCK
"""
SPEC = """SPEC S
SOURCE 'b.st';
SCAN T#10ms;
OUTPUT q;
ASSUME n < 100;
PROPERTY p : q -> b;
PROPERTY other : q -> a;
END_SPEC
"""

SAME = [
    (BLOCK, "IF a", "(* why *)\n\n  IF   a"),
    (BLOCK, "FUNCTION_BLOCK Press", "// ours\nFUNCTION_BLOCK Press"),
    (BLOCK, "q := b AND x = 1 AND n > 2;", "q := ((b AND (x = 1)) AND (n > 2));"),
    (BLOCK, "END_FUNCTION_BLOCK\n", "END_FUNCTION_BLOCK\nFUNCTION F : INT F := 1; END_FUNCTION"),
    (SPEC, "SCAN T#10ms;", "(* as measured *) SCAN T#0.01s;"),
    (SPEC, "PROPERTY other : q -> a;", "PROPERTY other : q -> b OR a;"),
    (SPEC, "END_SPEC", "EXPECT VIOLATED other; END_SPEC"),
]
OTHER = [
    (BLOCK, "T#100ms", "T#110ms"),
    (BLOCK, "x : INT := 3", "x : INT := 4"),
    (BLOCK, "most : INT := 7", "most : INT := 8"),
    (BLOCK, "IF a AND NOT t.Q", "IF NOT a AND t.Q"),
    (BLOCK, "x := 1; ELSE x := most;", "x := most; ELSE x := 1;"),
    (BLOCK, "n > 2", "n >= 2"),
    (BLOCK, "n > 2", "2 > n"),
    (BLOCK, "t : TON", "t : TOF"),
    (BLOCK, "n : INT", "n : DINT"),
    (BLOCK, "q := b AND", "w := b; q := b AND"),
    (BLOCK, "VAR x", "VAR RETAIN x"),
    (BLOCK, "PT := T#100ms);", "PT := T#100ms); t(IN := a, PT := T#100ms);"),
    (SPEC, "T#10ms", "T#5ms..T#10ms"),
    (SPEC, "ASSUME n < 100;", ""),
    (SPEC, "n < 100", "n <= 100"),
    (SPEC, "PROPERTY p : q -> b;", "PROPERTY p : q -> a;"),
    (SPEC, "PROPERTY p : q -> b;", "REACHABLE p : q AND NOT b;"),
    (SPEC, "OUTPUT q;", "OUTPUT q; INTEGERS WRAP;"),
    (SPEC, "OUTPUT q;", "OUTPUT q; LOOPS 7;"),
    (SPEC, "OUTPUT q;", "OUTPUT q; POWER CYCLES;"),
    (SPEC, "OUTPUT q;", ""),
    (SPEC, "OUTPUT q;", "OUTPUT q; READING edge_call_counts TRUE;"),
]
