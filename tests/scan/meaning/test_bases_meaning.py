"""What blocks that extend others, and programs that others call, come to in both rooms."""

from __future__ import annotations

import pytest
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.unit_values import refused, values

BASES = """
FUNCTION_BLOCK Base
VAR_INPUT on : BOOL; END_VAR
VAR_OUTPUT n : INT; END_VAR
VAR_TEMP draft : INT; END_VAR
METHOD Step : INT
    Step := 1;
END_METHOD
METHOD Twice : INT
    Twice := Step() + THIS^.Step();
END_METHOD
draft := draft + 1;
IF on THEN n := n + Step() * draft; END_IF
END_FUNCTION_BLOCK

FUNCTION_BLOCK Middle EXTENDS Base
VAR m : INT; END_VAR
METHOD Step : INT
    Step := 10 + SUPER^.Step();
END_METHOD
END_FUNCTION_BLOCK

FUNCTION_BLOCK Derived EXTENDS Middle
VAR_OUTPUT d : INT; END_VAR
METHOD Step : INT
    Step := 100 + SUPER^.Step();
END_METHOD
SUPER^();
d := d + 1;
END_FUNCTION_BLOCK
"""


def test_the_type_of_the_instance_decides_which_method_runs() -> None:
    seen = values(
        "VAR b : Base; m : Middle; d : Derived; x, y, z : INT; END_VAR",
        "x := b.Twice(); y := m.Twice(); z := d.Twice();",
        "x y z",
        BASES,
    )
    assert seen == [[2, 22, 222]]


def test_the_body_of_a_base_runs_only_where_it_is_called() -> None:
    seen = values(
        "VAR b : Base; m : Middle; d : Derived; END_VAR",
        "b(on := TRUE); m(on := TRUE); d(on := TRUE);",
        "b.n m.n d.n d.d",
        BASES,
        2,
    )
    assert seen == [[1, 0, 0, 1], [2, 0, 0, 2]]


def test_a_body_calls_its_base_with_fresh_temporaries_and_its_own_methods() -> None:
    block = BASES.replace(
        "VAR m : INT; END_VAR", "VAR m : INT; END_VAR SUPER^(); SUPER^(); m := n;"
    )
    seen = values("VAR d : Derived; END_VAR", "d(on := TRUE);", "d.n d.m d.d", block, 2)
    assert seen == [[222, 222, 1], [444, 444, 2]]


def test_a_name_of_the_base_is_not_caught_by_one_of_the_block() -> None:
    block = """
    TYPE Mode : (Rest, Go := 7); END_TYPE
    FUNCTION_BLOCK Base
    VAR_OUTPUT mode : Mode; END_VAR
    METHOD Set mode := Go; END_METHOD
    END_FUNCTION_BLOCK
    FUNCTION_BLOCK Derived EXTENDS Base
    VAR Go : BOOL; END_VAR
    Set();
    END_FUNCTION_BLOCK"""
    assert values("VAR d : Derived; END_VAR", "d();", "d.mode", block) == [[7]]


def test_temporaries_of_a_base_begin_anew_at_each_call_of_its_body() -> None:
    block = """
    FUNCTION_BLOCK Base
    VAR_OUTPUT n : INT; END_VAR
    VAR_TEMP t : ARRAY[0..1] OF INT := [2, 3]; END_VAR
    t[1] := t[1] + t[0]; n := n + t[1];
    END_FUNCTION_BLOCK
    FUNCTION_BLOCK Derived EXTENDS Base
    VAR_TEMP own : INT; END_VAR
    own := own + 1; SUPER^(); SUPER^(); n := n + own;
    END_FUNCTION_BLOCK"""
    assert values("VAR d : Derived; END_VAR", "d();", "d.n", block, 2) == [[11], [22]]


def test_a_method_knows_the_values_of_its_block_s_enumerations() -> None:
    block = """
    FUNCTION_BLOCK B
    VAR_OUTPUT mode : (Rest, Go := 5); END_VAR
    METHOD Start mode := Go; END_METHOD
    END_FUNCTION_BLOCK"""
    assert values("VAR b : B; END_VAR", "b.Start();", "b.mode", block) == [[5]]


@pytest.mark.parametrize(
    ("blocks", "code"),
    [
        (
            "VAR_GLOBAL CONSTANT C : INT := 1; END_VAR "
            "FUNCTION_BLOCK Up VAR n2 : INT := C; END_VAR END_FUNCTION_BLOCK "
            "FUNCTION_BLOCK D EXTENDS Up VAR CONSTANT C : INT := 2; END_VAR END_FUNCTION_BLOCK",
            "captured-name",
        ),
        ("FUNCTION_BLOCK D EXTENDS Nope END_FUNCTION_BLOCK", "unknown-base"),
        ("FUNCTION_BLOCK D EXTENDS D END_FUNCTION_BLOCK", "recursive-base"),
        ("FUNCTION_BLOCK D EXTENDS F END_FUNCTION_BLOCK", "unknown-base"),
        ("FUNCTION_BLOCK D EXTENDS B VAR n : BOOL; END_VAR END_FUNCTION_BLOCK", "duplicate-name"),
        (
            "FUNCTION_BLOCK D EXTENDS B METHOD Shut END_METHOD END_FUNCTION_BLOCK",
            "wrong-override",
        ),
        ("FUNCTION_BLOCK D EXTENDS B ACTION M: END_ACTION END_FUNCTION_BLOCK", "wrong-override"),
        ("FUNCTION_BLOCK ABSTRACT D END_FUNCTION_BLOCK", "abstract-block"),
    ],
)
def test_a_wrong_base_is_refused(blocks: str, code: str) -> None:
    base = """
    FUNCTION F : INT F := 1; END_FUNCTION
    FUNCTION_BLOCK B VAR n : INT; END_VAR
    METHOD M END_METHOD METHOD FINAL Shut END_METHOD
    END_FUNCTION_BLOCK """
    assert refused("VAR d : D; END_VAR", "d();", base + blocks) == [code]


PROGRAMS = """
PROGRAM Count
VAR_INPUT go : BOOL; END_VAR
VAR_OUTPUT n : INT; END_VAR
IF go THEN n := n + 1; END_IF
END_PROGRAM
FUNCTION_BLOCK User
VAR_OUTPUT seen : INT; END_VAR
seen := Count.n;
END_FUNCTION_BLOCK
"""


def test_a_program_that_is_called_is_one_instance_for_all() -> None:
    seen = values(
        "VAR u : User; m : INT; END_VAR", "Count(go := a); u(); Count(); m := Count.n;",
        "u.seen m", PROGRAMS, a="101",
    )  # fmt: skip
    assert seen == [[1, 2], [2, 2], [3, 4]]


@pytest.mark.parametrize(
    "other",
    [
        "",
        "PROGRAM Other Count(); END_PROGRAM",
        "CONFIGURATION c TASK t(INTERVAL := T#5ms); PROGRAM p WITH t : Count; END_CONFIGURATION",
    ],
)
def test_a_program_that_runs_elsewhere_or_nowhere_is_refused(other: str) -> None:
    body = "n := Count.n;" if not other else "Count(); n := Count.n;"
    assert refused("VAR n : INT; END_VAR", body, PROGRAMS + other) == ["shared-instance"]


def test_the_block_to_check_is_the_one_that_no_other_uses() -> None:
    text = (
        PROGRAMS
        + BASES
        + (
            "PROGRAM Main VAR u : User; all : ARRAY[1..2] OF Derived; END_VAR "
            "Count(); u(); END_PROGRAM"
        )
    )
    assert load_program([SourceText("a.st", text)]).name == "Main"
