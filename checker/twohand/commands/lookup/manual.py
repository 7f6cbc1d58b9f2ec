"""``twohand manual``: the manual, a page for each topic."""

from __future__ import annotations

from difflib import get_close_matches

import click

from twohand.commands.shared.options import display_options
from twohand.commands.shared.session import say
from twohand.report.drawing.markdown import markdown_lines
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode
from twohand.text.manual import manual_pages

EPILOG = """\b
Examples:
  twohand manual
  twohand manual spec_language
  twohand manual words

\b
Exit codes: 2 where there is no such topic, else 0.
"""


@click.command(epilog=EPILOG)
@click.argument("topic", required=False)
@display_options
def manual(terminal: Terminal, topic: str | None) -> int:
    """Show the manual's page of a TOPIC; without TOPIC, list the topics."""
    pages = manual_pages()
    if topic is None:
        for page in pages.values():
            say(terminal.wrap(f"{page.topic:<20}{page.summary}", 0, 20), terminal)
        return ExitCode.ALL_PROVED
    name = topic.casefold().replace("-", "_").replace(" ", "_")
    if name not in pages:
        near = get_close_matches(name, pages, 1, 0.5)
        hint = f"did you mean '{near[0]}'?" if near else "'twohand manual' lists them"
        raise click.UsageError(f"there is no topic '{topic}'; {hint}")
    say(markdown_lines(pages[name].text, terminal), terminal)
    return ExitCode.ALL_PROVED
