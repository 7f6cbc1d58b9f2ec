"""What is asked of each figure, in formulas of the spec language."""

from __future__ import annotations

from pathlib import Path

from twohand.analyses.measure.asked import quantity_text
from twohand.analyses.measure.figures import figures_of
from twohand.analyses.measure.results import Decision, FigureResult, Measurement, MeasureReport
from twohand.analyses.measure.text import measure_lines
from twohand.report.drawing.terminal import Terminal
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Specification

BLOCK = """FUNCTION_BLOCK Hoop
VAR_INPUT left, right, third, opened, up : BOOL; END_VAR
VAR_OUTPUT ram : BOOL; END_VAR
ram := left AND right AND NOT opened;
END_FUNCTION_BLOCK
"""
SPEC = """SPEC Hoop
SOURCE 'hoop.st';
SCAN T#10ms;
HAND left = left;
HAND right = right;
OUTPUT ram;
{more}
REQUIRE TWO_HAND LOGIC TYPE I;
END_SPEC
"""


def spec_of(folder: Path, more: str = "") -> Specification:
    (folder / "hoop.st").write_text(BLOCK, encoding="utf-8")
    (folder / "hoop.spec").write_text(SPEC.format(more=more), encoding="utf-8")
    return load_specification(folder / "hoop.spec")


def asked(folder: Path, more: str = "") -> dict[str, str]:
    spec = spec_of(folder, more)
    return {each.identifier: quantity_text(each.time, spec.clocking) for each in figures_of(spec)}


def test_every_figure_says_when_it_is_read_and_between_which_moments(tmp_path: Path) -> None:
    start = "(rose(ram) OR (FIRST_SCAN AND ram))"
    late = "prev(ram AND NOT left)"
    assert asked(tmp_path) == {
        "lag": f"in each scan with {start}, the time between the first and the last of these: the "
        "last scan with rose(left), the last scan with rose(right); without limit where one of "
        "them is missing",
        "reaction of left": f"in each scan with ((rose(NOT left) AND prev(ram)) OR {late}), the "
        "time since the last scan with rose(NOT left); without limit where there is none",
        "reaction of right": "in each scan with ((rose(NOT right) AND prev(ram)) OR "
        "prev(ram AND NOT right)), the time since the last scan with rose(NOT right); without "
        "limit where there is none",
        "between starts": f"in each scan with {start}, the time since the last scan before it with "
        f"{start}",
        "on-time": f"in each scan with prev(ram), the time since the last scan with {start}",
    }


def test_hazards_and_stop_conditions_are_in_what_is_asked(tmp_path: Path) -> None:
    found = asked(tmp_path, "HAZARD NOT up; STOPPED_BY opened, ram AND up;")
    assert "prev((ram AND NOT up) AND NOT left)" in found["reaction of left"]
    assert found["stop of opened"] == (
        "in each scan with ((rose(opened) AND prev(ram)) OR prev(ram AND opened)), the time since "
        "the last scan with rose(opened); without limit where there is none"
    )
    own = found["stop of ram AND up"]
    assert own.endswith("with (rose(ram AND up) OR (FIRST_SCAN AND (ram AND up)))")


def test_a_selected_station_is_in_what_is_asked(tmp_path: Path) -> None:
    found = asked(tmp_path, "STATION front = left, right WHEN third;")
    assert "third" in found["lag"]
    assert "third" in found["reaction of left"]


def test_details_print_what_is_asked_and_a_plain_report_does_not(tmp_path: Path) -> None:
    spec = spec_of(tmp_path)
    results = [FigureResult(each, Measurement(Decision.UNDECIDED)) for each in figures_of(spec)]
    report = MeasureReport(spec, tuple(results))
    plain, detailed = (measure_lines(report, Terminal(), details) for details in (False, True))
    assert not any("asked:" in line for line in plain)
    assert sum("asked: in each scan with" in line for line in detailed) == len(results)
