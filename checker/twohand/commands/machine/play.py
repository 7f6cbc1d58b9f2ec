"""``twohand play``: scenarios on the executor, without a solver."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from twohand.commands.shared.document import Targets, have_place, write_answer
from twohand.commands.shared.options import WholeNumber, options_to_play, stated
from twohand.commands.shared.session import Session, say
from twohand.files.suffixes import RECORDING
from twohand.report.cautions import caution_lines
from twohand.report.exit_code import ExitCode, worst
from twohand.scenarios.timing import DEFAULT_SEED, DEFAULT_TIMES
from twohand.text.diagnostic import wrong

if TYPE_CHECKING:
    from twohand.scenarios.model import Scenario
    from twohand.scenarios.play import PlayedScenario

EPILOG = f"""\b
FILE is a .scenario, or a recording ({RECORDING}: time,name,value) with --for. Every run is executed
statement by statement and read by the definition of what is asked; no solver has a part in it.
One scenario says what one sequence does: it proves nothing of any other.

\b
Exit codes, the first that applies:
  4  internal error
  2  an input cannot be used
  1  a requirement, an EXPECT or a scan fails
  3  nothing is judged, or some choices of readings were not played
  0  everything is as expected
Also: 130 after an interrupt, 141 where the reader of the output left (| head).
"""
_MOST_TIMES = 1_000


@click.command(epilog=EPILOG)
@click.argument("files", nargs=-1, required=True, metavar="FILE...", callback=stated)
@click.option("--for", "spec", metavar="SPEC", help="The spec file that a recording is played for.")
@click.option(
    "--times",
    type=WholeNumber(min=0, max=_MOST_TIMES),
    default=DEFAULT_TIMES,
    show_default=True,
    help="Runs with random scan times, beside the shortest and the longest.",
)
@click.option(
    "--seed",
    type=WholeNumber(min=0),
    default=DEFAULT_SEED,
    show_default=True,
    help="Chooses the random scan times.",
)
@click.option("--brief", is_flag=True, help="What fails, without the runs.")
@click.option("--details", is_flag=True, help="Every scan of a run.")
@click.option(
    "--json", metavar="FILE", help="Write everything as JSON ('-': on the output, alone)."
)
@options_to_play
def play(
    session: Session,
    files: tuple[str, ...],
    spec: str | None,
    times: int,
    seed: int,
    brief: bool,
    details: bool,
    json: str | None,
) -> int:
    """Play scenarios: what a block does, and what fails, in one sequence of inputs."""
    targets = Targets(json, None)
    if not have_place(targets, session):
        return worst(session.codes)
    played: list[PlayedScenario] = []

    def one(path: Path) -> ExitCode:
        from twohand.analyses.play.exit_code import play_code
        from twohand.analyses.play.text import scenario_lines
        from twohand.scenarios.play import play as played_scenario

        codes = []
        for scenario in _scenarios(path, spec):
            found = played_scenario(scenario, times, seed)
            played.append(found)
            codes.append(play_code(found))
            if not targets.quiet:
                lines = scenario_lines(found, session.terminal, brief, details)
                say([*lines, ""], session.terminal)
        return worst(codes)

    session.each([Path(each) for each in files], one)
    if played and not targets.quiet:
        _ended(session, played)
    if targets.wanted:
        session.guard(lambda: _written(session, played, (times, seed), targets), targets.wanted)
    return worst(session.codes)


def _scenarios(path: Path, spec: str | None) -> tuple[Scenario, ...]:
    from twohand.scenarios.reading import load_scenarios
    from twohand.scenarios.recording import load_recording

    if path.suffix.lower() == RECORDING:
        if spec is None:
            way = f"say which spec it is played for: twohand play {path} --for press.spec"
            message = "a recording does not name its spec"
            raise wrong("missing-for", message, None, way, path=str(path))
        return (load_recording(path, Path(spec)),)
    return load_scenarios(path, str(path))


def _ended(session: Session, played: list[PlayedScenario]) -> None:
    from twohand.analyses.play.text import total_words

    specs = list(
        {id(each.scenario.specification): each.scenario.specification for each in played}.values()
    )
    alone = "These runs say what the block does in them, and prove nothing of any other run."
    said = [*session.terminal.wrap(alone), "", *caution_lines(specs, session.terminal), ""]
    say(said, session.terminal)
    say(session.terminal.wrap(", ".join(total_words(played)), 0, 2), session.terminal)


def _written(
    session: Session,
    played: list[PlayedScenario],
    asked: tuple[int, int],
    targets: Targets,
) -> ExitCode:
    from twohand.analyses.play.record import PLAY, PlayOptions, play_result

    return write_answer(PLAY, PlayOptions(*asked), play_result(played), (), targets, session)
