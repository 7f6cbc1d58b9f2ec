"""The trials of a sheet as sequences of a program: what hands do together is done in one scan."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from twohand.analyses.sheet.bench.parts import Sequence, TrialPart
from twohand.analyses.sheet.rehearsal import PAUSES, SECOND
from twohand.analyses.sheet.trial import Device, InputMove, Trial
from twohand.program import Variable
from twohand.program.durations import Units
from twohand.scenarios.inputs import contact_inputs
from twohand.specification.model.specification import Specification


def applied_inputs(specification: Specification) -> tuple[Variable, ...]:
    """The inputs of the block itself."""
    return tuple(
        variable
        for variable in specification.program.inputs
        if not variable.surroundings and variable is not specification.power
    )


def sequence_of(trial: Trial, specification: Specification) -> Sequence:
    """Each pause is the least that the sheet says."""
    pause = PAUSES[0] * SECOND
    given = {variable.name: False for variable in applied_inputs(specification)}
    for hand in specification.hands:
        given |= _set([InputMove(Device.HAND, hand.name, False)], specification)
    given |= _set(trial.at_first, specification)
    steps = [
        {n: on for n, on in _set(step.moves, specification).items() if n != trial.wire_off}
        for step in trial.steps
    ]
    if trial.wire_off:
        given[trial.wire_off] = False
    lengths = [pause + step.extra * SECOND for step in trial.steps] + [pause]
    units = [Units(-(-length // specification.clocking.unit)) for length in lengths]
    parts = [TrialPart(each, length) for each, length in zip([given, *steps], units, strict=True)]
    return Sequence(trial.title, tuple(parts))


def _set(moves: Iterable[InputMove], specification: Specification) -> dict[str, bool]:
    return dict(each for move in moves for each in _inputs(move, specification))


def _inputs(move: InputMove, specification: Specification) -> Iterator[tuple[str, bool]]:
    if move.device is Device.INPUT:
        yield move.name, move.on
        return
    hand = next(each for each in specification.hands if each.name == move.name)
    for variable, as_on in contact_inputs(hand):
        yield variable.name, move.on == as_on
