"""The requirement catalogue in the terminal: the whole of it, and one entry explained."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from twohand.report.drawing.terminal import Paint, Terminal
from twohand.specification.catalogue.pages import CataloguePage, Page

LABELS = 14
"""Columns for what a line of an explanation is about."""
NOT_JUDGED = "not judged here"


def catalogue_lines(pages: Sequence[Page], terminal: Terminal) -> list[str]:
    """Every entry by page: identifier, sentence, authority."""
    lines = []
    for page in pages:
        lines += _heading(page, terminal)
        for entry in page.entries:
            lines += [f"  {terminal.paint(entry.identifier, Paint.PLACE)}"]
            lines += terminal.wrap(entry.sentence, 6)
            lines += terminal.wrap(_origin(entry), 6)
        lines += [""]
    return [*lines, *terminal.wrap("twohand requirements NAME explains one of them.")]


def page_lines(page: Page, terminal: Terminal) -> list[str]:
    """One page: what its names mean, and its entries."""
    about = terminal.wrap(" ".join(page.about.split()), 2)
    heading = _heading(page, terminal)
    entries = catalogue_lines([page], terminal)[len(heading) :]
    return [*heading, *about, "", *entries]


def entry_lines(
    entry: CataloguePage, page: Page, openings: Mapping[str, str], terminal: Terminal
) -> list[str]:
    """Everything about one entry; ``openings`` say what the specs of the gallery are."""
    lines = [terminal.heading(entry.identifier)]
    lines += [*terminal.wrap(entry.sentence, 2), ""]
    rows = [("source", entry.authority), ("asked of", ", ".join(entry.belongs))]
    if entry.requirement != entry.identifier:
        rows += [("in a report", entry.requirement)]
    if not entry.judged:
        rows += [(NOT_JUDGED, entry.why)]
    elif entry.why:
        rows += [("judged by", entry.why)]
    if entry.follows_from:
        rows += [("follows from", "; ".join(" with ".join(each) for each in entry.follows_from))]
    for label, text in rows:
        lines += _row(label, text, terminal)
    if entry.write:
        lines += _form("write", entry.write, entry.formula, terminal)
    for variant in entry.variants:
        lines += ["", *terminal.wrap(f"Where {variant.when}:", 2)]
        lines += _form("write", variant.write, variant.formula, terminal)
    for label, names in (("violated by", entry.violated_by), ("mended by", entry.mended_by)):
        if names:
            lines += ["", *terminal.wrap(f"In the gallery {label}:", 2)]
            lines += [line for name in names for line in _example(name, openings, terminal)]
    lines += [""]
    if entry.note:
        lines += terminal.wrap(entry.note, 2)
    return [*lines, *terminal.wrap(f"{page.title}: {' '.join(page.about.split())}", 2)]


def _heading(page: Page, terminal: Terminal) -> list[str]:
    return [terminal.paint(line, Paint.STRONG) for line in terminal.wrap(page.title)]


def _origin(entry: CataloguePage) -> str:
    return entry.authority if entry.judged else f"{entry.authority}; {NOT_JUDGED}: {entry.why}"


def _row(label: str, text: str, terminal: Terminal) -> list[str]:
    """``text`` beside its label; below it where that is long."""
    if len(label) >= LABELS:
        return [f"  {label}", *terminal.wrap(text, LABELS + 2)]
    first, *rest = terminal.wrap(text, LABELS + 2)
    return [f"  {label.ljust(LABELS)}{first.lstrip()}", *rest]


def _form(label: str, write: str, formula: str, terminal: Terminal) -> list[str]:
    """What to write and what it asks, line by line as it is in the page where that fits."""
    lines = []
    for name, text in ((label, write), ("formula", formula)):
        written = [line.rstrip() for line in text.splitlines()]
        if any(LABELS + 2 + len(line) > terminal.width for line in written):
            written = [line.lstrip() for line in terminal.wrap(" ".join(text.split()), LABELS + 2)]
        for number, line in enumerate(written):
            head = name if number == 0 else ""
            lines.append(f"  {head.ljust(LABELS)}{terminal.shown(line)}")
    return lines


def _example(name: str, openings: Mapping[str, str], terminal: Terminal) -> list[str]:
    opening = openings.get(name, "")
    return terminal.wrap(f"{name}: {opening}" if opening else name, 4, 8)
