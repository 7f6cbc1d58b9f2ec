"""Which runs count, where they end, and what of them matters."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.runs import counterexample
from twohand.evidence.runs.counterexample import finding_run, refutation
from twohand.evidence.runs.long_runs import LongRuns
from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.simplify import Wanted, relevant_readings
from twohand.evidence.runs.trace import Scan, Trace, definite
from twohand.evidence.verdict import Counterexample
from twohand.program.types import Value
from twohand.scan.clocking import Readings
from twohand.scan.finding import Finding, FindingKind, same
from twohand.text.source_text import SourceText, Span

from tests.support.samples.check_samples import logic, specification

A, B, NEITHER = {"a": True}, {"b": True}, {"a": False, "b": False}


def trace(*inputs: dict[str, bool], **chosen: bool) -> Trace:
    scans: list[dict[str, Value]] = [{**each} for each in inputs]
    readings = definite(Readings(), chosen)
    return Trace(tuple(Scan(each, 10) for each in scans), readings, chosen)


@pytest.mark.parametrize(
    ("run", "allowed"),
    [((A, A), True), ((A, B), False), ((B, A), False), ((A, NEITHER), False), ((A, A, B), False)],
)
def test_a_run_meets_every_assumption_in_every_scan(
    tmp_path: Path, run: tuple[dict[str, bool], ...], allowed: bool
) -> None:
    spec = specification(tmp_path, logic("q := a;"), "ASSUME NOT b; ASSUME a OR b; PROPERTY p : q;")
    replayer = Replayer(spec)
    assert replayer.allowed(replayer.records(trace(*run))) is allowed


def test_a_run_that_nobody_makes_simpler_still_ends_at_its_refutation(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(counterexample, "simplified", lambda run, *_: run)
    spec = specification(tmp_path, logic("q := a;"), "PROPERTY p : NOT q;")
    run = trace(NEITHER, A, NEITHER, A)
    found = refutation(run, spec.requirements[0].property, Replayer(spec), "p")
    assert isinstance(found, Counterexample)
    assert [record.values["q"] for record in found.records] == [False, True]


def test_a_simpler_run_is_refuted_in_its_last_scan_and_has_no_finding(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept: list[Wanted] = []

    def simplified(run: Trace, _: Replayer, wanted: Wanted) -> Trace:
        kept.append(wanted)
        return run

    monkeypatch.setattr(counterexample, "simplified", simplified)
    block = logic("q := a; n := SEL(b, 0, 2); m := 10 / n;", more="n, m : INT := 2;")
    spec = specification(tmp_path, block, "PROPERTY p : NOT q;")
    replayer, asked = Replayer(spec), spec.requirements[0].property
    both = {"a": True, "b": True}
    refutation(trace(B, both), asked, replayer, "p")
    (wanted,) = kept
    assert wanted(replayer.records(trace(B, both)))
    assert not wanted(replayer.records(trace(B, both, B)))
    assert not wanted(replayer.records(trace(B, B)))
    assert not wanted(replayer.records(trace(B, A)))


def test_a_run_to_a_finding_that_breaks_an_assumption_is_a_contradiction(tmp_path: Path) -> None:
    block = logic("n := SEL(b, 0, 2); m := 10 / n;", more="n, m : INT := 2;")
    spec = specification(tmp_path, block, "ASSUME NOT a; PROPERTY p : NOT q;")
    assert finding_run(trace(B, NEITHER), Replayer(spec)).records[-1].finding is not None
    for run in (trace(B, A), trace(B, {**A, **B}, NEITHER)):
        with pytest.raises(InternalContradiction, match="breaks an assumption"):
            finding_run(run, Replayer(spec))
    with pytest.raises(InternalContradiction, match="executed it has none"):
        finding_run(trace(B, B), Replayer(spec))


def test_findings_are_the_same_by_kind_and_place() -> None:
    text = SourceText("block.st", "n := n + 1 / m;")
    here, there = Span(text, 5, 14), Span(text, 9, 14)
    elsewhere = Span(SourceText("other.st", "n := n + 1 / m;"), 5, 14)
    overflow = Finding(FindingKind.OVERFLOW, here)
    assert same(overflow, Finding(FindingKind.OVERFLOW, Span(text, 5, 14)))
    assert not same(overflow, Finding(FindingKind.DIVISION_BY_ZERO, here))
    assert not same(overflow, Finding(FindingKind.OVERFLOW, there))
    assert not same(overflow, Finding(FindingKind.OVERFLOW, elsewhere))


def test_only_a_reading_that_changes_the_run_matters(tmp_path: Path) -> None:
    """F_TRIG may fire at its first call; the timer's readings change nothing here."""
    block = logic("f(CLK := a); t(IN := b, PT := T#1s); q := f.Q;", more="f : F_TRIG; t : TON;")
    spec = specification(tmp_path, block, "PROPERTY p : NOT q;")
    replayer, asked = Replayer(spec), spec.requirements[0].property
    run = trace(NEITHER, falling_edge_at_first_call=True, edge_call_counts=True)
    found = relevant_readings(run, replayer, lambda tried: replayer.refuted_at(asked, tried) == 0)
    assert found == {"falling_edge_at_first_call": True}


def test_a_long_run_ends_in_the_scan_that_refutes(tmp_path: Path) -> None:
    block = logic("n := SEL(n < 9, n, n + 1); q := n > 5;", more="n : SINT;")
    spec = specification(tmp_path, block, "PROPERTY p : NOT q;")
    replayer, asked = Replayer(spec), spec.requirements[0].property
    run = LongRuns(replayer, [], 20.0).refuting(asked)
    assert run is not None
    assert len(run.scans) == 6
    assert replayer.refuted_at(asked, replayer.records(run)) == 5


@pytest.mark.parametrize(("assumed", "found"), [("", ["n + 1"]), ("ASSUME NOT a;", [])])
def test_a_long_run_to_a_finding_meets_the_assumptions(
    tmp_path: Path, assumed: str, found: list[str]
) -> None:
    block = logic("IF a THEN n := n + 1; END_IF; q := b;", more="n : SINT;")
    spec = specification(tmp_path, block, f"{assumed} PROPERTY p : q = b;")
    runs = LongRuns(Replayer(spec), [], 20.0)
    assert [finding.span.text for finding in runs.findings] == found
