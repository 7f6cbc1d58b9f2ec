"""The older open exchange schema (TC6, 2.0 and 2.01) is read as IEC 61131-10 is: what it says, what
it may leave out, and what is refused in it by name. The names of the schema are from files as they
are."""

from __future__ import annotations

import pytest
from twohand.program import Program
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_map import TranslatedText

from tests.support.meaning.older_export import OLDER, older
from tests.support.places import EXCHANGE_FILES
from tests.support.samples.exchange_samples import load, problems, text_of
from tests.support.samples.older_samples import (
    BOOL,
    block,
    coil,
    contact,
    end,
    fbd,
    ladder,
    pou,
    project,
    rail,
    sink,
    source,
    st,
)

FUNCTION = (
    '<pou name="Half" pouType="function"><interface><returnType><INT/></returnType><inputVars>'
    '<variable name="n"><type><INT/></type></variable></inputVars></interface>'
    f"<body>{st('Half := n / 2;')}</body></pou>\n"
)
NUMBERS = (
    '<inputVars><variable name="n"><type><INT/></type></variable></inputVars><outputVars>'
    '<variable name="m"><type><INT/></type></variable></outputVars>'
)


def statements(xml: str) -> str:
    """What the body of B is, without hidden declarations."""
    text = text_of(xml)
    inside = text[text.index("FUNCTION_BLOCK B") : text.rindex("END_FUNCTION_BLOCK")]
    return " ".join(inside[inside.rindex("END_VAR") + len("END_VAR") :].split())


def said(program: Program) -> str:
    """All of the program but for places."""
    return repr((
        program.inputs, program.outputs, program.variables, program.instances, program.routine,
        program.constants, program.enumerations,
    ))  # fmt: skip


@pytest.mark.parametrize("name", ["two_hand_ladder", "two_hand_diagram", "clamp"])
@pytest.mark.parametrize("edition", ["tc6_0200", "tc6_0201"])
def test_a_file_is_the_same_program_through_both_schemas(name: str, edition: str) -> None:
    xml = (EXCHANGE_FILES / f"{name}.xml").read_text(encoding="utf-8")
    xml = xml.replace(' edgeDetection="rising"', "")  # which the older schema does not say
    again = older(xml, OLDER.replace("tc6_0201", edition))
    blocks = {"clamp": "Clamp"}
    first, second = (load(each, blocks.get(name, "TwoHand")) for each in (xml, again))
    assert said(first) == said(second)


