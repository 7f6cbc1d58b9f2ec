"""Names as files have them: of triggers, of files, of types with arguments."""

from __future__ import annotations

import pytest
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

GLOBALS = (
    "VAR_GLOBAL left : BOOL; END_VAR PROGRAM P VAR_EXTERNAL left : BOOL; END_VAR "
    "VAR_OUTPUT q : BOOL; END_VAR q := left; END_PROGRAM"
)


def test_the_words_for_edges_are_names_where_no_type_is_before_them() -> None:
    text = (
        "FUNCTION_BLOCK B VAR_INPUT a : BOOL R_EDGE; b : BOOL F_EDGE; END_VAR "
        "VAR_OUTPUT q : BOOL; END_VAR VAR r_edge, F_Edge : R_TRIG; END_VAR\n"
        "r_edge(CLK := a); f_edge(CLK := b); q := r_edge.Q OR NOT f_edge.Q; END_FUNCTION_BLOCK"
    )
    names = {v.name.casefold() for v in load_program([SourceText("b.st", text)]).variables}
    assert {"r_edge.q", "f_edge.q"} <= names


@pytest.mark.parametrize(
    ("path", "name"),
    [
        ("io.st", "io.left"),
        ("01_press.st", "_01_press.left"),
        ("a\\2.st", "_2.left"),
        ("a|b.st", "a_b.left"),
    ],
)
def test_a_list_of_global_variables_has_a_name_that_solvers_read(path: str, name: str) -> None:
    tested = load_program([SourceText(path, GLOBALS)])
    assert [variable.name for variable in tested.inputs] == [name]


@pytest.mark.parametrize("arguments", ["5", "THIS^", "a, 3", "TRUE", "'x'", "a.b"])
def test_arguments_behind_a_type_are_refused_by_name(arguments: str) -> None:
    text = (
        "FUNCTION_BLOCK I VAR_INPUT n : INT; END_VAR END_FUNCTION_BLOCK FUNCTION_BLOCK B "
        f"VAR i : I({arguments}); END_VAR i(); END_FUNCTION_BLOCK"
    )
    with pytest.raises(InputError) as caught:
        load_program([SourceText("b.st", text)], "B")
    assert caught.value.diagnostics[0].code == "unsupported-initial-method"


def test_a_call_with_a_mistake_in_a_case_is_no_declaration() -> None:
    text = "FUNCTION_BLOCK B VAR n : INT; END_VAR CASE n OF 1: n(5 6); END_CASE END_FUNCTION_BLOCK"
    with pytest.raises(InputError) as caught:
        load_program([SourceText("b.st", text)], "B")
    assert caught.value.diagnostics[0].code != "unsupported-initial-method"
