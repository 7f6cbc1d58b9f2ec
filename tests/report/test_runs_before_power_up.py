"""A run that begins before power-up: marked in diagram, table and sentence, and in documents."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.evidence.runs.counterexample import refutation
from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.sentences import seen_sentence
from twohand.evidence.runs.trace import Scan, Trace, definite
from twohand.evidence.verdict import Counterexample
from twohand.record.run import run_of
from twohand.report.drawing.terminal import Terminal
from twohand.report.run import run_lines
from twohand.scan.clocking import Readings
from twohand.specification.model.specification import Specification

from tests.support.samples.check_samples import logic, specification

BODY = "IF NOT b THEN m := FALSE; END_IF; q := a AND b AND m;"


@pytest.fixture
def spec(tmp_path: Path) -> Specification:
    block = logic(BODY, more="m : BOOL := TRUE;")
    return specification(tmp_path, block, "OUTPUT q; PROPERTY p : q -> held(b, T#60s);")


@pytest.fixture
def run(spec: Specification) -> Counterexample:
    """Off, on for four samples, then power-up, and a start in the second scan."""
    shut: dict[str, bool | int] = {"b": True}
    inputs = [{}, *(4 * [shut]), shut, {"a": True, "b": True}]
    scans = tuple(Scan(each, 10) for each in inputs)
    trace = Trace(scans, definite(Readings(), {}), {}, past=5)
    found = Replayer(spec).records(trace)
    return Counterexample(tuple(found))


def test_the_scans_of_the_run_are_counted_from_power_up(run: Counterexample) -> None:
    assert (run.past, run.scans) == (5, 2)
    assert [record.time for record in run.records] == [-50, -40, -30, -20, -10, 0, 10]


def test_diagram_and_table_mark_what_is_before_power_up(
    spec: Specification, run: Counterexample
) -> None:
    lines = run_lines(run, spec, spec.requirements[0], Terminal(100), "wrong", False)
    text = "\n".join(lines)
    assert [line.strip() for line in lines if "▲" in line] == ["▲ power-up", "▲ wrong"]
    (times,) = (line.split() for line in lines if line.strip().startswith("time, ms"))
    assert times == ["time,", "ms", "-50", "-40", "0", "10"]
    assert "before power-up" in text
    assert [word for word in ("scan 1", "scan 2", "scan 3") if word in text] == ["scan 1", "scan 2"]


def test_what_the_block_shows_is_left_out_before_power_up(
    spec: Specification, run: Counterexample
) -> None:
    lines = run_lines(run, spec, None, Terminal(100), "wrong", False)
    *_, row = (line.split() for line in lines if line.strip().startswith("q  "))
    assert row == ["q", "FALSE", "TRUE"]
    assert "unchanged: m TRUE" in "\n".join(lines)
    assert not any("at 0 ms: q becomes" in line for line in lines)
    assert any("at 10 ms: q becomes TRUE" in line for line in lines)


def test_a_whole_run_has_a_column_for_every_sample(
    spec: Specification, run: Counterexample
) -> None:
    lines = run_lines(run, spec, None, Terminal(300), "wrong", True)
    assert "\n".join(lines).count("before power-up") == 5


def test_the_sentence_says_since_when_an_input_was_as_it_is(
    spec: Specification, run: Counterexample
) -> None:
    words = seen_sentence(spec.requirements[0], run.records, Replayer(spec))
    assert words.startswith(
        "p: at 10 ms (scan 2) q becomes TRUE and b is TRUE since 40 ms before power-up; asked:"
    )
    words = seen_sentence(spec.requirements[0], run.records[1:], Replayer(spec))
    assert "b is TRUE since before power-up;" in words


def test_records_have_the_past(spec: Specification, run: Counterexample) -> None:
    found = run_of(run, spec)
    assert found is not None
    assert [step.before_power_up for step in found.steps] == 5 * [True] + 2 * [False]
    assert found.steps[0].time == -50_000_000
    assert "q" not in found.values(4)
    assert found.values(5)["q"] is False


def test_the_cause_is_a_statement_of_the_run(spec: Specification) -> None:
    shut: dict[str, bool | int] = {"a": True, "b": True}
    trace = Trace((Scan({}, 10), Scan(shut, 10)), definite(Readings(), {}), {}, past=1)
    found = refutation(trace, spec.requirements[0].property, Replayer(spec), "p")
    assert isinstance(found, Counterexample)
    assert (found.past, found.scans) == (1, 1)
    assert found.causes["q"].text == "q := a AND b AND m;"
