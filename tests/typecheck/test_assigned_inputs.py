"""An input that its block assigns is a copy in the body; what platforms differ in is refused."""

from __future__ import annotations

from random import Random

import pytest
from twohand.program import Program
from twohand.text.diagnostic import Diagnostic, InputError, Severity
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.both_rooms import both_rooms

GATE = """FUNCTION_BLOCK Gate
VAR_INPUT on : BOOL := TRUE; level : INT; END_VAR
VAR_OUTPUT q : BOOL; n : INT; END_VAR
{body}
END_FUNCTION_BLOCK
"""
ASSIGNS = "IF level > 5 THEN on := FALSE; level := 5; END_IF q := on; n := n + level;"
CALLER = """FUNCTION_BLOCK Top
VAR_INPUT a : BOOL; x : INT; END_VAR
VAR_OUTPUT q : BOOL; n : INT; END_VAR
VAR gate : Gate; END_VAR
{body}
END_FUNCTION_BLOCK
"""


def load(*texts: str, notes: list[Diagnostic] | None = None, block: str | None = None) -> Program:
    return load_program([SourceText("b.st", "".join(texts))], block, notes=notes)


def problem_of(*texts: str) -> Diagnostic:
    with pytest.raises(InputError) as caught:
        load(*texts)
    return caught.value.diagnostics[0]


def test_the_body_sees_what_it_assigned_and_the_next_scan_what_is_given_then() -> None:
    tested = load(GATE.format(body=ASSIGNS))
    assert [v.name for v in tested.inputs] == ["on", "level"]
    assert tested.sampled == tested.inputs
    rows = [{"on": True, "level": 3}, {"on": True, "level": 9}, {"on": True, "level": 2}]
    shown = both_rooms(tested, rows, ["q", "n", "on", "level", "level.copy"])
    assert shown == [[True, 3, True, 3, 3], [False, 8, True, 9, 5], [True, 10, True, 2, 2]]


def test_an_assigned_input_is_told_once_each_as_a_warning() -> None:
    notes: list[Diagnostic] = []
    body = "gate(on := a, level := x); second(on := a, level := x);"
    caller = CALLER.replace("gate : Gate", "gate, second : Gate")
    load(GATE.format(body=ASSIGNS), caller.format(body=body), notes=notes)
    told = [note for note in notes if note.code == "assigned-input"]
    assert [note.span.text for note in told if note.span] == ["on", "level"]
    assert {note.severity for note in told} == {Severity.WARNING}


@pytest.mark.parametrize(
    "body",
    [
        "on := q;",
        "on R= q;",
        "t(IN := q, Q => on);",
        "hush();",
        "FOR level := 1 TO 3 DO n := n + level; END_FOR",
        "level.3 := on;",
    ],
)
def test_every_way_to_assign_makes_a_copy(body: str) -> None:
    text = GATE.format(body=f"{body} q := on; ACTION hush : on := q; END_ACTION")
    tested = load(text.replace("VAR_OUTPUT q", "VAR t : TON; END_VAR VAR_OUTPUT q"))
    copies = [v.name for v in tested.variables if v.name.endswith(".copy")]
    expected = {"on.copy", "level.copy"} if "level" in body else {"on.copy"}
    assert set(copies) == {"on.copy", *expected}


def test_functions_and_called_blocks_begin_each_call_with_what_is_given() -> None:
    function = (
        "FUNCTION Limited : INT VAR_INPUT v : INT; END_VAR "
        "IF v > 7 THEN v := 7; END_IF Limited := v; END_FUNCTION\n"
    )
    body = "gate(on := a, level := Limited(x)); q := gate.q; n := Limited(v := 4) + gate.n;"
    tested = load(function, GATE.format(body=ASSIGNS), CALLER.format(body=body))
    rows = [{"a": True, "x": 9}, {"a": True, "x": 1}, {"a": False, "x": 0}]
    assert both_rooms(tested, rows, ["q", "n"]) == [[False, 9], [True, 10], [False, 10]]


@pytest.mark.parametrize(
    ("body", "place"),
    [
        ("gate(on := a);", "gate"),
        ("gate();", "gate"),
        ("gate(on := a, level :=);", "gate"),
        ("gate(on := a, level := x); n := gate.level;", "level"),
        ("gate.level := x; gate(on := a, level := x);", "level"),
    ],
)
def test_what_could_tell_the_callers_value_from_what_was_assigned_is_refused(
    body: str, place: str
) -> None:
    problem = problem_of(GATE.format(body=ASSIGNS), CALLER.format(body=body))
    assert (problem.code, problem.span and problem.span.text) == ("input-left-assigned", place)


@pytest.mark.parametrize(
    ("member", "code"),
    [
        ("METHOD m : BOOL m := on; END_METHOD", "hidden-variable"),
        ("METHOD m : BOOL on := FALSE; END_METHOD", "hidden-variable"),
    ],
)
def test_a_method_sees_no_assigned_input(member: str, code: str) -> None:
    body = f"on := m() AND q; {member}"
    assert problem_of(GATE.format(body=body)).code == code


def test_an_action_called_from_outside_sees_no_assigned_input() -> None:
    gate = GATE.format(body="on := q; ACTION hush : q := on; END_ACTION")
    call = "gate(on := a, level := x); gate.hush();"
    assert problem_of(gate, CALLER.format(body=call)).code == "hidden-variable"


@pytest.mark.parametrize(
    "text",
    [
        GATE.format(body="list[1] := 0;").replace("on :", "list : ARRAY [1..2] OF INT; on :"),
        GATE.format(body="on := q;").replace("VAR_INPUT", "VAR_INPUT CONSTANT"),
        GATE.format(body="change(v := level); q := on;")
        + "FUNCTION change : BOOL VAR_IN_OUT v : INT; END_VAR v := 1; END_FUNCTION",
        GATE.format(body="m();METHOD m on := FALSE; END_METHOD"),
    ],
)
def test_other_inputs_are_still_set_by_the_caller_only(text: str) -> None:
    assert problem_of(text).code == "not-assignable"


def test_a_block_is_what_it_is_with_the_copy_written_out() -> None:
    """The second reading: the same statements over variables of the block."""
    random = Random("assigned inputs")
    for _ in range(6):
        lines = [
            random.choice(
                (
                    "IF on THEN level := level - 1; ELSE on := level > 2; END_IF",
                    "on := on XOR level > n;",
                    "q := on; n := (n + level) MOD 9;",
                    "level := level MOD 7 + 1;",
                    "IF level = 3 THEN RETURN; END_IF",
                )
            )
            for _ in range(4)
        ]
        body = "q := on; level := level; on := on;" + "\n".join(lines)
        written_out = (
            GATE.format(body=f"on := on_given; level := level_given; {body}")
            .replace("on : BOOL := TRUE; level", "on_given : BOOL := TRUE; level_given")
            .replace("VAR_OUTPUT", "VAR on : BOOL; level : INT; END_VAR VAR_OUTPUT")
        )
        rows = [{"on": random.random() < 0.5, "level": random.randrange(6)} for _ in range(12)]
        given = [{f"{name}_given": value for name, value in row.items()} for row in rows]
        shown = both_rooms(load(GATE.format(body=body)), rows, ["q", "n"])
        assert shown == both_rooms(load(written_out), given, ["q", "n"])