@pytest.mark.parametrize(
    ("body", "wanted"),
    [
        (st("q := a &amp; b;"), "q := a & b;"),
        ("<ST><xhtml:p>q := a;</xhtml:p><xhtml:p>q := b;</xhtml:p></ST>", "q := a; q := b;"),
        ("<ST><![CDATA[q := a;]]></ST>", "q := a;"),
        (fbd(source(1, "a"), sink(2, "1", "q")), "q := a;"),
        (fbd(source(1, "a", 'negated="true"'), sink(2, "1", "q")), "q := NOT a;"),
        (fbd(source(1, "a"), sink(2, "1", "q", 'negated="true"')), "q := NOT a;"),
        (fbd(source(1, "a"), sink(2, "1", "q", 'storage="set"')), "IF a THEN q := TRUE; END_IF;"),
        (
            fbd(source(1, "a"), source(2, "T#1s"), block(3, "TON", {"IN": "1", "PT": "2"}, "Q ET",
                "t"), sink(4, "3.Q", "q")),
            "t(IN := a, PT := T#1s); q := t.Q;",
        ),
        (
            fbd(source(1, "a"), source(2, "b"), block(3, "AND", {"IN1": "1", "IN2": "2"}, "OUT1"),
                sink(4, "3.OUT1", "q")),
            "q := a AND b;",
        ),
        (
            fbd(source(1, "a"), source(2, "b"), block(3, "AND", {"IN1": "1", "IN2": "2"}, "OUT"),
                sink(4, "3", "q")),
            "q := a AND b;",
        ),
        (
            fbd(source(1, "a"), block(3, "TON", {"IN": "1"}, "Q", "t").replace(
                "<connectionPointOut/></variable></outputVariables>",
                "<connectionPointOut><expression>q</expression></connectionPointOut></variable>"
                "</outputVariables>")),
            "t(IN := a); q := t.Q;",
        ),
        (
            fbd(block(3, "TON", {}, "Q", "t").replace("<inputVariables>",
                f'<inputVariables><variable formalParameter="IN">'
                f"{end(more='<expression>a</expression>')}</variable>"), sink(4, "3.Q", "q")),
            "t(IN := a); q := t.Q;",
        ),
        (ladder(rail(1), contact(2, "a", "1"), coil(3, "q", "2")), "q := a;"),
        (
            ladder(rail(1), contact(2, "a", "1"), contact(3, "b", "1", more='negated="true"'),
                   coil(4, "q", "2", "3", more='storage="reset"')),
            "IF a OR NOT b THEN q := FALSE; END_IF;",
        ),
        (ladder(contact(2, "a"), coil(3, "q", "2")), "q := a;"),
        (
            ladder(rail(1), contact(2, "a", "1"), coil(3, "q", "2"), contact(4, "b", "1"),
                   coil(5, "q", "4")),
            "q := a; q := b;",
        ),
        (
            fbd('<comment localId="9"><content><xhtml:p>q := b;</xhtml:p></content></comment>',
                source(1, "a", 'height="5" width="9"'), sink(2, "1", "q")),
            "q := a;",
        ),
        (
            fbd(source(1, "a"), '<connector localId="2" name="L"><position x="0" y="2"/>'
                f'{end("1")}</connector><continuation localId="3" name="L"><position x="0" y="3"/>'
                "<connectionPointOut/></continuation>", sink(4, "3", "q")),
            "q := a;",
        ),
    ],
)  # fmt: skip
def test_a_body_is_read(body: str, wanted: str) -> None:
    xml = project(pou(body))
    assert statements(xml) == wanted
    load(xml, "B")


def test_numbers_decide_the_order_of_all_elements() -> None:
    first = sink(2, "1", "q", 'executionOrderId="2"')
    second = sink(4, "3", "q", 'executionOrderId="1"')
    text = text_of(project(pou(fbd(source(1, "a"), first, source(3, "b"), second))))
    assert "q := b; q := a;" in " ".join(text.split())


def test_an_order_that_the_drawing_and_the_file_leave_open_is_refused() -> None:
    """The lower network comes first in the file."""
    drawn = fbd(source(5, "a"), sink(6, "5", "q"), source(1, "b"), sink(2, "1", "q"))
    assert problems(project(pou(drawn)), "B")[0].code == "open-evaluation-order"


def test_a_wire_has_the_type_of_the_function_that_the_file_declares() -> None:
    """Of the user's functions and blocks, also where the value is used twice."""
    drawn = fbd(
        source(1, "n"), block(2, "Half", {"n": "1"}, "Half"),
        block(3, "ADD", {"IN1": "2.Half", "IN2": "2.Half"}, "OUT"), sink(4, "3.OUT", "m"),
    )  # fmt: skip
    xml = project(FUNCTION + pou(drawn, interface=NUMBERS))
    assert "network1_wire1 : INT" in text_of(xml)
    load(xml, "B")


def test_tasks_and_global_variables_are_read_and_an_interval_of_zero_says_nothing() -> None:
    task = (
        '<configuration name="C"><resource name="R"><globalVars retain="true"><variable name="g">'
        f'{BOOL}</variable></globalVars><task name="Fast" interval="T#20ms" priority="1">'
        '<pouInstance name="main" typeName="P"/></task><task name="Slow" interval="PT0S"/>'
        "</resource></configuration>"
    )
    program = pou(st("q := a;"), "P", "program")
    loaded = load(project(program, instances=task), "P")
    assert [each.name for each in loaded.tasks] == ["Fast"]
    assert "VAR_GLOBAL RETAIN" in text_of(project(program, instances=task))


