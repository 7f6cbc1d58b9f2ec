"""``twohand requirements``: the catalogue of what can be required."""

from __future__ import annotations

from difflib import get_close_matches

import click

from twohand.commands.shared import gallery_files as gallery
from twohand.commands.shared.options import display_options
from twohand.commands.shared.session import say
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode
from twohand.report.requirements import catalogue_lines, entry_lines, page_lines
from twohand.specification.catalogue.pages import CataloguePage, Page, catalogue_pages

EXAMPLES = """\b
Examples:
  twohand requirements
  twohand requirements release_both
  twohand requirements single_stroke
"""


@click.command(epilog=EXAMPLES)
@click.argument("name", required=False)
@display_options
def requirements(terminal: Terminal, name: str | None) -> int:
    """List the catalogue of requirements, or explain one (or one page of it)."""
    pages = catalogue_pages()
    if name is None:
        say(catalogue_lines(pages, terminal), terminal)
        return ExitCode.ALL_PROVED
    page, entry = _found(name, pages)
    if entry is None:
        say(page_lines(page, terminal), terminal)
        return ExitCode.ALL_PROVED
    openings = {spec.stem: gallery.opening(spec) for spec in gallery.gallery_specs()}
    say(entry_lines(entry, page, openings, terminal), terminal)
    return ExitCode.ALL_PROVED


def _found(name: str, pages: tuple[Page, ...]) -> tuple[Page, CataloguePage | None]:
    """The entry of this name with its page, or a page; UsageError with the nearest name."""
    wanted = name.casefold()
    for page in pages:
        for entry in page.entries:
            if wanted == entry.identifier:
                return page, entry
    for page in pages:
        if wanted == page.name:
            return page, None
    known = [entry.identifier for page in pages for entry in page.entries]
    near = get_close_matches(wanted, [*known, *(page.name for page in pages)], 1, 0.5)
    hint = f"did you mean '{near[0]}'?" if near else "'twohand requirements' lists them"
    raise click.UsageError(f"there is no requirement '{name}'; {hint}")
