"""A review as text: of each spec what does not hold, with its evidence, and who answers for it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from twohand.formats.items import ItemOutcome
from twohand.gate.answers import JudgedSpec
from twohand.gate.record import waiver_words
from twohand.gate.waivers import BoundItem, Waiver, WaiverStanding, WrittenWaiver
from twohand.record.message import FilePlace
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.report.summary import report_lines, specification_lines
from twohand.report.verdict_line import worded
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
    holding = 0
    for bound, waiver in spec.waived.items:
        if bound.item.outcome is ItemOutcome.HOLDS:
            holding += 1
        else:
            lines += _item_lines(bound, waiver, terminal)
    text = f"{holding} of {count(len(spec.waived.items), 'thing')} that the project asks hold"
    return [*lines, *terminal.wrap(text, 2)]


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
