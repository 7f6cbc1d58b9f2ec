"""An inspection of small blocks agrees with a visit of every state that they can reach, and what
it proves of random blocks holds in thousands of their runs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from random import Random

import pytest
from twohand.analyses.inspect.answers import Asking, Ledger
from twohand.analyses.inspect.kinds.registry import registry_of
from twohand.analyses.inspect.points import InspectionKind, Status
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import open_pool
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.scan.clocking import Readings
from twohand.scan.concrete.execute import Machine, formula_evaluator
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.search.inspections import OPTIONS, compare_block
from tests.support.randomness.blocks import block_text
from tests.support.randomness.inputs import random_inputs
from tests.support.samples.inspected_blocks import subject
from tests.support.tiers import nightly


@pytest.fixture(scope="module")
def pool() -> Iterator[Pool]:
    with open_pool(OPTIONS) as opened:
        yield opened


@pytest.mark.long
def test_answers_about_a_small_block_are_those_of_all_its_states(pool: Pool) -> None:
    counts = sum((compare_block(seed, pool) for seed in (3, 8)), Counter[Status]())
    assert counts[Status.REACHED] > 5
    assert counts[Status.NEVER] > 0


@pytest.mark.long
@pytest.mark.parametrize("seed", [*range(100, 106), *map(nightly, range(106, 120))])
def test_answers_about_many_small_blocks_are_those_of_all_their_states(
    seed: int, pool: Pool
) -> None:
    compare_block(seed, pool)


@pytest.mark.long
@pytest.mark.parametrize("seed", [200, nightly(201), 202, 203, nightly(204), 205])
def test_what_is_proved_never_to_happen_does_not_in_random_runs(seed: int, pool: Pool) -> None:
    try:
        tested = load_program([SourceText("random.st", block_text(seed))], "Main")
    except InputError:
        pytest.skip("the text is refused")
    made = subject(tested)
    families = registry_of(made, tuple(InspectionKind))
    questions = [q for family in families.families for q in family.questions()]
    specification = replace(made.specification, program=families.program)
    desk = Dispatcher(pool, 1.0)
    asking = Asking(specification, questions, desk, Ledger(1.0))
    while asking.go_on():
        desk.serve()
    never = [q for q, a in asking.answers.items() if a.status is Status.NEVER]
    random = Random(seed)
    clocking = specification.clocking
    evaluator = formula_evaluator(clocking)
    for _ in range(40):
        readings = random.choice(Readings().choices())
        machine = Machine(specification.program, clocking, readings, specification.loop_bound)
        for _ in range(25):
            record = machine.scan(random_inputs(random, tested), random.randint(5, 20))
            if record.finding is not None:
                break
            for question in never:
                assert not evaluator.value(question.reached, record.values)
