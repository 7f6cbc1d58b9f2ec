"""Played scenarios as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from twohand.analyses.play.exit_code import play_code
from twohand.analyses.play.text import drawn_run
from twohand.analyses.play.words import (
    failure_sentence,
    name_of,
    outside_sentence,
    unseen_sentence,
)
from twohand.evidence.verdict import Counterexample
from twohand.record.document import DocumentKind
from twohand.record.judged import Judged
from twohand.record.message import FilePlace, place_in_file
from twohand.record.run import Choices, Run, choices_of, run_of
from twohand.record.spec import LoadedSpec, loaded_spec
from twohand.report.exit_code import worst
from twohand.scan.scan_record import scans_before
from twohand.scenarios.model import Expected
from twohand.scenarios.play import PlayedScenario, SeenFailure
from twohand.specification.model.specification import Requirement


@dataclass(frozen=True)
class PlayOptions:
    """``times`` runs with random scan times, of this ``seed``, were asked for."""

    times: int
    seed: int


class FailureKind(Enum):
    """What fails: a requirement of the spec, an EXPECT of the scenario, a scan's completion."""

    REQUIREMENT = "requirement"
    EXPECTED = "expected"
    FINDING = "finding"


@dataclass(frozen=True)
class FailedAsked:
    """What fails in ``runs`` of the runs; the first of them is ``run``, whose scan times are
    ``scan_times`` and in which it fails in ``scan`` (from 1) at ``time`` (nanoseconds)."""

    kind: FailureKind
    name: str
    sentence: str
    scan: int
    time: int
    runs: int
    scan_times: str
    readings: Choices
    place: FilePlace
    run: Run


@dataclass(frozen=True)
class ScenarioResult:
    """``runs`` were played, with each of these ``scan_times`` and with every choice of
    ``open_readings``; with not ``all_played`` some choices were left out. ``outside`` says where
    the scenario breaks an assumption, in ``runs_outside`` of the runs; not ``judged``: in all of
    them, and it expects nothing of its own. ``unseen`` says which changes no scan of the ``first``
    run sees."""

    name: str
    place: FilePlace
    passes: bool
    spec: LoadedSpec
    runs: int
    scan_times: tuple[str, ...]
    open_readings: tuple[str, ...]
    all_played: bool
    judged: bool
    failures: tuple[FailedAsked, ...]
    outside: tuple[str, ...]
    runs_outside: int
    unseen: tuple[str, ...]
    first: Run


@dataclass(frozen=True)
class PlayResult(Judged):
    """Scenarios that were played on the executor and read by the definition of what is asked; no
    solver has a part in it."""

    scenarios: tuple[ScenarioResult, ...]


PLAY = DocumentKind("play", "play", PlayOptions, PlayResult)


def play_result(played: Sequence[PlayedScenario]) -> PlayResult:
    code = worst(play_code(each) for each in played)
    return PlayResult(code, tuple(_scenario(each) for each in played))


def _scenario(played: PlayedScenario) -> ScenarioResult:
    scenario, first = played.scenario, played.first
    spec = scenario.specification
    run = run_of(Counterexample(first.execution.records, first.readings), spec)
    assert run is not None
    return ScenarioResult(
        scenario.name,
        place_in_file(scenario.span),
        play_code(played) == 0,
        loaded_spec(spec),
        played.runs,
        tuple(each.words for each in played.times),
        played.readings,
        played.all_played,
        played.judged,
        tuple(_failure(each, played) for each in played.failures),
        tuple(outside_sentence(each, run, played) for each, run in played.outside),
        played.runs_outside,
        tuple(unseen_sentence(each, played) for each in first.execution.unseen),
        run,
    )


def _failure(seen: SeenFailure, played: PlayedScenario) -> FailedAsked:
    failure, records = seen.failure, seen.run.execution.records
    spec = played.scenario.specification
    run = run_of(drawn_run(seen, played), spec)
    assert run is not None
    return FailedAsked(
        _kind(seen),
        name_of(failure),
        failure_sentence(seen, played),
        failure.position - scans_before(records) + 1,
        spec.clocking.nanoseconds(records[failure.position].time),
        seen.runs,
        seen.run.timing.words,
        choices_of(seen.run.readings),
        place_in_file(failure.about.span),
        run,
    )


def _kind(seen: SeenFailure) -> FailureKind:
    about = seen.failure.about
    if isinstance(about, Requirement):
        return FailureKind.REQUIREMENT
    return FailureKind.EXPECTED if isinstance(about, Expected) else FailureKind.FINDING
