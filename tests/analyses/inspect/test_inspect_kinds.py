"""What an inspection finds in blocks, kind by kind: each run replays, each proof was checked."""

from __future__ import annotations

import pytest
from twohand.analyses.inspect.check import FoundPoint, Inspection, inspect
from twohand.analyses.inspect.points import InspectionKind, Status, Weight
from twohand.analyses.inspect.subject import subject_of_block
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options
from twohand.scan.concrete.execute import formula_evaluator
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.samples.inspected_blocks import MORE, QUICK, Sample
from tests.support.unanswered import leave_unanswered

OPTIONS = Options(effort=20.0, processes=1)


def inspection(text: str, kinds: tuple[InspectionKind, ...], pool: Pool) -> Inspection:
    sources = [SourceText("press.st", text)]
    load_program(sources, "Press")
    subject = subject_of_block(sources, "Press", "T#5ms..T#20ms", (), False)
    return inspect(subject, OPTIONS, pool=pool, kinds=kinds)


def check_evidence(found: FoundPoint) -> None:
    """A fault has its run, whose last scan answers the question, or its proof."""
    point, answer = found.point, found.answer
    if point.question is None:
        return
    assert point.asks.startswith("whether ")
    if answer.run is not None:
        last = answer.run.records[-1]
        clocking = found.specification.clocking
        assert answer.status is Status.REACHED
        assert formula_evaluator(clocking).value(point.question.reached, last.values)
    elif point.weight in (Weight.FAULT, Weight.HARMLESS):
        assert answer.status is Status.NEVER
        assert answer.certificate is not None


def test_the_scan_time_chooses_the_unit_of_an_inspection() -> None:
    text = "FUNCTION_BLOCK Press VAR_INPUT a : BOOL; END_VAR END_FUNCTION_BLOCK"
    subject = subject_of_block([SourceText("press.st", text)], "Press", "T#2500us", (), False)
    clocking = subject.specification.clocking
    assert clocking.nanoseconds(clocking.shortest) == clocking.nanoseconds(clocking.longest)
    assert clocking.nanoseconds(clocking.longest) == 2_500_000


def holds(sample: Sample, pool: Pool) -> None:
    found = inspection(sample.text, sample.kinds, pool)
    points = [
        (each.point.kind, each.point.weight, each.point.span.line - 1) for each in found.found
    ]
    wanted = [
        (kind, weight, max(line, 0) if line >= 0 else 0) for kind, weight, line in sample.points
    ]
    assert sorted(points, key=repr) == sorted(wanted, key=repr)
    for each in found.found:
        check_evidence(each)


@pytest.mark.parametrize("sample", QUICK, ids=lambda sample: sample.name)
def test_an_inspection_tells_the_faulty_from_the_right(sample: Sample, pool: Pool) -> None:
    holds(sample, pool)


@pytest.mark.long
def test_what_is_proved_beside_a_finding_is_limited_to_scans_without_one(pool: Pool) -> None:
    text = (
        "FUNCTION_BLOCK Press VAR_INPUT n : INT; END_VAR VAR_OUTPUT m : INT; END_VAR\n"
        "IF n = 0 THEN m := 10 / n; END_IF;\nEND_FUNCTION_BLOCK\n"
    )
    kinds = (InspectionKind.CONSTANT_CONDITION, InspectionKind.FINDING)
    sentences = [each.point.sentence for each in inspection(text, kinds, pool).found]
    aside = "; scans that end in a finding aside"
    assert sentences == [
        f"this condition is always FALSE where it is asked (n = 0){aside}",
        "division by zero can happen here",
    ]


def test_calls_with_a_literal_are_not_said_to_be_alike(pool: Pool) -> None:
    text = (
        "FUNCTION_BLOCK Press VAR_OUTPUT q : BOOL; END_VAR VAR t : TON; END_VAR\n"
        "t(IN := TRUE, PT := T#50ms);\nq := t.Q;\nIF q THEN t(IN := FALSE); END_IF;\n"
        "END_FUNCTION_BLOCK\n"
    )
    (found,) = inspection(text, (InspectionKind.CALLED_TWICE,), pool).found
    assert found.point.weight is Weight.NOTE
    assert "calls with a plain TRUE or FALSE aside" in found.point.why


