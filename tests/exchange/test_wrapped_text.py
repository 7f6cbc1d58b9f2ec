"""XML around structured text is read by its structure: what its elements say is one text, and no
text in them can say more than its element does. The form is from files as they are."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest
from twohand.exchange.file import structured_text_of
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_map import TranslatedText
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.search.damaged_diagrams import refused
from tests.support.samples.exchange_samples import load, problems, text_of
from tests.support.tiers import rows

DECLARED = "FUNCTION_BLOCK B\nVAR_INPUT a : BOOL; END_VAR\nVAR_OUTPUT q : BOOL; END_VAR\n"


def cdata(name: str, text: str) -> str:
    return f"<{name}><![CDATA[{text}]]></{name}>"


def body(text: str) -> str:
    return f"<Implementation>{cdata('ST', text)}</Implementation>"


def wrapped(declared: str = DECLARED, statements: str = "q := a;", members: str = "") -> str:
    """A file of one unit."""
    inside = cdata("Declaration", declared) + body(statements) + members
    return (
        f'<?xml version="1.0"?>\n<Object Version="1">\n<Unit Name="B">{inside}</Unit>\n</Object>\n'
    )


METHOD = f'<Method Name="Go">{cdata("Declaration", "METHOD Go : BOOL")}{body("Go := a;")}</Method>'
PROPERTY = (
    f'<Property Name="Ready">{cdata("Declaration", "PROPERTY Ready : BOOL")}'
    f'<Get Name="Get">{cdata("Declaration", "VAR END_VAR")}{body("Ready := a;")}</Get></Property>'
)
ACTION = f'<Action Name="act">{body("q := a;")}</Action>'


@pytest.mark.parametrize(
    ("statements", "members", "wanted"),
    [
        ("q := a;", "", "q := a;"),
        ("q := Go();", METHOD, "METHOD Go : BOOL"),
        ("q := Ready;", PROPERTY, "PROPERTY Ready : BOOL"),
        ("act();", ACTION, "ACTION act:"),
        ("q := a;", '<LineIds Name="B"><LineId Id="3" Count="0"/></LineIds>', "q := a;"),
    ],
)
def test_a_unit_and_its_members_are_one_text(statements: str, members: str, wanted: str) -> None:
    xml = wrapped(statements=statements, members=members)
    assert wanted in text_of(xml)
    assert [each.name for each in load(xml, "B").outputs] == ["q"]


def test_words_of_frames_may_be_names_and_parts_of_texts() -> None:
    more = "VAR set, method, get : BOOL; s : STRING := 'END_PROGRAM'; END_VAR\n"
    load(wrapped(DECLARED + more, "method := a; q := method;"), "B")


def test_a_folder_of_such_files_is_a_library_whatever_they_end_in(tmp_path: Path) -> None:
    from twohand.files.reading import read_source, source_files

    def one(declared: str) -> str:
        return f'<Object><Part Name="x">{cdata("Declaration", declared)}</Part></Object>'

    files = {
        "B.part": wrapped(
            "FUNCTION_BLOCK B\nVAR_INPUT a : BOOL; END_VAR\nVAR_OUTPUT q : BOOL; END_VAR\n"
            "VAR t : TON; now : Phase; END_VAR\n",
            "t(IN := a, PT := Limits.wait); now := Phase.Run; q := t.Q;",
        ),
        "Phase.data": one("TYPE Phase : (Idle, Run); END_TYPE"),
        "Limits.list": one("{attribute 'x'}\nVAR_GLOBAL CONSTANT wait : TIME := T#1s; END_VAR"),
        "drawing.svg": '<svg xmlns="http://www.w3.org/2000/svg"/>',
        "notes.txt": "<Declaration> is a word",
    }
    for name, text in files.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    found = source_files(tmp_path)
    assert [file.name for file in found] == ["B.part", "Limits.list", "Phase.data"]
    sources = [structured_text_of(read_source(file, file.name)) for file in found]
    program = load_program(sources, "B", searched=sources)
    assert [each.name for each in program.inputs] == ["a"]


@pytest.mark.parametrize(
    ("xml", "code", "line"),
    [
        (wrapped(statements="q := a; END_FUNCTION_BLOCK FUNCTION_BLOCK C"), "misplaced-section", 5),
        (wrapped(statements="q := a; (* open"), "unterminated-comment", 5),
        (wrapped(DECLARED + "(* open"), "unterminated-comment", 6),
        (wrapped(DECLARED + "END_FUNCTION_BLOCK"), "malformed-exchange-content", 3),
        (wrapped(DECLARED + "METHOD Go"), "malformed-exchange-content", 3),
        (wrapped(DECLARED + "q := TRUE;"), "late-declarations", 3),
        (wrapped(members="<Transition Name='t'/>"), "unsupported-chart", 5),
        (wrapped(members=ACTION.replace("ST>", "SFC>")), "unsupported-chart", 5),
        (wrapped(members=ACTION.replace("ST>", "Drawing>")), "unsupported-graphical", 5),
        (wrapped(members="<Note>q := TRUE;</Note>"), "unsupported-exchange-content", 5),
        (wrapped(members=METHOD.replace("METHOD", "FUNCTION")), "malformed-exchange-content", 5),
        (wrapped(statements="q := b;"), "unknown-name", 5),
        (wrapped().replace("</Object>", f"<Other>{body('q := TRUE;')}</Other></Object>"),
         "malformed-exchange-content", 6),
        ("<Object><Unit Name='B'/></Object>", "unsupported-exchange-format", 1),
        (wrapped().replace("<Object", '<!DOCTYPE a [<!ENTITY b "c">]><Object'), "unsafe-markup", 2),
    ],
)  # fmt: skip
def test_what_is_not_read_is_refused_at_its_place(xml: str, code: str, line: int) -> None:
    found = problems(xml, "B")
    assert found[0].span is not None
    assert found[0].code == code
    assert abs(found[0].span.line - line) <= 1
    assert not isinstance(found[0].span.source, TranslatedText)


def test_a_unit_in_another_language_stops_nothing_that_does_not_need_it() -> None:
    drawn = wrapped(DECLARED.replace(" B\n", " Drawn\n")).replace("ST>", "Drawing>")
    sources = [SourceText("a.xml", drawn), SourceText("b.xml", wrapped())]
    texts = [structured_text_of(source) for source in sources]
    notes: list[Diagnostic] = []
    load_program(texts, "B", notes=notes, searched=texts)
    assert ["'Drawn' cannot be read" in each.message for each in notes] == [True]
    with pytest.raises(InputError) as caught:
        load_program(texts, "Drawn", searched=texts)
    assert caught.value.diagnostics[0].code == "unsupported-graphical"


@pytest.mark.long
@pytest.mark.parametrize("first", rows(range(0, 400, 100), lambda first: first >= 100))
def test_a_damaged_file_is_read_or_refused_in_its_file(first: int) -> None:
    whole = wrapped(members=METHOD + PROPERTY + ACTION)
    for seed in range(first, first + 100):
        lot = random.Random(seed)
        pieces = re.findall(r"<!\[CDATA\[|\]\]>|<[^>]*>|\w+|\s+|.", whole, re.DOTALL)
        for _ in range(lot.randint(1, 3)):
            place = lot.randrange(1, len(pieces))
            again = [lot.choice(pieces)] * lot.randrange(3)
            pieces[place : place + lot.randrange(2)] = again
        refused("".join(pieces))
