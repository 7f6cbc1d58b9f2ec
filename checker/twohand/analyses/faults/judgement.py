"""What became of a requirement under a fault, and whether the spec's type lets it be lost."""

from __future__ import annotations

from collections.abc import Mapping

from twohand.analyses.faults.requirements import AFTER_FAULT
from twohand.analyses.faults.table import Standing
from twohand.evidence.verdict import Outcome, Report, Verdict
from twohand.specification.catalogue.availability import AVAILABLE, AVAILABLE_BOUNCING
from twohand.specification.catalogue.liveness import asks_for_output
from twohand.specification.model.fault import FaultCourse, Kept
from twohand.specification.model.specification import Aim, Requirement, Specification

COURSES = tuple(FaultCourse)
"""Each a special case of the next."""


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


def answer_of(course: FaultCourse, asked: Mapping[FaultCourse, Verdict]) -> Verdict | None:
    """What is known of a fault with this course, from what was ``asked``: a proof is one of every
    narrower course as well, a run one of every wider (which has no such run to show: its program
    is another). None: nothing is known."""
    place = COURSES.index(course)
    own = asked.get(course)
    if own is not None and own.outcome is not Outcome.UNDECIDED:
        return own
    for wider in COURSES[place + 1 :]:
        if wider in asked and asked[wider].outcome is Outcome.PROVED:
            return asked[wider]
    for narrower in COURSES[:place]:
        if narrower in asked and asked[narrower].outcome is Outcome.VIOLATED:
            return Verdict(asked[narrower].requirement, Outcome.VIOLATED)
    return own