def test_what_is_not_as_the_schema_asks_for_is_read_as_it_is_meant_and_counted() -> None:
    """What real files have is common practice."""
    task = (
        '<configuration name="My Station"><resource name="R 1"><task name="Slow Task" '
        'interval="PT0S"><pouInstance name="the main" typeName="Press Line"/></task></resource>'
        "</configuration>"
    )
    interface = (
        f'<inputVars><variable name="left palm">{BOOL}</variable></inputVars>'
        f'<outputVars><variable name="q">{BOOL}</variable></outputVars>'
    )
    drawn = ladder(contact(1, "left palm"), coil(2, "q", "1"))
    file = project(pou(drawn, "Press Line", "program", interface), instances=task)
    file = file.replace("<contentHeader/>", '<contentHeader name="A project of ours"/>')
    notes: list[Diagnostic] = []
    program = load(file, "Press_Line", notes)
    assert [variable.name for variable in program.inputs] == ["left_palm"]
    (note,) = (note for note in notes if note.code == "exchange-deviation")
    assert "a name with blanks, read as '_' (7)" in note.message
    assert "an interval of no time, which says nothing of when (1)" in note.message
    assert "a ladder without a left power rail, read as if it had one (1)" in note.message
    assert len(note.related) == 2


def test_a_name_with_blanks_is_not_another_one_with_a_sign_between() -> None:
    interface = (
        f'<inputVars><variable name="left palm">{BOOL}</variable>'
        f'<variable name="left_palm">{BOOL}</variable></inputVars>'
        f'<outputVars><variable name="q">{BOOL}</variable></outputVars>'
    )
    drawn = ladder(contact(1, "left palm"), coil(2, "q", "1"))
    (problem,) = problems(project(pou(drawn, interface=interface)))
    assert problem.code == "duplicate-name"


def test_data_types_are_read() -> None:
    types = (
        '<dataType name="Phase"><baseType><enum><values><value name="Idle"/><value name="Run" '
        'value="5"/></values></enum></baseType></dataType><dataType name="Level"><baseType>'
        '<subrangeSigned><range lower="0" upper="9"/><baseType><INT/></baseType></subrangeSigned>'
        "</baseType></dataType>"
    )
    text = text_of(project(pou(st("q := a;")), types))
    assert "TYPE Phase : (Idle, Run := 5);" in text
    assert "TYPE Level : INT (0 .. 9);" in text


def test_a_method_among_added_data_is_read() -> None:
    method = (
        '<addData><data name="method" handleUnknown="implementation"><Method name="Go">'
        f"<interface><returnType><BOOL/></returnType></interface><body>{st('Go := a;')}</body>"
        "</Method></data></addData>"
    )
    xml = project(pou(st("q := Go();")).replace("</pou>", f"{method}</pou>"))
    assert "METHOD Go : BOOL" in text_of(xml)
    load(xml, "B")


CHART = pou("<SFC><step localId='1' name='s'/></SFC>", "Chart")


def test_a_chart_is_refused_by_name_and_other_units_are_read() -> None:
    xml = project(CHART + pou(st("q := a;")))
    notes: list[Diagnostic] = []
    load(xml, "B", notes)
    (note,) = [each for each in notes if each.code == "unread-unit"]
    assert "'Chart' cannot be read" in note.message
    assert "sequential function charts" in note.message
    assert problems(xml, "Chart")[0].code == "unsupported-chart"


def added(inside: str, where: str = "discard") -> str:
    data = f'<addData><data name="ours" handleUnknown="{where}">{inside}</data></addData>'
    return pou(st("q := a;")).replace("</pou>", f"{data}</pou>")


