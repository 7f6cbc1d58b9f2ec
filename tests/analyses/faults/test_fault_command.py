"""``twohand faults``: the table in the terminal and as JSON, one run on demand, exit codes."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from twohand.commands import main as cli

from tests.support.places import from_here
from tests.support.samples.fault_samples import PAIR_SPEC, SINGLE_SPEC, written_spec
from tests.support.schemas import schema

Capture = pytest.CaptureFixture[str]
FAST = ("--processes", "1", "--width", "100", "--ascii")


def specs(folder: Path) -> tuple[str, str]:
    """One contact and two contacts a hand, with the same logic."""
    single = folder / "single.spec"
    written_spec(folder, SINGLE_SPEC).rename(single)
    pair = folder / "pair.spec"
    written_spec(folder, PAIR_SPEC).rename(pair)
    return from_here(single), from_here(pair)


@pytest.mark.long
def test_two_specs_come_out_side_by_side_with_the_source_of_what_is_asked(
    inside: Path, capsys: Capture
) -> None:
    target = inside / "faults.json"
    code = cli.run(["faults", *specs(inside), "--json", from_here(target), *FAST])
    out, err = capsys.readouterr()
    assert (code, err) == (1, "")
    assert "leftNO stuck closed" in out
    side = out[out.index("Side by side") :].splitlines()
    rows = {line[2:24].strip(): line[24:].split("  ") for line in side[2:8]}
    found = {title: [word.strip() for word in cells if word] for title, cells in rows.items()}
    assert found["contact stuck closed"] == ["2 of 2", "none of 4"]
    assert found["contact stuck open"] == ["none of 2", "none of 4"]
    assert found["short with an output"] == ["2 of 2", "none of 4"]
    assert "ISO 13851:2019" in out
    assert "states no performance level" in " ".join(out.split())
    hold_document(json.loads(target.read_text(encoding="utf-8")))


def hold_document(document: dict[str, Any]) -> None:
    """What other programs may rely on."""
    assert list(schema("fault-table").iter_errors(document)) == []
    single, pair = document["specs"]
    assert (single["logic_type"], single["arrangement"], single["pairs_asked"]) == ("II", "", False)
    assert single["no_fault_at"] == ["guardShut"]
    asked = single["without_fault"]["spec"]["requirements"]
    assert [each["name"] for each in asked] == ["both_hands", "release_both", "power_up"]
    (stuck,) = (each for each in single["single"] if each["name"] == "leftNO-stuck-closed")
    (fault,) = stuck["faults"]
    assert (fault["kind"], fault["at"]) == ("stuck closed", ["leftNO"])
    answer = stuck["answers"][0]
    assert (answer["requirement"], answer["standing"]) == ("both_hands", "violated")
    assert answer["identifier"].endswith("/leftNO-stuck-closed/both_hands")
    assert "go becomes TRUE" in answer["seen"]
    assert len(answer["run"]["steps"]) > 1
    assert answer["same_run_as"] == ""
    outcomes = (stuck["shows"], stuck["noticed"], stuck["findings"])
    assert outcomes == ("PROVED", "VIOLATED", [])
    kept = {answer["standing"] for row in pair["single"] for answer in row["answers"]}
    assert kept == {"proved"}


def test_a_run_is_shown_on_demand(inside: Path, capsys: Capture) -> None:
    single, _ = specs(inside)
    code = cli.run(["faults", single, "--trace", "LEFTNO-stuck-closed", "both_hands", *FAST])
    out = capsys.readouterr().out
    assert code == 1
    assert "fault assumed: leftNO stuck closed" in out
    assert "falls under this fault" in " ".join(out.split())
    assert "as expected" not in " ".join(out.split()), "EXPECT is of no fault"
    assert "fault.begins" in out
    assert "this set go TRUE" in out


def test_the_run_of_two_faults_is_shown_on_demand(inside: Path, capsys: Capture) -> None:
    _, pair = specs(inside)
    names = "leftNO-stuck-closed+leftNC-stuck-open"
    assert cli.run(["faults", pair, "--trace", names, "both_hands", *FAST]) == 0
    out = capsys.readouterr().out
    assert "fault assumed: leftNC stuck open" in out
    assert "falls under these faults" in " ".join(out.split())
    assert "no single fault may cost the function" in out, "type II says nothing of two"
    assert "second.begins" in out


@pytest.mark.long
def test_a_traced_loss_that_the_type_allows_is_told_and_no_failure(
    inside: Path, capsys: Capture
) -> None:
    path = written_spec(inside, SINGLE_SPEC.replace("TYPE II", "TYPE I"))
    stuck = "leftNO-stuck-closed"
    assert cli.run(["faults", from_here(path), "--trace", stuck, "both_hands", *FAST]) == 0
    out = capsys.readouterr().out
    assert "falls under this fault" in " ".join(out.split())
    assert "allowed: lost, allowed for this type; a fault may cost the function" in out
    assert cli.run(["faults", from_here(path), "--trace", stuck, "off_after", *FAST]) == 0


@pytest.mark.parametrize(
    ("fault", "requirement", "says", "way"),
    [
        ("leftNO-stuck-close", "both_hands", "unknown fault", "leftNO-stuck-closed"),
        ("leftNO-stuck-closed", "both_hand", "unknown requirement", "both_hands"),
        ("leftNO-stuck-closed+leftNO-stuck-open", "both_hands", "together", "FAULT+FAULT"),
        ("supply-lost+supply-lost+supply-lost", "both_hands", "together", "FAULT+FAULT"),
    ],
)
def test_a_wrong_name_of_a_fault_or_requirement_is_answered_with_the_nearest(
    inside: Path, capsys: Capture, fault: str, requirement: str, says: str, way: str
) -> None:
    single, _ = specs(inside)
    assert cli.run(["faults", single, "--trace", fault, requirement, *FAST]) == 2
    err = capsys.readouterr().err
    assert says in err
    assert way in err


@pytest.mark.long
def test_json_alone_on_the_output(inside: Path, capsys: Capture) -> None:
    spec = inside / "count.spec"
    (inside / "count.st").write_text(
        "FUNCTION_BLOCK Count\nVAR_INPUT key : BOOL; END_VAR\nVAR n : SINT; END_VAR\n"
        "n := 127;\nIF key THEN n := n + 1; END_IF;\nEND_FUNCTION_BLOCK\n"
    )
    spec.write_text(
        "SPEC Count\nSOURCE 'count.st';\nSCAN T#10ms;\nSUPPLY p24 = key;\n"
        "PROPERTY full : key OR n = 127;\nEND_SPEC\n"
    )
    assert cli.run(["faults", from_here(spec), "--json", "-", "--single", *FAST]) == 1
    document = json.loads(capsys.readouterr().out)
    assert list(schema("fault-table").iter_errors(document)) == []
    (spec,) = document["specs"]
    (found,) = spec["single"][0]["findings"]
    assert (found["kind"], found["identifier"].split(":")[0]) == (
        "overflow",
        "Count/overflow/Count",
    )
    assert document["options"]["single"] is True


def test_a_table_that_cannot_be_written_is_an_error(inside: Path, capsys: Capture) -> None:
    _, pair = specs(inside)
    target = from_here(inside / "nowhere" / "faults.json")
    assert cli.run(["faults", pair, "--json", target, *FAST]) == 2
    assert "cannot be written" in capsys.readouterr().err


def test_a_contact_that_is_no_plain_input_is_refused(inside: Path, capsys: Capture) -> None:
    text = PAIR_SPEC.replace("leftNO, NOT leftNC", "leftNO AND NOT leftNC")
    assert cli.run(["faults", from_here(written_spec(inside, text)), *FAST]) == 2
    assert "contacts that are plain inputs" in capsys.readouterr().err


@pytest.mark.long
def test_an_excluded_fault_is_not_looked_at_and_named(inside: Path, capsys: Capture) -> None:
    single, _ = specs(inside)
    closed = ["leftNO-stuck-closed", "rightno-stuck-closed", "leftNO-rightNO-short"]
    closed += ["leftNO-go-output-short", "rightNO-go-output-short"]
    options = [word for name in closed for word in ("--exclude", name)]
    assert cli.run(["faults", single, *options, *FAST]) == 1
    out = " ".join(capsys.readouterr().out.split())
    assert "Excluded, and not looked at: leftNO stuck closed, rightNO stuck closed, short" in out
    assert "has to be justified" in out
    assert "3 single faults: none costs a requirement; 3 cost more if they end" in out


def test_excluding_every_fault_leaves_nothing_to_ask(inside: Path, capsys: Capture) -> None:
    single, _ = specs(inside)
    names = (
        "leftNO-stuck-open leftNO-stuck-closed rightNO-stuck-open rightNO-stuck-closed "
        "leftNO-rightNO-short leftNO-go-output-short rightNO-go-output-short supply-lost"
    )
    options = [word for name in names.split() for word in ("--exclude", name)]
    assert cli.run(["faults", single, *options, *FAST]) == 2
    assert "nothing is left" in capsys.readouterr().err
