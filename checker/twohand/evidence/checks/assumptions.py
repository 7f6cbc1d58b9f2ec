"""Whether what is proved can be trusted: the assumptions always leave a possible input."""

from __future__ import annotations

from collections.abc import Callable

from twohand.engine.system.contract import Unknown
from twohand.engine.workers.process import Stopped
from twohand.evidence.checks.input_existence import CheckAssumptions, Stuck
from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.proofs.dispatcher import believed
from twohand.evidence.proofs.query import Certified
from twohand.text.diagnostic import Diagnostic, InputError, Severity, wrong


def _refuse(error: InputError) -> None:
    raise error


class AssumptionCheck:
    """``doubt`` says, after the desk has served, why nothing that is proved can be trusted; ''
    where it can. Where the assumptions contradict each other, ``contradicted`` is called while it
    serves with the error that says so (default: it is raised)."""

    def __init__(
        self, case: CheckContext, contradicted: Callable[[InputError], None] = _refuse
    ) -> None:
        self._case = case
        self._contradicted = contradicted
        self._assumed = case.specification.assumptions
        self.doubt = ""

    def begin(self) -> None:
        if self._assumed:
            job = CheckAssumptions(self._case.problem(), self._case.effort)
            self._case.desk.submit(job, self._answered)

    @property
    def warning(self) -> Diagnostic:
        """The doubt as a diagnostic."""
        message = f"{self.doubt}; nothing is proved"
        place = self._assumed[0].span
        return Diagnostic("assumptions-undecided", message, place, severity=Severity.WARNING)

    def _answered(self, result: object) -> None:
        if isinstance(result, Stuck):
            self._contradicted(self._contradiction(result))
            return
        if isinstance(result, Certified):
            result = believed("assumptions", result)
        if isinstance(result, Unknown | Stopped):
            self.doubt = (
                "whether the assumptions always leave a possible input was not decided "
                f"({result.reason})"
            )
        elif not isinstance(result, Certified):
            raise InternalContradiction("a worker answered another question")

    def _contradiction(self, stuck: Stuck) -> InputError:
        assumed = [self._assumed[number] for number in stuck.assumptions]
        *others, last = assumed
        one = not others
        what = "this assumption" if one else f"these {len(assumed)} assumptions together"
        verb = "leaves" if one else "leave"
        moment = "in the first scan"
        if stuck.scans:
            scans = "1 scan" if stuck.scans == 1 else f"{stuck.scans} scans"
            moment = f"after {scans} that {'it allows' if one else 'they allow'}"
        return wrong(
            "contradictory-assumptions",
            f"{what} {verb} no possible input {moment}",
            last.span,
            "assume only what can always be; otherwise everything would be proved",
            tuple((each.span, "assumed too") for each in others),
        )
