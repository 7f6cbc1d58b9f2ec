"""What is refused in a library of blocks, where, and under which code."""

from __future__ import annotations

import pytest

from tests.support.samples.library_samples import INNER, block, problems

DECLARED = (
    "VAR_INPUT in1 : BOOL; END_VAR VAR_OUTPUT out1 : BOOL; END_VAR "
    "VAR n, k : INT; q : BOOL; t : TON; i : Inner; END_VAR VAR CONSTANT C : INT := 1; END_VAR"
)


@pytest.mark.parametrize(
    ("body", "code", "column"),
    [
        ("C := 2;", "not-assignable", 1),
        ("t.Q := TRUE;", "not-assignable", 1),
        ("i.ok := TRUE;", "not-assignable", 1),
        ("q := i.t;", "hidden-member", 8),
        ("q := i.once = 1;", "hidden-member", 8),
        ("q := i.n = 1;", "hidden-member", 8),
        ("q := i.t.Q;", "hidden-member", 8),
        ("i.t(IN := q);", "hidden-member", 3),
        ("t := 1;", "instance-as-value", 1),
        ("n();", "not-callable", 1),
        ("TON(IN := q);", "block-type-called", 1),
        ("tt(IN := q);", "unknown-function", 1),
        ("t(IN := q, PX := T#1s);", "unknown-argument", 12),
        ("t(IN := q, IN := q);", "duplicate-argument", 12),
        ("t(q);", "argument-count", 1),
        ("t(IN := 2);", "value-out-of-range", 9),
        ("t(PT := 500);", "type-mismatch", 9),
        ("t(Q := q);", "not-assignable", 3),
        ("t(IN => q);", "unknown-argument", 3),
        ("t(Q => n);", "type-mismatch", 3),
        ("t(ET => C);", "not-assignable", 9),
        ("t(NOT ET => n);", "operator-types", 3),
        ("t(EN := q, Q => q);", "unsupported-enable", 12),
        ("t(EN := n);", "type-mismatch", 9),
        ("i(go := q);", "missing-in-out", 1),
        ("i(n := 5);", "in-out-needs-variable", 8),
        ("i(n := C);", "not-assignable", 8),
        ("i(n := q);", "type-mismatch", 8),
        ("i(n := t);", "type-mismatch", 8),
        ("IF n THEN ; END_IF", "condition-not-boolean", 4),
        ("WHILE 1 DO ; END_WHILE", "condition-not-boolean", 7),
        ("REPEAT ; UNTIL t.ET END_REPEAT", "condition-not-boolean", 16),
        ("CASE q OF 1: ; END_CASE", "type-mismatch", 6),
        ("CASE n OF k: ; END_CASE", "not-constant", 11),
        ("CASE n OF 5..3: ; END_CASE", "empty-range", 11),
        ("CASE n OF 40000: ; END_CASE", "value-out-of-range", 11),
        ("FOR q := 1 TO 2 DO ; END_FOR", "type-mismatch", 5),
        ("FOR n := 1 TO 2 BY 0 DO ; END_FOR", "zero-step", 20),
        ("FOR n := 1 TO 2 BY k DO ; END_FOR", "not-constant", 20),
        ("FOR n := 1 TO 2 DO n := 1; END_FOR", "loop-variable-changed", 20),
        ("FOR n := 1 TO 2 DO FOR n := 1 TO 2 DO ; END_FOR END_FOR", "loop-variable-changed", 24),
        ("FOR n := 1 TO 2 DO i(n := n); END_FOR", "loop-variable-changed", 27),
        ("FOR in1 := 1 TO 2 DO ; END_FOR", "type-mismatch", 5),
        ("EXIT;", "outside-of-loop", 1),
        ("CONTINUE;", "outside-of-loop", 1),
        ("nn := 1;", "unknown-name", 1),
    ],
)
def test_a_wrong_statement_is_refused_at_its_place(body: str, code: str, column: int) -> None:
    found = problems(INNER, block(DECLARED, body))
    assert [d.code for d in found] == [code]
    assert found[0].span is not None
    assert (found[0].span.line, found[0].span.column) == (3, column)


