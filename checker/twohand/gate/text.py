"""A review as text: of each spec what does not hold, with its evidence, and who answers for it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from twohand.analyses.compare.check import ComparisonReport
from twohand.analyses.compare.text import comparison_lines, named_verdicts
from twohand.evidence.verdict import Outcome
from twohand.formats.items import ItemOutcome
from twohand.gate.answers import JudgedSpec
from twohand.gate.former_self import FormerItems, SinceState
from twohand.gate.record import waiver_words
from twohand.gate.waivers import BoundItem, Waiver, WaiverStanding, WrittenWaiver
from twohand.record.message import FilePlace
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.report.summary import report_lines, specification_lines
from twohand.report.verdict_line import WORD, worded
from twohand.specification.phrases import count, wall_time
from twohand.text.diagnostic import Diagnostic

WAIVED, HOLDS = "WAIVED", "HOLDS"


def spec_lines(spec: JudgedSpec, terminal: Terminal, brief: bool = False) -> list[str]:
    """What does not hold of a spec, a line each; its whole report above where something of its
    check is not waived, unless it is to be ``brief``."""
    report = spec.answered.report
    failing = any(
        waiver is None and bound.item.outcome is not ItemOutcome.HOLDS
        for bound, waiver in spec.waived.items
    )
    if failing and not brief:
        lines = [*report_lines(report, terminal), ""]
    else:
        lines = specification_lines(report.specification, terminal)
    falling = [
        (bound, waiver)
        for bound, waiver in spec.waived.items
        if bound.item.outcome is not ItemOutcome.HOLDS
    ]
    holding, lost = len(spec.waived.items) - len(falling), spec.lost
    for bound, waiver in sorted(falling, key=lambda pair: pair[0].item.identifier not in lost):
        lines += _item_lines(bound, waiver, terminal)
        if spec.former is not None and bound.item.identifier in lost:
            lines += terminal.wrap(f"this held at {spec.former.revision}", WORD + 2)
    text = f"{holding} of {count(len(spec.waived.items), 'thing')} that the project asks hold"
    return [*lines, *terminal.wrap(text, 2)]


def former_lines(
    former: FormerItems,
    comparison: ComparisonReport | None,
    why_not: str,
    terminal: Terminal,
    brief: bool = False,
) -> list[str]:
    """What became of a spec since a revision, and what its block shows otherwise."""
    state, revision = former.state, former.revision
    if state is SinceState.NEW:
        return terminal.wrap(f"new since {revision}: it was not there, or cannot be read", 2)
    if state is SinceState.UNCHANGED:
        return terminal.wrap(f"unchanged since {revision}, and asked anew", 2)
    lines = terminal.wrap(f"changed since {revision}", 2)
    if why_not:
        lines += terminal.wrap(f"its block cannot be compared with the former one: {why_not}", 2)
    if comparison is not None and brief:
        for name, verdict in named_verdicts(comparison):
            lines += worded(*_COMPARED[verdict.outcome], name, terminal)
    elif comparison is not None:
        lines += ["", *comparison_lines(comparison, terminal)]
    return lines


_COMPARED = {
    Outcome.PROVED: ("SAME", Paint.GOOD),
    Outcome.VIOLATED: ("DIFFERS", Paint.BAD),
    Outcome.VACUOUS: ("NO SCAN", Paint.OPEN),
    Outcome.UNDECIDED: ("UNDECIDED", Paint.OPEN),
}


def _item_lines(bound: BoundItem, waiver: Waiver | None, terminal: Terminal) -> list[str]:
    item = bound.item
    if waiver is None:
        _, _, text = item.text.partition(": ")
        paint = Paint.OPEN if item.outcome is ItemOutcome.OPEN else Paint.BAD
        text = f"{text} ({item.identifier}) at {_where(item.place)}"
        return worded(bound.word, paint, text, terminal)
    text = f"{item.identifier}: {item.text}; {waiver_words(waiver)}"
    return worded(WAIVED, Paint.OPEN, text, terminal)


def _where(place: FilePlace) -> str:
    return f"{place.path}:{place.line}:{place.column}" if place.line else place.path


def review_total(
    specs: Sequence[JudgedSpec],
    standings: Sequence[tuple[WrittenWaiver, WaiverStanding]],
    left_out: int,
    problems: Sequence[Diagnostic],
    spent: float,
) -> str:
    """The last line: what came out how often; what is waived is counted by itself."""
    numbers: Counter[str] = Counter()
    for spec in specs:
        for bound, waiver in spec.waived.items:
            holds = bound.item.outcome is ItemOutcome.HOLDS
            numbers[WAIVED if waiver is not None else HOLDS if holds else bound.word] += 1
    order = [*sorted(numbers.keys() - {HOLDS, WAIVED}), WAIVED]
    parts = [f"{numbers[HOLDS]} hold"] if numbers[HOLDS] else []
    parts += [f"{numbers[word]} {word}" for word in order if numbers[word]]
    failed = Counter(found for _, found in standings)
    for standing in (WaiverStanding.EXPIRED, WaiverStanding.DOES_NOT_FIT, WaiverStanding.UNUSED):
        if failed[standing]:
            words = standing.value.replace("does not fit", "without fit")
            parts.append(f"{count(failed[standing], 'waiver')} {words}")
    if left_out:
        parts.append(f"{count(left_out, 'spec')} not asked by the project")
    codes = {"waiver-expired", "waiver-does-not-fit", "waiver-unused"}
    unusable = sum(each.code not in codes for each in problems)
    if unusable:
        parts.append(count(unusable, "problem"))
    asked = sum(len(spec.waived.items) for spec in specs)
    head = f"{count(len(specs), 'spec')}, {count(asked, 'thing')} asked"
    return f"{head}: {', '.join(parts) or 'nothing'}, {wall_time(spent)}"
