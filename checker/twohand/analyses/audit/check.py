"""An audit of a spec: every requirement is asked of every changed block.

What no requirement notices is put beside the block: it may be the same in all that can be seen.
Runs that refuted a requirement for one change are executed for the next ones before an engine is
asked, and the invariants of the block are tried before a proof is looked for: that decides how long
it takes, and never what comes out.
"""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from twohand.analyses.audit.changes.change import BlockChange
from twohand.analyses.audit.changes.listing import evenly
from twohand.analyses.audit.changes.subject import ChangeableSpec
from twohand.analyses.audit.difference import Beside
from twohand.analyses.audit.results import Audit, AuditCell, AuditRow, Noticing, able
from twohand.analyses.check.check import check, doubted_verdict
from twohand.engine.workers.pool import Pool
from twohand.evidence.checks.assumptions import AssumptionCheck
from twohand.evidence.checks.requirement import Depth, ProvedRequirement, RequirementCheck
from twohand.evidence.context import CheckContext
from twohand.evidence.encoding import Encoding
from twohand.evidence.limits import Options, Progress, workers
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.runs.replay import trace_of_records
from twohand.evidence.runs.trace import Trace
from twohand.evidence.verdict import Outcome, Report, Verdict
from twohand.scan import serialisation as exchange
from twohand.specification.model.specification import Specification
from twohand.text.diagnostic import InputError, wrong
from twohand.typecheck.reals.uncomputed import refuse_uncomputed

_AT_ONCE = 6
"""Changes whose questions are open at the same time."""
_KEPT_RUNS = 12
"""Of each requirement, those that refuted it last."""


def audit(
    subject: ChangeableSpec,
    options: Options,
    progress: Progress,
    pool: Pool,
    most: int | None = None,
) -> Audit:
    """The audit of one spec with all changes of its block, or at most so many.

    InputError where no requirement is proved of the block, and as in ``check``.
    """
    began = time.monotonic()
    refuse_uncomputed(subject.specification.program, "an audit")
    alone = replace(options, needless=False, causes=False)
    kept: list[ProvedRequirement] = []
    block = check(replace(subject.specification, lags=()), alone, progress, pool, kept)
    if block.doubt or not any(able(block)):
        message = "no requirement is proved of the block, so that none can notice a change of it"
        message = f"{block.doubt}; {message}" if block.doubt else message
        way = "mend the block or the spec first: 'twohand check' says what is wrong"
        raise wrong("nothing-proved", message, subject.tree.name.span, way)
    chosen = evenly(subject.changes, most)
    with workers(options, pool):
        asked = AskedChanges(subject, block, kept, options, progress, pool)
        rows = asked.rows(chosen)
    found = Audit(
        subject,
        block,
        tuple(rows),
        refused=len(chosen) - len(rows),
        left=len(subject.changes) - len(chosen),
    )
    return replace(found, seconds=time.monotonic() - began)


@dataclass(eq=False)
class _OpenChange:
    """A changed block whose requirements are being asked. ``refused``: with its constants the
    assumptions leave no input, so that everything would be proved."""

    change: BlockChange
    specification: Specification
    checks: list[RequirementCheck] = field(default_factory=list)
    open: int = 0
    refused: bool = False
    assumptions: AssumptionCheck | None = None

    @property
    def doubt(self) -> str:
        return "" if self.assumptions is None else self.assumptions.doubt

    def refuse(self, _: InputError) -> None:
        self.refused = True


