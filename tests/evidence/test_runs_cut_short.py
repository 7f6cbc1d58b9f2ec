"""Runs whose last scan a finding cut short: what they show, and what they leave open."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.evidence.runs.counterexample import CutByFinding, refutation
from twohand.evidence.runs.replay import Replayer, never
from twohand.evidence.runs.trace import Scan, Trace, definite
from twohand.evidence.verdict import Counterexample
from twohand.program import Read
from twohand.program.types import Value
from twohand.scan.clocking import Readings
from twohand.specification.logic.formula import And, Atom, FirstScan, Formula, Not, Previous
from twohand.specification.model.specification import Specification

from tests.support.samples.check_samples import logic, specification

BLOCK = logic("q := a; n := SEL(b, 0, 2); m := 10 / n;", more="n, m : INT := 2;")
"""A scan without ``b`` divides by zero, behind the statement that sets ``q``."""
A, B, NEITHER = {"a": True}, {"b": True}, {"a": False, "b": False}


def trace(*inputs: dict[str, bool]) -> Trace:
    scans: list[dict[str, Value]] = [{**each} for each in inputs]
    return Trace(tuple(Scan(each, 10) for each in scans), definite(Readings(), {}), {})


def variable(spec: Specification, name: str) -> Formula:
    found = spec.program.variable(name)
    assert found is not None
    return Atom(Read(found, found.span))


@pytest.mark.parametrize(
    ("assumed", "last", "allowed"),
    [
        ("NOT (a AND b)", A, True),
        ("a OR b", A, True),
        ("a OR b", NEITHER, False),
        ("NOT a", A, False),
        ("prev(b)", A, True),
        ("NOT prev(b) OR FIRST_SCAN", A, False),
    ],
)
def test_an_assumption_is_judged_by_the_inputs_of_the_scan_that_a_finding_cuts_short(
    tmp_path: Path, assumed: str, last: dict[str, bool], allowed: bool
) -> None:
    spec = specification(tmp_path, BLOCK, f"ASSUME {assumed}; PROPERTY p : NOT q;")
    replayer = Replayer(spec)
    run = trace(B, last)
    records = replayer.records(run)
    assert [record.finding is not None for record in records] == [False, True]
    assert replayer.allowed(records) == allowed
    assert replayer.sound_records(run) == records[:1]


def test_the_scans_before_a_finding_are_sound_where_they_meet_the_assumptions(
    tmp_path: Path,
) -> None:
    spec = specification(tmp_path, BLOCK, "ASSUME NOT b; PROPERTY p : NOT q;")
    assert Replayer(spec).sound_records(trace(B, A)) == []
    assert Replayer(spec).sound_records(trace(A)) == []


def test_what_is_written_in_a_scan_that_is_cut_short_refutes_and_reaches_nothing(
    tmp_path: Path,
) -> None:
    spec = specification(tmp_path, BLOCK, "PROPERTY p : NOT q;")
    replayer = Replayer(spec)
    run = trace(B, A)
    records = replayer.records(run)
    assert records[1].values["q"] is True
    for formula in (variable(spec, "q"), Not(variable(spec, "q"))):
        assert replayer.holds(formula, records)[1] is False
        assert replayer.refuted_at(never(formula), records[1:]) is None
    assert replayer.first(variable(spec, "q"), records) is None
    assert isinstance(refutation(run, never(variable(spec, "q")), replayer, "p"), CutByFinding)


def test_a_run_is_not_made_simpler_by_ending_it_in_a_finding(tmp_path: Path) -> None:
    """That ``a`` was on a scan ago is certain in a scan that is cut short as well; but such a run
    would be told as one of the finding."""
    block = logic("n := SEL(q AND NOT b, 2, 0); m := 10 / n; q := a;", more="n, m : INT := 2;")
    spec = specification(tmp_path, block, "PROPERTY p : prev(a) -> FIRST_SCAN;")
    replayer = Replayer(spec)
    asked = never(And((Previous(variable(spec, "a")), Not(FirstScan()))))
    cut = replayer.records(trace(A, NEITHER))
    assert cut[-1].finding is not None
    assert replayer.refuted_at(asked, cut) == 1
    found = refutation(trace(A, B), asked, replayer, "p")
    assert isinstance(found, Counterexample)
    assert found.records[-1].finding is None
