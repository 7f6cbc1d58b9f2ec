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
from twohand.specification.catalogue.words import BY_NAME

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
    page, entries = _found(name, pages)
    if not entries:
        say(page_lines(page, terminal), terminal)
        return ExitCode.ALL_PROVED
    openings = {spec.stem: gallery.opening(spec) for spec in gallery.gallery_specs()}
    for number, entry in enumerate(entries):
        say([*[""][:number], *entry_lines(entry, page, openings, terminal)], terminal)
    return ExitCode.ALL_PROVED


def _found(name: str, pages: tuple[Page, ...]) -> tuple[Page, list[CataloguePage]]:
    """The entry of this name with its page, or a page, or all that REQUIRE of this name asks;
    UsageError with the nearest name."""
    wanted = name.casefold()
    for page in pages:
        for entry in page.entries:
            if wanted == entry.identifier:
                return page, [entry]
    for page in pages:
        if wanted in (page.name, page.name.removesuffix("_control")):
            return page, []
    word = BY_NAME.get(wanted)
    for page in pages:
        asked = [entry for entry in page.entries if word and entry.identifier in word.identifiers]
        if asked:
            return page, asked
    known = [entry.identifier for page in pages for entry in page.entries]
    near = get_close_matches(wanted, [*known, *(page.name for page in pages)], 1, 0.5)
    hint = f"did you mean '{near[0]}'?" if near else "'twohand requirements' lists them"
    raise click.UsageError(f"there is no requirement '{name}'; {hint}")
