"""Pragmas that are passed over are said to be; those that choose among texts are refused."""

from pathlib import Path

import pytest
from twohand.report.cautions import left_out_sentences
from twohand.specification.load import load_specification
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

PRESS = """{shown_as := 'press'}
FUNCTION_BLOCK Press
VAR_INPUT a {symbol} : BOOL; END_VAR
VAR_OUTPUT q : BOOL; END_VAR
(* {no pragma} *)
q := a;
END_FUNCTION_BLOCK
"""
OTHER = """{one} {two} FUNCTION_BLOCK Other
VAR_INPUT a : BOOL; END_VAR
END_FUNCTION_BLOCK
"""


def test_pragmas_that_are_passed_over_are_counted_with_the_first_place() -> None:
    (note,) = load_program([SourceText("press.st", PRESS)]).left_out
    assert note.what == "2 pragmas, the first of them"
    assert (note.span.source.path, note.span.line, note.span.text) == (
        "press.st",
        1,
        "{shown_as := 'press'}",
    )


def test_pragmas_of_units_that_are_not_needed_do_not_count() -> None:
    files = [SourceText("other.st", OTHER), SourceText("press.st", PRESS)]
    (note,) = load_program(files, "Press", searched=files).left_out
    assert note.what.startswith("2 pragmas")


def test_no_pragma_leaves_nothing_out() -> None:
    text = PRESS.replace("{shown_as := 'press'}", "").replace("{symbol}", "")
    assert load_program([SourceText("press.st", text)]).left_out == ()


def test_a_report_says_that_a_pragma_was_passed_over(tmp_path: Path) -> None:
    text = PRESS.replace("{symbol}", "")
    (tmp_path / "press.st").write_text(text, encoding="utf-8")
    path = tmp_path / "press.spec"
    path.write_text(
        "SPEC S SOURCE 'press.st'; SCAN T#10ms; REACHABLE q; END_SPEC", encoding="utf-8"
    )
    (sentence,) = left_out_sentences([load_specification(path, "press.spec")])
    assert sentence.startswith("Left out: a pragma (")
    assert sentence.endswith("press.st:1).")


@pytest.mark.parametrize(
    "pragma",
    ["{IF defined (x)}", "{ ELSE }", "{END_IF}", "{ELSIF x}", "{define x}", "{undefine x}"],
)
def test_pragmas_that_choose_among_texts_are_refused(pragma: str) -> None:
    text = PRESS.replace("q := a;", f"{pragma}\nq := a;")
    with pytest.raises(InputError) as refused:
        load_program([SourceText("press.st", text)])
    (problem,) = refused.value.diagnostics
    assert problem.code == "unsupported-conditional-compilation"
    assert problem.span is not None
    assert problem.span.line == 6
