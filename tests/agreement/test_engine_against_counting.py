"""Random small systems: what the engines say against the states counted one by one."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from twohand.engine.portfolio import decide
from twohand.engine.proof.ic3 import prove
from twohand.engine.proof.localisation import prove_part
from twohand.engine.search.bounded import search_scans
from twohand.engine.search.jumps import search_events
from twohand.engine.system.budget import Budget
from twohand.engine.system.cone import cone
from twohand.engine.system.contract import Answer, Proved, Unknown, Violated
from twohand.engine.system.invariant import first_failed_obligation

from tests.support.randomness.systems import Model, random_model
from tests.support.samples.small_models import finished

SEEDS = st.integers(min_value=0, max_value=10**6)
ENOUGH = settings(max_examples=60, deadline=None, derandomize=True)


def assert_is_so(answer: Answer, model: Model) -> None:
    """A proof is one, of what never happens, and a run is one of the model; no answer is none."""
    system, bad = model.terms()
    if isinstance(answer, Proved):
        assert model.first_bad_scan() is None
        assert first_failed_obligation(system, bad, answer.clauses) is None
    elif isinstance(answer, Violated):
        assert model.replays(answer)
    else:
        assert isinstance(answer, Unknown)


@pytest.mark.long
@ENOUGH
@given(SEEDS)
def test_a_verdict_is_what_counting_the_states_gives(seed: int) -> None:
    model = random_model(seed)
    system, bad = model.terms()
    answer = decide(system, bad, 60)
    if model.first_bad_scan() is None:
        assert isinstance(answer, Proved)
    else:
        assert isinstance(answer, Violated)
        assert model.replays(answer)


@pytest.mark.long
@ENOUGH
@given(SEEDS)
def test_the_proof_alone_never_proves_what_can_be_violated(seed: int) -> None:
    model = random_model(seed)
    system, bad = model.terms()
    assert_is_so(finished(prove(system, bad, Budget(5))), model)


@pytest.mark.long
@ENOUGH
@given(SEEDS)
def test_the_proof_of_a_part_says_of_the_whole_what_counting_gives(seed: int) -> None:
    model = random_model(seed)
    system, bad = model.terms()
    assert_is_so(finished(prove_part(cone(system, bad), bad, Budget(5))), model)


@pytest.mark.long
@ENOUGH
@given(SEEDS)
def test_bounded_search_finds_the_shortest_run(seed: int) -> None:
    model = random_model(seed)
    answer = finished(search_scans(*model.terms(), Budget(60), most=9))
    shortest = model.first_bad_scan()
    if shortest is None or shortest > 9:
        assert answer == Unknown("the bound was reached", scans=9)
    else:
        assert isinstance(answer, Violated)
        assert len(answer.steps) == shortest
        assert model.replays(answer)


@pytest.mark.long
@ENOUGH
@given(SEEDS)
def test_event_search_misses_nothing_within_the_scans_it_claims(seed: int) -> None:
    model = random_model(seed)
    answer = finished(search_events(*model.terms(), Budget(60), most=6))
    shortest = model.first_bad_scan()
    if isinstance(answer, Violated):
        assert model.replays(answer)
    else:
        assert isinstance(answer, Unknown)
        assert answer.scans == 6
        assert answer.events in (0, 6)
        assert shortest is None or shortest > max(answer.scans, answer.events)
