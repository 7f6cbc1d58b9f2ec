"""What ``twohand measure`` shows: text, JSON, distances with every term, and exit codes."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from twohand.analyses.measure.figures import figures_of
from twohand.analyses.measure.results import Decision, FigureResult, Measurement, MeasureReport
from twohand.analyses.measure.text import measure_code
from twohand.commands import main as cli
from twohand.report.exit_code import ExitCode
from twohand.specification.load import load_specification

from tests.support.places import from_here
from tests.support.samples.check_samples import TWO_HANDS, TYPE_THREE
from tests.support.samples.measured_blocks import FIXED, HANDS, block
from tests.support.schemas import schema

PLAIN = block("stroke := left AND right;")
TYPE_ONE = f"{HANDS}{FIXED}"
TIMES = "STOPPING INPUT T#3ms, OUTPUT T#15ms, MACHINE T#120ms;"


def written(folder: Path, text: str, statements: str, scan: str = "T#10ms") -> Path:
    (folder / "block.st").write_text(text, encoding="utf-8")
    path = folder / "block.spec"
    path.write_text(
        f"SPEC Sample\n SOURCE 'block.st';\n SCAN {scan};\n {statements}\nEND_SPEC\n",
        encoding="utf-8",
    )
    return path


Shown = tuple[int, str, str]


def run(path: Path, capsys: pytest.CaptureFixture[str], *options: str) -> Shown:
    arguments = [
        "measure",
        from_here(path),
        "--ascii",
        "--width",
        "100",
        "--processes",
        "1",
        *options,
    ]
    code = cli.run(arguments)
    out, err = capsys.readouterr()
    return code, out, err


def json_of(path: Path, capsys: pytest.CaptureFixture[str]) -> tuple[int, dict[str, Any]]:
    code, out, _ = run(path, capsys, "--json", "-")
    document = json.loads(out)
    assert list(schema("measurement").iter_errors(document)) == []
    (only,) = document["specs"]
    return code, only


@pytest.mark.long
def test_figures_are_shown_with_value_place_run_and_proof(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    statements = f"{TWO_HANDS} REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#100ms;"
    code, out, err = run(written(inside, TYPE_THREE, statements), capsys, "--details")
    assert (code, err) == (0, "")
    flat = " ".join(out.split())
    assert (
        "EXACT widest lag that still starts (block.spec:4): 9 scans, 90 ms as sampled; truly below "
        "100 ms, not attained"
    ) in flat
    assert "reached in a replayed run of 11 scans" in flat
    assert "nothing exceeds it: invariant of " in flat
    assert "where a timer's edge call counts no time; otherwise 80 ms" in flat
    assert "release of left to stroke off (block.spec:4): 0 scans, 0 ms as sampled; truly" in flat
    assert "shortest time between two starts (block.st:4): 2 scans, 20 ms as sampled" in flat
    assert "NO LIMIT longest on-time of stroke (block.st:4): no limit" in flat
    assert "can be repeated at will" in flat
    assert "invariant, in every scan:" in out
    assert "widest lag that still starts: the run" in out
    assert "^ reached" in out
    assert "add for instance STOPPING INPUT" in flat
    assert "1 spec measured, 5 of 5 figures decided" in flat


@pytest.mark.long
def test_every_term_of_a_distance_is_shown_with_its_cautions(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """T = 3 + 20 + 15 + 120 ms; 1600 x 0.158 + 250 = 502.8 mm; 63 x 0.158 = 9.954 in; trip: 4/7 s
    and 36 in at 60 revolutions a minute and 14 points (arithmetic)."""
    statements = f"{TYPE_ONE} {TIMES} CLUTCH POINTS 14, REVOLUTION T#1s;"
    code, out, _ = run(written(inside, PLAIN, statements), capsys)
    assert code == 0
    lines = [" ".join(line.split()) for line in out.splitlines()]
    assert "input filter 3 ms STOPPING INPUT" in lines
    assert "logic below 20 ms longest reaction to a release, true bound (left)" in lines
    assert "output device 15 ms STOPPING OUTPUT" in lines
    assert "machine 120 ms STOPPING MACHINE" in lines
    assert "T below 158 ms" in lines
    of_2010 = "S = 1600 mm/s x 0.158 s + 250 mm = 502.8 mm; rounded up 503 mm (19.80 in)"
    assert of_2010 in lines
    assert "Ds > 63 in/s x 0.158 s = 9.954 in; rounded up 9.96 in (253 mm)" in lines
    assert "Tm = (1/2 + 1/14) x 1 s = 4/7 s" in " ".join(lines)
    assert "Dm > 63 in/s x 4/7 s = 36 in; rounded up 36.00 in (915 mm)" in lines
    flat = " ".join(lines)
    assert "ISO 13855:2010, two-hand control (the older edition's, not the result): S =" in flat
    assert flat.index("ISO 13855:2024, two-hand control: S =") < flat.index("ISO 13855:2010")
    assert "K = 1600 mm/s, C = 250 mm (from memory; seen in a national adoption" in flat
    assert "the greater distance is the result" in flat
    assert "at about 90 degrees of crank (29 CFR" in flat
    assert "Local codes and licensed practice decide." in flat
    assert "Tm counts from the trip on." in flat


@pytest.mark.long
def test_a_stopping_time_with_the_logic_in_it_counts_it_once(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """1600 x 0.2 = 320 mm with encroachment prevented (ISO 13855, clause 8; arithmetic)."""
    more = "STOPPING INPUT T#3ms, MACHINE T#200ms, LOGIC INCLUDED;"
    more += "ENCROACHMENT PREVENTED SHOWN BY 'V';"
    code, found = json_of(written(inside, PLAIN, f"{TYPE_ONE} {more}"), capsys)
    assert code == 0
    times = found["distances"]
    assert [term["seconds"] for term in times["times"]] == [None, None, None, 0.2]
    iso, control = times["by_stopping_time"]
    assert (iso["millimetres"], control["inches"]) == (320, 12.6)
    assert "shown by: V)" in iso["terms"]["C"]
    assert any("stands on the word" in each for each in found["distances"]["cautions"])
    assert any("two longest scans (20 ms)" in each for each in found["distances"]["cautions"])


@pytest.mark.long
def test_json_has_the_numbers_of_every_figure(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    late = block("stroke := one; one := left AND right;", "one : BOOL;")
    path = written(inside, late, f"{TYPE_ONE} STOPPED_BY guardOpen;", "T#2ms..T#3ms")
    code, found = json_of(path, capsys)
    assert code == 1
    figures = {each["identifier"].partition("/")[2]: each for each in found["figures"]}
    reaction = figures["reaction/left"]
    assert (reaction["reached"], reaction["true_bound"]) == (3_000_000, 9_000_000)
    assert reaction["scans"] == [1, 1]
    assert reaction["certificate"]["clauses"]
    stop = figures["stop/guardOpen"]
    assert (stop["decision"], stop["true_bound"]) == ("no limit", None)
    assert stop["repeatable_scan"] > 0
    between = figures["between starts/"]
    assert (between["reached"], between["true_bound"]) == (4_000_000, 1_000_000)
    spec = found["spec"]
    assert (spec["shortest_scan"], spec["longest_scan"]) == (2_000_000, 3_000_000)
    assert stop["formula"] == ("(rose(guardOpen) AND prev(stroke)) OR prev(stroke AND guardOpen)")
    assert stop["events"] == ["rose(guardOpen)"]
    assert stop["asked"].startswith("in each scan with ((rose(guardOpen)")


@pytest.mark.long
def test_no_distance_is_given_where_the_output_can_stay_on(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    latched = block("stroke := left AND right OR stroke;")
    code, out, _ = run(written(inside, latched, f"{TYPE_ONE} {TIMES}"), capsys)
    assert code == 1
    flat = " ".join(out.split())
    assert "after the release of left the output can stay on without limit" in flat
    assert "1600" not in flat


@pytest.mark.long
def test_a_start_without_a_press_is_told_apart_from_a_run_that_can_be_prolonged(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    edges = "stroke := left AND right AND (NOT was OR stroke); was := left OR right;"
    text = block(edges, "was : BOOL;")
    code, out, _ = run(written(inside, text, TYPE_ONE), capsys)
    flat = " ".join(out.split())
    assert code == 0
    assert "no limit a replayed run of 1 scan starts with a hand that is not pressed" in flat


def test_a_spec_without_an_output_has_nothing_to_measure(
    inside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, _, err = run(written(inside, PLAIN, "PROPERTY p : left -> left;"), capsys)
    assert code == 2
    assert "nothing to measure: spec 'Sample' names no output" in err
    assert "OUTPUT" in err


def test_a_missing_file_is_told(inside: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, _, err = run(inside / "nowhere.spec", capsys)
    assert code == 2
    assert "nowhere.spec" in err


@pytest.mark.parametrize(
    ("decisions", "code"),
    [
        ({}, ExitCode.ALL_PROVED),
        ({"on-time": Decision.NO_LIMIT, "lag": Decision.NO_LIMIT}, ExitCode.ALL_PROVED),
        ({"lag": Decision.UNDECIDED}, ExitCode.UNDECIDED),
        ({"reaction of left": Decision.NO_LIMIT}, ExitCode.VIOLATED),
        (
            {"reaction of left": Decision.NO_LIMIT, "lag": Decision.UNDECIDED},
            ExitCode.VIOLATED,
        ),
        ({"stop of guardOpen": Decision.NO_LIMIT}, ExitCode.VIOLATED),
    ],
)
def test_only_a_stop_without_limit_and_what_is_open_are_no_success(
    inside: Path, decisions: dict[str, Decision], code: ExitCode
) -> None:
    path = written(inside, PLAIN, f"{TYPE_ONE} STOPPED_BY guardOpen;")
    specification = load_specification(path)
    results = tuple(
        FigureResult(figure, Measurement(decisions.get(figure.identifier, Decision.EXACT)))
        for figure in figures_of(specification)
    )
    assert code is measure_code(MeasureReport(specification, results))
