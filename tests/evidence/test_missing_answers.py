"""A run that misses an answer is shown until it was due; one that comes later is no cause."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.evidence.runs.counterexample import refutation
from twohand.evidence.runs.replay import Replayer
from twohand.evidence.runs.sentences import seen_sentence
from twohand.evidence.runs.trace import Scan, Trace, definite
from twohand.evidence.verdict import Counterexample
from twohand.report.drawing.terminal import Terminal
from twohand.report.run import run_lines
from twohand.scan.clocking import Readings
from twohand.specification.model.specification import Specification

from tests.support.samples.check_samples import logic, specification

LATE = "n := SEL(a, 0, MIN(n + 1, 9)); q := n >= 4;"
"""The answer comes in the fourth scan of the press."""


def refuted(folder: Path, asked: str, elapsed: int = 10) -> tuple[Counterexample, str, str]:
    """The run, its sentence, and the words of what is drawn of it."""
    spec: Specification = specification(
        folder, logic(LATE, more="n : INT;"), f"PROPERTY p : rose(a) -> q WITHIN {asked};"
    )
    (requirement,) = spec.requirements
    replayer = Replayer(spec)
    scans = tuple(Scan({"a": on}, elapsed) for on in (False, *[True] * 6))
    found = refutation(
        Trace(scans, definite(Readings(), {}), {}), requirement.property, replayer, "p"
    )
    assert isinstance(found, Counterexample)
    sentence = seen_sentence(requirement, found.records, replayer)
    lines = run_lines(found, spec, requirement, Terminal(100, lines=False), "wrong", False)
    return found, sentence, " ".join(" ".join(lines).split())


@pytest.mark.parametrize(("asked", "due"), [("2 SCANS", "scan 4"), ("T#20ms", "30 ms")])
def test_the_run_ends_where_the_answer_was_due_and_the_late_one_is_not_shown(
    asked: str, due: str, tmp_path: Path
) -> None:
    found, sentence, shown = refuted(tmp_path, asked)
    assert found.records[-1].values["q"] is True, "the answer comes, too late"
    assert "at 30 ms (scan 4) q is FALSE" in sentence
    assert f"unanswered since 10 ms (scan 2), due by {due};" in sentence
    assert f"no answer, due by {due}" in shown
    assert "this set q FALSE" in shown
    assert "this set q TRUE" not in shown
    assert "wrong" not in shown


def test_a_bound_between_two_scans_names_the_next_one(tmp_path: Path) -> None:
    _, sentence, _ = refuted(tmp_path, "T#25ms")
    assert "due by 35 ms (the next scan is at 40 ms);" in sentence


def test_an_answer_in_the_same_scan_is_missing_in_that_scan(tmp_path: Path) -> None:
    found, sentence, shown = refuted(tmp_path, "0 SCANS")
    assert len(found.records) == 3
    assert "at 10 ms (scan 2) q is FALSE" in sentence
    assert "no answer, due by scan 2" in shown