class AskedChanges:
    """Asks the requirements of changed blocks, a few blocks at a time."""

    def __init__(
        self,
        subject: ChangeableSpec,
        block: Report,
        kept: Sequence[ProvedRequirement],
        options: Options,
        progress: Progress,
        pool: Pool,
    ) -> None:
        self._subject = subject
        self._block = block
        self._options = options
        self._progress = progress
        self._desk = Dispatcher(pool, options.effort, options.seconds)
        self._able = {each.identifier: each for each in able(block)}
        self._hints = _hints(subject.specification, kept)
        self._reached = {v.requirement.identifier: _witness(v, block) for v in block.verdicts}
        self._refuting: dict[str, deque[Trace]] = {}
        self._waiting: deque[BlockChange] = deque()
        self._open: list[_OpenChange] = []
        self._ready: list[_OpenChange] = []
        self._beginning = False
        self._total = self._done = 0

    def rows(self, asked: Sequence[BlockChange]) -> list[AuditRow]:
        """The rows of the changes that give a program, in their order."""
        self._waiting.extend(asked)
        self._total = len(self._waiting)
        while self._waiting or self._open:
            self._begin_more()
            self._desk.serve()
        done = {id(each.change): each for each in self._ready if not each.refused}
        found = [done[id(change)] for change in asked if id(change) in done]
        rows = {id(each.change): self._row(each) for each in found}
        beside = Beside(self._subject.specification, self._desk, self._options, self._progress)
        unnoticed = [
            each for each in found if rows[id(each.change)].standing is not Noticing.NOTICED
        ]
        pairs = [(rows[id(each.change)], each.specification) for each in unnoticed]
        rows |= {id(row.change): row for row in beside.judged(pairs)}
        return [rows[id(each.change)] for each in found]

    def _begin_more(self) -> None:
        """Until so many are open; answers that come at once may ask for more."""
        if self._beginning:
            return
        self._beginning = True
        try:
            while self._waiting and len(self._open) < _AT_ONCE:
                self._begin(self._waiting.popleft())
        finally:
            self._beginning = False

    def _begin(self, change: BlockChange) -> None:
        changed = self._subject.changed([change])
        if changed is None:
            self._total -= 1
            return
        case = CheckContext(changed, self._desk, self._options.effort)
        opened = _OpenChange(change, changed)
        asked = [each for each in changed.requirements if each.identifier in self._able]
        for requirement in asked:
            name = requirement.identifier
            proved = self._outcome(name) is Outcome.PROVED
            depth = Depth(proved, explained=False, hints=self._hints.get(name, ()))
            decided = self._decided(opened)
            opened.checks.append(RequirementCheck(requirement, case, decided, depth))
        opened.open = len(opened.checks)
        opened.assumptions = AssumptionCheck(case, opened.refuse)
        self._open.append(opened)
        case.known.add_usual()
        for trace in filter(None, self._reached.values()):
            case.known.add(trace.for_program(changed.program))
        opened.assumptions.begin()
        for each in opened.checks:
            refuting = self._refuting.get(each.requirement.identifier, ())
            each.begin_with([trace.for_program(changed.program) for trace in refuting])

    def _outcome(self, identifier: str) -> Outcome:
        return next(
            v.outcome for v in self._block.verdicts if v.requirement.identifier == identifier
        )

    def _decided(self, opened: _OpenChange) -> Callable[[Verdict], None]:
        def decided(verdict: Verdict) -> None:
            self._keep_run(verdict, opened.specification)
            opened.open -= 1
            if not opened.open:
                self._open.remove(opened)
                self._ready.append(opened)
                self._done += 1
                self._progress(opened.change.words, self._done, self._total)
                self._begin_more()

        return decided

    def _keep_run(self, verdict: Verdict, specification: Specification) -> None:
        run = verdict.counterexample
        if verdict.outcome is Outcome.VIOLATED and run is not None:
            kept = self._refuting.setdefault(
                verdict.requirement.identifier, deque(maxlen=_KEPT_RUNS)
            )
            trace = trace_of_records(run, specification)
            if trace in kept:
                kept.remove(trace)
            kept.appendleft(trace)

    def _row(self, opened: _OpenChange) -> AuditRow:
        cells = []
        reason = ""
        for each in opened.checks:
            verdict = each.verdict
            if opened.doubt:
                verdict = doubted_verdict(verdict, opened.doubt)
            before = self._outcome(each.requirement.identifier)
            turned = before is Outcome.PROVED and verdict.outcome is Outcome.VACUOUS
            notices = verdict.outcome is Outcome.VIOLATED or turned
            own = self._able[each.requirement.identifier]
            cells.append(AuditCell(own, verdict.outcome, notices))
            open_ = verdict.outcome is Outcome.UNDECIDED or bool(verdict.reason)
            reason = reason or (verdict.reason if open_ else "")
        standing = Noticing.UNNOTICED
        if any(cell.notices for cell in cells):
            standing = Noticing.NOTICED
        elif reason:
            standing = Noticing.OPEN
        return AuditRow(opened.change, tuple(cells), standing, reason=reason)


def _hints(
    specification: Specification, kept: Sequence[ProvedRequirement]
) -> dict[str, tuple[str, ...]]:
    """By requirement, the clauses of its proof, each as a text of its own."""
    questions = Encoding(specification)
    for requirement in specification.requirements:
        questions.bad(requirement.property)
    system = questions.widest_system
    found: dict[str, tuple[str, ...]] = {}
    for each in kept:
        clauses = exchange.load_terms(each.proof.clauses, system)
        found[each.name] = tuple(exchange.dump_terms([clause]) for clause in clauses)
    return found


def _witness(verdict: Verdict, block: Report) -> Trace | None:
    run = verdict.witness
    return None if run is None else trace_of_records(run, block.specification)
