"""A run names every reading that its values depend on, not only those that make it a violation."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.evidence.runs.counterexample import refutation
from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.trace import Scan, Trace, definite
from twohand.evidence.verdict import Counterexample
from twohand.record.run import run_of
from twohand.report.drawing.terminal import Terminal
from twohand.report.run import run_lines

from tests.support.samples.check_samples import logic, specification

TIMED = "t(IN := a, PT := T#50ms); q := a;"


def run(folder: Path, body: str, statements: str = "") -> tuple[Counterexample, str]:
    """A run that is a violation under every reading, and what is shown of it."""
    block = logic(body, more="t : TON;")
    spec = specification(folder, block, f"{statements} PROPERTY p : NOT (q AND prev(q));")
    (requirement,) = spec.requirements
    scans = tuple(Scan({"a": on}, 10) for on in (False, True, True))
    trace = Trace(scans, definite(spec.readings, {}), {})
    found = refutation(trace, requirement.property, Replayer(spec), "p")
    assert isinstance(found, Counterexample)
    assert not found.readings
    record = run_of(found, spec)
    assert record is not None
    assert dict(record.readings) == found.of_values
    return found, "\n".join(run_lines(found, spec, requirement, Terminal(100), "wrong", False))


def test_a_value_that_hangs_on_a_reading_names_it(tmp_path: Path) -> None:
    found, shown = run(tmp_path, TIMED)
    assert found.of_values["edge_call_counts"] is False
    assert "its values are those of a platform where a timer's edge call counts no time" in shown


@pytest.mark.parametrize(
    ("body", "statements"),
    [
        ("q := a;", ""),
        (TIMED, "READING edge_call_counts FALSE; READING first_scan_has_time FALSE;"),
    ],
)
def test_values_that_are_the_same_everywhere_or_fixed_name_none(
    body: str, statements: str, tmp_path: Path
) -> None:
    found, shown = run(tmp_path, body, statements)
    assert found.of_values == {}
    assert "its values" not in shown


def chosen_run(folder: Path, body: str, **chosen: bool) -> Counterexample:
    """The run of one scan that refutes NOT q, with these choices of an engine."""
    spec = specification(folder, logic(body, more="t : TON; f : F_TRIG;"), "PROPERTY p : NOT q;")
    (requirement,) = spec.requirements
    trace = Trace((Scan({"a": True}, 10),), definite(spec.readings, chosen), chosen)
    found = refutation(trace, requirement.property, Replayer(spec), "p")
    assert isinstance(found, Counterexample)
    return found


def test_a_choice_that_does_not_matter_is_the_same_in_every_run(tmp_path: Path) -> None:
    body = "t(IN := a, PT := T#50ms); q := a;"
    first, second = (
        chosen_run(tmp_path, body, edge_call_counts=choice) for choice in (False, True)
    )
    assert [each.values for each in first.records] == [each.values for each in second.records]
    assert first.all_readings == second.all_readings


def test_choices_that_matter_only_together_are_kept(tmp_path: Path) -> None:
    body = "t(IN := TRUE, PT := T#0s); f(CLK := FALSE); q := t.Q OR f.Q;"
    both = {"zero_preset_at_once": True, "falling_edge_at_first_call": True}
    found = chosen_run(tmp_path, body, **both)
    assert found.records[-1].values["q"] is True
    assert found.all_readings.items() >= both.items()
