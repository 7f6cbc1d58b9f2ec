"""What a program gets is what the command line says, and it passes where that ends with 0."""

from __future__ import annotations

import dataclasses
import json
import pickle
import re
from collections.abc import Callable, Iterator
from enum import Enum
from pathlib import Path
from typing import Any

import pytest
import twohand
from twohand.commands.main import run
from twohand.engine.workers.process import CUT_BY_TIME
from twohand.record.plain import plain_fields
from twohand.results import (
    Aim,
    Decision,
    ExitCode,
    FigureKind,
    FindingKind,
    Judged,
    Outcome,
    SignalRole,
    Standing,
    Weight,
)

from tests.support.places import GALLERY

Command = Callable[..., str]
LIMITS = {"processes": 1}
GATE = """
FUNCTION_BLOCK Gate
VAR_INPUT a, b : BOOL; n : INT; END_VAR
VAR_OUTPUT q, dead : BOOL; END_VAR
VAR k : INT; last : TIME; END_VAR
q := a AND b;
k := {k};
END_FUNCTION_BLOCK
"""
HANDS = "HAND left = a; HAND right = b; OUTPUT q; PROPERTY both : q -> left AND right;"
HEAD = "SPEC Gate SOURCE 'gate.st'; SCAN T#10ms; "


@pytest.fixture
def command(capsys: pytest.CaptureFixture[str]) -> Command:
    """The command line's output, ended with this exit code."""

    def said(code: ExitCode, *arguments: str) -> str:
        assert run([*arguments, "--processes", "1"]) == code
        return capsys.readouterr().out

    return said


def gate(folder: Path, statements: str, k: str = "1") -> Path:
    """A spec of a small block in a folder of its own."""
    (folder / "gate.st").write_text(GATE.format(k=k), encoding="utf-8")
    path = folder / "gate.spec"
    path.write_text(f"{HEAD}{statements} END_SPEC", encoding="utf-8")
    return path


def leaves(found: object) -> Iterator[object]:
    """Everything that an answer is made of."""
    if dataclasses.is_dataclass(found):
        for field in dataclasses.fields(found):
            yield from leaves(getattr(found, field.name))
    elif isinstance(found, tuple):
        for each in found:
            yield from leaves(each)
    else:
        yield found


def assert_plain(found: object) -> None:
    """Numbers, words and tuples of them, the same after pickling, with no way to change them."""
    kinds = {type(leaf) for leaf in leaves(found)}
    assert all(
        kind in (str, int, float, bool, type(None)) or issubclass(kind, Enum) for kind in kinds
    )
    assert pickle.loads(pickle.dumps(found)) == found
    hash(found)
    with pytest.raises(dataclasses.FrozenInstanceError):
        found.exit_code = ExitCode.ALL_PROVED  # type: ignore[attr-defined]


def verdicts(output: str) -> list[tuple[str, str]]:
    """Name and outcome of each requirement in a report, in its words."""
    words = r"PROVED|VIOLATED|VACUOUS|UNDECIDED|REACHABLE|UNREACHABLE"
    lines = re.findall(rf"^  ({words}) +(.*(?:\n {{15}}.*)*?\((\w+)\))", output, re.MULTILINE)
    return [(name, word) for word, _, name in lines]


def as_said(result: twohand.results.RequirementResult) -> tuple[str, str]:
    words = {Outcome.PROVED: "REACHABLE", Outcome.VACUOUS: "UNREACHABLE"}
    reachable = result.asked.aim is Aim.REACHABLE
    word = words.get(result.outcome, result.outcome.value) if reachable else result.outcome.value
    return result.name, word


def checked(path: Path, command: Command, effort: float = 60) -> twohand.results.CheckedSpec:
    """The only spec of a file, held against what the command line says of it."""
    answer = twohand.check(path, effort=effort, **LIMITS)
    (spec,) = answer.specs
    assert answer.passes == spec.passes == bool(answer) == (answer.exit_code == 0)
    shown = ("--brief", "--width", "100", "--effort", str(effort))
    output = command(answer.exit_code, "check", str(path), *shown)
    assert verdicts(output) == [as_said(each) for each in spec.requirements]
    assert_plain(answer)
    (loaded,) = twohand.load(path)
    assert loaded == spec.spec
    assert [each.asked for each in spec.requirements] == list(loaded.requirements)
    return spec


