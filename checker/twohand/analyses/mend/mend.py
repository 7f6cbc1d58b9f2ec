"""The search for changes of a block after which everything that is asked of it is proved.

A change mends a block where `twohand check` would pass the changed block (every requirement proved,
nothing vacuous, no finding, no output that never goes on) and where, for as long as a run of the
block has broken no requirement, the changed block is proved to show the same, or at least to have
no output on that is off in the block (``twohand.analyses.mend.kept_behaviour``). One that merely
stays off is none: usual runs, in which hands press and let go, are executed and have to show the
same.
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import islice

from twohand.analyses.audit.changes.change import BlockChange
from twohand.analyses.audit.changes.subject import ChangeableSpec
from twohand.analyses.check.check import check
from twohand.analyses.check.exit_code import report_code
from twohand.analyses.mend.kept_behaviour import KeptBehaviour
from twohand.analyses.mend.known_runs import PassedRuns, pairs_in_turn
from twohand.analyses.mend.results import Mending, MendSearch
from twohand.analyses.mend.same_question import asks_the_same
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options, Progress, workers
from twohand.evidence.runs.replay import trace_of_records
from twohand.evidence.verdict import Outcome, Report
from twohand.report.exit_code import ExitCode
from twohand.specification.model.specification import Aim, Specification
from twohand.text.diagnostic import InputError, wrong
from twohand.typecheck.reals.uncomputed import refuse_uncomputed

MOST_PAIRS = 1500
"""Pairs of changes that are looked at, where the user does not say how many."""
Changes = tuple[BlockChange, ...]


def mend(
    subject: ChangeableSpec,
    options: Options,
    progress: Progress,
    pool: Pool,
    most_pairs: int = MOST_PAIRS,
) -> MendSearch:
    """InputError where no requirement is violated, and as in ``check``."""
    began = time.monotonic()
    refuse_uncomputed(subject.specification.program, "a search for mending changes")
    alone = replace(options, needless=False, causes=False)
    block = check(replace(subject.specification, lags=()), alone, progress, pool)
    if not any(v.outcome is Outcome.VIOLATED for v in block.verdicts):
        message = "no requirement is violated, so that there is nothing to mend"
        way = "see 'twohand check' for what is vacuous or undecided"
        raise wrong("nothing-to-mend", message, subject.tree.name.span, way)
    with workers(options, pool):
        search = _Search(subject, block, alone, progress, pool)
        found = search.found(most_pairs)
    return replace(found, seconds=time.monotonic() - began)


class _Search:
    def __init__(
        self,
        subject: ChangeableSpec,
        block: Report,
        options: Options,
        progress: Progress,
        pool: Pool,
    ) -> None:
        self._subject = subject
        self._block = block
        self._options = options
        self._progress = progress
        self._pool = pool
        self._runs = PassedRuns(subject.specification)
        self._kept = KeptBehaviour(subject.specification, options, pool)
        self._open: list[Changes] = []
        self._note_runs(block)

    def found(self, most_pairs: int) -> MendSearch:
        singles = [(change, self._subject.changed([change])) for change in self._subject.changes]
        known = [(change, changed) for change, changed in singles if changed is not None]
        first_runs = len(self._runs.refuting)
        repaired = [self._runs.repaired(changed) for _, changed in known]
        mendings = []
        for number, (change, changed) in enumerate(known, 1):
            self._progress(change.words, number, len(known))
            mending = self._mending((change,), changed)
            if mending is not None:
                mendings.append(mending)
        possible = len(known) * (len(known) - 1) // 2
        tried = 0
        if not mendings:
            pairs = pairs_in_turn(repaired, first_runs)
            changes = [change for change, _ in known]
            total = min(possible, most_pairs)
            for tried, pair in enumerate(self._pairs(changes, islice(pairs, total)), 1):
                self._progress("two changes", tried, total)
                changed_twice = self._subject.changed(pair)
                mending = None if changed_twice is None else self._mending(pair, changed_twice)
                if mending is not None:
                    mendings.append(mending)
                    break
        return MendSearch(
            self._subject,
            self._block,
            tuple(sorted(mendings, key=lambda each: each.off_where_on is not None)),
            len(known),
            tried,
            possible - tried if not mendings else 0,
            tuple(self._open),
        )

    def _pairs(
        self, changes: Sequence[BlockChange], pairs: Iterator[tuple[int, int]]
    ) -> Iterator[Changes]:
        for one, other in pairs:
            yield changes[one], changes[other]

    def _mending(self, changes: Changes, changed: Specification) -> Mending | None:
        if not self._runs.passes(changed):
            return None
        if not asks_the_same(self._subject.specification, changed):
            return None
        try:
            report = check(replace(changed, lags=(), wide=()), self._options, pool=self._pool)
        except InputError:
            return None  # its assumptions or hands are none any more
        self._note_runs(report)
        code = report_code(report)
        if code is ExitCode.VIOLATED:
            return None
        kept = self._kept.judged(changed)
        if kept.difference is not None and not self._runs.shows_outputs:
            return None  # it may merely stay off
        certain = not self._block.doubt  # its assumptions are those of every proof
        if kept.outcome is Outcome.PROVED and code is ExitCode.ALL_PROVED and certain:
            return Mending(changes, report, kept.difference)
        if kept.outcome is Outcome.VIOLATED and kept.lets_on is not None:
            self._runs.keep(kept.lets_on, same=False)
        if kept.outcome is not Outcome.VIOLATED:
            self._open.append(changes)
        return None

    def _note_runs(self, report: Report) -> None:
        """What refutes a requirement of one of the blocks has to be passed by the others."""
        for verdict in report.verdicts:
            run = verdict.counterexample
            if run is not None and verdict.requirement.aim is Aim.HOLDS:
                self._runs.refute(trace_of_records(run, report.specification))
