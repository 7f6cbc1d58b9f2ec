"""The functions that random blocks call."""

FUNCTIONS = """
TYPE Mode : (Idle, Ready, Run := 5, Fault); END_TYPE

FUNCTION Clip : INT
VAR_INPUT x : INT; most : INT := 4; END_VAR
VAR_OUTPUT clipped : BOOL; END_VAR
VAR n : INT; END_VAR
IF x > most THEN clipped := TRUE; Clip := most; RETURN; END_IF
FOR n := 0 TO 2 DO
  IF x + n > 3 THEN EXIT; END_IF
  Clip := Clip + n;
END_FOR
Clip := Clip + x MOD 5;
END_FUNCTION

FUNCTION Bump : BOOL
VAR_IN_OUT target : INT; END_VAR
VAR_INPUT amount : INT; END_VAR
IF amount < 0 THEN RETURN; END_IF
target := (target + amount) MOD 50;
Bump := target > 20;
END_FUNCTION
"""
