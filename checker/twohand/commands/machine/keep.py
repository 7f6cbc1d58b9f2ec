"""``twohand keep``: a violation as a scenario, which fails until the block is mended."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from twohand import __version__
from twohand.commands.shared.document import hindrance, not_written, write_file
from twohand.commands.shared.options import shared_options, stated
from twohand.commands.shared.session import Session, say
from twohand.report.exit_code import ExitCode, worst
from twohand.report.verdict_line import verdict_lines
from twohand.text.diagnostic import Diagnostic, wrong
from twohand.text.suggestions import nearest

if TYPE_CHECKING:
    from twohand.evidence.verdict import Report
    from twohand.specification.model.specification import Requirement, Specification

EPILOG = """\b
REQUIREMENT is a name that 'twohand check' prints; where the file has several specs, Spec/name. The
scenario has every input and each scan's time, and is played to the same failure before it is
written.

\b
Exit codes, the first that applies:
  4  internal error
  2  an input cannot be used, or nothing is violated that could be kept
  3  undecided
  0  the violation is kept
"""


@click.command(epilog=EPILOG)
@click.argument("file", metavar="SPEC", callback=stated)
@click.argument("requirement", metavar="REQUIREMENT")
@click.option("--to", "target", required=True, metavar="FILE", help="A new .scenario file.")
@shared_options
def keep(session: Session, file: str, requirement: str, target: str) -> int:
    """Check one requirement, and keep its violation as a scenario."""
    why = hindrance(target) or ("there is such a file" if os.path.lexists(target) else "")
    if why:
        session.complain([not_written(target, why, "name a new file; none is overwritten")])
    else:
        session.guard(lambda: _kept(session, Path(file), requirement, Path(target)), file)
    return worst(session.codes)


def _kept(session: Session, path: Path, name: str, target: Path) -> ExitCode:
    specifications = session.specifications(path, str(path))
    specification, requirement = _named(specifications, name, str(path))
    from twohand.analyses.check.check import check  # loads the solver
    from twohand.scenarios.keeping import kept_text

    alone = replace(specification, requirements=(requirement,), lags=())
    try:
        report = check(alone, session.check_options(), session.progress, session.workers())
    finally:
        session.progress.clear()
    say(verdict_lines(report.verdicts[0], report, session.terminal, True), session.terminal)
    problem = _nothing_to_keep(report, str(path))
    if problem is not None:
        session.show([problem])
        undecided = report.verdicts[0].outcome.value == "UNDECIDED"
        return ExitCode.UNDECIDED if undecided else ExitCode.UNUSABLE
    several = len(specifications) > 1
    text = kept_text(specification, report.verdicts[0], target, several, __version__)
    write_file(target, text)
    say(f"kept in {target}; play it: twohand play {target}", session.terminal)
    return ExitCode.ALL_PROVED


def _named(
    specifications: tuple[Specification, ...], name: str, path: str
) -> tuple[Specification, Requirement]:
    """The requirement of this name; InputError where there is none, or there are several."""
    spec, _, own = name.rpartition("/")
    found = [
        (each, asked)
        for each in specifications
        for asked in each.requirements
        if asked.identifier.casefold() == own.casefold()
        and spec.casefold() in ("", each.name.casefold())
    ]
    if len(found) == 1:
        return found[0]
    several = len(specifications) > 1
    names = [
        f"{each.name}/{asked.identifier}" if several else asked.identifier
        for each in specifications
        for asked in each.requirements
    ]
    if found:
        message = f"several specs have a requirement '{name}'"
        raise wrong("unknown-name", message, None, f"write for instance {names[0]}", path=path)
    close = nearest(name, names)
    way = f"did you mean '{close}'?" if close else f"there is {', '.join(names[:8])}"
    raise wrong("unknown-name", f"the spec has no requirement '{name}'", None, way, path=path)


def _nothing_to_keep(report: Report, path: str) -> Diagnostic | None:
    verdict = report.verdicts[0]
    if verdict.counterexample is not None:
        return None
    name, outcome = verdict.requirement.identifier, verdict.outcome.value
    message = f"'{name}' is {outcome}: there is no run that violates it to keep"
    way = "keep a requirement that 'twohand check' says is VIOLATED"
    return Diagnostic("nothing-to-keep", message, path=path, help=way)
