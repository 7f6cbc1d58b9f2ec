"""What is read and not in the standard is named, with its first place."""

from __future__ import annotations

import pytest
from twohand.text.diagnostic import Diagnostic, Severity
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

BLOCK = """FUNCTION_BLOCK B
VAR_INPUT a, b : BOOL; w : WORD; END_VAR VAR_OUTPUT q, p : BOOL; END_VAR {section}
{body}
END_FUNCTION_BLOCK
"""


def noted(body: str, section: str = "", after: str = "") -> list[Diagnostic]:
    notes: list[Diagnostic] = []
    text = BLOCK.format(body=body, section=section).replace("END_FUNCTION", f"{after}END_FUNCTION")
    load_program([SourceText("b.st", text)], "B", notes=notes)
    return [note for note in notes if note.code == "outside-standard"]


@pytest.mark.parametrize(
    ("body", "section", "after", "form"),
    [
        ("q S= a;", "", "", "S="),
        ("q R= a;", "", "", "R="),
        ("q := a AND_THEN b;", "", "", "AND_THEN"),
        ("q := a or_else b;", "", "", "OR_ELSE"),
        ("q := w.3;", "", "", "bits without %X"),
        ("act(); q := a;", "", "ACTION act : p := b; END_ACTION\n", "ACTION"),
        ("t(IN := a, PT :=); q := t.Q;", "VAR t : TON; END_VAR", "", ":= without a value"),
        ("t(IN := a, Q =>); q := t.Q;", "VAR t : TON; END_VAR", "", "=> without a variable"),
        ("q := a;", "VAR_STAT c : BOOL; END_VAR", "", "VAR_STAT"),
    ],
)
def test_a_form_that_is_not_in_the_standard_is_named(
    body: str, section: str, after: str, form: str
) -> None:
    (note,) = noted(body, section, after)
    assert note.message.endswith(f"common practice: {form}")
    assert note.severity is Severity.NOTE
    assert note.span is not None
    assert note.span.line in (2, 3, 4)


def test_each_form_is_named_once() -> None:
    (note,) = noted("q S= a; p S= b; q R= b; p := w.3;")
    assert note.message.endswith("S=, R=, bits without %X")
    assert [words for _, words in note.related] == ["R=", "bits without %X"]


def test_the_standard_is_not_noted() -> None:
    assert noted("q := a AND b OR w.%X3;\nIF a THEN p := TRUE; END_IF;") == []
