"""What ``twohand`` answers with: frozen, made of numbers, words and tuples, and to be pickled.

All times are whole numbers of nanoseconds. ``passes`` is TRUE where the command line would end
with exit code 0, and only there; as a condition an answer is whether it passes. Later versions may
add fields; those that are here keep their names and meanings.
"""

from __future__ import annotations

from twohand.analyses.audit.changes.change import ChangeKind
from twohand.analyses.audit.record import (
    AuditedChange,
    AuditedRequirement,
    AuditedSpec,
    AuditResult,
    ChangeOfBlock,
    Notice,
)
from twohand.analyses.audit.results import HowDifferent, Noticing
from twohand.analyses.check.record import (
    AnotherWay,
    BranchesResult,
    BranchMissed,
    CallLeftOut,
    CallTooLate,
    CheckedSpec,
    CheckResult,
    Grounds,
    LagResult,
    NeverOn,
    RequirementResult,
    WrappedResult,
)
from twohand.analyses.compare.record import (
    ComparedBlock,
    ComparedOutput,
    CompareResult,
    FindingInOne,
)
from twohand.analyses.faults.record import (
    AssumedFault,
    FaultAnswer,
    FaultsResult,
    SpecUnderFaults,
    UnderFault,
)
from twohand.analyses.faults.table import Standing
from twohand.analyses.inspect.points import InspectionKind, Weight
from twohand.analyses.inspect.record import (
    CauseOfFaults,
    InspectedBlock,
    InspectedPoint,
    InspectedUnit,
    InspectResult,
)
from twohand.analyses.inspect.units import UnitAnswer
from twohand.analyses.measure.figures import FigureKind
from twohand.analyses.measure.record import (
    AddedTime,
    MeasuredFigure,
    MeasuredSpec,
    MeasureResult,
    SafetyDistance,
    SafetyDistances,
)
from twohand.analyses.measure.results import Decision
from twohand.evidence.verdict import Certificate, Outcome, Vacuity, WhyMissed
from twohand.record.finding import FindingResult
from twohand.record.judged import Judged
from twohand.record.message import FilePlace, Message
from twohand.record.run import Run, RunStep, Signal, SignalRole
from twohand.record.sources import HashedFile
from twohand.record.spans import TimeSpan
from twohand.record.spec import AcceptedWarning, AskedRequirement, LoadedSpec
from twohand.report.beyond_findings import IfWrapped
from twohand.report.coverage import NotAsked
from twohand.report.exit_code import ExitCode
from twohand.scan.finding import FindingKind
from twohand.specification.model.fault import FaultCourse, FaultKind, Kept
from twohand.specification.model.specification import Aim, Expectation
from twohand.text.diagnostic import Diagnostic, Severity

__all__ = [
    "AcceptedWarning",
    "AddedTime",
    "Aim",
    "AnotherWay",
    "AskedRequirement",
    "AssumedFault",
    "AuditResult",
    "AuditedChange",
    "AuditedRequirement",
    "AuditedSpec",
    "BranchMissed",
    "BranchesResult",
    "CallLeftOut",
    "CallTooLate",
    "CauseOfFaults",
    "Certificate",
    "ChangeKind",
    "ChangeOfBlock",
    "CheckResult",
    "CheckedSpec",
    "CompareResult",
    "ComparedBlock",
    "ComparedOutput",
    "Decision",
    "Diagnostic",
    "ExitCode",
    "Expectation",
    "FaultAnswer",
    "FaultCourse",
    "FaultKind",
    "FaultsResult",
    "FigureKind",
    "FilePlace",
    "FindingInOne",
    "FindingKind",
    "FindingResult",
    "Grounds",
    "HashedFile",
    "HowDifferent",
    "IfWrapped",
    "InspectResult",
    "InspectedBlock",
    "InspectedPoint",
    "InspectedUnit",
    "InspectionKind",
    "Judged",
    "Kept",
    "LagResult",
    "LoadedSpec",
    "MeasureResult",
    "MeasuredFigure",
    "MeasuredSpec",
    "Message",
    "NeverOn",
    "NotAsked",
    "Notice",
    "Noticing",
    "Outcome",
    "RequirementResult",
    "Run",
    "RunStep",
    "SafetyDistance",
    "SafetyDistances",
    "Severity",
    "Signal",
    "SignalRole",
    "SpecUnderFaults",
    "Standing",
    "TimeSpan",
    "UnderFault",
    "UnitAnswer",
    "Vacuity",
    "Weight",
    "WhyMissed",
    "WrappedResult",
]
