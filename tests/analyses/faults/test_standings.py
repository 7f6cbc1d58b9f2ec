"""What becomes of a requirement under a fault: lost, allowed to be lost, or only not available."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest
from twohand.analyses.faults.judgement import only_asks_for_output, standing_of
from twohand.analyses.faults.table import Standing
from twohand.evidence.verdict import Outcome
from twohand.program import Read
from twohand.specification.catalogue.availability import AVAILABLE, AVAILABLE_BOUNCING
from twohand.specification.load import load_specification
from twohand.specification.logic.formula import Always, Atom, Not, Or, Rose
from twohand.specification.model.fault import Kept
from twohand.specification.model.specification import Requirement

from tests.support.samples.fault_samples import SINGLE_SPEC, written_spec

LOSSES = {
    Kept.MAY_BE_LOST: Standing.LOST_ALLOWED,
    Kept.KEPT: Standing.VIOLATED,
    Kept.KEPT_AND_NOTICED: Standing.VIOLATED,
    Kept.NOT_STATED: Standing.VIOLATED,
}


@pytest.mark.parametrize("kept", Kept)
def test_a_violation_is_a_loss_unless_the_type_allows_it_or_only_the_output_fails_to_come(
    kept: Kept,
) -> None:
    assert standing_of(Outcome.VIOLATED, False, kept) is LOSSES[kept]
    assert standing_of(Outcome.VIOLATED, True, kept) is Standing.NOT_AVAILABLE


def test_what_is_open_stays_open_and_what_is_vacuous_is_kept() -> None:
    for asks, kept in product((False, True), Kept):
        assert standing_of(Outcome.UNDECIDED, asks, kept) is Standing.UNDECIDED
        assert standing_of(Outcome.PROVED, asks, kept) is Standing.PROVED
        assert standing_of(Outcome.VACUOUS, asks, kept) is Standing.PROVED


def test_availability_asks_for_the_output_whatever_its_condition_says_of_it(
    tmp_path: Path,
) -> None:
    """The condition may speak of the output: it is then premise and answer at once."""
    spec = load_specification(written_spec(tmp_path, SINGLE_SPEC))
    (output,) = spec.outputs
    on = Atom(Read(output, output.span))
    mixed = Always(Or((Not(on), Rose(on))))
    for name, asks in ((AVAILABLE, True), (AVAILABLE_BOUNCING, True), ("both_hands", False)):
        requirement = Requirement(name, "it is as asked", mixed, output.span)
        assert only_asks_for_output(requirement, spec) is asks
