"""Sensors that are declared as plain variables: one cause, said once, and a way to mend it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from twohand.analyses.inspect.check import Inspection, inspect
from twohand.analyses.inspect.points import InspectionKind, Weight
from twohand.analyses.inspect.subject import subject_of_block
from twohand.commands import main as cli
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options, open_pool
from twohand.report.exit_code import ExitCode
from twohand.text.source_text import SourceText

from tests.support.places import from_here
from tests.support.schemas import schema

OPTIONS = Options(effort=5.0, processes=1)
KINDS = (InspectionKind.CONSTANT_CONDITION, InspectionKind.DEAD_CODE)
FEEDER = """FUNCTION_BLOCK Feeder
VAR_INPUT run : BOOL; END_VAR
VAR_OUTPUT belt, jam : BOOL; END_VAR
VAR
    partSeen, hatch, spare : BOOL;
    factor : INT := 3;
    late : TON;
    state : INT;
END_VAR
late(IN := partSeen, PT := T#50ms);
IF run AND hatch THEN belt := TRUE; END_IF;
IF late.Q THEN jam := TRUE; END_IF;
IF factor < 2 THEN jam := spare; END_IF;
END_FUNCTION_BLOCK
"""


@pytest.fixture(scope="module")
def pool() -> object:
    with open_pool(OPTIONS) as opened:
        yield opened


def inspected(text: str, pool: Pool, free: tuple[str, ...] = ()) -> Inspection:
    sources = [SourceText("feeder.st", text)]
    subject = subject_of_block(sources, "Feeder", "T#10ms", (), False, free=free)
    return inspect(subject, OPTIONS, pool=pool, kinds=KINDS)


def faults(found: Inspection) -> list[int]:
    return [each.point.span.line for each in found.of(Weight.FAULT)]


@pytest.mark.long
def test_faults_that_hang_on_what_nothing_writes_have_one_cause(pool: Pool) -> None:
    """Neither the constant that somebody chose nor what it shuts out is among them."""
    found = inspected(FEEDER, pool)
    assert faults(found) == [11, 12, 13]
    assert found.cause is not None
    assert [v.name for v in found.cause.variables] == ["partSeen", "hatch"]
    assert [each.point.span.line for each in found.cause.points] == [11, 12]


def test_with_the_cause_as_inputs_its_faults_are_gone(pool: Pool) -> None:
    found = inspected(FEEDER, pool, ("PARTSEEN", "hatch"))
    assert faults(found) == [13]
    assert found.cause is None


@pytest.mark.long
def test_what_stays_without_those_values_is_not_said_to_hang_on_them(pool: Pool) -> None:
    text = FEEDER.replace("late.Q", "late.Q AND NOT late.Q").replace("run AND hatch", "run")
    found = inspected(text, pool)
    assert faults(found) == [12, 13]
    assert found.cause is None


def test_what_decides_whether_the_block_is_left_acts_on_all_behind_it(pool: Pool) -> None:
    text = (
        "FUNCTION_BLOCK Feeder VAR_INPUT run : BOOL; END_VAR VAR_OUTPUT belt : BOOL; END_VAR\n"
        "VAR hatch : BOOL; END_VAR\nIF run AND NOT hatch THEN RETURN; END_IF;\n"
        "IF run THEN belt := TRUE; END_IF;\nEND_FUNCTION_BLOCK\n"
    )
    found = inspected(text, pool)
    assert faults(found) == [4]
    assert found.cause is not None
    assert [v.name for v in found.cause.variables] == ["hatch"]


@pytest.mark.long
def test_the_cause_is_the_headline_and_what_hangs_on_it_is_short(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (inside / "feeder.st").write_text(FEEDER, encoding="utf-8")
    words = ["inspect", from_here(inside / "feeder.st"), "--scan", "T#10ms", "--processes", "1"]
    assert cli.run([*words, "--skip", "lost-write"]) == ExitCode.VIOLATED
    shown = " ".join(capsys.readouterr().out.split())
    said = "CAUSE nothing writes 'partSeen' and 'hatch': they keep their initial value, and 2 of 3"
    assert said in shown
    assert "--free partSeen,hatch says so" in shown
    assert shown.count("'hatch' is read and never written") == 0
    assert shown.count("'spare' is read and never written") == 1
    code = cli.run([*words, "--json", "-", "--free", "partSeen, hatch"])
    document = json.loads(capsys.readouterr().out)
    assert list(schema("inspection").iter_errors(document)) == []
    assert code == ExitCode.VIOLATED
    assert document["options"]["free"] == ["partSeen", "hatch"]
    assert document["blocks"][0]["cause"] is None
    cli.run([*words, "--json", "-"])
    (block,) = json.loads(capsys.readouterr().out)["blocks"]
    assert list(block["cause"]["variables"]) == ["partSeen", "hatch"]
    points = {each["identifier"]: each["place"]["line"] for each in block["points"]}
    assert [points[each] for each in block["cause"]["points"]] == [11, 12]


@pytest.mark.long
def test_a_name_that_no_unit_has_is_an_error_and_one_of_another_unit_is_none(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (inside / "feeder.st").write_text(FEEDER, encoding="utf-8")
    other = "FUNCTION_BLOCK Other VAR_INPUT hatch : BOOL; END_VAR END_FUNCTION_BLOCK"
    (inside / "other.st").write_text(other, encoding="utf-8")
    words = ["inspect", from_here(inside), "--kinds", "unused", "--free"]
    assert cli.run([*words, "hatch,spare"]) == ExitCode.ALL_PROVED
    assert cli.run([*words, "hatsh"]) == ExitCode.UNUSABLE
    assert "did you mean 'hatch'?" in capsys.readouterr().err
    assert cli.run([*words, ","]) == ExitCode.UNUSABLE


@pytest.mark.long
def test_what_others_write_to_the_block_of_a_spec_is_said_in_the_spec(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (inside / "feeder.st").write_text(FEEDER, encoding="utf-8")
    spec = "SPEC Feeder SOURCE 'feeder.st'; SCAN T#10ms; PROPERTY p: TRUE; END_SPEC"
    (inside / "feeder.spec").write_text(spec, encoding="utf-8")
    words = ["inspect", from_here(inside / "feeder.spec"), "--kinds", "unused", "--free", "hatch"]
    assert cli.run(words) == ExitCode.UNUSABLE
    assert "write OUTSIDE hatch; there" in capsys.readouterr().err
