"""A place has an identifier by content, which stays as lines are inserted and comments change."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import twohand
from twohand.record.content import content_identifier, told_apart
from twohand.record.message import place_in_file
from twohand.text.comments import blank_comments
from twohand.text.source_text import SourceText, Span

from tests.support.places import GALLERY

WORD = re.compile(r"'[^']*'|\w+|:=|=>|->|<=|>=|<>|\*\*|\.\.|\S")
BLOCK = """FUNCTION_BLOCK Lid
VAR_INPUT left, end_switch : BOOL; n : INT; END_VAR
VAR_OUTPUT stroke : BOOL; k, variable : INT; END_VAR
VAR action : BOOL; END_VAR
IF left THEN
    k := k + n + k + n;
    action := TRUE;
ELSIF end_switch THEN
    action := TRUE;
ELSE
    action := FALSE;
END_IF;
end_switch := left;
variable := 1;
CASE n OF
    1, 2: k := 0;
    3: k := 0;
END_CASE;
FOR k := 1 TO 3 DO stroke := left; END_FOR;
REPEAT stroke := left; UNTIL action END_REPEAT
stroke := left;
stroke := left;
END_FUNCTION_BLOCK
FUNCTION_BLOCK Guard
VAR_OUTPUT stroke : BOOL; END_VAR
METHOD PUBLIC Reset : BOOL
stroke := left;
END_METHOD
stroke := left;
END_FUNCTION_BLOCK
"""


def text_of(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def identifiers(text: str) -> list[str]:
    """Of every word that is no comment."""
    source = SourceText("lid.st", text)
    words = WORD.finditer(blank_comments(source))
    return [content_identifier(Span(source, *each.span())) for each in words]


def place(piece: str, number: int = 0, text: str = BLOCK) -> str:
    """The identifier of an occurrence of a piece of text."""
    source = SourceText("lid.st", text)
    start = [each.start() for each in re.finditer(re.escape(piece), text)][number]
    return content_identifier(Span(source, start, start + len(piece)))


@pytest.mark.parametrize("kind", ["st", "spec"])
def test_no_two_places_of_a_file_have_one_identifier(kind: str) -> None:
    for path in GALLERY.glob(f"*.{kind}"):
        found = identifiers(text_of(path))
        assert len(set(found)) == len(found) > 20, path.name


@pytest.mark.long
@pytest.mark.parametrize("kind", ["st", "spec"])
def test_lines_comments_and_letter_case_change_no_identifier(kind: str) -> None:
    for path in GALLERY.glob(f"*.{kind}"):
        text = text_of(path)
        quoted = re.split(r"('[^'\n]*')", blank_comments(SourceText("", text)))
        other = "".join(each if each.startswith("'") else each.swapcase() for each in quoted)
        spread = f"// new\n\n{other}".replace("\n", "\n(* more *)\n")
        before, after = identifiers(text), identifiers(spread)
        assert [each.casefold() for each in after] == [each.casefold() for each in before]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("IF left THEN\n", "IF left AND end_switch THEN\n"),
        ("k := k + n + k + n;", "k := k + n + k - n;"),
        ("FUNCTION_BLOCK Lid\n", "FUNCTION_BLOCK Cover\n"),
    ],
)
def test_another_condition_statement_or_block_is_another_place(old: str, new: str) -> None:
    assert BLOCK.count(old) == 1
    changed = BLOCK.replace(old, new)
    assert place("k + n", 0) != place("k + n", 0, changed)
    assert place("action := FALSE", 0, changed) != place("action := TRUE", 0, changed)


def test_a_change_elsewhere_is_none_here() -> None:
    changed = BLOCK.replace("variable := 1;", "variable := 2; IF left THEN k := 7; END_IF;")
    assert place("k + n", 1) == place("k + n", 1, changed)
    assert place("stroke := left", 3) == place("stroke := left", 3, changed)


def test_equal_places_are_numbered_in_their_order_and_no_others() -> None:
    first, second = place("k + n", 0), place("k + n", 1)
    assert second == f"{first}:2"
    last = place("stroke := left;", 2), place("stroke := left;", 3)
    assert last[1] == f"{last[0]}:2"
    assert place("action := TRUE;", 1).count(":") == 1
    assert place("k := 0", 0).count(":") == place("k := 0", 1).count(":") == 1


def test_the_branch_is_a_condition() -> None:
    assert place("action := TRUE", 0) != place("action := TRUE", 1)
    assert place("k := 0", 0) != place("k := 0", 1)
    loops = [place("stroke := left", number) for number in range(3)]
    assert len(set(loops)) == 3


@pytest.mark.parametrize(
    ("piece", "number", "unit"),
    [
        ("end_switch := left", 0, "Lid"),
        ("variable := 1", 0, "Lid"),
        ("stroke := left", 2, "Lid"),
        ("stroke := left", 4, "Guard.Reset"),
        ("stroke := left", 5, "Guard"),
    ],
)
def test_the_identifier_begins_with_the_block(piece: str, number: int, unit: str) -> None:
    assert place(piece, number).split(":")[0] == unit


def test_a_spec_is_a_unit_and_its_words_open_nothing() -> None:
    text = "SPEC Lid\nSOURCE 'lid.st';\nPROPERTY if : a -> b FOR T#1s;\nREACHABLE a;\nEND_SPEC\n"
    assert place("REACHABLE a", 0, text).startswith("Lid:")
    other = text.replace("lid.st", "LID.ST")
    assert place("SOURCE", 0, text) != place("SOURCE", 0, other)


def test_a_text_without_a_block_has_places_under_its_name() -> None:
    for text in ("k := 1;\nk := 2;\n", "(* no end\nk := 1;\n", "\n\n"):
        source = SourceText("machine/half.st", text)
        span = Span(source, max(text.find("k := 1"), 0), len(text))
        assert content_identifier(span).startswith("half.st:")
        assert place_in_file(span).identifier == content_identifier(span)


def test_what_is_no_text_of_statements_is_told_by_its_line() -> None:
    text = "<a>\n  <b/>\n  <c/>\n <b/>\n</a>\n"
    first, second = place("<b/>", 0, text), place("<b/>", 1, text)
    assert second == f"{first}:2"
    assert place("<c/>", 0, text) != first


def test_only_equal_ones_of_a_list_are_numbered() -> None:
    assert list(told_apart(["a", "b", "a", "a"])) == ["a", "b", "a~2", "a~3"]


@pytest.mark.long
def test_requirements_and_findings_are_the_same_after_inserted_lines(tmp_path: Path) -> None:
    source = (
        "FUNCTION_BLOCK Lids VAR_INPUT a, b, c : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR "
        "VAR n, m : INT := 32767; END_VAR\nIF b THEN n := n + 1; END_IF;\n"
        "IF c THEN m := m + 1; END_IF;\n"
        "q := a;\nEND_FUNCTION_BLOCK"
    )
    head, stated = "SPEC Lids SOURCE 'lids.st'; SCAN T#10ms;", "PROPERTY off : NOT q; END_SPEC"
    found = []
    for text, spec in (
        (source, f"{head} {stated}"),
        (source.replace("IF", "// first\n\nIF", 1), f"{head}\n\nREACHABLE on: q;\n{stated}"),
    ):
        (tmp_path / "lids.st").write_text(text, encoding="utf-8")
        (tmp_path / "lids.spec").write_text(spec, encoding="utf-8")
        (one,) = twohand.check(tmp_path / "lids.spec", processes=1).specs
        cause = one["off"].cause
        assert cause is not None
        assert Path(cause.path).name == "lids.st"
        found.append((one["off"].asked, [each.identifier for each in one.findings], cause))
    (asked, findings, cause), (asked_later, findings_later, cause_later) = found
    assert asked.identifier == asked_later.identifier == "Lids/off"
    assert asked.place.identifier == asked_later.place.identifier
    assert findings == findings_later
    assert [each.split(":")[0] for each in findings] == ["Lids/overflow/Lids"] * 2
    assert cause.identifier == cause_later.identifier
    assert cause_later.line == cause.line + 2


@pytest.mark.long
def test_a_place_of_a_ladder_is_that_of_its_structured_text(tmp_path: Path) -> None:
    for name in ("tied_down_ladder.spec", "tied_down_ladder.xml"):
        (tmp_path / name).write_bytes((GALLERY / name).read_bytes())
    path = tmp_path / "tied_down_ladder.xml"
    causes = []
    other = text_of(path).replace("<", "\n<").replace('"/>', '" />').replace('">', '" >')
    for text in (text_of(path), other.lstrip()):
        path.write_text(text, encoding="utf-8")
        (one,) = twohand.check(tmp_path / "tied_down_ladder.spec", processes=1).specs
        causes.append([each.cause for each in one.requirements if each.cause is not None])
    assert causes[0]
    assert [each.identifier for each in causes[0]] == [each.identifier for each in causes[1]]
    assert [each.line for each in causes[0]] != [each.line for each in causes[1]]
