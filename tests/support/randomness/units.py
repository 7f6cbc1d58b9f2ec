"""Blocks with methods, actions, properties, bases, edge inputs, and random uses of them."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

UNITS = """
FUNCTION_BLOCK Part
VAR_INPUT feed : INT := 1; up : BOOL R_EDGE; down : BOOL F_EDGE; END_VAR
VAR_OUTPUT total : INT; busy : BOOL; END_VAR
VAR calls : INT; wait : TON := (PT := T#15ms); END_VAR
VAR_STAT all : SINT; END_VAR
VAR_TEMP draft : INT := 2; END_VAR
METHOD Add : INT
VAR_INPUT amount : INT := 5; END_VAR
VAR_OUTPUT big : BOOL; END_VAR
VAR sum : INT := 3; END_VAR
VAR_INST kept : INT; END_VAR
    IF amount < 0 THEN Add := -1; RETURN; END_IF
    kept := (kept + amount) MOD 7;
    calls := (calls + Step2()) MOD 40;
    sum := sum + amount MOD 9 + kept;
    big S= sum > 9;
    total := THIS^.calls;
    Add := sum;
END_METHOD
METHOD Step2 : INT
    Step2 := 1;
END_METHOD
METHOD Shift
VAR_IN_OUT target : INT; END_VAR
    target := target MOD 11 + calls;
    all := (all + 1) MOD 5;
END_METHOD
PROPERTY Level : INT
GET
    Level := calls * 2 - all;
END_GET
SET
    IF Level > 0 THEN calls := Level MOD 13; busy := NOT busy; END_IF
END_SET
END_PROPERTY
draft := draft + feed MOD 5;
IF up THEN total := draft; END_IF
IF down THEN Halve(); END_IF
wait(IN := busy);
busy R= wait.Q;
ACTION Halve:
    IF total < 0 THEN RETURN; END_IF
    total := total / 2;
    busy := TRUE;
END_ACTION
END_FUNCTION_BLOCK

FUNCTION_BLOCK Whole EXTENDS Part
VAR_OUTPUT ran : INT; END_VAR
METHOD Step2 : INT
    Step2 := 3 + SUPER^.Step2();
END_METHOD
METHOD Shift
VAR_IN_OUT target : INT; END_VAR
    SUPER^.Shift(target := target);
    IF Add() > 5 THEN ran := 2; END_IF
END_METHOD
ran := (ran + 1) MOD 3;
IF ran > 0 THEN SUPER^(); END_IF
END_FUNCTION_BLOCK

FUNCTION Rotate
VAR_IN_OUT first, second : INT; END_VAR
VAR old : INT; END_VAR
old := first; first := second; second := old;
END_FUNCTION
"""

DECLARED = "part : Part; whole : Whole;"

Text = Callable[[int], str]


def expression(random: Random, number: Text) -> str:
    """An INT that a unit gives; it may change the unit."""
    name = random.choice(("part", "whole"))
    return random.choice(
        (
            f"{name}.Add(amount := {number(0)})",
            f"{name}.Add({number(0)})",
            f"{name}.Add(big => g)",
            f"{name}.Level",
            f"{name}.total",
            "whole.ran",
        )
    )


def statement(random: Random, flag: Text, number: Text) -> str:
    """A statement about a unit."""
    name = random.choice(("part", "whole"))
    target = random.choice(("i", "j"))
    return random.choice(
        (
            f"{name}.Add(amount := {number(1)}, big => f);",
            f"{name}.Shift(target := {target});",
            f"{name}.Halve();",
            f"{name}.Level := {number(1)};",
            f"{name}(feed := {number(1)}, up := {flag(1)}, down := {flag(0)}, busy => g);",
            f"{name}({number(0)}, {flag(0)}, {flag(0)});",
            f"{name}(EN := {flag(1)}, ENO => f);",
            f"{name}(EN := {flag(0)}, feed := {number(1)}, up := {flag(0)});",
            f"t0(EN := {flag(0)}, IN := {flag(1)}, PT := T#20ms, ENO => g);",
            f"Clip(EN := {flag(0)}, x := {number(1)}, most := 3);",
            f"{name}.up := {flag(1)};",
            f"Rotate(first := i, second := j, ENO => {random.choice(('f', 'g'))});",
            f"Rotate(EN := {flag(0)}, first := j, second := i);",
            f"{random.choice(('f', 'g', 'q'))} {random.choice('SR')}= {flag(1)};",
            f"inner(shared := {target}, EN := {flag(0)}, NOT ENO => g);",
        )
    )
