"""``twohand waive``: somebody answers, until a day, for what is not proved."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from twohand.commands.gate.asking import answers, as_project_says, asked_specs
from twohand.commands.shared.document import write_into_folder
from twohand.commands.shared.options import shared_options, stated
from twohand.commands.shared.session import Session, say
from twohand.gate.today import today
from twohand.report.exit_code import ExitCode, worst
from twohand.text.diagnostic import wrong
from twohand.text.suggestions import nearest

if TYPE_CHECKING:
    from twohand.gate.project.project_file import ProjectFile
    from twohand.gate.waivers import BoundItem

EPILOG = """\b
What is not given is asked for on a terminal.

\b
Examples:
  twohand waive press.spec Press/start_window --until 2027-01-31 \\
    --decided-by 'safety engineer' --reason 'guard locked until the timer is mended'

\b
Exit codes, the first that applies:
  4  internal error
  2  an input cannot be used, or there is nothing to waive
  0  the waiver is written
"""
_WANTED = ("reason", "decided_by", "until")


def _asked_for(context: click.Context, parameter: click.Parameter, given: str | None) -> str:
    """The value of an option that has to be there, from the terminal where it is missing."""
    name = parameter.opts[0]
    if given is None:
        if not sys.stdin.isatty():
            raise click.MissingParameter(ctx=context, param=parameter)
        given = str(click.prompt(name.removeprefix("--").replace("-", " "), err=True))
    if not given.strip() or not given.isprintable():
        raise click.BadParameter("it is empty, or has signs that are not shown")
    return given.strip()


def _day(context: click.Context, parameter: click.Parameter, given: str | None) -> date:
    text = _asked_for(context, parameter, given)
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise click.BadParameter(f"'{text}' is no day; write for instance 2027-01-31") from None
    if day < today():
        raise click.BadParameter(f"{day} is over; write a day to come")
    return day


@click.command("waive", epilog=EPILOG)
@click.argument("spec", metavar="SPEC", callback=stated)
@click.argument("requirement", metavar="REQUIREMENT")
@click.option("--reason", metavar="TEXT", callback=_asked_for, help="Why it may be so.")
@click.option(
    "--decided-by", metavar="ROLE", callback=_asked_for, help="The role that answers for it."
)
@click.option("--until", metavar="DATE", callback=_day, help="The last day, as 2027-01-31.")
@shared_options
def waive(
    session: Session, spec: str, requirement: str, reason: str, decided_by: str, until: date
) -> int:
    """Write a waiver into the repository: what is not proved passes a review until a day.

    REQUIREMENT is the identifier that 'twohand review' shows in parentheses. The spec is asked
    first, for a waiver is bound to block, requirement and outcome as they are.
    """
    asked = asked_specs(session, [spec])
    for project, files in asked.projects:
        with as_project_says(session, project):
            for path in files:
                session.subject = path
                session.guard(
                    lambda path=path, project=project: _waived(  # type: ignore[misc]
                        session, project, path, requirement, (reason, decided_by, until)
                    ),
                    spec,
                )
    return worst(session.codes)


def _waived(
    session: Session,
    project: ProjectFile,
    path: Path,
    requirement: str,
    said: tuple[str, str, date],
) -> ExitCode:
    from twohand.gate.answers import judged_spec
    from twohand.gate.waivers import Waiver, read_waivers, waivers_text, with_waiver

    there = read_waivers(project.waivers, project.shown_waivers)
    named = path.resolve().relative_to(project.folder.resolve()).as_posix()
    for each in there:
        if (each.waiver.spec, each.waiver.requirement) == (named, requirement):
            message = f"'{requirement}' is waived already"
            raise wrong("waived-already", message, each.span, "remove that waiver first")
    items = [
        bound
        for answered in answers(session, path, project)
        for bound, _ in judged_spec(answered, (), today()).waived.items
    ]
    bound = _chosen(items, requirement, str(path))
    reason, decided_by, until = said
    waiver = Waiver(named, requirement, bound.word, reason, decided_by, until, bound.content)
    text = with_waiver(waivers_text(project.waivers, project.shown_waivers), waiver)
    write_into_folder(project.waivers, text)
    text = f"{project.shown_waivers}: {requirement} ({bound.word}) is waived until {until}; "
    text += "it is not proved"
    say(session.terminal.wrap(text, 0, 2), session.terminal)
    return ExitCode.ALL_PROVED


def _chosen(items: list[BoundItem], requirement: str, path: str) -> BoundItem:
    from twohand.formats.items import ItemOutcome

    failing = [each for each in items if each.item.outcome is not ItemOutcome.HOLDS]
    for each in items:
        if each.item.identifier == requirement:
            if each not in failing:
                message = f"there is nothing to waive: '{requirement}' holds"
                raise wrong("nothing-to-waive", message, None, "leave it as it is", path=path)
            return each
    names = [each.item.identifier for each in failing]
    close = nearest(requirement, names)
    known = f"did you mean '{close}'?" if close else f"there is {', '.join(names) or 'nothing'}"
    message = f"the project asks no '{requirement}' of this spec that does not hold"
    raise wrong("nothing-to-waive", message, None, known, path=path)
