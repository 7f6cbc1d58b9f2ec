"""Marks note what happens in a program and change nothing of what it does."""

from __future__ import annotations

import pytest
from twohand.analyses.inspect.kinds.registry import registry_of
from twohand.analyses.inspect.kinds.skipped_calls import twin_of
from twohand.analyses.inspect.points import InspectionKind
from twohand.evidence.calls.further_calls import further_calls
from twohand.program import Program, Read
from twohand.program.instrumentation import SIGN
from twohand.program.walks import nodes_below
from twohand.scan.clocking import Readings
from twohand.scan.concrete.execute import run

from tests.search.marks import marks_change_nothing
from tests.support.meaning.typed_programs import MILLISECONDS, PLAIN, program
from tests.support.samples.inspected_blocks import CLOCKING, subject

BLOCKS, LONG_BLOCKS = 8, 150


@pytest.mark.long
def test_marks_change_nothing_of_what_a_random_block_does() -> None:
    assert sum(marks_change_nothing(seed) for seed in range(BLOCKS)) > BLOCKS // 3


@pytest.mark.long
@pytest.mark.parametrize("first", range(1000, 1000 + LONG_BLOCKS, 50))
def test_marks_change_nothing_of_what_many_random_blocks_do(first: int) -> None:
    done = sum(marks_change_nothing(seed) for seed in range(first, first + 50))
    assert done > 25


def reached(tested: Program, rows: list[dict[str, object]], kind: InspectionKind) -> set[str]:
    """The questions of one kind that a run answers with yes."""
    families = registry_of(subject(tested, MILLISECONDS), [kind])
    steps = [(row, 100) for row in rows]
    records = run(families.program, MILLISECONDS, PLAIN, 100, steps)  # type: ignore[arg-type]
    found = set()
    for family in families.families:
        for question in family.questions():
            names = [m for m in families.program.variables if m.name.startswith(SIGN)]
            spoken = [m.name for m in names if m in _marks(question.reached)]
            if any(record.values[name] for record in records for name in spoken):
                found.add(question.name)
    return found


def _marks(expression: object) -> set[object]:
    return {node.variable for node in nodes_below(expression) if isinstance(node, Read)}


IN, OUT = "VAR_INPUT a, b : BOOL; n : INT; END_VAR", "VAR_OUTPUT q : BOOL; m : INT; END_VAR"


def test_what_returns_before_a_place_does_not_reach_it() -> None:
    body = "IF a THEN RETURN; END_IF;\nq := TRUE;\nIF b THEN q := FALSE; END_IF;"
    tested = program(f"{IN} {OUT}", body)
    branches = reached(tested, [{"a": True, "b": True}], InspectionKind.DEAD_CODE)
    assert not any(name.startswith(("line 5", "line 6")) for name in branches)
    branches = reached(tested, [{"a": False, "b": True}], InspectionKind.DEAD_CODE)
    assert {"line 5, way -1", "line 6, way 0"} <= branches


def test_a_loop_that_is_left_by_exit_has_not_ended_by_its_condition() -> None:
    body = "m := 0;\nWHILE m < 3 DO\nm := m + 1;\nIF a THEN EXIT; END_IF;\nEND_WHILE;"
    tested = program(f"{IN} {OUT}", body)
    assert "line 5, way -2" not in reached(tested, [{"a": True}], InspectionKind.DEAD_CODE)
    assert "line 5, way -2" in reached(tested, [{"a": False}], InspectionKind.DEAD_CODE)


def test_a_value_that_is_read_before_it_is_overwritten_is_not_lost() -> None:
    tested = program(f"{IN} {OUT}", "q := a;\nq := q OR b;\nm := 1;")
    assert not reached(tested, [{"a": True, "b": False}], InspectionKind.LOST_WRITE)
    tested = program(f"{IN} {OUT}", "q := a;\nq := b;\nm := 1;")
    assert reached(tested, [{"a": True, "b": False}], InspectionKind.LOST_WRITE)
    assert not reached(tested, [{"a": True, "b": True}], InspectionKind.LOST_WRITE)


def test_a_literal_is_a_default_or_takes_a_value_back() -> None:
    tested = program(f"{IN} {OUT}", "q := FALSE;\nq := a;\nIF b THEN q := FALSE; END_IF;")
    assert not reached(tested, [{"a": True, "b": True}], InspectionKind.LOST_WRITE)


def test_a_twin_that_calls_as_well_runs_beside_the_program() -> None:
    body = "IF a THEN t(IN := b, PT := T#1s); END_IF;\nq := t.Q;"
    tested = program(f"{IN} {OUT} VAR t : TON; END_VAR", body)
    one = subject(tested)
    calls = registry_of(one, [InspectionKind.SKIPPED_CALL]).calls
    assert calls is not None
    (found,) = calls.calls.values()
    spec, instance = one.specification, found.instances[0]
    silent, same = (
        twin_of(spec, None, instance, arguments, words)
        for words, arguments in further_calls(tested, found.instances[0])
    )
    assert silent.words == "with IN FALSE"
    assert same.words == "with the arguments of its call"
    rows = [{"a": True, "b": True}, *[{"a": False, "b": False}] * 80, {"a": True, "b": True}]
    steps = [(row, 20) for row in rows]
    readings = Readings().choices()[0]
    records = run(silent.specification.program, CLOCKING, readings, 4, steps)
    assert records[-1].values["written.q"]
    assert not records[-1].values["twin.q"]