@pytest.mark.parametrize(
    ("declarations", "code"),
    [
        ("VAR a : INT; A : BOOL; END_VAR", "duplicate-name"),
        ("VAR a : INT; END_VAR VAR_INPUT a : INT; END_VAR", "duplicate-name"),
        ("VAR INT : INT; END_VAR", "reserved-name"),
        ("VAR_INPUT a : INTT; END_VAR", "unknown-type"),
        ("VAR a : INT := 40000; END_VAR", "value-out-of-range"),
        ("VAR a : INT := TRUE; END_VAR", "type-mismatch"),
        ("VAR a : INT := 1 / 0; END_VAR", "division-by-zero"),
        ("VAR a : INT := INT#32767 + INT#1; END_VAR", "not-constant"),
        ("VAR b1 : INT; a : INT := b1; END_VAR", "not-constant"),
        ("VAR CONSTANT a : INT; END_VAR", "constant-without-value"),
        ("VAR CONSTANT a : INT := b1; b1 : INT := 1; END_VAR", "used-before-declaration"),
        ("VAR_OUTPUT CONSTANT a : INT := 1; END_VAR", "misplaced-qualifier"),
        ("VAR_INPUT t : TON; END_VAR", "misplaced-instance"),
        ("VAR_TEMP t : TON; END_VAR", "misplaced-instance"),
        ("VAR CONSTANT t : TON; END_VAR", "misplaced-instance"),
        ("VAR_IN_OUT t : TON; END_VAR", "misplaced-instance"),
        ("VAR t : TON := 5; END_VAR", "wrong-initial-value"),
        ("VAR a : INT := (x := 5); END_VAR", "wrong-initial-value"),
        ("VAR t : TON := (PX := T#1s); END_VAR", "unknown-argument"),
        ("VAR t : TON := (PT := 5); END_VAR", "type-mismatch"),
        ("VAR t : TON := (PT := T#1s, PT := T#2s); END_VAR", "duplicate-argument"),
        ("VAR e : (X1, x1); END_VAR", "duplicate-name"),
        ("VAR b1 : B; END_VAR", "recursive-instance"),
    ],
)
def test_a_wrong_declaration_is_refused(declarations: str, code: str) -> None:
    found = problems(block(declarations), block="B")
    assert [d.code for d in found] == [code]
    assert found[0].span is not None
    assert found[0].span.line == 2


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("FUNCTION F : INT F := F(); END_FUNCTION", "recursion"),
        ("FUNCTION F : INT F := G(); END_FUNCTION FUNCTION G : INT G := F(); END_FUNCTION",
         "recursion"),
        ("FUNCTION F : INT VAR t : TON; END_VAR F := 1; END_FUNCTION", "instance-in-function"),
        ("FUNCTION F F := 1; END_FUNCTION", "call-without-value"),
        ("FUNCTION F : TON F := 1; END_FUNCTION", "misplaced-instance"),
        ("FUNCTION F : INT F := nope; END_FUNCTION", "unknown-name"),
    ],
)  # fmt: skip
def test_a_wrong_function_is_refused_where_it_is_called(text: str, code: str) -> None:
    found = problems(text, block("VAR n : INT; END_VAR", "n := F() + 0;"))
    assert code in [d.code for d in found]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("TYPE A : A; END_TYPE", "recursive-type"),
        ("TYPE A : C; C : A; END_TYPE", "recursive-type"),
        ("TYPE A : NoType; END_TYPE", "unknown-type"),
        ("TYPE A : (X1, X2); a : (Y1); END_TYPE", "duplicate-name"),
        ("TYPE A : (X1) := X3; END_TYPE", "unknown-enumeration-value"),
        ("TYPE MAX : (X1); END_TYPE", "reserved-name"),
    ],
)
def test_a_wrong_type_is_refused(text: str, code: str) -> None:
    used = f"VAR x : {text.split()[1]}; END_VAR"
    assert problems(text, block(used))[0].code == code


def test_all_that_is_wrong_in_a_block_is_reported_once_and_in_order() -> None:
    inner = "FUNCTION_BLOCK I2 VAR n : INT; END_VAR n := bad1; END_FUNCTION_BLOCK\n"
    found = problems(
        inner
        + block(
            "VAR a, b1 : I2; n : INT; c : Wrong; END_VAR",
            "a(); b1(); IF n THEN n := bad2; END_IF c := 1; n := bad3 + bad4;",
        )
    )
    assert [(d.code, d.span.text) for d in found if d.span] == [
        ("unknown-name", "bad1"), ("unknown-type", "Wrong"), ("condition-not-boolean", "n"),
        ("unknown-name", "bad2"), ("unknown-name", "bad3"), ("unknown-name", "bad4"),
    ]  # fmt: skip


def test_a_duplicate_name_points_to_the_first() -> None:
    (found,) = problems(block("VAR start, Start : BOOL; END_VAR"))
    assert found.related[0][0].text == "start"
    assert "'start'" in found.message


def test_blocks_within_blocks_without_end_are_refused() -> None:
    chain = "".join(
        f"FUNCTION_BLOCK L{i} VAR x : L{i + 1}; END_VAR x(); END_FUNCTION_BLOCK\n"
        for i in range(40)
    )
    found = problems(chain + "FUNCTION_BLOCK L40 END_FUNCTION_BLOCK")
    assert [d.code for d in found] == ["nested-too-deep"]


def test_a_library_that_explodes_is_refused() -> None:
    chain = "".join(
        f"FUNCTION_BLOCK L{i} VAR a, b, c, d, e, f : L{i + 1}; END_VAR END_FUNCTION_BLOCK\n"
        for i in range(8)
    )
    last = "FUNCTION_BLOCK L8 END_FUNCTION_BLOCK"
    found = problems(chain + last)
    assert "program-too-large" in {d.code for d in found}


def test_depth_adds_up_over_calls_and_long_argument_lists() -> None:
    operand = "NOT (" * 30 + "TRUE" + ")" * 30
    chain = "".join(
        f"FUNCTION_BLOCK L{i} VAR x : L{i + 1}; q : BOOL; END_VAR "
        f"q := q AND {operand}; {'IF q THEN ' * 25} x(); {'END_IF ' * 25} END_FUNCTION_BLOCK\n"
        for i in range(10)
    )
    found = problems(chain + "FUNCTION_BLOCK L10 END_FUNCTION_BLOCK")
    assert {d.code for d in found} == {"nested-too-deep"}
    summed = block("VAR n : INT; END_VAR", f"n := ADD({', '.join(['n'] * 500)});")
    assert problems(summed)[0].code == "nested-too-deep"
