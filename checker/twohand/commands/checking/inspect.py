"""``twohand inspect``: what can be wrong in a block whatever it is for."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from twohand.analyses.compare.options import USUAL_SCAN
from twohand.analyses.inspect.points import InspectionKind
from twohand.analyses.inspect.words import LOOKED_FOR
from twohand.commands.shared.document import (
    Targets,
    document_options,
    have_place,
    limits_of,
    write_answer,
)
from twohand.commands.shared.options import platform_option, shared_options, stated
from twohand.commands.shared.session import Session, say
from twohand.files.suffixes import SPECIFICATION
from twohand.record.document import spent_on
from twohand.report.cautions import below_heading, brief_caution
from twohand.report.drawing.diagnostics import diagnostic_lines
from twohand.report.exit_code import ExitCode, worst
from twohand.specification.phrases import wall_time
from twohand.text.diagnostic import Diagnostic

if TYPE_CHECKING:
    from twohand.analyses.inspect.check import Inspection
    from twohand.analyses.inspect.subject import Subject
    from twohand.analyses.inspect.units import UnitOutcome

EFFORT = 5.0
"""For each question, where the command line states no time."""
_KINDS = "\n".join(f"  {kind.value:20}{words}" for kind, words in LOOKED_FOR.items())
EPILOG = f"""\b
Looked for (--kinds and --skip take these words):
{_KINDS}

\b
Outcomes:
  FAULT      it happens, with a replayed run, or is proved (code that never runs)
  UNDECIDED  neither shown nor excluded
  NOTE       nothing goes wrong by it
  HARMLESS   it was suspected, and proved to do no harm
  CLEAN      what was looked for and is nowhere

\b
Of source files every block and function is inspected that no other one has or calls, with free
inputs (of a function in each call); of a spec its block, with the surroundings, the assumptions and
the scan time that it states. Several units are listed first, with what became of each.
Where --effort is not stated, each question gets {EFFORT:g}.

\b
Examples:
  twohand inspect press.st
  twohand inspect logic --block Press --scan T#10ms
  twohand inspect logic --free doorShut,partSeen
  twohand inspect press.spec --kinds skipped-call,called-twice --details

\b
Exit codes, the first that applies:
  4  internal error
  2  an input or the unit that --block names cannot be used, or nothing could be inspected
  1  a fault
  3  something is undecided, or another unit is refused
  0  clean, but for notes
