"""What a fault table's words mean, and where what is asked under faults comes from."""

from __future__ import annotations

from collections.abc import Sequence

from twohand.analyses.faults.judgement import traced_standing
from twohand.analyses.faults.requirements import AFTER_FAULT
from twohand.analyses.faults.table import FaultRow, FaultTable, Standing
from twohand.evidence.verdict import Outcome, Report
from twohand.report.drawing.terminal import Paint
from twohand.specification.model.fault import Kept

WORDS = {
    Standing.PROVED: ("proved", Paint.GOOD),
    Standing.VIOLATED: ("VIOLATED", Paint.BAD),
    Standing.UNDECIDED: ("undecided", Paint.OPEN),
    Standing.LOST_ALLOWED: ("allowed", Paint.OPEN),
    Standing.NOT_AVAILABLE: ("unable", Paint.OPEN),
    Standing.WITHOUT_FAULT: ("before", Paint.BAD),
}
"""Cell words; short, so that a table fits."""
MEANINGS = {
    Standing.LOST_ALLOWED: "allowed: lost, allowed for this type",
    Standing.NOT_AVAILABLE: "unable: the output no longer goes on when it should; no safety is "
    "lost by that",
    Standing.WITHOUT_FAULT: "before: violated without any fault already",
}
AFTERWARDS = ("off after", "noticed")
"""Headings of what is asked beside the requirements."""
OFF_AFTER = (
    "off after: from the scan on in which the fault shows at an input (it reads otherwise than it "
    "would), the output does not go on."
)
BEGINS = (
    "A fault begins in any scan, the first one included. It stays; or it is there for a time, or "
    "again and again, which is not asked of what only asks for the output, nor of two faults."
)
NOTICED = (
    "noticed: neither then nor after it went on with the fault there does the output go on; so "
    "the fault is noticed before the next start."
)
TILL_END = (
    "till it ends: yes while the fault stays; once it has ended, the output can go on again, as if "
    "nothing had been."
)
ENDING = (
    "for a time: the fault is there once, from any scan to any later one. again and again: it "
    "comes and goes. Such a row is there where it says something else than the one above; what is "
    "blank is as above."
)
NOTICED_BY = (
    "noticed: neither then nor after it went on with the fault there does the output go on before "
    "NOTICE ({notice}) was TRUE; so the fault is noticed before the next start."
)
SOURCES = (
    "Source: ISO 13851:2019 with the categories of EN 574:1996, Table 1 (secondary source); what "
    "a category asks: ISO 13849-1, clause 6 (from memory)."
)
CONTROL_RELIABILITY = (
    "As 29 CFR 1910.217(b)(13) words it for presses (from a secondary source); asked here of each "
    "single fault of the table."
)
DETECTION = (
    "Arrangement B also asks that faults be detected wherever that is reasonably practicable (ISO "
    "13849-1, category 3, from a secondary source)"
)
EXCLUSION = (
    "An exclusion has to be justified by how the wiring is made (ISO 13849-2, annexes A to D; from "
    "memory)."
)
ASKED = {
    Kept.MAY_BE_LOST: "a fault may cost the function (as category 1)",
    Kept.KEPT: "no single fault may cost the function (as category 3)",
    Kept.KEPT_AND_NOTICED: "no single fault may cost the function, and each is noticed at or "
    "before the next start, or else no second fault may cost it (as category 4)",
    Kept.NOT_STATED: "nothing is stated to judge by",
}


def asked_sentence(table: FaultTable) -> str:
    """What is asked under faults of this spec's type."""
    analysis = table.analysis
    if analysis.logic_type is None:
        return "The spec asks for no two-hand control: the table says what happens."
    letter = analysis.sound.arrangement
    name = f"type {analysis.logic_type.value}" + (f" {letter.value}" if letter else "")
    if table.kept is Kept.NOT_STATED:
        return (
            f"Of {name} the arrangement (A, B or C) decides what is asked; the spec states none "
            "(ARRANGEMENT), so the table says what happens."
        )
    return f"Asked of {name}: {ASKED[table.kept]}."


def answer(outcome: Outcome | None) -> tuple[str, Paint]:
    """The word for a question beside the requirements."""
    match outcome:
        case None:
            return "", Paint.STRONG
        case Outcome.PROVED:
            return "yes", Paint.GOOD
        case Outcome.UNDECIDED:
            return "undecided", Paint.OPEN
    return "no", Paint.OPEN


def lasting(stays: Outcome | None, ending: Sequence[Outcome | None]) -> tuple[str, Paint]:
    """The word for such a question where the fault may also end."""
    ends = {each for each in ending if each is not None}
    if stays is not Outcome.PROVED or ends <= {Outcome.PROVED}:
        return answer(stays)
    if Outcome.VIOLATED in ends:
        return "till it ends", Paint.OPEN
    return "yes, end undecided", Paint.OPEN


def lost(row: FaultRow) -> list[str]:
    """Identifiers of the requirements that a fault costs, allowed or not; not availability."""
    costs = {Standing.VIOLATED, Standing.LOST_ALLOWED}
    return [cell.requirement.identifier for cell in row.cells if cell.standing in costs]


def lost_by_ending(row: FaultRow) -> list[str]:
    """What a fault costs only where it ends."""
    more = [name for _, ending in row.differing for name in lost(ending) if name not in lost(row)]
    return list(dict.fromkeys(more))


def undecided(row: FaultRow) -> list[str]:
    return [
        cell.requirement.identifier for cell in row.cells if cell.standing is Standing.UNDECIDED
    ]


def trace_sentence(report: Report, kept: Kept) -> str:
    """Why what falls under a traced fault is no loss that counts; nothing where it is one."""
    standing = traced_standing(report, kept)
    if standing not in MEANINGS or report.verdicts[0].requirement.identifier in AFTER_FAULT:
        return ""
    asked = f"; {ASKED[kept]}" if standing is Standing.LOST_ALLOWED else ""
    return f"{MEANINGS[standing]}{asked}"
