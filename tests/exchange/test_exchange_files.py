"""Exchange files of IEC 61131-10 mean what the same structured text means, and every place is told
in the XML. Element names are from memory."""

from __future__ import annotations

import re
from dataclasses import fields, is_dataclass, replace
from pathlib import Path

import pytest
from twohand.commands import main as cli
from twohand.exchange.file import structured_text_of
from twohand.files.reading import read_source
from twohand.program import Program
from twohand.specification.load import load_specifications
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_text import SourceText, Span
from twohand.typecheck.resolve import load_program

from tests.support.meaning.diagram_builder import Network
from tests.support.meaning.exchange_export import NotWritten, document, exported
from tests.support.places import EXCHANGE_FILES, GALLERY, LANGUAGE
from tests.support.samples.exchange_samples import (
    BOOL,
    block,
    body,
    load,
    marked,
    problems,
    text_of,
    variable,
    variables,
)  # fmt: skip


def meaning(program: Program) -> str:
    """A typed program without its places; a file of another form declares in another order."""
    by_name = {
        part: tuple(sorted(getattr(program, part), key=lambda each: each.name))
        for part in ("variables", "instances")
    }
    return repr(replace(program, sources=(), read=(), left_out=(), **by_name))


# --- the same meaning ---------------------------------------------------------------------------


def test_a_block_as_xml_is_the_block_as_text() -> None:
    texts = [read_source(EXCHANGE_FILES / f"clamp.{suffix}") for suffix in ("xml", "st")]
    for name in ("Clamp", "Cell"):
        found, wanted = (load_program([structured_text_of(t)], name) for t in texts)
        assert meaning(found) == meaning(wanted)
        assert found.sources == (texts[0],)


def samples() -> list[Path]:
    return sorted([*GALLERY.glob("*.st"), *LANGUAGE.glob("*.st")])


@pytest.mark.long
def test_every_block_that_can_be_written_as_xml_means_the_same() -> None:
    compared = 0
    for path in samples():
        source = read_source(path)
        try:
            wanted = load_program([source])
            xml = exported(source.text)
        except (InputError, NotWritten):
            continue
        found = load(xml)
        assert meaning(found) == meaning(wanted), path.name
        assert len(found.left_out) == len(wanted.left_out)
        compared += 1
    assert compared >= 50


def test_a_text_that_is_no_xml_stays_what_it_is() -> None:
    source = SourceText("a.st", "FUNCTION_BLOCK B END_FUNCTION_BLOCK")
    assert structured_text_of(source) is source


def test_parameters_stand_in_the_order_of_their_set() -> None:
    kinds = {"InputVars": [("c", 3), ("a", 1)], "InoutVars": [("b", 2)], "OutputVars": [("q", 4)]}
    inside = "".join(
        variables(
            *(f'<Variable name="{n}" orderWithinParamSet="{o}">{BOOL}</Variable>' for n, o in all_),
            section=section,
        )
        for section, all_ in kinds.items()
    )
    xml = document(block(f"<Parameters>{inside}</Parameters>{body('')}"))
    text = " ".join(text_of(xml).split())
    assert text.startswith(
        "FUNCTION_BLOCK B VAR_INPUT a : BOOL; END_VAR VAR_IN_OUT b : BOOL; END_VAR "
        "VAR_INPUT c : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR VAR END_VAR"
    )


def test_methods_and_actions_are_read() -> None:
    inside = (
        variables(variable("x"))
        + body("Run(); Stop(on := x);")
        + f'<Method name="Stop" accessSpecifier="public">'
        f"<Parameters>{variables(variable('on'), section='InputVars')}</Parameters>"
        + body("x := NOT on;")
        + "</Method>"
        + f'<Action name="Run">{body("x := TRUE;")}</Action>'
    )
    text = """FUNCTION_BLOCK B VAR x : BOOL; END_VAR
        METHOD PUBLIC Stop VAR_INPUT on : BOOL; END_VAR x := NOT on; END_METHOD
        ACTION Run: x := TRUE; END_ACTION
        Run(); Stop(on := x); END_FUNCTION_BLOCK"""
    assert meaning(load(document(block(inside)))) == meaning(
        load_program([SourceText("b.st", text)])
    )


# --- places -------------------------------------------------------------------------------------


def places_in(node: object) -> list[Span]:
    """Every place in a typed program."""
    found, waiting, seen = [], [node], set()
    while waiting:
        each = waiting.pop()
        if isinstance(each, Span):
            found.append(each)
        elif isinstance(each, tuple | list):
            waiting.extend(each)
        elif is_dataclass(each) and id(each) not in seen:
            seen.add(id(each))
            waiting.extend(getattr(each, part.name) for part in fields(each))
    return found


