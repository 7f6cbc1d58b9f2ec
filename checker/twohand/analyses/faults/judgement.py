"""What became of a requirement under a fault, and whether the spec's type lets it be lost."""

from __future__ import annotations

from twohand.analyses.faults.requirements import AFTER_FAULT
from twohand.analyses.faults.table import Standing
from twohand.evidence.verdict import Outcome, Report
from twohand.specification.catalogue.availability import AVAILABLE, AVAILABLE_BOUNCING
from twohand.specification.catalogue.liveness import asks_for_output
from twohand.specification.model.fault import Kept
from twohand.specification.model.specification import Aim, Requirement, Specification


def only_asks_for_output(requirement: Requirement, specification: Specification) -> bool:
    """Whether losing it only means that the output does not go on."""
    named = requirement.identifier in (AVAILABLE, AVAILABLE_BOUNCING)
    return named or asks_for_output(requirement.property, specification.outputs)


def standing_of(outcome: Outcome, asks: bool, kept: Kept) -> Standing:
    """``asks``: it only asks for the output."""
    match outcome:
        case Outcome.UNDECIDED:
            return Standing.UNDECIDED
        case Outcome.VIOLATED if asks:
            return Standing.NOT_AVAILABLE
        case Outcome.VIOLATED if kept is Kept.MAY_BE_LOST:
            return Standing.LOST_ALLOWED
        case Outcome.VIOLATED:
            return Standing.VIOLATED
    return Standing.PROVED


def traced_standing(report: Report, kept: Kept) -> Standing:
    """That of the one requirement which ``report`` asks under one fault, or two at once: category
    3 says nothing of two."""
    (verdict,) = report.verdicts
    requirement, specification = verdict.requirement, report.specification
    assumed = specification.assumed_faults
    told_only = requirement.identifier in AFTER_FAULT or requirement.aim is Aim.REACHABLE
    two = assumed is not None and len(assumed.faults) > 1
    if told_only or (two and kept is Kept.KEPT):
        kept = Kept.MAY_BE_LOST
    return standing_of(verdict.outcome, only_asks_for_output(requirement, specification), kept)
