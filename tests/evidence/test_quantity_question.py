"""How an extreme is searched for: where the proof does not come, both bounds are kept."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from twohand.analyses.measure import query as quantity_question
from twohand.analyses.measure.figures import FigureKind, figures_of
from twohand.analyses.measure.query import Extreme, FindExtreme
from twohand.engine.search.pumping import pumped
from twohand.engine.system.contract import Answer, Unknown
from twohand.evidence.encoding import Encoding
from twohand.specification.logic.monitor_quantity import QuantityTerms

from tests.support.samples.check_samples import specification
from tests.support.samples.measured_blocks import FIXED, HANDS, block

PULSE = block("pulse(IN := left AND right, PT := T#300ms); stroke := pulse.Q;", "pulse : TP;")


def on_time(folder: Path, text: str) -> tuple[FindExtreme, QuantityTerms, Any]:
    """The job for the longest on-time, with its terms and system."""
    questions = Encoding(specification(folder, text, f"{HANDS}{FIXED}"))
    (figure,) = [
        each for each in figures_of(questions.specification) if each.kind is FigureKind.ON_TIME
    ]
    first = questions.quantity(figure.time)
    problem = questions.problem()
    system, terms = problem.loaded()
    job = FindExtreme(problem, first, least=False, in_scans=False, effort=60.0)
    return job, QuantityTerms.taken(terms, first), system


def refusing(monkeypatch: pytest.MonkeyPatch, first: int) -> list[int]:
    """The engine gives its first answers up; the list counts its calls."""
    calls: list[int] = []
    real = quantity_question.decided

    def decided(*arguments: Any) -> Answer:
        calls.append(len(calls))
        return Unknown("too hard") if len(calls) <= first else real(*arguments)

    monkeypatch.setattr(quantity_question, "decided", decided)
    return calls


@pytest.mark.long
def test_the_extreme_comes_with_the_proof_that_nothing_exceeds_it(tmp_path: Path) -> None:
    job, _, _ = on_time(tmp_path, PULSE)
    found = job()
    assert (found.value, found.bound) == (30, 30)
    assert found.proof is not None
    assert found.proof.recheck.accepted


@pytest.mark.long
def test_without_any_proof_what_was_reached_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job, _, _ = on_time(tmp_path, PULSE)
    refusing(monkeypatch, 1000)
    found = job()
    assert (found.value, found.proof, found.reason) == (30, None, "too hard")


@pytest.mark.long
def test_bounds_are_drawn_in_where_the_exact_one_is_too_hard(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job, _, _ = on_time(tmp_path, PULSE)
    calls = refusing(monkeypatch, quantity_question._MOST_STEPS)
    found = job()
    assert len(calls) > quantity_question._MOST_STEPS + 1
    assert found.value == 30
    assert found.bound is not None
    assert found.bound >= 30
    assert found.proof is not None
    assert found.proof.recheck.accepted


@pytest.mark.long
def test_a_run_that_a_timer_will_end_is_not_said_to_be_prolonged_at_will(tmp_path: Path) -> None:
    job, terms, system = on_time(tmp_path, PULSE)
    found: Extreme = job()
    assert found.run is not None
    assert pumped(system, terms.read, terms.value, found.run, 5.0) is None


def test_a_run_that_is_prolonged_at_will_is_one_whose_length_changes_nothing(
    tmp_path: Path,
) -> None:
    job, terms, system = on_time(tmp_path, block("stroke := left AND right;"))
    found = job()
    assert found.pumped is not None
    longer = found.pumped.prolonged(7, 1)
    assert len(longer.steps) == len(found.pumped.run.steps) + 7
    again = pumped(system, terms.read, terms.value, longer, 5.0)
    assert again is not None
