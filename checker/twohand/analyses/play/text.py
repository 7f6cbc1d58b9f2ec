"""A played scenario as text: what fails, and the run in which it does."""

from __future__ import annotations

from collections.abc import Iterator

from twohand.analyses.play.exit_code import play_code
from twohand.analyses.play.words import (
    failure_sentence,
    name_of,
    outside_sentence,
    played_sentence,
    runs_sentence,
    unseen_sentence,
)
from twohand.evidence.runs.causes import causes
from twohand.evidence.verdict import Counterexample
from twohand.report.drawing.source_line import address, marked_line
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.report.exit_code import ExitCode
from twohand.report.run import run_lines
from twohand.scenarios.judging import Failure
from twohand.scenarios.model import Expected
from twohand.scenarios.play import PlayedScenario, SeenFailure
from twohand.specification.logic.formula import Always
from twohand.specification.model.specification import Aim, Requirement
from twohand.specification.phrases import count, written

_WORDS = {
    ExitCode.ALL_PROVED: ("AS EXPECTED", Paint.GOOD),
    ExitCode.VIOLATED: ("FAILS", Paint.BAD),
    ExitCode.UNDECIDED: ("SAYS NOTHING", Paint.OPEN),
}


def scenario_lines(
    played: PlayedScenario, terminal: Terminal, brief: bool = False, details: bool = False
) -> list[str]:
    """One scenario in full; ``brief`` leaves runs out, ``details`` show every scan of them. A run
    in which several things fail is drawn once, with the last of them."""
    scenario = played.scenario
    lines = [*_heading(played, terminal), *terminal.wrap(played_sentence(played), 2, 4)]
    for outside, run in played.outside:
        lines += terminal.wrap(outside_sentence(outside, run, played), 2, 4)
    for change in played.first.execution.unseen:
        lines += terminal.wrap(unseen_sentence(change, played), 2, 4)
    reachable = [
        r.identifier for r in scenario.specification.requirements if r.aim is not Aim.HOLDS
    ]
    if reachable:
        names = ", ".join(reachable)
        lines += terminal.wrap(f"not asked of single runs (REACHABLE): {names}", 2, 4)
    last = {id(seen.run): seen for seen in played.failures}
    for seen in played.failures:
        lines += ["", *_failure_lines(seen, played, terminal)]
        drawn = last[id(seen.run)]
        if brief:
            continue
        if drawn is seen:
            shown, asked = drawn_run(seen, played), asked_of(seen.failure)
            lines += run_lines(shown, scenario.specification, asked, terminal, "wrong", details)
        else:
            lines += terminal.wrap(f"the run is drawn below, at {name_of(drawn.failure)}", 2)
    if not played.failures and not brief:
        run = played.first
        words = f"the run with scan times {run.timing.words}"
        lines += ["", *terminal.wrap(words, 2)]
        shown = Counterexample(run.execution.records, run.readings)
        spec = scenario.specification
        lines += run_lines(shown, spec, None, terminal, "as expected", details)
    return lines


def _heading(played: PlayedScenario, terminal: Terminal) -> list[str]:
    code = play_code(played)
    word, paint = _WORDS[code]
    if code is ExitCode.UNDECIDED and played.judged:
        word = "NOT ALL PLAYED"
    scenario, spec = played.scenario, played.scenario.specification
    where = terminal.shown(f"{scenario.source.path}: {spec.name} in {spec.source.path}")
    name = terminal.heading(terminal.shown(scenario.name))
    return [f"{name} ({where}): {terminal.paint(word, paint)}"]


def _failure_lines(seen: SeenFailure, played: PlayedScenario, terminal: Terminal) -> list[str]:
    failure = seen.failure
    name = terminal.heading(terminal.shown(name_of(failure)))
    lines = [f"{name}: {terminal.paint('FAILS', Paint.BAD)}"]
    lines += terminal.wrap(failure_sentence(seen, played), 2, 4)
    lines += terminal.wrap(runs_sentence(seen, played), 2, 4)
    if not isinstance(failure.about, Requirement):
        span = failure.about.span
        lines += [terminal.shown(f"  {address(span)}:"), *marked_line(span, terminal)]
    return lines


def asked_of(failure: Failure) -> Requirement | None:
    """What the run is drawn for."""
    about = failure.about
    if isinstance(about, Requirement):
        return about
    if isinstance(about, Expected):
        text = written(about.span)
        return Requirement(name_of(failure), text, Always(about.formula), about.span)
    return None


def drawn_run(seen: SeenFailure, played: PlayedScenario) -> Counterexample:
    """The run up to its failure, with what acted in it."""
    records = seen.run.execution.records[: seen.failure.position + 1]
    asked = asked_of(seen.failure)
    about = None if asked is None else asked.property
    acted = causes(about, records, played.scenario.specification)
    return Counterexample(records, seen.run.readings, causes=acted)


def total_words(played: list[PlayedScenario]) -> Iterator[str]:
    """How many scenarios there are, and how many of them fail or say nothing."""
    codes = [play_code(each) for each in played]
    yield count(len(codes), "scenario")
    for code, words in ((ExitCode.VIOLATED, "fails"), (ExitCode.UNDECIDED, "is open")):
        number = codes.count(code)
        if number:
            yield f"{number} {words if number == 1 else words.replace('s', '', 1)}"
