"""A search for mending changes as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from twohand.analyses.audit.record import ChangeOfBlock, change_of_block, run_of_both
from twohand.analyses.mend.exit_code import mend_code
from twohand.analyses.mend.results import Mending, MendSearch
from twohand.analyses.mend.text import difference_lines, mend_cautions, summary_sentence
from twohand.evidence.verdict import Certificate, Outcome
from twohand.record.judged import Judged
from twohand.record.run import Run
from twohand.record.spec import LoadedSpec, loaded_spec
from twohand.report.exit_code import worst


@dataclass(frozen=True)
class MendedRequirement:
    """The answer to the requirement of this ``name`` of the changed block, by a whole check. PROVED
    with the ``certificate``, or by a run that reaches what has to be reachable."""

    name: str
    outcome: Outcome
    certificate: Certificate | None


@dataclass(frozen=True)
class MendingChanges:
    """``changes`` after which every requirement is proved and says something; ``difference`` has
    the lines of a unified difference. ``shows_same``: for as long as a run of the block has broken
    no requirement, the changed block is proved to show the same. Otherwise only that no output of
    the spec is on that is off in the block is proved, and the replayed ``run`` of both, in which
    the block breaks nothing, ends with other values of ``names``."""

    changes: tuple[ChangeOfBlock, ...]
    difference: tuple[str, ...]
    requirements: tuple[MendedRequirement, ...]
    shows_same: bool
    names: tuple[str, ...]
    run: Run | None


@dataclass(frozen=True)
class MendedSpec(Judged):
    """``violated`` names the requirements that the block as it is violates. ``mendings`` are those
    found among ``singles`` changes and ``pairs`` of them that were looked at; ``left`` more pairs
    were not. Of those in ``undecided`` it is open whether they mend the block. Nothing was written:
    a mended block is one of which this spec is proved."""

    spec: LoadedSpec
    violated: tuple[str, ...]
    mendings: tuple[MendingChanges, ...]
    singles: int
    pairs: int
    left: int
    undecided: tuple[tuple[ChangeOfBlock, ...], ...]
    summary: str


@dataclass(frozen=True)
class MendResult(Judged):
    """The specs of a file; ``cautions`` are what no change says."""

    specs: tuple[MendedSpec, ...]
    cautions: tuple[str, ...]


def mend_result(found: Sequence[MendSearch]) -> MendResult:
    return MendResult(
        worst(map(mend_code, found)),
        tuple(map(_spec, found)),
        tuple(mend_cautions(found)),
    )


def _spec(found: MendSearch) -> MendedSpec:
    return MendedSpec(
        mend_code(found),
        loaded_spec(found.subject.specification),
        tuple(verdict.requirement.identifier for verdict in found.violated),
        tuple(_mending(each, found) for each in found.mendings),
        found.singles,
        found.pairs,
        found.left,
        tuple(tuple(map(change_of_block, changes)) for changes in found.still_open),
        summary_sentence(found),
    )


def _mending(mending: Mending, found: MendSearch) -> MendingChanges:
    other = mending.off_where_on
    return MendingChanges(
        tuple(map(change_of_block, mending.changes)),
        tuple(difference_lines(mending, found)),
        tuple(
            MendedRequirement(each.requirement.identifier, each.outcome, each.certificate)
            for each in mending.report.verdicts
        ),
        other is None,
        () if other is None else other.names,
        run_of_both(other),
    )
