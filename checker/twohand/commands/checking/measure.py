"""``twohand measure``: the figures of a spec, and the safety distances that follow from them."""

from __future__ import annotations

import time
from pathlib import Path
from typing import TYPE_CHECKING

import click

from twohand.analyses.measure.figures import check_measurable
from twohand.analyses.measure.text import measure_code, measure_lines, total_text
from twohand.commands.shared.document import (
    Targets,
    document_options,
    have_place,
    limits_of,
    write_answer,
)
from twohand.commands.shared.options import only_one, shared_options
from twohand.commands.shared.session import Session, say
from twohand.record.document import EffortLimits, spent_on
from twohand.report.cautions import caution_lines
from twohand.report.exit_code import ExitCode, worst
from twohand.specification.phrases import wall_time

if TYPE_CHECKING:
    from twohand.analyses.measure.results import MeasureReport

EPILOG = """\b
Figures: the widest lag between the hands that still starts, the longest time from a hand's
release and from each STOPPED_BY condition to output off, the shortest time between two starts,
the longest on-time. Distances need STOPPING, or CLUTCH for a trip.

\b
Outcomes:
  EXACT      reached by a replayed run, and proved that nothing exceeds it
  NO LIMIT   a replayed run can be prolonged at will
  NEVER      proved that there is nothing to measure
  UNDECIDED  what was reached, and what was proved, if anything

\b
Exit codes, the first that applies:
  4  internal error
  2  an input cannot be used, or there was nothing to measure
  1  a stop without a limit, or a finding that can happen
  3  something is undecided
  0  every figure is decided
Also: 130 after an interrupt, 141 where the reader of the output left (| head).
"""


@click.command(epilog=EPILOG)
@click.argument("file", nargs=-1, required=True, metavar="FILE", callback=only_one)
@click.option("--details", is_flag=True, help="The run behind each figure, and the invariants.")
@document_options
@shared_options
def measure(session: Session, file: str, details: bool, targets: Targets) -> int:
    """Measure a spec: lags, reactions, on-times, and the safety distance."""
    reports: list[MeasureReport] = []
    if have_place(targets, session):
        quiet = targets.quiet
        session.subject = Path(file)
        session.guard(lambda: _measured(session, Path(file), details, quiet, reports), file)
        if targets.wanted:
            session.guard(lambda: _written(session, reports, targets), targets.wanted)
    return worst(session.codes)


def _written(session: Session, reports: list[MeasureReport], targets: Targets) -> ExitCode:
    from twohand.analyses.documents import MEASUREMENT
    from twohand.analyses.measure.record import measure_result

    sides = ((each.specification, each.seconds) for each in reports)
    spent = spent_on((spec.source.path, spec.name, seconds) for spec, seconds in sides)
    options = EffortLimits(**limits_of(session))
    return write_answer(MEASUREMENT, options, measure_result(reports), spent, targets, session)


def _measured(
    session: Session, path: Path, details: bool, quiet: bool, reports: list[MeasureReport]
) -> ExitCode:
    """``reports`` get what was measured, even where the last specs of the file come to no end."""
    terminal = session.terminal
    specifications = session.specifications(path, str(path))
    from twohand.analyses.measure.measure import measure as measured  # loads the solver

    try:
        for specification in specifications:
            check_measurable(specification)
            options = session.check_options()
            report = measured(specification, options, session.progress, session.workers())
            reports.append(report)
            session.progress.clear()
            if not quiet:
                say([*measure_lines(report, terminal, details), ""], terminal)
    finally:
        session.progress.clear()
    if not quiet:
        say([*caution_lines(specifications, terminal), ""], terminal)
        total = f"{total_text(reports)}, {wall_time(time.monotonic() - session.began)}"
        say(terminal.wrap(total, 0, 2), terminal)
    return worst(measure_code(report) for report in reports)