@pytest.mark.parametrize(
    ("name", "code", "outcomes"),
    [
        ("set_never_cleared_mended", ExitCode.ALL_PROVED, {Outcome.PROVED}),
        pytest.param(
            "lid_press_type1", ExitCode.ALL_PROVED, {Outcome.PROVED}, marks=pytest.mark.long
        ),
        ("both_solenoids", ExitCode.VIOLATED, {Outcome.PROVED, Outcome.VIOLATED}),
        pytest.param(
            "elapsed_time_equal", ExitCode.VIOLATED, {Outcome.VACUOUS}, marks=pytest.mark.long
        ),
    ],
)
def test_a_block_of_the_gallery_comes_out_as_on_the_command_line(
    name: str, code: ExitCode, outcomes: set[Outcome], command: Command
) -> None:
    spec = checked(GALLERY / f"{name}.spec", command)
    assert spec.exit_code == code
    assert {each.outcome for each in spec.requirements} == outcomes
    for each in spec.requirements:
        reached = each.witness if each.asked.aim is Aim.REACHABLE else None
        evidence = reached or each.certificate
        assert (evidence is not None) == (each.outcome is not Outcome.VIOLATED)
        assert (each.run is not None) == (each.outcome is Outcome.VIOLATED)
        assert bool(each.seen) == (each.outcome is Outcome.VIOLATED)


@pytest.mark.long
def test_a_run_has_every_signal_and_the_values_that_change() -> None:
    answer = twohand.check(GALLERY / "off_delay_on_hands.spec", **LIMITS)
    run = next(each.run for each in answer.specs[0].requirements if each.run is not None)
    signals = {each.name: each for each in run.signals}
    assert tuple(signals.values()) == answer.specs[0].spec.signals
    assert {name for name, _ in run.steps[0].changes} == set(signals) == set(run.values(0))
    assert {each.role for each in run.signals} == set(SignalRole)
    times = [each for each in run.signals if each.type == "TIME"]
    assert times
    assert {each.unit for each in times} == {"ns"}
    assert {each.unit for each in run.signals if each.type != "TIME"} == {""}
    before: dict[str, object] = {}
    for number, step in enumerate(run.steps):
        assert all(before.get(name) != value for name, value in step.changes)
        before = dict(run.values(number))
    assert run.values(-1) == before
    pace = {after.time - step.time for step, after in zip(run.steps, run.steps[1:], strict=False)}
    spec = answer.specs[0].spec
    assert spec.shortest_scan <= min(pace) <= max(pace) <= spec.longest_scan
    with pytest.raises(IndexError):
        run.values(len(run.steps))


@pytest.mark.long
def test_what_can_never_be_on_or_happen_is_no_pass(tmp_path: Path, command: Command) -> None:
    asked = "OUTPUT dead; PROPERTY silent: NOT dead; REACHABLE never_there: dead;"
    spec = checked(gate(tmp_path, asked), command)
    assert spec.exit_code == ExitCode.VIOLATED
    assert [each.output for each in spec.never_on] == ["dead"]
    assert spec["silent"].outcome is Outcome.PROVED
    assert spec["never_there"].outcome is Outcome.VACUOUS
    with pytest.raises(KeyError):
        spec["no such"]


@pytest.mark.long
def test_a_finding_is_no_pass_and_has_its_run(tmp_path: Path, command: Command) -> None:
    path = gate(tmp_path, "PROPERTY both: q -> a; REACHABLE on: q;", k="n + 1")
    spec = checked(path, command)
    assert spec.exit_code == ExitCode.VIOLATED
    assert [each.outcome for each in spec.requirements] == [Outcome.PROVED, Outcome.PROVED]
    (finding,) = spec.findings
    assert (finding.kind, finding.outcome) == (FindingKind.OVERFLOW, Outcome.VIOLATED)
    assert finding.run is not None
    assert finding.run.values(-1)["n"] == 32767
    assert (Path(finding.place.path).name, finding.place.line) == ("gate.st", 7)
    assert spec["on"].witness is not None
    assert spec["on"].witness.values(-1)["q"] is True


@pytest.mark.long
def test_what_no_effort_is_left_for_is_no_pass(tmp_path: Path, command: Command) -> None:
    spec = checked(gate(tmp_path, "PROPERTY fresh: rose(q) -> rose(a) OR rose(b);"), command, 1e-6)
    assert spec.exit_code == ExitCode.UNDECIDED
    assert spec["fresh"].outcome is Outcome.UNDECIDED
    assert "limit of effort" in spec["fresh"].reason


