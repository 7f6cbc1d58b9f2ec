"""Only what replays is reported; runs are simplified without becoming other runs."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
import z3
from twohand.engine import portfolio
from twohand.engine.jobs import Problem
from twohand.engine.system.contract import Unknown, Violated
from twohand.engine.workers.pool import Pool
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.encoding import Encoding
from twohand.evidence.proofs.dispatcher import Dispatcher, Then
from twohand.evidence.proofs.query import Query, QueryResult
from twohand.evidence.runs.counterexample import CutByFinding, refutation
from twohand.evidence.runs.known_runs import KnownRuns, usual_runs
from twohand.evidence.runs.replay import Replayer, never
from twohand.evidence.runs.simplify import simplified
from twohand.evidence.runs.trace import Scan, Trace, definite, trace_of
from twohand.evidence.verdict import Counterexample
from twohand.program import Read
from twohand.scan import serialisation as exchange
from twohand.scan.clocking import Readings
from twohand.scan.transition_system import StateVariable, TransitionSystem
from twohand.specification.logic.formula import Atom, Formula
from twohand.specification.model.specification import Specification

from tests.support.samples.check_samples import TWO_HANDS, TYPE_THREE, logic, specification

READINGS = definite(Readings(), {})


def trace(*inputs: dict[str, bool | int], elapsed: int = 10) -> Trace:
    return Trace(tuple(Scan(each, elapsed) for each in inputs), READINGS, {})


def on(spec: Specification, name: str) -> Formula:
    variable = spec.program.variable(name)
    assert variable is not None
    return Atom(Read(variable, variable.span))


def test_a_run_that_refutes_nothing_is_an_internal_contradiction(tmp_path: Path) -> None:
    spec = specification(tmp_path, logic("q := a AND b;"), "PROPERTY p : NOT q;")
    wrong = trace({"a": True}, {"b": True})
    with pytest.raises(InternalContradiction, match=r"p: a run of 2 scans"):
        refutation(wrong, spec.requirements[0].property, Replayer(spec), "p")


def test_a_run_that_breaks_an_assumption_is_an_internal_contradiction(tmp_path: Path) -> None:
    statements = "ASSUME NOT (a AND b); PROPERTY p : NOT q;"
    spec = specification(tmp_path, logic("q := a;"), statements)
    wrong = trace({"a": True, "b": True})
    with pytest.raises(InternalContradiction, match="assumption"):
        refutation(wrong, spec.requirements[0].property, Replayer(spec), "p")


def test_a_run_is_cut_at_its_first_refutation(tmp_path: Path) -> None:
    spec = specification(tmp_path, logic("q := a;"), "PROPERTY p : NOT q;")
    long = trace({}, {"a": True}, {}, {"a": True})
    found = refutation(long, spec.requirements[0].property, Replayer(spec), "p")
    assert isinstance(found, Counterexample)
    assert [record.values["q"] for record in found.records] == [True]


def test_a_finding_before_the_refutation_is_told_apart(tmp_path: Path) -> None:
    block = logic("n := n - 1; m := 10 / n; q := a;", more="n, m : INT := 2;")
    spec = specification(tmp_path, block, "PROPERTY p : NOT q;")
    replayer = Replayer(spec)
    found = refutation(trace({}, {}, {"a": True}), spec.requirements[0].property, replayer, "p")
    assert isinstance(found, CutByFinding)


def test_a_simplified_run_still_refutes_and_is_no_longer(tmp_path: Path) -> None:
    statements = f"{TWO_HANDS} PROPERTY p : NOT stroke;"
    spec = specification(tmp_path, TYPE_THREE, statements)
    replayer, bad = Replayer(spec), spec.requirements[0].property
    both: dict[str, bool | int] = {"left": True, "right": True}
    first = trace({}, {"left": True}, {}, {}, {"right": True}, {}, {}, both)
    shorter = simplified(
        first, replayer, lambda records: replayer.refuted_at(bad, records) == len(records) - 1
    )
    assert [dict(scan.inputs) for scan in shorter.scans] == [{}, both]


LATCHED = logic("IF NOT a THEN n := n + 1; END_IF; q := a AND b AND n > 0;", more="n : INT;")


def wanted_run(spec: Specification, first: Trace) -> list[dict[str, bool | int]]:
    """The inputs of the simplified run that refutes the first requirement in its last scan."""
    replayer, bad = Replayer(spec), spec.requirements[0].property
    found = simplified(
        first, replayer, lambda records: replayer.refuted_at(bad, records) == len(records) - 1
    )
    return [{name: scan.inputs.get(name, False) for name in ("a", "b")} for scan in found.scans]


def test_a_simplified_run_has_no_change_that_can_be_taken_away(tmp_path: Path) -> None:
    spec = specification(tmp_path, LATCHED, "PROPERTY p : NOT q;")
    both: dict[str, bool | int] = {"a": True, "b": True}
    first = trace(both, {"b": True}, {"a": True}, {"a": False}, both)
    assert wanted_run(spec, first) == [{"a": False, "b": True}, both]


def test_a_simplified_run_begins_at_rest_where_it_can(tmp_path: Path) -> None:
    both: dict[str, bool | int] = {"a": True, "b": True}
    statements = "HAND left = a; HAND right = NOT b; OUTPUT q; PROPERTY p : NOT q;"
    spec = specification(tmp_path, logic("q := a AND b;"), statements)
    assert wanted_run(spec, trace(both)) == [{"a": False, "b": True}, both]


def test_simplifying_keeps_the_assumptions(tmp_path: Path) -> None:
    statements = "ASSUME NOT a OR b; PROPERTY p : NOT q;"
    spec = specification(tmp_path, logic("q := a;"), statements)
    found = refutation(
        trace({"a": True, "b": True}), spec.requirements[0].property, Replayer(spec), "p"
    )
    assert isinstance(found, Counterexample)
    assert found.records[-1].values["b"] is True


def test_the_engine_s_ticks_become_units_and_its_readings_become_choices(tmp_path: Path) -> None:
    block = logic("t(IN := a, PT := T#25ms); q := t.Q;", more="t : TON;")
    spec = specification(tmp_path, block, "PROPERTY p : NOT q;", scan="T#10ms")
    questions = Encoding(spec)
    number = questions.bad(spec.requirements[0].property)
    system, terms = questions.problem().loaded()
    run = portfolio.decide(system, terms[number], 20.0)
    assert isinstance(run, Violated)
    made = trace_of(run, spec, questions.tick)
    assert {scan.elapsed for scan in made.scans} == {10}
    records = Replayer(spec).records(made)
    assert records[-1].values["q"] is True
    assert set(made.chosen) <= set(spec.readings.open)


def test_usual_runs_show_what_hands_do_without_a_search(tmp_path: Path) -> None:
    statements = f"{TWO_HANDS} REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#100ms;"
    spec = specification(tmp_path, TYPE_THREE, statements)
    known = KnownRuns(Replayer(spec))
    known.add_usual()
    for requirement in spec.requirements:
        trigger = requirement.property.trigger
        assert trigger is not None
        reaching = known.reaching(trigger)
        assert reaching is not None
        records = Replayer(spec).records(reaching)
        assert Replayer(spec).refuted_at(never(trigger), records) == len(records) - 1


def test_usual_runs_that_break_an_assumption_are_not_known(tmp_path: Path) -> None:
    statements = f"{TWO_HANDS} ASSUME NOT (left AND right); PROPERTY p : NOT stroke;"
    spec = specification(tmp_path, TYPE_THREE, statements)
    known = KnownRuns(Replayer(spec))
    known.add_usual()
    assert list(usual_runs(spec))
    assert known.reaching(on(spec, "stroke")) is None


def test_equal_questions_are_asked_once(tmp_path: Path) -> None:
    spec = specification(
        tmp_path, logic("q := a;"), "PROPERTY p : q -> a; PROPERTY again : q -> a;"
    )
    questions = Encoding(spec)
    numbers = {questions.bad(requirement.property) for requirement in spec.requirements}
    heard: list[QueryResult] = []
    with Pool(1) as pool:
        desk = Dispatcher(pool, 20.0)
        problem = questions.problem()
        for number in (*numbers, *numbers):
            desk.decide("p", problem, number, heard.append)
        assert pool.open == len(numbers)
        desk.serve()
    assert len(heard) == 2 * len(numbers)


def test_a_question_that_stayed_open_is_asked_again_where_more_time_is_given(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    spec = specification(tmp_path, logic("q := a;"), "PROPERTY p : q -> a;")
    questions = Encoding(spec)
    number = questions.bad(spec.requirements[0].property)
    problem = questions.problem()
    limits: list[float] = []

    def searched(_: Dispatcher, name: str, ask: Query, limit: float, answered: Then) -> None:
        limits.append(limit)
        answered(QueryResult(Unknown("too little time")))

    monkeypatch.setattr(Dispatcher, "_search", searched)
    heard: list[QueryResult] = []
    with Pool(1) as pool:
        desk = Dispatcher(pool, 20.0)
        for seconds in (1.0, 1.0, None, 5.0):
            desk.decide("p", problem, number, heard.append, seconds)
    assert limits == [1.0, 20.0]
    assert len(heard) == 4


@pytest.mark.long
def test_a_system_of_many_terms_passes_through_a_worker() -> None:
    """The text is far beyond what a pipe holds."""
    elapsed, button = z3.Int("#elapsed"), z3.Bool("button")
    counters = [z3.Int(f"counter number {k} of a long row of counters") for k in range(3000)]
    states = tuple(
        StateVariable(
            counter.decl().name(),
            counter,
            z3.IntVal(0),
            z3.If(z3.And(button, counter < 100 + k), counter + 1, z3.IntVal(0)),
        )
        for k, counter in enumerate(counters)
    )
    system = TransitionSystem(states, (button,), elapsed, z3.Int("#scans"), 1, 1, 10)
    every = [counter >= 0 for counter in counters]
    last = counters[-1]
    text = exchange.dump(system, [last < 0, last > 2, z3.Not(z3.And(every))], with_signals=True)
    assert len(text) > 600_000
    heard: list[str] = []
    with Pool(2) as pool:
        desk = Dispatcher(pool, 60.0)
        for number in (0, 1):
            desk.decide(
                "p", Problem(text), number, lambda asked: heard.append(type(asked.answer).__name__)
            )
        desk.serve()
    assert sorted(heard) == ["Certified", "Violated"]


def test_fixing_a_parameter_decides_a_question(tmp_path: Path) -> None:
    block = logic("edge(CLK := a); q := edge.Q;", more="edge : F_TRIG;")
    spec = specification(tmp_path, block, "PROPERTY p : q -> fell(a);")
    questions = Encoding(spec)
    number = questions.bad(spec.requirements[0].property)
    problem = questions.problem()
    names = [s.name for s in questions.system.states if s.initial is None]
    assert len(names) == 1
    answers = [
        type(Query(replace(problem, fixed=((names[0], value),)), number, 20.0)().answer).__name__
        for value in (False, True)
    ]
    assert answers == ["Certified", "Violated"]
