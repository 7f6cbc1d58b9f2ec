"""Pages that explain a code, and the list of them, as lines."""

from __future__ import annotations

from collections.abc import Iterable

from twohand.report.drawing.terminal import Terminal
from twohand.text.explanation import Explanation

_PLACES = {
    "body": "among the statements of a block",
    "declarations": "among the declarations of a block",
    "source": "as a source file",
    "spec": "in a spec",
    "whole_spec": "as a spec file",
    "files": "as files",
    "command": "as a command",
}


def page_lines(page: Explanation, terminal: Terminal) -> list[str]:
    """One page: what the code means, why it matters, and text with and without the mistake."""
    lines = [terminal.heading(page.code), ""]
    lines += terminal.wrap(page.meaning, 2, 2)
    lines += ["", *terminal.wrap(f"Why it matters: {page.why}", 2, 2), ""]
    if not page.kind:
        return [*lines, *terminal.wrap(f"No example: {page.example}", 2, 2)]
    reported_by = f", with '{page.reported_by}'" if page.reported_by else ""
    lines += terminal.wrap(f"Gives it ({_PLACES[page.kind]}{reported_by}):", 2, 2)
    lines += ["", *_indented(page.example, terminal)]
    if page.marked:
        lines += ["", *terminal.wrap(f"It marks: {page.marked}", 2, 2)]
    return [*lines, "", "  Mended:", "", *_indented(page.mended, terminal)]


def _indented(text: str, terminal: Terminal) -> list[str]:
    return [f"      {terminal.shown(line)}".rstrip() for line in text.split("\n")]


def list_lines(pages: Iterable[Explanation], terminal: Terminal) -> list[str]:
    """Every code with the beginning of its meaning."""
    lines = []
    for page in pages:
        first = page.meaning.split(". ")[0].rstrip(".")
        lines.append(terminal.clip(f"{page.code:<38}{terminal.shown(first)}", terminal.width))
    return lines
