"""The sentences of an audit that its text, its document and its page have in common."""

from __future__ import annotations

from twohand.analyses.audit.results import Audit, AuditRow, HowDifferent, Noticing
from twohand.evidence.verdict import Outcome
from twohand.specification.phrases import count, listing

COUNTS_NO_SCORE = (
    "The counts are of these changes, which are small ones of the text, one at a time. Another "
    "list gives another share, so that it is no score and compares no two blocks. A spec that "
    "notices all of them may still miss a requirement of which no such change speaks."
)
UNNOTICED_IS_NO_FAULT = (
    "That a change is not noticed is no fault of the block. The spec asks nothing that tells the "
    "two apart: a requirement may be missing, or what differs may not matter."
)
COMPARED = (
    "A change is the same where it is proved equal in every scan, under every reading and the "
    "assumptions of the spec, in all that the block shows (outputs, in-out parameters, global "
    "variables that are written) and in every variable that the spec reads."
)
STRUCTURED_TEXT = (
    "The file says this in another form: changed is the structured text as which it is read "
    "(twohand read FILE), and the words are those of that text."
)
UNUSABLE = "their names, types, classes of REAL or units of time, or no input is left by its ASSUME"
WHY_OPEN = "what is open can be asked with more effort: --effort"
SEEN = {
    HowDifferent.LETS_ON: "{names} is on where the block keeps it off",
    HowDifferent.KEEPS_OFF: "{names} is off where the block has it on",
    HowDifferent.OTHER: "{names} is not what it is in the block; no output of the spec differs",
}


def summary_sentence(found: Audit) -> str:
    """How many changes are noticed; a range where something is open."""
    noticed, total = len(found.of(Noticing.NOTICED)), len(found.counted)
    still_open = len(found.of(Noticing.OPEN))
    if not total:
        return "no change could be noticed: there is none that is not the same as the block"
    at_least = f"{noticed} to {noticed + still_open}" if still_open else f"{noticed}"
    return f"{at_least} of {count(total, 'change')} noticed"


def beside_sentence(found: Audit) -> str:
    """The changes that do not count."""
    parts = []
    same, findings = len(found.of(Noticing.SAME)), len(found.of(Noticing.FINDING))
    if same:
        parts.append(f"{same} more proved the same as the block")
    if findings:
        told = f"{findings} more with an automatic finding in one of the two (block, changed block)"
        parts.append(f"{told}, which every check tells without a requirement")
    if found.refused:
        parts.append(
            f"{found.refused} more that the spec cannot be asked of (types, names, assumptions)"
        )
    if found.left:
        parts.append(f"{found.left} more not tried (--most)")
    return listing(parts)


def difference_sentence(row: AuditRow) -> str:
    """What the run of a change that is not noticed shows."""
    difference = row.difference
    if difference is None:
        return row.reason
    return SEEN[difference.severity].format(names=listing(difference.names))


def needless_sentence(found: Audit) -> str:
    names = [requirement.identifier for requirement in found.needless]
    if not names or not found.of(Noticing.NOTICED):
        return ""
    verb = "notices nothing" if len(names) == 1 else "notice nothing"
    return f"{listing(names)} {verb} here that another requirement does not notice as well"


def unable_sentence(found: Audit) -> str:
    """The requirements that were not asked."""
    names = [requirement.identifier for requirement in found.unable]
    if not names:
        return ""
    which = "is" if len(names) == 1 else "are"
    return (
        f"{listing(names)} {which} not proved of the block itself, and so cannot notice a change: "
        "this is an audit of the others"
    )


def cell_mark(outcome: Outcome, notices: bool) -> str:
    """In a column of the table."""
    if notices:
        return "x"
    return "?" if outcome is Outcome.UNDECIDED else "."


def unsure(row: AuditRow) -> bool:
    return row.standing in (Noticing.UNSURE, Noticing.OPEN)