@pytest.mark.long
def test_what_is_cut_by_time_says_so_and_is_no_pass(tmp_path: Path) -> None:
    path = gate(tmp_path, "PROPERTY fresh: rose(q) -> rose(a) OR rose(b);")
    answer = twohand.check(path, seconds=0.001, **LIMITS)
    (spec,) = answer.specs
    assert answer.exit_code == ExitCode.UNDECIDED
    assert spec["fresh"].outcome is Outcome.UNDECIDED
    assert spec["fresh"].reason == CUT_BY_TIME


def document(command: Command, code: ExitCode, *arguments: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(command(code, *arguments, "--json", "-"))
    return found


def same(answer: Judged, written: dict[str, Any]) -> None:
    """The document has what a program gets, and nothing else, but for its head."""
    head = {"format", "version", "options", "sources", "problems", "made"}
    assert {name: value for name, value in written.items() if name not in head} == json.loads(
        json.dumps(plain_fields(answer))
    )


def test_a_check_is_its_document(tmp_path: Path, command: Command) -> None:
    path = gate(tmp_path, f"{HANDS} PROPERTY off: NOT q;", k="n + 1")
    answer = twohand.check(path, another=True, **LIMITS)
    assert_plain(answer)
    same(answer, document(command, answer.exit_code, "check", str(path), "--another"))


@pytest.mark.long
def test_figures_are_those_of_the_document(tmp_path: Path, command: Command) -> None:
    path = gate(tmp_path, HANDS)
    answer = twohand.measure(path, **LIMITS)
    assert_plain(answer)
    same(answer, document(command, answer.exit_code, "measure", str(path)))
    (spec,) = answer.specs
    assert {each.decision for each in spec.figures} == {Decision.EXACT, Decision.NO_LIMIT}
    reaction = next(each for each in spec.figures if each.kind is FigureKind.REACTION)
    assert reaction.decision is Decision.EXACT
    assert reaction.run is not None
    assert reaction.certificate is not None


@pytest.mark.long
def test_the_fault_table_is_that_of_the_document(tmp_path: Path, command: Command) -> None:
    path = gate(tmp_path, HANDS)
    left_out = ["b-stuck-open", "b-stuck-closed", "a-b-short"]
    answer = twohand.faults(path, pairs=False, exclude=left_out, **LIMITS)
    assert_plain(answer)
    excluded = (word for name in left_out for word in ("--exclude", name))
    same(answer, document(command, answer.exit_code, "faults", str(path), "--single", *excluded))
    (spec,) = answer.specs
    assert spec.excluded == tuple(left_out)
    assert not spec.pairs_asked
    lost = [each for row in spec.single for each in row.answers if each.run is not None]
    assert lost
    assert all(each.seen for each in lost)
    assert {each.standing for each in lost} <= set(Standing) - {Standing.PROVED}


@pytest.mark.long
def test_points_are_those_of_the_document(tmp_path: Path, command: Command) -> None:
    gate(tmp_path, "", k="n + 1")
    path = tmp_path / "gate.st"
    answer = twohand.inspect(path, scan="T#10ms", effort=60, **LIMITS)
    assert_plain(answer)
    limits = ("--scan", "T#10ms", "--effort", "60")
    same(answer, document(command, answer.exit_code, "inspect", str(path), *limits))
    (block,) = answer.blocks
    (fault,) = (each for each in block.points if each.weight is Weight.FAULT)
    assert fault.run is not None
    assert not answer.passes


@pytest.mark.long
@pytest.mark.parametrize(("second", "passes"), [("n", False), ("1 + 0", True)])
def test_differences_are_those_of_the_document(
    tmp_path: Path, command: Command, second: str, passes: bool
) -> None:
    text = GATE.replace("k := {k};", "q := a AND b AND ({k} = 1);")
    paths = [tmp_path / "first.st", tmp_path / "second.st"]
    for path, k in zip(paths, ("1", second), strict=True):
        path.write_text(text.format(k=k), encoding="utf-8")
    answer = twohand.compare(*paths, scan="T#10ms", **LIMITS)
    assert_plain(answer)
    assert answer.passes is passes
    said = document(command, answer.exit_code, "compare", *map(str, paths), "--scan", "T#10ms")
    same(answer, said["compared"])
    differing = [each for each in answer.outputs if each.run is not None]
    assert [(each.name, each.first, each.second) for each in differing] == (
        [] if passes else [("q", True, False)]
    )
