"""A violation kept as a scenario, which is played before it is given."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from twohand.evidence.verdict import Counterexample, Verdict
from twohand.scenarios.play import PlayedScenario, play
from twohand.scenarios.reading import resolve_scenarios
from twohand.scenarios.writing import scenario_text
from twohand.specification.model.specification import Requirement, Specification
from twohand.specification.phrases import duration
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import SourceText

_ALONE = "keep the report of 'twohand check' instead"


def kept_text(
    specification: Specification, verdict: Verdict, target: Path, several: bool, version: str
) -> str:
    """The scenario of a violation, for the file ``target``; ``several`` specs are in its file.

    InputError where no scenario plays to the same failure, in the same scan."""
    run = verdict.counterexample
    assert run is not None
    quoted = _quoted(_path_from(target, Path(specification.source.path)))
    spec = f"{quoted} SPEC {specification.name}" if several else quoted
    name = f"kept_{verdict.requirement.identifier}"
    said = _comments(specification, verdict, run, version)
    every = {name: run.all_readings.get(name, False) for name in specification.readings.open}
    for readings in (run.all_readings, every):
        text = scenario_text(name, spec, specification, run, dict(readings), said)
        if _plays_alike(text, target, verdict.requirement, run):
            return text
    identifier = verdict.requirement.identifier
    message = f"the run that violates '{identifier}' cannot be said as a scenario"
    raise wrong("not-kept", message, None, _ALONE, path=specification.source.path)


def _comments(
    specification: Specification, verdict: Verdict, run: Counterexample, version: str
) -> Sequence[str]:
    at = duration(run.records[-1].time, specification.clocking)
    where = f"scan {run.scans}, at {at}"
    return [
        f"Kept by twohand {version}: {verdict.requirement.identifier} of {specification.name} is "
        f"VIOLATED in {where}, the last one of this run.",
        verdict.seen,
        "It fails until the block is mended, and shows from then on that it stays so.",
    ]


def _path_from(target: Path, spec: Path) -> str:
    try:
        return Path(os.path.relpath(spec, target.parent)).as_posix()
    except ValueError:  # another drive
        return spec.absolute().as_posix()


def _quoted(path: str) -> str:
    """InputError for a name that cannot be written between quotes."""
    for quote in "'\"":
        if not set(path) & {quote, "$", "\n"}:
            return f"{quote}{path}{quote}"
    message = f"'{path}' cannot be written between quotes"
    raise wrong("not-kept", message, None, "give the file a name without quotes and $", path=path)


def _plays_alike(text: str, target: Path, requirement: Requirement, run: Counterexample) -> bool:
    """Whether every run of it violates the requirement where this one does, and not before."""
    try:
        (scenario,) = resolve_scenarios(SourceText(str(target), text), target.parent)
    except InputError:
        return False
    return fails_at(play(scenario), requirement.identifier) == len(run.records) - 1


def fails_at(played: PlayedScenario, identifier: str) -> int | None:
    """The record in which a requirement fails in every run; None where that is not one."""
    for seen in played.failures:
        about = seen.failure.about
        if isinstance(about, Requirement) and about.identifier == identifier:
            return seen.failure.position if seen.runs == played.runs else None
    return None
