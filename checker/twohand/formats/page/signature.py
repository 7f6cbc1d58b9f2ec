"""Whether a page may be signed: nothing is open, accepted without a reason, or guessed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from twohand.analyses.audit.record import AuditedSpec, AuditResult
from twohand.analyses.audit.results import Noticing
from twohand.analyses.check.exit_code import HANDS_UNDECIDED, OUTPUT_UNDECIDED
from twohand.analyses.check.record import CheckedSpec, CheckResult
from twohand.analyses.compare.options import NO_SCAN_STATED
from twohand.analyses.compare.record import CompareResult
from twohand.analyses.documents import Compared
from twohand.analyses.faults.record import FaultsResult, SpecUnderFaults, UnderFault
from twohand.analyses.faults.table import Standing
from twohand.analyses.inspect.points import Weight
from twohand.analyses.inspect.record import InspectedBlock, InspectResult
from twohand.analyses.measure.figures import FigureKind
from twohand.analyses.measure.record import MeasuredSpec, MeasureResult
from twohand.analyses.measure.results import Decision
from twohand.analyses.mend.record import MendResult
from twohand.evidence.verdict import Outcome
from twohand.record.document import WholeAnswer
from twohand.record.finding import FindingResult
from twohand.record.judged import Judged
from twohand.record.message import Message
from twohand.record.plain import relative_path
from twohand.report.exit_code import ExitCode
from twohand.specification.model.fault import Kept
from twohand.specification.phrases import listing

MOST_NAMED = 8
OPEN_WARNINGS = frozenset(
    [OUTPUT_UNDECIDED, HANDS_UNDECIDED, "assumptions-undecided", "scan-not-of-task"]
)
"""Codes of warnings that something is open, or that it was asked of another scan time."""
MEANING = (
    "The text of each file with the hash above was compared with the program in the controller.",
    "The hands and the outputs that are named above are those that are wired.",
    "The readings of the platform, the assumptions, what was not asked and what is left out are "
    "accepted.",
)
"""What a signature says."""


def reasons_against(whole: WholeAnswer) -> tuple[str, ...]:
    """Why the page may not be signed; nothing where it may."""
    found = [*_of_answer(whole.answer)]
    found += [f"not usable: {_placed(each)}" for each in whole.problems]
    if not found and whole.exit_code is not ExitCode.ALL_PROVED:
        found.append(f"the command ended with exit code {int(whole.exit_code)}")
    if not found and whole.answer.exit_code is not ExitCode.ALL_PROVED:
        found.append("something is open, or nothing was asked")
    return tuple(dict.fromkeys(found))


def _of_answer(answer: Judged) -> Iterator[str]:
    match answer:
        case CheckResult():
            for checked in answer.specs:
                yield from _named(checked.spec.name, _of_check(checked))
        case FaultsResult():
            for under in answer.specs:
                yield from _named(under.without_fault.spec.name, _of_faults(under))
        case MeasureResult():
            for measured in answer.specs:
                yield from _named(measured.spec.name, _of_measuring(measured))
        case InspectResult():
            for block in answer.blocks:
                yield from _named(block.block, _of_inspection(block))
            for unread in answer.unread:
                yield f"not read: {_placed(unread)}"
        case AuditResult():
            for audited in answer.specs:
                yield from _named(audited.spec.name, _of_audit(audited))
        case MendResult():
            for mended in answer.specs:
                yield f"{mended.spec.name}: VIOLATED: {listing(mended.violated)}"
        case Compared(compared=None):
            yield "nothing was compared"
        case Compared(compared=CompareResult() as compared):
            yield from _of_comparison(compared)
        case _:
            yield "nothing is known of this kind of answer"


def _named(name: str, reasons: Iterable[str]) -> Iterator[str]:
    return (f"{name}: {each}" for each in reasons)


def _of_check(checked: CheckedSpec) -> Iterator[str]:
    for outcome in (Outcome.VIOLATED, Outcome.VACUOUS, Outcome.UNDECIDED):
        yield from _names(
            f"{outcome.value}: ", [e.name for e in checked.requirements if e.outcome is outcome]
        )
    unsure = [e.name for e in checked.requirements if e.outcome is Outcome.PROVED and e.reason]
    yield from _names("open whether what it speaks of can happen: ", unsure)
    if not checked.requirements:
        yield "nothing was asked"
    yield from _of_findings(checked.findings)
    yield from _names("never on: ", [each.output for each in checked.never_on])
    yield from (f"not accepted: {each.text}" for each in checked.spec.wide)
    for accepted in checked.spec.accepted:
        if not any(character.isalnum() for character in accepted.reason):
            yield f"accepted without a reason: {accepted.warning.text}"
    yield from _of_warnings(checked.warnings)
    if checked.doubt:
        yield f"open: {checked.doubt}"


def _of_faults(under: SpecUnderFaults) -> Iterator[str]:
    yield from _of_check(under.without_fault)
    rows = [each for row in (*under.single, *under.pairs) for each in (row, *row.ending)]
    for standing, words in ((Standing.VIOLATED, "lost under"), (Standing.UNDECIDED, "open under")):
        yield from _names(f"{words} a fault: ", _lost(rows, standing))
    yield from _of_findings([found for row in rows for found in row.findings])
    yield from _names("left out without a reason: ", under.excluded)
    if under.kept is Kept.NOT_STATED:
        yield "nothing is stated that the faults could be judged by (ARRANGEMENT)"
    if under.kept is Kept.KEPT_AND_NOTICED and not under.pairs_asked:
        unnoticed = [row.name for row in under.single if row.noticed is not Outcome.PROVED]
        yield from _names("second faults were not asked, beside: ", unnoticed)


def _lost(rows: Iterable[UnderFault], standing: Standing) -> list[str]:
    return [
        f"{answer.requirement} ({row.name})"
        for row in rows
        for answer in row.answers
        if answer.standing is standing
    ]


def _of_measuring(measured: MeasuredSpec) -> Iterator[str]:
    needed = (FigureKind.REACTION, FigureKind.STOP)
    for figure in measured.figures:
        if figure.decision is Decision.UNDECIDED:
            yield f"undecided: {figure.kind.value} {figure.of}".rstrip()
        if figure.decision is Decision.NO_LIMIT and figure.kind in needed:
            yield f"no limit: {figure.kind.value} {figure.of}".rstrip()
    yield from _of_findings(measured.findings)
    yield from _of_warnings(measured.warnings)
    if measured.exit_code is ExitCode.UNDECIDED:
        yield from (f"open: {each.text}" for each in measured.warnings)


def _of_inspection(block: InspectedBlock) -> Iterator[str]:
    for weight in (Weight.FAULT, Weight.OPEN):
        sentences = [each.sentence for each in block.points if each.weight is weight]
        yield from (f"{weight.value}: {sentence}" for sentence in sentences)
    yield from _of_warnings(block.warnings)
    yield from _guessed(block.scan_origin)


def _of_comparison(compared: CompareResult) -> Iterator[str]:
    same = (Outcome.PROVED, Outcome.VACUOUS)
    differing = [each.name for each in compared.outputs if each.outcome is Outcome.VIOLATED]
    yield from _names("differs: ", differing)
    unsure = [e.name for e in compared.outputs if e.outcome not in (*same, Outcome.VIOLATED)]
    unsure += [e.name for e in compared.outputs if e.outcome is Outcome.PROVED and e.reason]
    yield from _names("undecided: ", unsure)
    yield from _names("no scan completes: ", [e.name for e in compared.outputs if e.no_scan])
    alone = compared.finding_in_one
    if alone is not None and alone.outcome is not Outcome.PROVED:
        yield "a finding in one of the two alone is not excluded"
    left = [
        *compared.unlike,
        *(name for side in (compared.first, compared.second) for name in side.inputs_alone),
        *(name for side in (compared.first, compared.second) for name in side.outputs_alone),
    ]
    yield from _names("left out without a reason: ", list(dict.fromkeys(left)))
    yield from _of_warnings(compared.warnings)
    if compared.doubt:
        yield f"open: {compared.doubt}"
    yield from _guessed(compared.scan_origin)


def _of_audit(audited: AuditedSpec) -> Iterator[str]:
    leads = {
        Noticing.UNNOTICED: "not noticed: ",
        Noticing.UNSURE: "not noticed, if not the same: ",
        Noticing.OPEN: "undecided: ",
    }
    for standing, lead in leads.items():
        yield from _names(lead, [e.change.words for e in audited.changes if e.standing is standing])
    unable = [each.asked.name for each in audited.requirements if not each.able]
    yield from _names("not proved of the block itself: ", unable)
    if audited.left:
        yield f"not tried: {audited.left} more changes"
    if not audited.counted:
        yield "no change could be noticed"


def _guessed(scan_origin: str) -> Iterator[str]:
    if scan_origin.startswith(NO_SCAN_STATED):
        yield f"guessed: the scan time ({scan_origin})"


def _of_findings(findings: Iterable[FindingResult]) -> Iterator[str]:
    for each in findings:
        how = "can happen" if each.outcome is Outcome.VIOLATED else "is not excluded"
        yield f"{each.kind.value} {how} ({relative_path(each.place.path)}:{each.place.line})"


def _of_warnings(warnings: Iterable[Message]) -> Iterator[str]:
    return (f"open: {each.text}" for each in warnings if each.code in OPEN_WARNINGS)


def _names(lead: str, names: Iterable[str]) -> Iterator[str]:
    given = list(names)
    more = len(given) - MOST_NAMED
    shown = [*given[:MOST_NAMED], f"{more} more"] if more > 1 else given
    if shown:
        yield f"{lead}{listing(shown)}"


def _placed(said: Message) -> str:
    return said.text if said.place is None else f"{relative_path(said.place.path)}: {said.text}"
