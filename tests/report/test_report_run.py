"""A run is shown as a diagram and a table that can be read without knowing the checker."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from twohand.report.drawing.lanes import Picture, lanes_of, stretches
from twohand.report.drawing.table import table_lines
from twohand.report.drawing.terminal import Terminal, text_width
from twohand.report.drawing.timing_diagram import diagram_lines
from twohand.report.run import run_lines, violation_lines
from twohand.scan.clocking import Clocking
from twohand.scan.scan_record import ScanRecord
from twohand.specification.model.specification import Specification

from tests.support.samples.report_samples import (
    ARMED,
    ELAPSED,
    PROGRAM,
    Counterexample,
    late_start,
    record,
    report,
    requirement,
    specification,
    violated,
)

LINES = Terminal(80)
ASCII = Terminal(80, lines=False, encoding="ascii")


def picture(run: Counterexample, spec: Specification, terminal: Terminal) -> Picture:
    return Picture(lanes_of(spec, requirement(), run.records), run.records, spec.clocking, terminal)


def diagram(run: Counterexample, terminal: Terminal, spec: Specification | None = None) -> str:
    spec = spec or specification()
    return "\n".join(diagram_lines(picture(run, spec, terminal), "wrong"))


def table(run: Counterexample, terminal: Terminal, whole: bool = False) -> str:
    return "\n".join(table_lines(picture(run, specification(), terminal), whole))


def test_a_diagram_draws_waves_breaks_quiet_stretches_and_marks_the_wrong_moment() -> None:
    assert diagram(late_start(), LINES) == "\n".join(
        [
            "                       ┌────╱╱─────",
            "  left (leftPalm)  ────┘",
            "                               ┌───",
            "  right            ─────────╱╱─┘",
            "                               ┌───",
            "  stroke           ─────────╱╱─┘",
            "                   ┬───┬────╱╱─┬───",
            "  time, ms         0   10      510",
            "                               ▲ wrong",
            "  steady: guardShut TRUE",
        ]
    )


def test_a_diagram_of_plain_characters_has_no_others() -> None:
    assert diagram(late_start(), ASCII) == "\n".join(
        [
            "                        ____//_____",
            "  left (leftPalm)  ____|",
            "                                ___",
            "  right            _________//_|",
            "                                ___",
            "  stroke           _________//_|",
            "                   +---+----//-+---",
            "  time, ms         0   10      510",
            "                               ^ wrong",
            "  steady: guardShut TRUE",
        ]
    )


def test_a_table_folds_equal_scans_and_leaves_blank_what_did_not_change() -> None:
    assert table(late_start(), LINES) == "\n".join(
        [
            "  time                 0 ms   10 ms  × 49 scans,   510 ms",
            "                     scan 1  scan 2       490 ms  scan 52",
            "  inputs",
            "    left (leftPalm)   FALSE    TRUE",
            "    right             FALSE                          TRUE",
            "    guardShut          TRUE",
            "  outputs",
            "    stroke            FALSE                          TRUE",
            "  internal",
            "    window.ET          0 ms            to 490 ms   500 ms",
            "  unchanged: armed FALSE",
        ]
    )


def test_a_whole_table_has_every_scan_and_every_variable() -> None:
    text = table(late_start(), LINES, whole=True)
    assert all(f"scan {scan}" in text for scan in range(1, 53))
    assert "    armed" in text
    assert "scans," not in text


def test_a_violation_has_sentence_question_pictures_and_the_line_that_acted() -> None:
    lines = violation_lines(violated(), report(violated()), LINES)
    assert lines[:4] == [
        "start_window: VIOLATED",
        "  at 510 ms the output started, 500 ms after the first hand; at most 490 ms is",
        "  asked",
        "  source: ISO 13851:2019, 5.8",
    ]
    assert lines[-5:] == [
        "  at 510 ms: stroke becomes TRUE  press.st:6",
        "",
        "press.st:6:1: this set stroke TRUE",
        "  6 │ stroke := leftPalm AND right AND window.ET <= T#500ms;",
        "    │ ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^",
    ]


def test_the_reading_that_decides_is_named() -> None:
    run = replace(late_start(), readings={"edge_call_counts": True}, reading_decides=True)
    lines = run_lines(run, specification(), requirement(), LINES, "wrong", False)
    expected = "only where a timer's edge call counts its scan; proved under another reading"
    assert " ".join(lines[0].split() + lines[1].split()) == expected


def test_a_variable_that_the_requirement_does_not_speak_of_has_no_wave() -> None:
    records = (record(0, 0), record(1, 0, armed=True))
    text = diagram(Counterexample(records), LINES)
    assert ARMED.name not in text
    assert ARMED.name in table(Counterexample(records), LINES)


def test_numbers_are_values_in_their_lane() -> None:
    spec = specification(outputs=(ELAPSED,))
    text = diagram(late_start(), LINES, spec)
    line = next(line for line in text.splitlines() if "window.ET" in line)
    assert "│0 ms" in line
    assert "490 ms" in line
    assert "│500 ms" in line


def test_a_running_timer_is_no_event_and_its_reset_is_one() -> None:
    records = [record(scan, scan * 10) for scan in range(6)]
    records += [record(6, 0), record(7, 10), record(8, 20)]
    lanes = lanes_of(specification(), None, records)
    found = stretches(lanes, len(records))
    assert [(item.first, item.last) for item in found] == [(0, 5), (6, 7), (8, 8)]


def test_a_long_run_counts_seconds() -> None:
    records = (record(0, 0), ScanRecord(123_456, 10, record(0, 0).values))
    assert "time, s" in diagram(Counterexample(records), LINES)
    assert "123.456" in diagram(Counterexample(records), LINES)


def test_a_unit_finer_than_a_millisecond_is_shown_exactly() -> None:
    spec = replace(specification(), clocking=Clocking(100_000, 5, 5))
    records = (record(0, 0, 5), record(1, 0, 5, leftPalm=True))
    assert "0.5" in diagram(Counterexample(records), LINES, spec)


def test_a_run_of_one_scan_is_drawn() -> None:
    text = diagram(Counterexample((record(0, 0, leftPalm=True, stroke=True),)), LINES)
    assert "▲ wrong" in text


def test_a_run_longer_than_the_width_goes_on_below() -> None:
    records = [record(scan, 0, leftPalm=scan % 2 == 1) for scan in range(40)]
    text = diagram(Counterexample(tuple(records)), Terminal(40))
    assert text.count("(further)") >= 5
    assert text.count("wrong") == 1


STATES = st.fixed_dictionaries(
    {name: st.booleans() for name in ("leftPalm", "right", "guardShut", "stroke", "armed")}
)


@pytest.mark.long
@settings(deadline=None, derandomize=True, max_examples=60)
@given(
    states=st.lists(STATES, min_size=1, max_size=30),
    stays=st.lists(st.integers(1, 200), min_size=30, max_size=30),
    width=st.integers(40, 160),
    lines=st.booleans(),
)
def test_every_run_fits_the_width_and_shows_its_last_scan(
    states: list[dict[str, bool]], stays: list[int], width: int, lines: bool
) -> None:
    expanded = [state for state, stay in zip(states, stays, strict=False) for _ in range(stay)]
    records = tuple(record(scan, scan * 10, **state) for scan, state in enumerate(expanded))
    terminal = Terminal(width, lines, encoding="utf-8" if lines else "ascii")
    run = Counterexample(records)
    text = diagram(run, terminal) + "\n" + table(run, terminal)
    assert max(text_width(line) for line in text.splitlines()) <= width
    assert text.count("wrong") == 1
    assert lines or text.isascii()
    assert f"scan {len(records)}" in text


@pytest.mark.parametrize("whole", [False, True])
def test_every_change_of_every_variable_is_in_the_table(whole: bool) -> None:
    records = tuple(
        record(scan, 0, leftPalm=scan % 3 == 0, armed=scan % 5 == 0, stroke=scan > 4)
        for scan in range(10)
    )
    text = table(Counterexample(records), Terminal(400), whole)
    rows = {line.split()[0]: line.split()[1:] for line in text.splitlines() if line.strip()}
    assert rows["armed"] == ["TRUE", "FALSE", "TRUE", "FALSE"]
    assert rows["stroke"] == ["FALSE", "TRUE"]
    assert rows["left"] == ["(leftPalm)", *["TRUE", "FALSE"] * 3, "TRUE"]
    assert {item.name for item in PROGRAM.variables} >= {"armed", "stroke"}


def presses(scans: int) -> Counterexample:
    """The left hand is on in every second scan."""
    records = [record(number, 0, leftPalm=number % 2 == 1) for number in range(scans)]
    return Counterexample(tuple(records))


def test_a_run_that_is_too_long_is_shown_by_its_beginning_and_its_end() -> None:
    drawn = diagram(presses(2000), LINES).splitlines()
    assert len(drawn) < 80
    (gap,) = [line for line in drawn if "not shown" in line]
    scans = re.search(r"\((\d+) scans not shown: scan (\d+) at (\S+) ms to scan (\d+)", gap)
    assert scans is not None
    missing, first, at, last = map(int, scans.groups())
    assert last - first + 1 == missing
    assert at == 10 * (first - 1)
    labels = " ".join(line for line in drawn if line.startswith("  time"))
    assert f" {at - 10} " in f"{labels} "
    assert f" {10 * last} " in labels


def test_a_table_tells_every_value_anew_after_scans_that_it_does_not_show() -> None:
    text = table(presses(2000), LINES)
    before, after = text.split("not shown")
    assert "scan 1999" not in before
    first_row = next(line for line in after.splitlines() if "guardShut" in line)
    assert first_row.split()[:2] == ["guardShut", "TRUE"]
    assert "not shown" not in table(presses(60), LINES)
    assert "not shown" not in table(presses(2000), LINES, whole=True)
