"""What is wrong with a text, where, and under which code."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from twohand.files.reading import decode_source
from twohand.syntax.parsing.parse import parse_source
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

HEADER = """FUNCTION_BLOCK B
VAR_INPUT a, b : BOOL; END_VAR
VAR x, y : INT; q : BOOL; t : TON; w : WORD; END_VAR
"""
FOOTER = "\nEND_FUNCTION_BLOCK\n"


def problems(text: str) -> tuple[Diagnostic, ...]:
    with pytest.raises(InputError) as caught:
        load_program([SourceText("b.st", text)])
    return caught.value.diagnostics


def only(text: str) -> tuple[str, int, int]:
    found = problems(text)
    assert len(found) == 1, found
    span = found[0].span
    assert span is not None
    assert found[0].message
    assert found[0].help, found[0]
    assert found[0].message[-1] != "."
    return found[0].code, span.line, span.column


# The body stands in line 4 of the text.
@pytest.mark.parametrize(
    ("body", "code", "line", "column"),
    [
        ("IF a THEN x := 1;", "missing-end", 5, 1),
        ("IF a THEN x := 1; ELSE IF b THEN x := 2; END_IF", "missing-end", 5, 1),
        ("CASE x OF 1: y := 1;", "missing-end", 5, 1),
        ("FOR x := 1 TO 2 DO y := 1;", "missing-end", 5, 1),
        ("WHILE a DO y := 1;", "missing-end", 5, 1),
        ("REPEAT x := 1;", "missing-end", 5, 1),
        ("REPEAT x := 1; END_REPEAT", "wrong-end", 4, 16),
        ("IF a THEN x := 1; END_WHILE", "wrong-end", 4, 19),
        ("x := 1; END_IF", "stray-end", 4, 9),
        ("END_IF", "stray-end", 4, 1),
        ("x := 1; END_VAR", "stray-end", 4, 9),
        ("ELSE x := 1;", "stray-else", 4, 1),
        ("x = 5;", "equals-for-assignment", 4, 3),
        ("t(IN = a);", "equals-for-assignment", 4, 6),
        ("IF x := 1 THEN y := 1; END_IF", "assignment-in-expression", 4, 6),
        ("x : = 5;", "split-assignment", 4, 3),
        ("x := 5, y := 6;", "wrong-separator", 4, 7),
        ("x := 5: y := 6;", "wrong-separator", 4, 7),
        ("x := 5\ny := 6;", "missing-semicolon", 4, 7),
        ("x := 5", "missing-semicolon", 4, 7),
        ("EXIT\nx := 1;", "missing-semicolon", 4, 5),
        ("IF a x := 1; END_IF", "missing-keyword", 4, 5),
        ("WHILE a x := 1; END_WHILE", "missing-keyword", 4, 8),
        ("CASE x 1: y := 1; END_CASE", "missing-keyword", 4, 7),
        ("FOR x := 1 10 DO y := 1; END_FOR", "missing-keyword", 4, 11),
        ("FOR x := 1 TO 9 y := 1; END_FOR", "missing-keyword", 4, 16),
        ("CASE x OF 1 y := 1; END_CASE", "missing-colon", 4, 12),
        ("CASE x OF y := 1; END_CASE", "missing-label", 4, 11),
        ("x := (1 + 2;", "missing-parenthesis", 4, 12),
        ("t(IN := a;", "missing-parenthesis", 4, 10),
        ("x := 1 + 2);", "unmatched-parenthesis", 4, 11),
        ("t(IN := a PT := T#1s);", "missing-comma", 4, 10),
        ("x := ;", "missing-expression", 4, 6),
        ("x := 1 + ;", "missing-expression", 4, 10),
        ("IF THEN x := 1; END_IF", "missing-expression", 4, 4),
        ("x;", "not-a-statement", 4, 1),
        ("5 := x;", "not-a-statement", 4, 1),
        ("(* a *) description (* b *)", "not-a-statement", 4, 9),
        ("IF x == 1 THEN y := 1; END_IF", "foreign-operator", 4, 6),
        ("q := !a;", "foreign-operator", 4, 6),
        ("q := a && b;", "foreign-operator", 4, 8),
        ("q := x != 1;", "foreign-operator", 4, 8),
        ("x += 1;", "foreign-operator", 4, 3),
        ("IF a THEN x := 1; ELSEIF b THEN x := 2; END_IF", "misspelt-keyword", 4, 19),
        ("IF a THEN x := 1; ENDIF", "misspelt-keyword", 4, 19),
        ("IF a THEN x := 1; ELSE: x := 2; END_IF", "stray-colon", 4, 23),
        ("if := 5;", "keyword-as-name", 4, 1),
        ("until := 5;", "keyword-as-name", 4, 1),
        ("x := 1;\nVAR z : INT; END_VAR", "late-declarations", 5, 1),
        ("(* open", "unterminated-comment", 4, 1),
        ("(* (* nested *) x := 1;", "unterminated-comment", 4, 1),
        ("/* open", "unterminated-comment", 4, 1),
        ("*) x := 1;", "stray-comment-end", 4, 1),
        ("x := 'abc;", "unterminated-string", 4, 6),
        ("{ open", "unterminated-pragma", 4, 1),
        ("x := y § 2;", "unknown-character", 4, 8),
        ("x := y\u00a0;", "unknown-character", 4, 7),
        ("x² := 2;", "malformed-name", 4, 1),
        ("x__y := 2;", "malformed-name", 4, 1),
        ("x_ := 2;", "malformed-name", 4, 1),
        ("x := T#1.5h30m;", "malformed-duration", 4, 6),
        ("x := 12ab;", "malformed-number", 4, 6),
        ("q := +a;", "sign-without-number", 4, 6),
    ],
)
def test_a_mistake_is_named_at_its_place(body: str, code: str, line: int, column: int) -> None:
    assert only(HEADER + body + FOOTER) == (code, line, column)


@pytest.mark.parametrize(
    ("text", "code", "line", "column"),
    [
        ("x := 1;", "declarations-elsewhere", 1, 1),
        ("A block of its own.", "outside-of-block", 1, 1),
        ("VAR x : INT; END_VAR", "outside-of-block", 1, 1),
        ("FUNCTION_BLOCK B VAR x : INT; x := 1; END_FUNCTION_BLOCK", "missing-type", 1, 31),
        ("FUNCTION_BLOCK B VAR x INT; END_VAR END_FUNCTION_BLOCK", "missing-type", 1, 22),
        ("FUNCTION_BLOCK B VAR x : INT; IF x THEN END_IF END_FUNCTION_BLOCK", "missing-end", 1, 31),
        ("FUNCTION_BLOCK B VAR x : INT END_VAR END_FUNCTION_BLOCK", "missing-semicolon", 1, 29),
        ("FUNCTION_BLOCK B VAR x : INT = 3; END_VAR END_FUNCTION_BLOCK",
         "equals-for-assignment", 1, 30),
        ("FUNCTION_BLOCK B VAR a, : INT; END_VAR END_FUNCTION_BLOCK", "syntax", 1, 25),
        ("FUNCTION_BLOCK B", "missing-end", 1, 17),
        ("FUNCTION_BLOCK", "missing-name", 1, 1),
        ("TYPE A : (p, q) END_TYPE", "missing-semicolon", 1, 16),
        ("FUNCTION_BLOCK B END_FUNCTION", "wrong-end", 1, 18),
        ("FUNCTION_BLOCK B VAR by : INT; END_VAR END_FUNCTION_BLOCK", "keyword-as-name", 1, 22),
    ],
)  # fmt: skip
def test_a_mistake_in_declarations_is_named_at_its_place(
    text: str, code: str, line: int, column: int
) -> None:
    assert only(text) == (code, line, column)


def block(declarations: str, body: str = "") -> str:
    return f"FUNCTION_BLOCK B\nVAR n : INT; END_VAR\n{declarations}\n{body}\nEND_FUNCTION_BLOCK"


# What is outside the language is refused by name: declarations in line 3, statements in line 4.
@pytest.mark.parametrize(
    ("declarations", "body", "code", "column"),
    [
        ("VAR_INPUT v : POINTER TO INT; END_VAR", "", "unsupported-pointer", 15),
        ("VAR_INPUT v : REFERENCE TO INT; END_VAR", "", "unsupported-reference", 15),
        ("VAR_INPUT v : REF_TO INT; END_VAR", "", "unsupported-reference", 15),
        ("EXTENDS Base", "", "misplaced-header", 1),
        ("IMPLEMENTS Base", "", "misplaced-header", 1),
        ("INITIAL_STEP s: END_STEP", "", "unsupported-chart", 1),
        ("{define x}", "", "unsupported-conditional-compilation", 1),
        ("{#ifdef x}", "", "unsupported-conditional-compilation", 1),
        ("{ printf(1); }", "", "unsupported-pragma", 1),
        ("{attribute 'no_init'}", "", "unsupported-pragma", 1),
        ("", "JMP l;", "unsupported-jump", 1),
        ("", "l: n := 1;", "unsupported-jump", 1),
        ("", "n^ := 1;", "unsupported-pointer", 2),
        ("", "n := ADR(n);", "unsupported-address-of", 6),
        ("", "n REF= n;", "unsupported-reference", 3),
        ("", "n := THIS;", "unsupported-pointer", 6),
        ("", '"n-1" := 1;', "unsupported-quoted-name", 1),
        ("", 'n := "2 n".m;', "unsupported-quoted-name", 6),
        ("", "LD n", "unsupported-instruction-list", 1),
        ("", "NETWORK", "unsupported-graphical", 1),
        ("", "STEP s:", "unsupported-chart", 1),
        ("", "n := 3 %MW3;", "unsupported-address", 8),
    ],
)
def test_what_is_not_read_is_refused_by_name(
    declarations: str, body: str, code: str, column: int
) -> None:
    found = problems(block(declarations, body))
    assert len(found) == 1
    assert found[0].span is not None
    assert (found[0].code, found[0].span.line, found[0].span.column) == (
        code, 4 if body else 3, column,
    )  # fmt: skip
    assert found[0].help


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("CLASS C END_CLASS", "unsupported-object"),
        ("NAMESPACE N END_NAMESPACE", "unsupported-namespace"),
        ("ACTION a: END_ACTION", "member-outside-of-block"),
        ("METHOD a END_METHOD", "member-outside-of-block"),
        ("<block/>", "unsupported-exchange-format"),
        ("a(b := c);\nIF a.d THEN e := 1; END_IF", "declarations-elsewhere"),
    ],
)
def test_a_unit_that_is_not_read_is_refused_by_name(text: str, code: str) -> None:
    assert only(text)[0] == code


def test_the_message_of_a_missing_end_points_to_its_beginning() -> None:
    (found,) = problems(HEADER + "IF a THEN\n x := 1;" + FOOTER)
    (place, note) = found.related[0]
    assert (place.line, place.text, note) == (4, "IF", "for this IF")
    assert "ELSIF" in found.help


def test_words_before_names_are_names_where_no_name_follows() -> None:
    declarations = "VAR action, task, final, step : INT; public, method : BOOL; END_VAR"
    body = "action := task + final; CASE action OF 1: step := 2; END_CASE method := NOT public;"
    text = f"FUNCTION_BLOCK B {declarations} {body} property := interface; END_FUNCTION_BLOCK"
    (unit,) = parse_source(SourceText("b.st", text)).units
    assert len(unit.body) == 4


def test_set_and_reset_are_signs_only_behind_a_name() -> None:
    declarations = "VAR a, s, r : BOOL; END_VAR"
    body = "a S= s=r; a R= r; IF s=TRUE AND r=a THEN s := r; END_IF s S= s; r := a=s;"
    text = f"FUNCTION_BLOCK B {declarations} {body} END_FUNCTION_BLOCK"
    (unit,) = parse_source(SourceText("b.st", text)).units
    kinds = [type(statement).__name__ for statement in unit.body]
    assert kinds == ["SetAssign", "SetAssign", "If", "SetAssign", "Assign"]


# --- comments, pragmas, letter case -----------------------------------------------------------


@pytest.mark.parametrize(
    "body",
    [
        "(* plain *) x := 1;",
        "(* outer (* inner *) still *) x := 1;",  # nesting: Ed. 3
        "/* outer /* inner */ still */ x := 1;",
        "(* a /* b *) x := 1;",  # each kind nests within itself only
        "/* a (* b */ x := 1;",
        "// all of this (* is one comment\nx := 1;",
        "x (* between *) := /* two */ 1 // words\n;",
        "{region names} x := 1; {endregion}",
        "{attribute 'hide'} x := 1;",
        "X := 1;",
        "if A then X := 1; End_If",
        "IF a THEN x := 1; END_IF;",
        "IF a THEN x := 1; END_IF x := 2;",
        ";;; x := 1;;",
        "REPEAT x := 1; UNTIL a END_REPEAT;",
        "REPEAT x := 1; UNTIL a; END_REPEAT",
        "t(); t(IN := a, PT := T#1s, Q => q, NOT Q => q);",
        "x := -5; x := +5; x := - y; q := NOT NOT a;",
        "CASE x OF -3..-1, 4: y := 1; INT#7: ; ELSE END_CASE",
        "FOR x := 10 TO 1 BY -3 DO EXIT; CONTINUE; END_FOR RETURN;",
    ],
)
def test_it_is_read(body: str) -> None:
    assert load_program([SourceText("b.st", HEADER + body + FOOTER)]).routine.body


def test_names_may_begin_with_an_underscore_and_look_like_pins() -> None:
    text = "PROGRAM p VAR _a, IN, Q, PM, T, S, R : BOOL; END_VAR S := R; R := _a; END_PROGRAM"
    names = [v.name for v in load_program([SourceText("b.st", text)]).variables]
    assert names == ["_a", "IN", "Q", "PM", "T", "S", "R"]


def test_line_ends_and_marks_do_not_matter() -> None:
    text = HEADER + "x := 1;" + FOOTER
    for data in (
        text.encode(),
        b"\xef\xbb\xbf" + text.encode(),
        text.replace("\n", "\r\n").encode(),
        text.replace("\n", "\r").encode(),
    ):
        assert decode_source(data, "b.st").text == text


# --- size and arbitrary text ------------------------------------------------------------------


DEEP = 1_000
"""Far beyond what is read; full sizes are tested among the pathological texts."""


@pytest.mark.parametrize(
    "text",
    [
        "x := " + "NOT " * DEEP + "a;",
        "x := " + "-" * DEEP + "1;",
        "x := 1" + " + 1" * DEEP + ";",
        "x := " + "ABS(" * DEEP + "1" + ")" * DEEP + ";",
        "IF a THEN " * DEEP + "x := 1; " + "END_IF " * DEEP,
    ],
)
def test_what_is_nested_too_deep_is_refused(text: str) -> None:
    assert only(HEADER + text + FOOTER)[0] == "nested-too-deep"


@pytest.mark.long
@pytest.mark.parametrize("sign", ["(", "NOT ", "IF a THEN "])
def test_deep_text_with_a_mistake_in_it_has_a_clear_error(sign: str) -> None:
    start = "" if sign.startswith("IF") else "x := "
    found = problems(HEADER + start + sign * DEEP + ";=" + FOOTER)
    assert 1 <= len(found) <= 8


@pytest.mark.long
def test_parentheses_alone_nest_as_deep_as_one_likes() -> None:
    load_program([SourceText("b.st", f"{HEADER}x := {'(' * 5000}1{')' * 5000};{FOOTER}")])


@pytest.mark.long
def test_a_long_list_of_statements_is_read() -> None:
    program = load_program([SourceText("b.st", HEADER + "x := 1;\n" * 10_000 + FOOTER)])
    assert len(program.routine.body) == 10_000


TOKENS = (
    "IF THEN ELSE ELSIF END_IF CASE OF END_CASE FOR TO BY DO END_FOR WHILE END_WHILE REPEAT UNTIL "
    "END_REPEAT VAR END_VAR VAR_INPUT TYPE END_TYPE FUNCTION_BLOCK END_FUNCTION_BLOCK FUNCTION "
    "PROGRAM END_PROGRAM x y t B := = => ( ) ; , : . .. + - * ** / < <> AND OR NOT 1 16#F T#1s "
    "T#x INT BOOL TON ARRAY REAL 1.5 'a' ' (* *) { } // [ ] ^ % # == ä \0 RETURN EXIT"
)
WORDS = st.sampled_from(TOKENS.split(" "))


def parses_or_refuses(text: str) -> None:
    found: tuple[Diagnostic, ...] | None = None
    try:
        load_program([SourceText("b.st", text)])
    except InputError as error:
        found = error.diagnostics
    assert found is None or found
    for diagnostic in found or ():
        assert diagnostic.code
        assert diagnostic.message
        if diagnostic.span is not None:
            assert 0 <= diagnostic.span.start <= diagnostic.span.end <= len(text)


@given(st.text(max_size=60))
@settings(deadline=None, derandomize=True, max_examples=200)
def test_arbitrary_text_is_read_or_refused(text: str) -> None:
    parses_or_refuses(text)


@given(st.lists(WORDS, max_size=25))
@settings(deadline=None, derandomize=True, max_examples=300)
@pytest.mark.long
def test_arbitrary_words_are_read_or_refused(words: list[str]) -> None:
    parses_or_refuses(" ".join(words))
    parses_or_refuses(HEADER + " ".join(words) + FOOTER)


VALID = HEADER + """t(IN := a AND NOT b, PT := T#500ms, Q => q);
IF t.Q THEN x := x + 1; ELSIF q OR (x > 3) THEN y := -x; ELSE x := LIMIT(0, x, 10); END_IF;
CASE x OF 1, 3..5: y := 2; ELSE y := 0; END_CASE
FOR x := 1 TO 10 BY 2 DO IF a THEN EXIT; END_IF; END_FOR
w := SHL(w, 1) XOR 16#FF; (* done *)""" + FOOTER  # fmt: skip


@pytest.mark.long
@given(st.integers(0, len(VALID)), st.integers(0, 12), WORDS | st.just(""))
@settings(deadline=None, derandomize=True, max_examples=200)
def test_a_mutated_program_is_read_or_refused(start: int, length: int, word: str) -> None:
    parses_or_refuses(VALID[:start] + word + VALID[start + length :])


@pytest.mark.long
def test_the_tree_is_built_from_the_cached_table_and_without_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from twohand.syntax.parsing import parse

    for folder in (tmp_path, tmp_path / "file"):  # the second cannot be made
        (tmp_path / "file").write_text("")
        for name in ("XDG_CACHE_HOME", "LOCALAPPDATA", "HOME"):
            monkeypatch.setenv(name, str(folder))
        for _ in range(2):
            parse._structured_text_parser.cache_clear()
            assert parse_source(SourceText("b.st", VALID)).units
    parse._structured_text_parser.cache_clear()
