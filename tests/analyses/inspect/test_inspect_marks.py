"""Marks note what happens in a program and change nothing of what it does."""

from __future__ import annotations

from random import Random

import pytest
from twohand.analyses.inspect.kinds.registry import registry_of
from twohand.analyses.inspect.kinds.skipped_calls import further_calls, twin_of
from twohand.analyses.inspect.marking.instrumentation import SIGN
from twohand.analyses.inspect.points import InspectionKind
from twohand.program import Program, Read
from twohand.program.walks import nodes_below
from twohand.scan.clocking import Readings
from twohand.scan.concrete.execute import Machine, run
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.typed_programs import MILLISECONDS, PLAIN, program
from tests.support.randomness.blocks import block_text
from tests.support.randomness.inputs import random_inputs
from tests.support.samples.inspected_blocks import CLOCKING, subject

BLOCKS, LONG_BLOCKS, SCANS = 8, 150, 12


def random_program(seed: int) -> Program | None:
    try:
        return load_program([SourceText("random.st", block_text(seed))], "Main")
    except InputError:
        return None


def marks_change_nothing(seed: int) -> bool:
    plain = random_program(seed)
    if plain is None:
        return False
    marked = registry_of(subject(plain), tuple(InspectionKind)).program
    random = Random(seed)
    readings = random.choice(Readings().choices())
    machines = [Machine(each, CLOCKING, readings, 4) for each in (plain, marked)]
    for _ in range(SCANS):
        inputs, elapsed = random_inputs(random, plain), random.randint(5, 20)
        first, second = (machine.scan(inputs, elapsed) for machine in machines)
        assert first.finding == second.finding
        assert first.values == {n: v for n, v in second.values.items() if not n.startswith(SIGN)}
        assert first.writers == {n: s for n, s in second.writers.items() if not n.startswith(SIGN)}
        if first.finding is not None:
            break
    return True


def test_marks_change_nothing_of_what_a_random_block_does() -> None:
    assert sum(marks_change_nothing(seed) for seed in range(BLOCKS)) > BLOCKS // 3


@pytest.mark.long
def test_marks_change_nothing_of_what_many_random_blocks_do() -> None:
    done = sum(marks_change_nothing(seed) for seed in range(1000, 1000 + LONG_BLOCKS))
    assert done > LONG_BLOCKS // 2


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
    (found,) = calls._calls
    spec, instance = one.specification, found.instances[0]
    silent, same = (
        twin_of(spec, None, instance, arguments, words)
        for words, arguments in further_calls(tested, found, 0)
    )
    assert silent.words == "with IN FALSE"
    assert same.words == "with the arguments of its call"
    rows = [{"a": True, "b": True}, *[{"a": False, "b": False}] * 80, {"a": True, "b": True}]
    steps = [(row, 20) for row in rows]
    readings = Readings().choices()[0]
    records = run(silent.specification.program, CLOCKING, readings, 4, steps)
    assert records[-1].values["written.q"]
    assert not records[-1].values["twin.q"]