def test_a_second_call_of_a_counter_can_do_more_than_presets(pool: Pool) -> None:
    text = (
        "FUNCTION_BLOCK Press VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR\n"
        "VAR c : CTU; END_VAR\nc(CU := a, R := FALSE, PV := 2);\nq := c.Q;\n"
        "IF q THEN c(R := TRUE); END_IF;\nEND_FUNCTION_BLOCK\n"
    )
    (found,) = inspection(text, (InspectionKind.CALLED_TWICE,), pool).found
    assert found.point.weight is Weight.NOTE
    assert "changes nothing but by its other inputs" in found.point.why


@pytest.mark.long
def test_elements_of_an_array_that_are_called_once_each_are_not_called_in_two_places(
    pool: Pool,
) -> None:
    text = (
        "FUNCTION_BLOCK Press VAR_INPUT a, b : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR\n"
        "VAR t : ARRAY[0..1] OF TON; END_VAR\nt[0](IN := a, PT := T#50ms);\n"
        "t[1](IN := b, PT := T#50ms);\nq := t[0].Q OR t[1].Q;\nEND_FUNCTION_BLOCK\n"
    )
    assert inspection(text, (InspectionKind.CALLED_TWICE,), pool).found == ()
    both = text.replace("q :=", "IF q THEN t[1](IN := a); END_IF;\nq :=")
    (found,) = inspection(both, (InspectionKind.CALLED_TWICE,), pool).found
    assert found.point.weight is Weight.FAULT


@pytest.mark.long
def test_what_stands_in_code_of_which_nothing_is_known_is_open(
    pool: Pool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whether the arm ever runs has no answer; nobody says that the condition in it is right."""
    leave_unanswered(monkeypatch)
    text = (
        "FUNCTION_BLOCK Press VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR\n"
        "VAR n : INT; END_VAR\nn := (n + 1) MOD 3;\n"
        "CASE n OF 7: IF a THEN q := TRUE; END_IF; ELSE q := a; END_CASE;\nEND_FUNCTION_BLOCK\n"
    )
    (found,) = inspection(text, (InspectionKind.CONSTANT_CONDITION,), pool).found
    assert found.point.weight is Weight.OPEN
    assert found.point.span.text == "a"
    assert found.answer.reason.startswith("whether what is around this")


def test_a_structure_that_is_set_in_part_is_not_told_by_the_part_that_is_set(pool: Pool) -> None:
    text = (
        "TYPE S : STRUCT x : BOOL; y : BOOL; END_STRUCT; END_TYPE\n"
        "FUNCTION_BLOCK Press VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR\n"
        "VAR_TEMP v : S; w : S; END_VAR\nv.x := a;\nw := v;\nq := w.x;\nEND_FUNCTION_BLOCK\n"
    )
    (found,) = inspection(text, (InspectionKind.EARLY_READ,), pool).found
    assert found.point.sentence == "a part of 'v' is read before it is assigned"


def test_one_read_in_two_instances_is_no_part_of_anything(pool: Pool) -> None:
    text = (
        "FUNCTION_BLOCK Inner VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR\n"
        "VAR_TEMP x : BOOL; END_VAR\nIF a THEN x := TRUE; END_IF;\nq := x;\nEND_FUNCTION_BLOCK\n"
        "FUNCTION_BLOCK Press VAR_INPUT a, b : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR\n"
        "VAR one, two : Inner; END_VAR\none(a := a); two(a := b); q := one.q AND two.q;\n"
        "END_FUNCTION_BLOCK\n"
    )
    found = inspection(text, (InspectionKind.EARLY_READ,), pool).found
    assert {each.point.sentence for each in found} == {"'x' is read before it is assigned"}


@pytest.mark.long
@pytest.mark.parametrize("sample", MORE, ids=lambda sample: sample.name)
def test_an_inspection_of_rarer_things(sample: Sample, pool: Pool) -> None:
    holds(sample, pool)