Also: 130 after an interrupt, 141 where the reader of the output left (| head).
"""


def _chosen(
    context: click.Context, parameter: click.Parameter, text: str | None
) -> set[InspectionKind]:
    """The kinds that an option names."""
    known = {kind.value: kind for kind in InspectionKind}
    words = [word.strip().lower() for word in (text or "").split(",") if word.strip()]
    for word in words:
        if word not in known:
            raise click.BadParameter(f"'{word}' is none of {', '.join(known)}")
    if text is not None and not words:
        raise click.BadParameter(f"it names none of {', '.join(known)}")
    return {known[word] for word in words}


def _names(
    context: click.Context, parameter: click.Parameter, texts: tuple[str, ...]
) -> tuple[str, ...]:
    """The names of an option, which may be listed with commas and said more than once."""
    names = [name.strip() for text in texts for name in text.split(",")]
    if not all(names):
        raise click.BadParameter("a name is empty")
    return tuple(dict.fromkeys(names))


@click.command("inspect", epilog=EPILOG)
@click.argument("paths", nargs=-1, required=True, metavar="FILE...", callback=stated)
@click.option("--block", metavar="NAME", help="This block or function only.")
@click.option(
    "--scan",
    metavar="TIME",
    help="As in a spec: T#10ms or T#5ms..T#20ms.  [default: the INTERVAL of the block's task, "
    f"else {USUAL_SCAN}]",
)
@platform_option
@click.option(
    "--free",
    multiple=True,
    metavar="NAMES",
    callback=_names,
    help="These variables of the block are written by others: any value at each scan.",
)
@click.option("--kinds", metavar="WORDS", callback=_chosen, help="Look for these only.")
@click.option("--skip", metavar="WORDS", callback=_chosen, help="Do not look for these.")
@click.option("--brief", is_flag=True, help="One line a point, and one of what this does not say.")
@click.option("--details", is_flag=True, help="All that is harmless, and every scan of a run.")
@document_options
@shared_options
def inspect(
    session: Session,
    paths: tuple[str, ...],
    block: str | None,
    scan: str | None,
    platform: tuple[str, ...],
    free: tuple[str, ...],
    kinds: set[InspectionKind],
    skip: set[InspectionKind],
    brief: bool,
    details: bool,
    targets: Targets,
) -> int:
    """Look for what is wrong in a block whatever it is for: no spec is needed.

    FILE is a source file, a folder with source files, or a spec file.
    """
    context = click.get_current_context()
    if context.get_parameter_source("effort") is click.core.ParameterSource.DEFAULT:
        session.limits["effort"] = EFFORT
    wanted = [
        kind for kind in InspectionKind if kind in (kinds or InspectionKind) and kind not in skip
    ]
    if not wanted:
        raise click.UsageError("--skip leaves nothing to look for")
    found: list[list[UnitOutcome]] = []
    unread: list[Diagnostic] = []
    wishes: dict[str, Any] = {"block": block, "scan": scan, "platform": platform, "free": free}
    wishes["kinds"] = tuple(wanted)

    def one(path: Path) -> ExitCode:
        outcomes: list[UnitOutcome] = []
        found.append(outcomes)
        for each in _outcomes(session, path, (block, scan, platform, free), wanted, unread):
            outcomes.append(each)
            _refused(session, each)
        from twohand.analyses.inspect.units import units_code

        return units_code(outcomes)

    if have_place(targets, session):
        session.each([Path(path) for path in paths], one)
        outcomes = [each for path in found for each in path]
        if free and any(each.inspection for each in outcomes):
            session.guard(lambda: _all_freed(free, outcomes), "--free")
        if outcomes and not targets.quiet:
            _reported(session, outcomes, brief, details)
        if targets.wanted:
            session.guard(lambda: _written(session, found, unread, wishes, targets), "the document")
        if any(each.inspection for each in outcomes) and not targets.quiet:
            _close(session, outcomes, brief)
    return worst(session.codes)


def _all_freed(free: tuple[str, ...], outcomes: list[UnitOutcome]) -> ExitCode:
    from twohand.analyses.inspect.units import check_freed

    check_freed(free, outcomes)
    return ExitCode.ALL_PROVED


def _outcomes(
    session: Session,
    path: Path,
    stated: tuple[str | None, str | None, tuple[str, ...], tuple[str, ...]],
    kinds: list[InspectionKind],
    unread: list[Diagnostic],
) -> Iterator[UnitOutcome]:
    """The units of one path, as ``stated``: the block, the scan time, the platform, what others
    write. ``unread`` get what is said of files that cannot be read."""
    block, scan, platform, free = stated
    session.progress("reading")
    from twohand.analyses.inspect.subject import library_of, subjects_of_spec
    from twohand.analyses.inspect.units import outcome_of_spec, outcomes_of

    def inspected(subject: Subject) -> Inspection:
        return _inspected(session, subject, kinds)

    if path.suffix.lower() == SPECIFICATION:
        for subject in subjects_of_spec(path, str(path)):
            yield outcome_of_spec(inspected(subject))
        return
    notes: list[Diagnostic] = []
    library = library_of(path, str(path), block, notes)
    unread.extend(notes)
    for note in notes:
        session.progress.clear()
        say([*diagnostic_lines(note, session.complaints), ""], session.complaints, err=True)
    yield from outcomes_of(library, (scan, platform, free), inspected)


def _refused(session: Session, outcome: UnitOutcome) -> None:
    """Say why a unit is not inspected, if it is not; the code is that of all units together."""
    if outcome.problems:
        session.progress.clear()
        session.show(outcome.problems)


def _inspected(session: Session, subject: Subject, kinds: list[InspectionKind]) -> Inspection:
    from twohand.analyses.inspect.check import inspect as inspected  # loads the solver

    session.progress.prefix = f"{subject.name}: "
    try:
        return inspected(
            subject, session.check_options(), session.progress, session.workers(), kinds
        )
    finally:
        session.progress.clear()


def _reported(session: Session, outcomes: list[UnitOutcome], brief: bool, details: bool) -> None:
    """The table, where there is more than one unit, and the details of each."""
    from twohand.analyses.inspect.text import inspection_lines
    from twohand.analyses.inspect.units import shows_more, unit_lines

    terminal = session.terminal
    several = len(outcomes) > 1
    if several:
        say([*unit_lines(outcomes, terminal, details), ""], terminal)
    for each in outcomes:
        if each.inspection is not None and (details or not several or shows_more(each)):
            say([*inspection_lines(each.inspection, terminal, brief, details), ""], terminal)


def _written(
    session: Session,
    found: list[list[UnitOutcome]],
    unread: list[Diagnostic],
    wishes: dict[str, Any],
    targets: Targets,
) -> ExitCode:
    from twohand.analyses.documents import INSPECTION, InspectionOptions
    from twohand.analyses.inspect.record import inspect_result

    answer = inspect_result(found, unread)
    options = InspectionOptions(**limits_of(session), **wishes)
    inspections = [each.inspection for path in found for each in path if each.inspection]
    sides = zip(answer.blocks, inspections, strict=True)
    spent = spent_on((block.path, block.block, each.seconds) for block, each in sides)
    return write_answer(INSPECTION, options, answer, spent, targets, session)


def _close(session: Session, outcomes: list[UnitOutcome], brief: bool) -> None:
    """The cautions and the total."""
    from twohand.analyses.inspect.text import inspection_cautions
    from twohand.analyses.inspect.units import units_total

    terminal = session.terminal
    inspections = [each.inspection for each in outcomes if each.inspection is not None]
    specifications = [each.subject.specification for each in inspections]
    lines = below_heading(inspection_cautions(inspections), terminal)
    if brief:
        lines = terminal.wrap(brief_caution(specifications), 0, 2)
    say([*lines, ""], terminal)
    spent = wall_time(time.monotonic() - session.began)
    say(f"{units_total(outcomes)}, {spent}", terminal)