@pytest.mark.parametrize(
    "inside",
    [
        "<ObjectId>7-8</ObjectId>",
        '<colour xmlns="urn:ours" value="blue"/>',
        "<InterfaceAsPlainText><xhtml:p>VAR a : BOOL; END_VAR</xhtml:p></InterfaceAsPlainText>",
    ],
)
def test_added_data_without_logic_is_passed_over(inside: str) -> None:
    assert statements(project(added(inside))) == "q := a;"


@pytest.mark.parametrize(
    ("unit", "code"),
    [
        (added("<Property name='p'/>"), "unsupported-exchange-content"),
        (added("<deep><body><ST>q := b;</ST></body></deep>"), "unsupported-exchange-content"),
        (added("<code>q := b;</code>"), "unsupported-exchange-content"),
        (added("<attribute name='call_after_init'/>"), "unsupported-pragma"),
        (pou("<IL><xhtml:p>LD a</xhtml:p></IL>"), "unsupported-instruction-list"),
        (pou("<CFC/>"), "unsupported-exchange-content"),
        (pou(st("q := a;"), more="<transitions><transition name='x'/></transitions>"),
         "unsupported-chart"),
        (pou(st("q := a;")).replace("<BOOL/>", "<pointer><baseType><BOOL/></baseType></pointer>"),
         "unsupported-pointer"),
        (pou(st("q := a;")).replace('name="a"', 'name="a" secret="x"'),
         "unsupported-exchange-content"),
        (pou(st("q := a; END_FUNCTION_BLOCK")), "misplaced-section"),
        (pou(st("q := a;") + st("q := b;")), "malformed-exchange-content"),
        (pou(fbd("<jump localId='1' label='x'/>")), "unsupported-jump"),
        (pou(fbd("<inOutVariable localId='1'/>")), "unsupported-exchange-content"),
        (pou(fbd("<actionBlock localId='1'/>")), "unsupported-chart"),
        (pou(fbd(source(1, "a"), sink(1, "1", "q"))), "malformed-exchange-content"),
        (pou(fbd(source(1, "a"), sink(2, "7", "q"))), "unused-element"),
        (pou(fbd(source(1, "a", 'edge="rising"'), sink(2, "1", "q"))),
         "unsupported-exchange-content"),
        (pou(fbd(source(1, "a"), sink(2, "1", "q", 'edge="rising"'))),
         "unsupported-exchange-content"),
        (pou(fbd(source(1, "a;b := a"), sink(2, "1", "q"))), "malformed-exchange-content"),
        (pou(fbd(block(1, "TON", {}, "Q ET", "t"), sink(2, "1", "q"))),
         "malformed-exchange-content"),
        (pou(ladder(rail(1), contact(2, "a"), coil(3, "q", "2"))), "unconnected-element"),
        (pou(fbd("<vendorElement localId='1'><connectionPointIn/></vendorElement>")),
         "unsupported-exchange-content"),
    ],
)  # fmt: skip
def test_what_could_carry_logic_and_is_not_read_is_refused_at_its_place(
    unit: str, code: str
) -> None:
    found = problems(project(unit), "B")
    assert found[0].code == code
    assert found[0].span is not None
    assert found[0].span.source.path == "a.xml"
    assert not isinstance(found[0].span.source, TranslatedText)
    assert found[0].help


@pytest.mark.parametrize(
    ("xml", "code"),
    [
        ('<!DOCTYPE project [<!ENTITY a "b">]>' + project(pou(st("q := &a;"))), "unsafe-markup"),
        (project(pou(st("q := a;"))).replace("<fileHeader/>", "<a>" * 400 + "</a>" * 400),
         "nested-too-deep"),
        (project(pou(st("q := a;")), more="<unknown/>"), "unsupported-exchange-content"),
        (project(pou(st("q := a;"), kind="class")), "unsupported-exchange-content"),
        (project(pou(st("q := a;")))[:-30], "malformed-markup"),
    ],
)  # fmt: skip
def test_a_hostile_file_is_refused(xml: str, code: str) -> None:
    assert problems(xml)[0].code == code
