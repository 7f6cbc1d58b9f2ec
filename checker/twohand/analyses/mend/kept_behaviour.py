"""Whether a changed block shows the same as the block, for as long as that has broken nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from twohand.analyses.audit.comparison import LETS_ON, SAME, BesideBlock, beside_block, over
from twohand.analyses.audit.difference import differing_names
from twohand.analyses.audit.results import Difference, HowDifferent
from twohand.engine.system.contract import Unknown, Violated
from twohand.engine.workers.pool import Pool
from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.limits import Options
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.proofs.query import Certified, QueryResult
from twohand.evidence.runs.counterexample import readable
from twohand.evidence.runs.trace import Trace
from twohand.evidence.verdict import Outcome
from twohand.program.product import shown
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic.formula import Property
from twohand.specification.model.specification import Aim, Requirement, Specification


@dataclass(frozen=True)
class KeptShowing:
    """PROVED: the same is shown, or (with ``difference``) no output is on that is off in the block.
    VIOLATED: not even that, as the run ``lets_on`` of the block's inputs shows, where there is
    one."""

    outcome: Outcome
    difference: Difference | None = None
    lets_on: Trace | None = None


class KeptBehaviour:
    """Asks it of changed blocks of one spec."""

    def __init__(self, block: Specification, options: Options, pool: Pool) -> None:
        self._block = block
        self._options = options
        self._pool = pool

    def judged(self, changed: Specification) -> KeptShowing:
        """Everything that the block shows is compared. InternalContradiction where a run that was
        found does not show what it should."""
        visible = dict.fromkeys([*shown(self._block.program), *self._block.outputs])
        beside = beside_block(self._block, changed, tuple(visible))
        if beside is None:
            return KeptShowing(Outcome.UNDECIDED)
        desk = Dispatcher(self._pool, self._options.effort, self._options.seconds)
        case = CheckContext(beside.comparison.specification, desk, self._options.effort)
        same = self._asked(beside, SAME, case)
        if not isinstance(same, Trace):
            return KeptShowing(same)
        lets_on = self._asked(beside, LETS_ON, case)
        if isinstance(lets_on, Trace):
            return KeptShowing(Outcome.VIOLATED, lets_on=self._of_block(lets_on))
        if beside.requirement(LETS_ON) is None:
            return KeptShowing(Outcome.VIOLATED)
        requirement = beside.requirement(SAME)
        assert requirement is not None
        return KeptShowing(lets_on, self._difference(beside, requirement, same, case))

    def _broken(self, beside: BesideBlock) -> list[Property]:
        """What the block breaks, over the copies of its variables."""
        names = beside.comparison.both.first.variables
        asked = [r.property for r in self._block.requirements if r.aim is Aim.HOLDS]
        return [over(each, names) for each in asked]

    def _asked(self, beside: BesideBlock, name: str, case: CheckContext) -> Outcome | Trace:
        """PROVED, UNDECIDED, or a run that was replayed."""
        requirement = beside.requirement(name)
        if requirement is None:
            return Outcome.PROVED  # nothing is compared
        asked, broken = requirement.property, self._broken(beside)
        answers: list[QueryResult] = []
        problem = case.questions.before_any(asked, broken)
        case.desk.decide(f"{name} while nothing is broken", problem, 0, answers.append)
        case.desk.serve()
        match answers[0].answer:
            case Certified():
                return Outcome.PROVED
            case Unknown():
                return Outcome.UNDECIDED
            case Violated() as run:
                trace = case.trace(run)
                if not self._shows(case.replayer.sound_records(trace), asked, broken, case):
                    raise InternalContradiction(
                        f"{name}: a run with other outputs was found, but executed it has none "
                        "before the block breaks a requirement"
                    )
                return trace

    def _shows(
        self,
        records: Sequence[ScanRecord],
        asked: Property,
        broken: Sequence[Property],
        case: CheckContext,
    ) -> bool:
        """Whether the last scan refutes what is asked, and no scan anything that is broken."""
        replayer = case.replayer
        return (
            bool(records)
            and replayer.refuted_at(asked, records) == len(records) - 1
            and not any(replayer.refuted_at(each, records) is not None for each in broken)
        )

    def _difference(
        self, beside: BesideBlock, requirement: Requirement, trace: Trace, case: CheckContext
    ) -> Difference:
        broken = self._broken(beside)

        def wanted(tried: Sequence[ScanRecord]) -> bool:
            return tried[-1].finding is None and self._shows(
                tried, requirement.property, broken, case
            )

        run = readable(trace, wanted, case.replayer, requirement.property)
        kind = HowDifferent.OTHER
        return Difference(beside, kind, run, differing_names(beside, kind, run))

    def _of_block(self, trace: Trace) -> Trace:
        """The run of both with the inputs of the block."""
        own = {variable.name for variable in self._block.program.inputs}
        scans = tuple(
            replace(scan, inputs={n: v for n, v in scan.inputs.items() if n in own})
            for scan in trace.scans
        )
        return replace(trace, scans=scans)
