"""Every kind of question that is asked of one block, and the program with all of their marks."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass, field

from twohand.analyses.inspect.kinds.late_inputs import LateInputs
from twohand.analyses.inspect.kinds.reachability import ReachabilityPoints
from twohand.analyses.inspect.kinds.unused_variables import Unused
from twohand.analyses.inspect.marking.branches import Branches
from twohand.analyses.inspect.marking.calls import CallMarks
from twohand.analyses.inspect.marking.clocks import ClockMarks
from twohand.analyses.inspect.marking.writes import WriteMarks
from twohand.analyses.inspect.points import Family, InspectionKind
from twohand.analyses.inspect.subject import Subject
from twohand.program import Program, Routine
from twohand.program.instrumentation import Probe, instrumented
from twohand.program.walks import variables_read

_BRANCHES = frozenset(
    {InspectionKind.DEAD_CODE, InspectionKind.CONSTANT_CONDITION, InspectionKind.MISSED_CASE}
)
_CALLS = frozenset(
    {InspectionKind.SKIPPED_CALL, InspectionKind.CALLED_TWICE, InspectionKind.UNUSED}
)
_OF_ONE_KIND: dict[
    InspectionKind, Callable[[Program, Routine], LateInputs | ClockMarks | WriteMarks]
] = {
    InspectionKind.LOST_WRITE: WriteMarks,
    InspectionKind.PASSED_CLOCK: ClockMarks,
    InspectionKind.LATE_INPUT: LateInputs,
}


@dataclass
class Registry:
    """``families`` ask and answer about ``program``, in which are the marks of all of them.
    ``calls`` are the questions about calls, where they are among them."""

    program: Program
    families: list[Family] = field(default_factory=list)
    calls: CallMarks | None = None


def registry_of(subject: Subject, kinds: Collection[InspectionKind]) -> Registry:
    """What the ``kinds`` ask of a block."""
    plain, routine = subject.specification.program, subject.routine
    wanted = frozenset(kinds)
    found = Registry(plain)
    probes: list[Probe] = []
    if wanted & _BRANCHES:
        branches = Branches()
        probes.append(branches)
        found.families.append(ReachabilityPoints(branches))
    if wanted & _CALLS:
        calls = CallMarks(plain, routine, subject.around)
        probes.append(calls)
        found.calls = calls
        found.families.append(calls)
    for kind, make in _OF_ONE_KIND.items():
        if kind in wanted:
            probe = make(plain, routine)
            probes.append(probe)
            found.families.append(probe)
    if InspectionKind.UNUSED in wanted:
        spec = subject.specification
        outside = [read.variable for hand in spec.hands for read in variables_read(hand.pressed)]
        outside += [*spec.outputs, *subject.outside]
        found.families.append(Unused(plain, routine, outside, subject.around))
    found.program = instrumented(plain, probes, subject.block)
    return found
