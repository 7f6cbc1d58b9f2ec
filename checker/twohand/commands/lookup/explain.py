"""``twohand explain``: what the code of a message means."""

from __future__ import annotations

import click

from twohand.commands.shared.options import shared_options
from twohand.commands.shared.session import Session, say
from twohand.report.drawing.explanation import list_lines, page_lines
from twohand.report.exit_code import ExitCode
from twohand.text.diagnostic import Diagnostic
from twohand.text.explanation import explanations
from twohand.text.suggestions import nearest


@click.command(name="explain")
@click.argument("code", required=False)
@shared_options
def explain(session: Session, code: str | None) -> int:
    """Explain the CODE of a message, the word in its brackets; without CODE, list all codes."""
    pages = explanations()
    if code is None:
        say(list_lines(pages.values(), session.terminal), session.terminal)
        return ExitCode.ALL_PROVED
    page = pages.get(code.strip("[]").lower())
    if page is None:
        close = nearest(code, pages)
        way = f"did you mean '{close}'?" if close else "'twohand explain' lists all codes"
        session.complain([Diagnostic("unknown-code", f"there is no code '{code}'", help=way)])
        return ExitCode.UNUSABLE
    say(page_lines(page, session.terminal), session.terminal)
    return ExitCode.ALL_PROVED
