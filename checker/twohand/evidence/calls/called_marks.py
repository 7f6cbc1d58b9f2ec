"""Which instances a scan called that ran the block, as marks."""

from __future__ import annotations

from collections.abc import Iterable

from twohand.program import (
    CallStandard,
    Operation,
    Operator,
    Read,
    Routine,
    StandardInstance,
    Statement,
    Variable,
)
from twohand.program.instrumentation import Probe, logic, mark, negation, note


class CalledMarks(Probe):
    """What questions about calls share: whether the block ran, and what it called meanwhile."""

    def __init__(self, instances: Iterable[StandardInstance] = ()) -> None:
        super().__init__()
        self._runs: Variable | None = None
        self._started = False
        self._called: dict[StandardInstance, Variable] = {}
        for instance in instances:
            self.follow(instance)

    def follow(self, instance: StandardInstance) -> None:
        """One more instance whose calls are marked."""
        if self._runs is None:
            self._runs = mark("runs", instance.span)
            self.anew.append(self._runs)
        self._called[instance] = mark(f"called.{len(self._called)}", instance.span)
        self.anew.append(self._called[instance])

    def called_mark(self, instance: StandardInstance) -> Variable | None:
        """Set once a scan has called it; None where it is not followed."""
        return self._called.get(instance)

    def skipped(self, instance: StandardInstance) -> Operation:
        """That the scan ran the block and did not call it; to be asked at its end."""
        assert self._runs is not None, "an instance is followed"
        runs = Read(self._runs, instance.span)
        return logic(Operator.AND, runs, negation(self._called[instance], instance.span))

    def enter(self, node: Statement | Routine, branch: int) -> Iterable[Statement]:
        if self._started or self._runs is None:
            return ()
        self._started = True
        return (note(self._runs, self._runs.span),)

    def after(self, statement: Statement, last: bool) -> Iterable[Statement]:
        if isinstance(statement, CallStandard) and statement.instance in self._called:
            return (note(self._called[statement.instance], statement.span),)
        return ()
