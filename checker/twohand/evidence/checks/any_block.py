"""Whether a requirement holds whatever the block does: then it says nothing of the block.

It is asked of a system in which everything but the inputs, which keep to the assumptions, has any
value in every scan. What is proved there is proved of every block, plant and wiring. Mostly a run
that is known shows at once that it is not so, with other values of what the block writes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from twohand.evidence.context import CheckContext
from twohand.evidence.proofs.query import Certified, QueryResult
from twohand.evidence.verdict import Certificate
from twohand.program.durations import Units
from twohand.program.types import BOOL
from twohand.scan.scan_record import ScanRecord
from twohand.specification.model.specification import Requirement

_EFFORT = 10.0
"""For the question about one requirement: it needs no more than its monitors."""
_MOST_RUNS = 8
_MOST_SCANS = 60
_MORE_SCANS = 3
"""Scans by which a known run is prolonged, for what may come late."""
_TWO_VALUES = ((True, True), (False, False), (True, False), (False, True))
"""What the block writes in even and in odd scans."""


def ask_of_any_block(
    requirement: Requirement,
    case: CheckContext,
    then: Callable[[Certificate | None, float], None],
) -> None:
    """``then`` is called once, with the proof that the requirement holds whatever the block does
    (None: it does not, or that was not decided) and the seconds that it took."""
    if _refuted(requirement, case):
        then(None, 0.0)
        return
    questions = case.of_any_block
    number = questions.bad(requirement.property)

    def answered(asked: QueryResult) -> None:
        certificate = None
        if isinstance(asked.answer, Certified):
            certificate = case.certificate(asked.answer, questions)
        then(certificate, asked.seconds)

    case.desk.decide(
        f"{requirement.identifier} of any block",
        case.any_block(number),
        number,
        answered,
        min(case.effort, _EFFORT),
    )


def _refuted(requirement: Requirement, case: CheckContext) -> bool:
    """Whether a known run refutes it where the block writes something else."""
    spec = case.specification
    sampled = set(spec.program.sampled)
    written = [v.name for v in spec.program.variables if v.type == BOOL and v not in sampled]
    for run in case.known.shortest(_MOST_RUNS, _MOST_SCANS):
        records = _prolonged(run.records, spec.clocking.longest)
        for values in _TWO_VALUES:
            tried = [
                _rewritten(each, dict.fromkeys(written, values[n % 2]))
                for n, each in enumerate(records)
            ]
            position = case.replayer.refuted_at(requirement.property, tried)
            if position is not None and case.replayer.allowed(tried[: position + 1]):
                return True
    return False


def _rewritten(record: ScanRecord, written: Mapping[str, bool]) -> ScanRecord:
    """Before power-up nothing is written."""
    if record.before_power_up:
        return record
    return replace(record, values={**record.values, **written})


def _prolonged(records: Sequence[ScanRecord], longest: Units) -> list[ScanRecord]:
    last = records[-1]
    later = (
        replace(last, time=Units(last.time + n * longest), elapsed=longest)
        for n in range(1, _MORE_SCANS + 1)
    )
    return [*records, *later]
