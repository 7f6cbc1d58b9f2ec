"""Nobody knows at power-up for how long an input has been as it is: what is proved holds for every
past, and a run that violates something may begin with one."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.engine.system.contract import Answer, Proved, Violated
from twohand.evidence.encoding import Encoding
from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.simplify import simplified
from twohand.evidence.runs.trace import Scan, Trace, definite, trace_of
from twohand.scan.clocking import Readings
from twohand.specification.logic.power_up import POWER_UP
from twohand.specification.model.specification import Specification

from tests.support.decided import Question
from tests.support.samples.check_samples import logic, specification

NEVER_OPENED = "IF NOT b THEN m := FALSE; END_IF; q := a AND b AND m;"
"""Starts in the first scan, if ``b`` has never been off under power."""
MEASURED = "t(IN := b, PT := T#60010ms); q := a AND t.Q;"
"""Starts once ``b`` has been on for a minute under power; some platforms count a scan more."""


def asked(folder: Path, body: str, statements: str) -> Specification:
    block = logic(body, more="m : BOOL := TRUE; seen : BOOL; t : TON;")
    return specification(folder, block, statements)


def answer(folder: Path, body: str, statements: str) -> Answer:
    """To the last requirement: the proof is checked by another solver, the run executed."""
    spec = asked(folder, body, statements)
    assumptions = [named.formula for named in spec.assumptions]
    question = Question(
        spec.program, spec.clocking, spec.requirements[-1].property, spec.readings, assumptions
    )
    return question.decide(60)


@pytest.mark.parametrize(
    ("body", "statements", "kind"),
    [
        (NEVER_OPENED, "PROPERTY p : q -> held(b, T#60s);", Violated),
        (NEVER_OPENED, "PROPERTY p : q -> held(b AND ANY_SCAN);", Proved),
        (MEASURED, "PROPERTY p : q -> held(b, T#60s);", Proved),
        (MEASURED, "PROPERTY p : q -> held(b AND ANY_SCAN, T#60s);", Proved),
        # What the block itself sets is as old as the run.
        ("q := a;", "PROPERTY p : FIRST_SCAN -> NOT held(q, T#871ms);", Proved),
        ("q := a;", "PROPERTY p : held(q, T#871ms) -> NOT once(FIRST_SCAN, T#870ms);", Proved),
        ("q := a;", "PROPERTY p : held(q, T#871ms) -> NOT once(FIRST_SCAN, T#880ms);", Violated),
        # once, SINCE and their opposites
        ("q := a;", "PROPERTY p : NOT a AND FIRST_SCAN -> NOT once(a, T#60s);", Violated),
        ("q := a;", "PROPERTY p : NOT q AND FIRST_SCAN -> NOT once(q, T#60s);", Proved),
        ("q := a;", "PROPERTY p : FIRST_SCAN AND a -> NOT once(NOT a, T#60s);", Violated),
        ("q := a;", "PROPERTY p : FIRST_SCAN -> NOT since(b, a AND b, 3.. SCANS);", Violated),
        ("q := a;", "PROPERTY p : FIRST_SCAN -> NOT since(q, a AND q, 1.. SCANS);", Proved),
        # The same memory of the input and of what is set to it are of different age.
        ("q := a;", "PROPERTY p : FIRST_SCAN AND once(a) -> once(q);", Violated),
        ("q := a;", "PROPERTY p : once(q) -> once(a);", Proved),
        # Edges: none in the first scan, those before it are seen.
        ("q := a;", "PROPERTY p : FIRST_SCAN -> NOT rose(a) AND NOT fell(a);", Proved),
        ("q := a;", "PROPERTY p : FIRST_SCAN -> NOT once(rose(a) OR fell(a));", Violated),
        ("q := a;", "PROPERTY p : FIRST_SCAN -> (prev(a) = a);", Proved),
        # A property asks nothing of what was before power-up.
        ("q := a;", "PROPERTY p : NOT a -> a OR NOT q WITHIN 0 SCANS;", Proved),
        ("q := a;", "PROPERTY p : a -> q UNTIL NOT a;", Proved),
    ],
)  # fmt: skip
def test_the_past_of_an_input_is_open(
    body: str, statements: str, kind: type, tmp_path: Path
) -> None:
    assert isinstance(answer(tmp_path, body, statements), kind)


@pytest.mark.parametrize(
    ("statements", "kind"),
    [
        ("ASSUME NOT a; PROPERTY p : NOT once(a);", Proved),
        ("ASSUME a -> prev(held(b)); PROPERTY p : once(a) -> once(b);", Proved),
        ("ASSUME a -> prev(held(b)); PROPERTY p : FIRST_SCAN -> NOT a;", Violated),
        ("ASSUME FIRST_SCAN -> NOT a; PROPERTY p : FIRST_SCAN -> NOT once(a);", Violated),
        ("ASSUME FIRST_SCAN -> NOT once(a); PROPERTY p : FIRST_SCAN -> NOT once(a);", Proved),
        ("ASSUME once(a) -> b; PROPERTY p : FIRST_SCAN AND NOT b -> NOT once(a);", Proved),
        ("ASSUME held(a OR FIRST_SCAN); PROPERTY p : FIRST_SCAN -> NOT once(NOT a);", Violated),
    ],
)
def test_what_is_assumed_of_inputs_was_so_before_power_up(
    statements: str, kind: type, tmp_path: Path
) -> None:
    assert isinstance(answer(tmp_path, "q := a;", statements), kind)


def test_what_the_surroundings_choose_is_as_old_as_the_run(tmp_path: Path) -> None:
    """The supply: nobody lost it before the run began."""
    asks = "POWER CYCLES; PROPERTY p : FIRST_SCAN -> NOT once(power.on AND NOT b) OR power.on;"
    assert isinstance(answer(tmp_path, "q := a;", asks), Proved)


def test_only_questions_that_hang_on_the_past_are_asked_with_one(tmp_path: Path) -> None:
    spec = asked(
        tmp_path,
        "q := a;",
        "PROPERTY edge : rose(q) -> rose(a); PROPERTY past : q -> once(a, T#1s);"
        "PROPERTY own : q -> once(q AND a, T#1s);",
    )
    questions = Encoding(spec)
    edge, past, own = (questions.bad(each.property) for each in spec.requirements)
    assert [questions.hangs_on_the_past(n) for n in (edge, past, own)] == [False, True, False]
    assert not questions.hangs_on_the_past(None)
    names = [
        {symbol.decl().name() for symbol in questions.problem(with_past).loaded()[0].inputs}
        for with_past in (False, True)
    ]
    assert POWER_UP not in names[0]
    assert names[1] - names[0] == {POWER_UP}


def test_without_anything_older_the_system_is_as_it_was(tmp_path: Path) -> None:
    spec = asked(tmp_path, "q := a;", "PROPERTY own : q -> once(q, T#1s) AND rose(a);")
    questions = Encoding(spec)
    questions.bad(spec.requirements[0].property)
    system, _ = questions.problem().loaded()
    assert [state.name for state in system.states] == [s.name for s in questions.system.states]
    assert {symbol.decl().name() for symbol in system.inputs} == {"a", "b"}


def test_an_assumption_that_looks_back_makes_every_question_hang_on_the_past(
    tmp_path: Path,
) -> None:
    spec = asked(tmp_path, "q := a;", "ASSUME once(a) -> b; PROPERTY own : q -> a;")
    questions = Encoding(spec)
    assert questions.hangs_on_the_past(questions.bad(spec.requirements[0].property))
    assert questions.hangs_on_the_past(None)


def test_the_engine_s_run_has_its_past_and_so_has_its_execution(tmp_path: Path) -> None:
    spec = asked(tmp_path, NEVER_OPENED, "PROPERTY p : q -> held(b, T#60s);")
    found = answer(tmp_path, NEVER_OPENED, "PROPERTY p : q -> held(b, T#60s);")
    assert isinstance(found, Violated)
    trace = trace_of(found, spec, Encoding(spec).tick)
    records = Replayer(spec).records(trace)
    assert trace.past >= 1
    assert [record.before_power_up for record in records].index(False) == trace.past
    assert records[trace.past].time == 0
    assert all(set(record.values) == {"a", "b"} for record in records[: trace.past])


def trace(past: int, *inputs: dict[str, bool | int]) -> Trace:
    scans = tuple(Scan(each, 10) for each in inputs)
    return Trace(scans, definite(Readings(), {}), {}, past)


def test_a_past_that_does_not_matter_is_taken_away(tmp_path: Path) -> None:
    spec = asked(tmp_path, "q := a;", "PROPERTY p : q -> once(b);")
    replayer, bad = Replayer(spec), spec.requirements[0].property
    first = trace(3, {"a": True}, {}, {"a": True}, {}, {}, {"a": True})
    shown = simplified(first, replayer, lambda r: replayer.refuted_at(bad, r) == len(r) - 1)
    assert (shown.past, [dict(scan.inputs) for scan in shown.scans]) == (0, [{"a": True}])


def test_a_past_that_matters_is_as_short_as_can_be(tmp_path: Path) -> None:
    spec = asked(tmp_path, "q := a;", "PROPERTY p : q AND NOT b -> NOT once(b);")
    replayer, bad = Replayer(spec), spec.requirements[0].property
    first = trace(4, {"a": True}, {}, {"b": True}, {}, {"a": True})
    shown = simplified(first, replayer, lambda r: replayer.refuted_at(bad, r) == len(r) - 1)
    assert shown.past == len(shown.scans) - 1 == 1
    assert [scan.inputs.get("b", False) for scan in shown.scans] == [True, False]


def test_a_run_in_which_an_assumption_was_broken_before_power_up_does_not_count(
    tmp_path: Path,
) -> None:
    spec = asked(tmp_path, "q := a;", "ASSUME NOT (a AND b); PROPERTY p : NOT q;")
    replayer = Replayer(spec)
    both: dict[str, bool | int] = {"a": True, "b": True}
    assert replayer.allowed(replayer.records(trace(1, {"a": True}, {"a": True})))
    assert not replayer.allowed(replayer.records(trace(1, both, {"a": True})))
