"""Whether each two hands of a spec can differ: else what is asked of two hands is asked of one."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import permutations

from twohand.engine.system.contract import Unknown, Violated
from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.proofs.query import Certified, QueryResult
from twohand.evidence.runs.replay import never
from twohand.specification.logic.formula import And, Atom, Formula, Not
from twohand.specification.model.specification import Hand
from twohand.text.diagnostic import Diagnostic, Severity, wrong


@dataclass(frozen=True, eq=False)
class _Difference:
    """Some input has ``one`` on and ``other`` off."""

    one: Hand
    other: Hand

    @property
    def formula(self) -> Formula:
        return And((Atom(self.one.pressed), Not(Atom(self.other.pressed))))

    @property
    def words(self) -> str:
        return f"'{self.one.name}' on while '{self.other.name}' is off"


class HandsCheck:
    """Asks for each two hands, in both orders, for inputs that the assumptions allow."""

    def __init__(self, case: CheckContext) -> None:
        self._case = case
        self._asked = [_Difference(*two) for two in permutations(case.specification.hands, 2)]
        self._indices = [case.questions.formula(each.formula) for each in self._asked]
        self._impossible: set[_Difference] = set()
        self._open: dict[_Difference, str] = {}

    def begin(self) -> None:
        for asked, index in zip(self._asked, self._indices, strict=True):
            if self._case.known.reaching(asked.formula) is None:
                self._ask(asked, index)

    def _ask(self, asked: _Difference, index: int) -> None:
        def answered(result: QueryResult) -> None:
            if isinstance(result.answer, Certified):
                self._impossible.add(asked)
            elif isinstance(result.answer, Unknown):
                self._open[asked] = result.answer.reason
            else:
                self._replay(asked, result.answer)

        name = f"whether {asked.words} can be"
        self._case.desk.decide(name, self._case.problem(index), index, answered)

    def _replay(self, asked: _Difference, run: Violated) -> None:
        """The inputs of a scan that a finding cuts short are inputs all the same."""
        records = self._case.replayer.records(self._case.trace(run))
        shown = self._case.replayer.refuted_at(never(asked.formula), records) is not None
        if not shown and records[-1].finding is None:
            raise InternalContradiction(f"a run with {asked.words} was found, but it has it not")

    def refuse(self) -> None:
        """InputError for the first two hands that cannot differ, once the desk has served."""
        for each in self._asked:
            if each in self._impossible:
                message = f"'{each.one.name}' can never be on while '{each.other.name}' is off"
                way = "hands are separate actuators: see to the inputs of HAND, and to ASSUME"
                related = ((each.other.span, "the other hand"),)
                raise wrong("hands-not-apart", message, each.one.span, way, related)

    @property
    def warnings(self) -> tuple[Diagnostic, ...]:
        return tuple(
            Diagnostic(
                "hands-undecided",
                f"whether {each.words} can be was not decided ({self._open[each]})",
                each.one.span,
                "simpler assumptions, or more time",
                severity=Severity.WARNING,
            )
            for each in self._asked
            if each in self._open
        )
