"""What is wrong with a spec is told with its code, its exact place and the nearest right name."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import pytest
from twohand.specification.load import load_specification
from twohand.text.diagnostic import InputError

from tests.support.samples.specification_samples import FILES, errors_of, spec_text, write_files


class Fault(NamedTuple):
    """``more`` is put into the spec, ``without`` some statements; the place is in « »."""

    code: str
    more: str
    help: str = ""
    without: str = ""


ROD = "PLANT rod : Cylinder IN 'cylinder.st'"
MORE = "HAND third = stop; HAND fourth = guardShut;"
TYPE = "REQUIRE TWO_HAND LOGIC TYPE"

SYNTAX = [
    Fault("unknown-statement", "«SORCE» 'x.st';", "SOURCE"),
    Fault("unknown-statement", "«5» := 3;"),
    Fault("wrong-sign", "HAND third «:=» stop;", "'='"),
    Fault("wrong-sign", "PLANT rod : Cylinder IN 'cylinder.st' (forward «=» enable);", "':='"),
    Fault("missing-semicolon", "LOOPS «10» UNIT T#1ms;", "';'"),
    Fault("missing-semicolon", "LOOPS «10»", "';'"),
    Fault("unexpected-text", "REACHABLE enable AND«;»", "an expression"),
    Fault("unexpected-text", "SCAN «10»;", "a time", "SCAN"),
    Fault("unexpected-text", f"{TYPE} III, «WNDOW» T#1ms;", "WINDOW", "REQUIRE"),
    Fault("unexpected-text", "PROPERTY p : enable «lamp»;", "an operator"),
    Fault("unexpected-text", "PROPERTY p : enable «==» lamp;"),
    Fault("unexpected-text", "PROPERTY «:» enable;", "a name"),
    Fault("unexpected-text", "READING edge_call_counts «1»;", "TRUE"),
    Fault("unknown-character", "ASSUME guardShut «$» stop;"),
    Fault("unknown-name", "ASSUME «guardShut[1]»;"),
    Fault("unsupported-real", "PROPERTY p : speed < «1.5»;"),
    Fault("malformed-duration", "UNIT «T#5x»;"),
    Fault("malformed-name", "PROPERTY «two__bars» : enable;"),
    Fault("not-a-time", "UNIT «INT#5»;", "T#20ms"),
    Fault("number-too-large", "LOOPS «99999999999»;"),
    Fault("unbounded-liveness", "PROPERTY p : «EVENTUALLY» enable;", "WITHIN"),
    Fault("unbounded-liveness", "PROPERTY p : left «LEADS_TO» enable;", "WITHIN"),
    Fault("unbounded-liveness", "PROPERTY p : left -> «eventually»(enable);", "WITHIN"),
    Fault("not-at-the-top", "PROPERTY p : (left «UNTIL» enable) AND lamp;", "PROPERTY"),
    Fault("not-at-the-top", "ASSUME «NEVER» stop;", "PROPERTY"),
    Fault("truth-is-no-number", "PROPERTY p : rose(left) «+» 1;", "within"),
    Fault("truth-is-no-number", "PROPERTY p : «-»once(left);"),
    Fault("temporal-in-call", "PROPERTY p : SEL(«rose(left)», 1, 2) = 1;"),
    Fault("wrong-arguments", "PROPERTY p : «rose(left, right)»;", "rose(p)"),
    Fault("wrong-arguments", "PROPERTY p : «since(left)»;", "since(p, q)"),
    Fault("wrong-arguments", "PROPERTY p : «once(p := left)»;", "once(p)"),
    Fault("not-a-bound", "PROPERTY p : once(left, «right»);", "T#500ms"),
    Fault("repeated-option", f"{TYPE} III, WINDOW T#1s, WINDOW «T#2s»;", "", "REQUIRE"),
    Fault("empty-file-name", "SOURCE «''»;", "", "SOURCE"),
    Fault("unterminated-comment", "«(*» no end", "*)"),
]  # fmt: skip

FILES_AND_BLOCKS = [
    Fault("missing-file", "SOURCE «'pres.st'»;", "", "SOURCE"),
    Fault("repeated-name", "SOURCE 'press.st', «'press.st'»;", "", "SOURCE"),
    Fault("repeated-statement", "BLOCK Press; «BLOCK Press»;"),
    Fault("unknown-name", f"{ROD} («forwrd» := enable);", "forward"),
    Fault("unknown-name", f"{ROD} (forward := «enabel»);", "enable"),
    Fault("repeated-name", f"{ROD} (forward := enable, «forward» := lamp);"),
    Fault("ambiguous-name", "PLANT «window» : Cylinder IN 'cylinder.st';", "otherwise"),
    Fault("repeated-name", f"{ROD}; PLANT «rod» : Cylinder IN 'cylinder.st';"),
    Fault("missing-file", "PLANT rod : Cylinder IN «'none.st'»;"),
    Fault("missing-plant", "«FEEDBACK rodHome := lamp»;", "PLANT"),
    Fault("unknown-name", f"{ROD}; FEEDBACK «rodHme» := rod.atHome;", "rodHome"),
    Fault("unknown-name", f"{ROD}; FEEDBACK rodHome := «rod.atHom»;", "rod.atHome"),
    Fault("unknown-name", f"{ROD}; FEEDBACK rodHome := «enable»;"),
    Fault("past-not-allowed", f"{ROD} (forward := «rose(enable)»);"),
    Fault("not-an-input", f"{ROD}; FEEDBACK rodHome := rod.atHome; ASSUME «rodHome»;"),
]  # fmt: skip

TIME = [
    Fault("repeated-statement", "«SCAN T#10ms»;"),
    Fault("scan-range-reversed", "«SCAN T#20ms..T#5ms»;", "shortest first", "SCAN"),
    Fault("scan-not-positive", "SCAN «T#0ms»;", "", "SCAN"),
    Fault("unit-not-a-fraction", "UNIT «T#3ms»;", "T#100us"),
    Fault("unit-not-a-fraction", "UNIT «T#0ms»;"),
    Fault("unit-too-fine", "UNIT «T#500ns»;"),
    Fault("finer-than-unit", "UNIT T#1ms; PROPERTY p : once(left, «T#1.5ms»);", "finer UNIT"),
    Fault("finer-than-unit", "PROPERTY p : once(left, «T#1500ns»);", "microseconds"),
    Fault("two-sided-bound", "PROPERTY p : once(left, «T#1ms..T#5ms»);", "begin at 0"),
    Fault("empty-bound", "PROPERTY p : once(left, «T#5ms..T#1ms»);"),
    Fault("two-sided-bound", "PROPERTY p : held(left, «1..2 SCANS»);", "begin at 0"),
    Fault("unbounded-answer", "PROPERTY p : left -> enable WITHIN «T#5ms..»;"),
    Fault("negative-time", "PROPERTY p : once(left, «T#-5ms»);"),
    Fault("unknown-name", "READING «edge_cal_counts» TRUE;", "edge_call_counts"),
    Fault("unknown-name", "READING «integers_wrap» TRUE;", "INTEGERS WRAP"),
    Fault("repeated-statement", "READING preset_latched TRUE; «READING preset_latched FALSE»;"),
    Fault("bound-out-of-range", "LOOPS «0»;"),
]  # fmt: skip

PARTIAL = [
    Fault("partial-operation", "PROPERTY p : «10 / speed» > 3;", "a literal other than 0"),
    Fault("partial-operation", "PROPERTY p : 1 + «speed MOD strokes» > 3;", "in the block"),
    Fault("partial-operation", "PROPERTY p : «speed / INT#0» > 3;", "other than 0"),
    Fault("partial-operation", "PROPERTY p : «window.ET / speed» > T#1ms;"),
    Fault("partial-operation", "PROPERTY p : enable -> «INT_TO_SINT(speed)» > 3;", "leave"),
    Fault("partial-operation", "PROPERTY p : «INT_TO_UDINT(speed)» > 3;"),
    Fault("partial-operation", "PROPERTY p : «TIME_TO_DINT(window.ET)» > 3;", "T#300ms"),
    Fault("partial-operation", "PROPERTY p : «DINT_TO_SINT(DINT#300)» > speed;"),
    Fault("partial-operation", "PROPERTY p : «MUX(speed, 1, 2)» > 1;", "literal index"),
    Fault("partial-operation", "PROPERTY p : «MUX(2, speed, strokes)» > 1;", "literal index"),
    Fault("partial-operation", "PROPERTY p : «SHL(INT_TO_WORD(speed), speed)» > WORD#1;"),
    Fault("partial-operation", "PROPERTY p : «SHR(INT_TO_WORD(speed), -1)» > WORD#1;", "0 on"),
    Fault("partial-operation", "PROPERTY p : «speed ** 65» > 1;"),
    Fault("partial-operation", "PROPERTY p : prev(«10 / speed», 2) > 3;"),
    Fault("partial-operation", "PROPERTY p : stable(«speed / strokes»);"),
    Fault("partial-operation", "HAND third = «10 / speed» > 3;"),
    Fault("partial-operation", "HAZARD «10 / speed» > 3;"),
    Fault("partial-operation", "ASSUME rose(«speed MOD speed» = 0);"),
    Fault("partial-operation", "AVAILABLE WITHIN 1 SCANS WHEN «10 / speed» > 3;"),
    Fault("unknown-function", "PROPERTY p : «Twice»(speed) > 3;"),
]  # fmt: skip

ROLES = [
    Fault("unknown-name", "HAND third = «stopp»;", "stop"),
    Fault("not-an-input", "HAND third = «lamp»;", "inputs alone"),
    Fault("type-mismatch", "HAND third = «speed»;"),
    Fault("constant-hand", "HAND third = «TRUE»;"),
    Fault("past-not-allowed", "HAND third = «prev(stop)»;"),
    Fault("past-not-allowed", "HAND third = «rose(stop)»;"),
    Fault("repeated-name", "HAND «left» = stop;"),
    Fault("ambiguous-name", "HAND «stop» = guardShut;", "another name"),
    Fault("unknown-name", "STATION one = left, right, «lefft»;", "left"),
    Fault("repeated-name", f"{MORE} STATION one = left, right; STATION «one» = third, fourth;"),
    Fault("repeated-name", f"{MORE} STATION a = left, fourth, right; STATION b = «left», third;"),
    Fault("hand-without-station", "HAND «third» = stop; STATION one = left, right;", "STATION"),
    Fault("too-few-hands", "STATION one = left, right; HAND third = stop; STATION «two» = third;"),
    Fault("unknown-name", "OUTPUT «enabel»;", "enable", "OUTPUT"),
    Fault("not-boolean", "OUTPUT «strokes»;", "", "OUTPUT"),
    Fault("output-is-input", "OUTPUT «stop»;", "", "OUTPUT"),
    Fault("repeated-name", "OUTPUT enable, «enable»;", "", "OUTPUT"),
    Fault("missing-hand", "«REQUIRE TWO_HAND LOGIC TYPE II;»", "HAND", "HAND REQUIRE"),
    Fault("missing-output", "«REQUIRE TWO_HAND LOGIC TYPE II;»", "OUTPUT", "OUTPUT REQUIRE"),
]  # fmt: skip

DEMANDS = [
    Fault("repeated-statement", "«REQUIRE TWO_HAND LOGIC TYPE I;»"),
    Fault("unknown-type", "REQUIRE TWO_HAND LOGIC TYPE «IV»;", "I, II or III", "REQUIRE"),
    Fault("unknown-type", f"{TYPE} «IIIA», WINDOW T#1ms;", "hardware", "REQUIRE"),
    Fault("missing-window", "«REQUIRE TWO_HAND LOGIC TYPE III;»", "WINDOW", "REQUIRE"),
    Fault("window-not-asked", f"{TYPE} II, WINDOW «T#1ms»;", "III", "REQUIRE"),
    Fault("window-not-positive", f"{TYPE} III, WINDOW «T#0ms»;", "", "REQUIRE"),
    Fault("repeated-option", f"{TYPE} III, WINDOW T#1ms, TRUE_LAG «T#1s»;", "", "REQUIRE"),
    Fault("true-lag-too-short", f"{TYPE} III, TRUE_LAG «T#20ms»;", "", "REQUIRE"),
    Fault("missing-require", "«AVAILABLE WITHIN 1 SCANS;»", "REQUIRE", "REQUIRE"),
    Fault("missing-require", "«HAZARD lamp;» REACHABLE enable;", "REQUIRE", "REQUIRE"),
    Fault("unbounded-answer", "AVAILABLE WITHIN «0.. SCANS»;"),
    Fault("unknown-name", "AVAILABLE WITHIN 1 SCANS WHEN «guardshutt»;", "guardShut"),
    Fault("unknown-name", "HAZARD NOT «upstroke»;"),
    Fault("reserved-name", "PROPERTY «Start_Window» : enable;", "another"),
    Fault("reserved-name", "STATION one = left, right; PROPERTY «window_missed_one» : enable;"),
    Fault("repeated-name", "PROPERTY p : enable; REACHABLE «P» : enable;"),
    Fault("unknown-name", "PROPERTY p : «enabel» -> lamp;", "enable"),
    Fault("unknown-name", "PROPERTY p : lamp -> once(«lefft»);", "left"),
    Fault("type-mismatch", "PROPERTY p : rose(«speed»);"),
    Fault("type-mismatch", "PROPERTY p : «speed»;"),
    Fault("count-out-of-range", "PROPERTY p : prev(speed, «0») = 1;"),
    Fault("count-out-of-range", "PROPERTY p : prev(rose(left), «5000»);"),
    Fault("not-a-number", "PROPERTY p : prev(speed, «speed») = 1;"),
    Fault("unknown-name", "EXPECT VIOLATED «start_windw»;", "start_window"),
    Fault("unknown-name", "EXPECT «VIOLATD» both_hands;", "VIOLATED"),
    Fault("repeated-name", "EXPECT VIOLATED both_hands; EXPECT VACUOUS «both_hands»;"),
    Fault("impossible-verdict", "REACHABLE run : enable; EXPECT VIOLATED «run»;", "UNREACHABLE"),
    Fault("not-an-input", "ASSUME «enable» -> guardShut;", "PROPERTY"),
    Fault("not-an-input", "ASSUME once(«window.Q»);", "PROPERTY"),
    Fault("timed-assumption", "ASSUME «once(stop, T#5ms)»;", "without a bound"),
    Fault("timed-assumption", "ASSUME «held(stop, 3 SCANS)»;", "without a bound"),
]  # fmt: skip


@pytest.mark.parametrize(
    "fault",
    SYNTAX + FILES_AND_BLOCKS + TIME + PARTIAL + ROLES + DEMANDS,
    ids=lambda fault: f"{fault.code}: {fault.more[:60]}",
)
def test_each_fault_is_told_once_at_its_place(fault: Fault, tmp_path: Path) -> None:
    marked = spec_text(fault.more, fault.without)
    start, end = marked.index("«"), marked.index("»") - 1
    text = marked.replace("«", "").replace("»", "")
    if text[end - 1] == ";" and text[start:end] != ";":
        end -= 1  # a statement's span has no semicolon
    errors = errors_of(tmp_path, text)
    assert [error.code for error in errors] == [fault.code], errors
    assert errors[0].help, errors[0]
    span = errors[0].span
    assert span is not None
    assert (span.source.path, span.text, span.start) == ("sample.spec", text[start:end], start)
    assert fault.help in errors[0].help


WHOLE = [
    ("missing-spec", "«HAND» left = a;"),
    ("missing-name", "«SPEC» END_SPEC"),
    ("missing-end", "«SPEC» S SCAN T#1ms;"),
    ("missing-scan", "SPEC «S» SOURCE 'press.st'; REACHABLE enable; END_SPEC"),
    ("nothing-to-check", "SPEC «S» SOURCE 'press.st'; SCAN T#1ms; END_SPEC"),
    ("missing-source", "SPEC «S» SCAN T#1ms; REACHABLE enable; END_SPEC"),
    ("too-few-hands", spec_text("HAND «left» = leftPalm;", "HAND")),
    (
        "repeated-name",
        "SPEC S SOURCE 'press.st'; SCAN T#1ms; REACHABLE enable; END_SPEC\n"
        "SPEC «s» SOURCE 'press.st'; SCAN T#1ms; REACHABLE enable; END_SPEC",
    ),
]


@pytest.mark.parametrize(("code", "marked"), WHOLE, ids=[code for code, _ in WHOLE])
def test_what_a_spec_lacks_is_told_at_its_name(code: str, marked: str, tmp_path: Path) -> None:
    start, end = marked.index("«"), marked.index("»") - 1
    errors = errors_of(tmp_path, marked.replace("«", "").replace("»", ""))
    assert [
        (error.code, error.span and (error.span.start, error.span.end)) for error in errors
    ] == [(code, (start, end))]


def test_an_unknown_block_is_told_where_the_spec_names_it(tmp_path: Path) -> None:
    (error,) = errors_of(tmp_path, spec_text("BLOCK Pres;"))
    assert error.span is not None
    assert (error.span.source.path, error.span.text) == ("sample.spec", "Pres")
    assert "Press" in error.message + error.help


def test_several_candidates_for_the_block_are_told_with_their_names(tmp_path: Path) -> None:
    text = "SPEC S SOURCE 'two.st'; SCAN T#1ms; REACHABLE b; END_SPEC"
    (error,) = errors_of(tmp_path, text)
    assert error.span is not None
    assert error.span.source.path == "two.st"
    assert "First" in error.message + error.help
    assert "Second" in error.message + error.help


def test_an_error_in_a_source_is_told_at_its_place_there(tmp_path: Path) -> None:
    write_files(tmp_path)
    (tmp_path / "wrong.st").write_text(FILES["two.st"].replace("b := a", "b := aa"))
    errors = errors_of(
        tmp_path, "SPEC S SOURCE 'wrong.st'; BLOCK First; SCAN T#1ms; REACHABLE b; END_SPEC"
    )
    assert [(e.span.source.path, e.span.text) for e in errors if e.span] == [("wrong.st", "aa")]


def test_a_literal_of_the_program_finer_than_the_unit_is_told_in_the_program(
    tmp_path: Path,
) -> None:
    text = "SPEC S SOURCE 'fine.st'; SCAN T#1ms; UNIT T#1ms; REACHABLE enable; END_SPEC"
    (error,) = errors_of(tmp_path, text)
    assert error.code == "finer-than-unit"
    assert error.span is not None
    assert (error.span.source.path, error.span.text) == ("fine.st", "T#500us")


def test_all_errors_are_told_in_one_run(tmp_path: Path) -> None:
    more = (
        "PROPERTY p : enabel; ASSUME lamp; OUTPUT nothing_like_it; EXPECT VIOLATED p;"
        "READING preset_lached TRUE; LOOPS 0; STATION one = left, right, middle;"
    )
    errors = errors_of(tmp_path, spec_text(more))
    assert {error.span.text for error in errors if error.span} == {
        "enabel",
        "lamp",
        "nothing_like_it",
        "preset_lached",
        "0",
        "middle",
    }


def test_syntax_errors_of_different_statements_are_told_in_one_run(tmp_path: Path) -> None:
    more = "PROPERTY p enable; ASSUME ; HAND x := a; SCAN T#10ms"
    errors = errors_of(tmp_path, spec_text(more))
    assert [error.span.text for error in errors if error.span] == ["enable", ";", ":=", "T#10ms"]


def test_a_wrong_hand_does_not_make_its_uses_wrong(tmp_path: Path) -> None:
    errors = errors_of(tmp_path, spec_text("HAND foot = pedl; PROPERTY p : foot -> enable;"))
    assert [error.span.text for error in errors if error.span] == ["pedl"]


def test_a_missing_spec_file_is_an_input_error(tmp_path: Path) -> None:
    with pytest.raises(InputError):
        load_specification(tmp_path / "none.spec")


def test_a_formula_nested_too_deep_is_refused_by_name(tmp_path: Path) -> None:
    deep = "NOT " * 300 + "enable"
    (error,) = errors_of(tmp_path, spec_text(f"PROPERTY p : {deep};"))
    assert error.code == "nested-too-deep"
    chain = " -> ".join(["rose(left)"] * 300)
    (error,) = errors_of(tmp_path, spec_text(f"PROPERTY p : {chain};"))
    assert error.code == "nested-too-deep"