def test_every_place_is_in_the_file_and_says_what_the_text_says() -> None:
    source = read_source(EXCHANGE_FILES / "clamp.xml")
    program = load_program([structured_text_of(source)], "Clamp")
    places = places_in(program.routine)
    assert len(places) > 40
    for place in places:
        assert place.source is source
        assert "&lt;" not in place.text
    lines = [source.line(statement.span.line) for statement in program.routine.body]
    assert lines[1].strip() == "<ST>palms[0] := left;"
    assert lines[-1].startswith("close := report.both")


@pytest.mark.parametrize(
    ("statements", "code", "place"),
    [
        ("x := y;", "unknown-name", "y"),
        ("<!-- é -->x := <![CDATA[y]]>;", "unknown-name", "y"),
        ("x := x &amp; y;", "unknown-name", "y"),
        ("x := 5 &lt;&gt; x;", "value-out-of-range", "5"),
        ("x := x\n&amp;&amp; x;", "foreign-operator", None),
        ("x &#61; TRUE;", "equals-for-assignment", "&#61;"),
        ("IF x THEN x := FALSE;", "missing-end", None),
        ("x := TRUE; (* open", "unterminated-comment", "(*"),
        ("x := TRUE; *) x := FALSE;", "stray-comment-end", "*)"),
        ("x := 'a", "unterminated-string", "'"),
        ("END_FUNCTION_BLOCK FUNCTION_BLOCK C", "misplaced-section", "END_FUNCTION_BLOCK"),
        ("VAR z : BOOL; END_VAR x := z;", "misplaced-section", "VAR"),
        ("x := TRUE; METHOD m x := FALSE; END_METHOD", "misplaced-section", "END_METHOD"),
        ("EXTENDS Base x := TRUE;", "misplaced-section", "EXTENDS"),
        ("x := TRUE; <b/>", "unsupported-exchange-content", "<b/>"),
    ],
)
def test_what_is_wrong_in_a_body_is_told_at_its_characters(
    statements: str, code: str, place: str | None
) -> None:
    xml = document(block(variables(variable("x")) + body(f"\n\t{statements}")))
    problem = next(each for each in problems(xml) if each.code == code)
    assert problem.span is not None
    assert problem.span.line in (6, 7)
    assert place is None or marked(problem) == place


def test_a_comment_that_is_left_open_hides_nothing_behind_it() -> None:
    xml = document(
        block(variables(variable("x")) + body("x := TRUE; (* "), "A")
        + block(variables(variable("x")) + body("*) x := FALSE;"), "C")
    )  # fmt: skip
    assert {problem.code for problem in problems(xml, "A")} == {"unterminated-comment"}
    assert {problem.code for problem in problems(xml, "C")} == {"stray-comment-end"}


def test_a_line_comment_at_the_end_of_a_body_hides_nothing() -> None:
    inside = variables(variable("x")) + body("x := TRUE; // end")
    assert len(load(document(block(inside))).routine.body) == 1


def test_messages_speak_of_the_text_and_not_of_its_spelling() -> None:
    found = problems(document(block(variables(variable("x")) + body("x := 5 &amp; x;"))))
    assert all("&amp;" not in problem.message for problem in found)
    (keyword,) = problems(document(block(variables(variable("END_IF")))))
    assert (keyword.code, marked(keyword)) == ("keyword-as-name", "END_IF")


# --- tasks -------------------------------------------------------------------------------------


@pytest.mark.parametrize("interval", ["T#10ms", "PT0.01S", "TIME#10ms", "PT0M0.010S"])
def test_a_task_has_its_interval(interval: str) -> None:
    instances = (
        '<Configuration name="c"><Resource name="r"><Task name="t" priority="3" '
        f'interval="{interval}"/><ProgramInstance name="p" typeName="P" associatedTaskName="t"/>'
        "</Resource></Configuration>"
    )
    program = load(document('<Program name="P"/>', instances))
    (task,) = program.tasks
    assert (task.name, task.interval, task.programs) == ("t", 10_000_000, ("P",))


# --- what is not read where it is not needed ----------------------------------------------------

CHART = '<Program name="Steps">{}<MainBody><BodyContent xsi:type="SFC">{}</BodyContent></MainBody>'
USED = block(variables(variable("x")) + body("x := TRUE;"), "Used")


def test_a_unit_that_is_not_read_hinders_only_those_who_need_it() -> None:
    chart = CHART.format("", "") + "</Program>"
    notes: list[Diagnostic] = []
    assert load(document(USED + chart), "Used", notes).name == "Used"
    assert [(note.code, marked(note)) for note in notes] == [
        ("unread-unit", '<BodyContent xsi:type="SFC">')
    ]
    assert [problem.code for problem in problems(document(USED + chart), "Steps")] == [
        "unsupported-chart"
    ]


