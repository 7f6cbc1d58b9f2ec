"""Whether a branch that no trial goes along can be gone at all: asked of the engine."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from twohand.analyses.check.check import check
from twohand.analyses.sheet.rehearsal import trial_span
from twohand.analyses.sheet.trial import NoTrial
from twohand.engine.workers.pool import Pool
from twohand.evidence.branches.ways import Way, with_ways
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Outcome, Verdict
from twohand.program import Read
from twohand.report.drawing.source_line import file_and_line
from twohand.specification.logic.formula import Always, Atom, Not
from twohand.specification.model.specification import Aim, Requirement, Specification
from twohand.specification.phrases import duration

NEVER = "proved: no run that the spec allows gets there"
OPEN = "open: nobody knows whether a run gets there"
GENERATOR = (
    "open for hands: a run gets there in scan {scan}, after {time}, with steps as fine as scans; "
    "try it with a signal generator, or read it in the report of twohand check"
)
AFTER_SOMETHING = "open: a run gets along this line, but nobody asked with what is remembered then"


def uncovered_branches(
    specification: Specification, uncovered: Sequence[Way], options: Options, pool: Pool
) -> tuple[NoTrial, ...]:
    """What is said of each; the ways are of ``with_ways`` of the same program."""
    if not uncovered:
        return ()
    marked, ways = with_ways(specification.program)
    names = {way.mark.name for way in uncovered}
    asked = [way for way in ways if way.mark.name in names]
    requirements = tuple(_reached(way, number, specification) for number, way in enumerate(asked))
    spec = replace(
        specification, program=marked, requirements=requirements, lags=(), arrangement=None
    )
    plain = replace(options, needless=False, causes=False, another=False, beyond=False)
    report = check(spec, plain, None, pool)
    return tuple(_said(asked, report.verdicts, specification))


def _reached(way: Way, number: int, specification: Specification) -> Requirement:
    place = trial_span(specification)
    formula = Atom(Read(way.mark, place))
    return Requirement(
        f"branch_{number}", "this branch", Always(Not(formula)), place, aim=Aim.REACHABLE
    )


def _said(
    asked: Sequence[Way], verdicts: Sequence[Verdict], specification: Specification
) -> Iterator[NoTrial]:
    for way, verdict in zip(asked, verdicts, strict=True):
        run = verdict.counterexample or verdict.witness
        why = OPEN
        if verdict.outcome is Outcome.VACUOUS:
            why = NEVER
        elif run is not None and way.memory:
            why = AFTER_SOMETHING
        elif run is not None:
            time = duration(run.records[-1].time, specification.clocking)
            why = GENERATOR.format(scan=run.scans, time=time)
        yield NoTrial(f"{file_and_line(way.span)}: {way.words}", why)