def test_what_a_unit_that_is_not_read_may_write_is_not_constant() -> None:
    shared = variables(variable("lamp"), section="ExternalVars")
    reading = variables(variable("q"), variable("x")) + shared + body("q := lamp; lamp := x;")
    instances = (
        f'<Configuration name="c">{variables(variable("lamp"), section="GlobalVars")}'
        "</Configuration>"
    )
    alone = load(document(block(reading), instances), "B")
    chart = CHART.format(shared, '<Step name="s"><Act>lamp</Act></Step>') + "</Program>"
    beside = load(document(block(reading) + chart, instances), "B")
    assert [each.name for each in alone.inputs] == []
    assert [each.name for each in beside.inputs] == ["a.lamp"]


def test_a_type_that_is_not_read_hinders_who_uses_it_or_its_values() -> None:
    kind = (
        '<DataTypeDecl name="Mode"><UserDefinedTypeSpec xsi:type="EnumTypeSpec">'
        '<Enumerator name="Run"/><Colour/></UserDefinedTypeSpec></DataTypeDecl>'
    )
    assert load(document(kind + USED), "Used").name == "Used"
    for inside in (
        variables(variable("m", BOOL.replace("BOOL", "Mode"))) + body("m := m;"),
        variables(variable("x")) + body("x := Run = Run;"),
    ):
        (problem,) = problems(document(kind + block(inside)), "B")
        assert marked(problem) == "<Colour/>"


# --- in a spec ----------------------------------------------------------------------------------

SPEC = "SPEC S\nSOURCE '{}';\nSCAN T#10ms;\nBLOCK Used;\nPROPERTY p : x;\nEND_SPEC\n"


def test_a_folder_gives_its_exchange_files_and_passes_over_other_xml(tmp_path: Path) -> None:
    (tmp_path / "logic").mkdir()
    (tmp_path / "logic" / "used.XML").write_text(document(USED), encoding="utf-8")
    (tmp_path / "logic" / "layout.xml").write_text("<layout><open></layout>", encoding="utf-8")
    (tmp_path / "logic" / "cut.xml").write_text(document(USED)[:-20], encoding="utf-8")
    (tmp_path / "s.spec").write_text(SPEC.format("logic"), encoding="utf-8")
    (specification,) = load_specifications(tmp_path / "s.spec")
    assert [Path(s.path).name for s in specification.program.sources] == ["used.XML"]
    assert [warning.code for warning in specification.warnings] == ["malformed-markup"]


def test_a_named_file_of_another_form_is_an_error(tmp_path: Path) -> None:
    (tmp_path / "layout.xml").write_text("<layout/>", encoding="utf-8")
    (tmp_path / "s.spec").write_text(SPEC.format("layout.xml"), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_specifications(tmp_path / "s.spec")
    (problem,) = caught.value.diagnostics
    assert problem.code == "unsupported-exchange-format"
    assert problem.span is not None
    assert (Path(problem.span.source.path).name, problem.span.line) == ("layout.xml", 1)


@pytest.mark.long
def test_a_check_gives_the_same_verdicts_and_names_places_in_the_file(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shown = {}
    for suffix in ("xml", "st"):
        file = f"clamp.{suffix}"
        (inside / file).write_bytes((EXCHANGE_FILES / file).read_bytes())
        spec = inside / f"{suffix}.spec"
        spec.write_text(
            f"SPEC Clamping\nSOURCE '{file}';\nBLOCK Clamp;\nSCAN T#10ms;\n"
            "PROPERTY both : close -> left AND right;\nPROPERTY never : NOT close;\nEND_SPEC\n",
            encoding="utf-8",
        )
        assert cli.run(["check", spec.name]) == 1
        shown[suffix] = capsys.readouterr().out
    word = r"(?m)^  (PROVED|VIOLATED|VACUOUS|UNDECIDED) "
    verdicts = [re.findall(word, text) for text in shown.values()]
    assert verdicts[0] == verdicts[1] == ["PROVED", "VIOLATED"]
    line = (EXCHANGE_FILES / "clamp.xml").read_text(encoding="utf-8").splitlines().index(
        "close := report.both AND phase = Closing; // ende</ST>"
    )  # fmt: skip
    assert f"clamp.xml:{line + 1}:1: this set close TRUE" in shown["xml"]


def test_an_edge_in_the_diagram_of_an_action_is_kept_in_the_block_and_of_a_method_refused() -> None:
    rung = Network("LD")
    rung.coil(rung.contact(rung.rail(), "x", edge="rising"), "q")
    diagram = f'<MainBody><BodyContent xsi:type="LD">{rung.xml()}</BodyContent></MainBody>'
    before = variables(variable("x"), variable("q")) + body("Sense();")
    found = load(document(block(f'{before}<Action name="Sense">{diagram}</Action>')))
    assert [instance.block.value for instance in found.instances] == ["R_TRIG"]
    (problem,) = problems(document(block(f'{before}<Method name="Sense">{diagram}</Method>')))
    assert problem.code == "unsupported-exchange-content"
