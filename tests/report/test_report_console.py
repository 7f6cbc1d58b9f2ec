"""What the console can show is decided once, and printing never fails."""

from __future__ import annotations

import subprocess
import sys

import pytest
from twohand.commands.shared.console import encodable, known_encoding, terminal_for, wants_color
from twohand.commands.shared.session import Progress
from twohand.program.types import BOOL, DINT, TIME, WORD, Enumeration, Type, Value
from twohand.report.drawing.terminal import Terminal
from twohand.scan.clocking import Clocking
from twohand.specification.phrases import duration, value, wall_time


@pytest.mark.parametrize(
    ("color", "is_terminal", "environment", "wanted"),
    [
        ("auto", True, {}, True),
        ("auto", False, {}, False),
        ("auto", True, {"NO_COLOR": "1"}, False),
        ("auto", True, {"NO_COLOR": ""}, True),
        ("auto", True, {"TERM": "dumb"}, False),
        ("always", False, {"NO_COLOR": "1"}, True),
        ("never", True, {}, False),
    ],
)
def test_colour_is_for_terminals_that_want_it(
    color: str, is_terminal: bool, environment: dict[str, str], wanted: bool
) -> None:
    assert wants_color(color, is_terminal, environment) is wanted


@pytest.mark.parametrize(
    ("encoding", "lines"), [("utf-8", True), ("ascii", False), ("cp1252", False), (None, False)]
)
def test_lines_are_drawn_where_the_console_can(encoding: str | None, lines: bool) -> None:
    assert terminal_for(encoding, False, {}).lines is lines
    assert terminal_for(encoding, False, {}, lines=not lines).lines is not lines


def test_an_unknown_encoding_counts_as_ascii() -> None:
    assert known_encoding("no-such-encoding") == "ascii"
    assert encodable("▲ é", "no-such-encoding") == "? ?"


def test_progress_is_one_line_that_is_written_over(capsys: pytest.CaptureFixture[str]) -> None:
    progress = Progress(Terminal(), enabled=True, prefix="press: ")
    progress("start_window")
    progress("power_up")
    progress.clear()
    out, err = capsys.readouterr()
    assert out == ""
    assert err == "\rpress: start_window\rpress: power_up    \r" + " " * 15 + "\r"


def test_progress_is_silent_without_a_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    progress = Progress(Terminal(), enabled=False)
    progress("start_window")
    progress.clear()
    assert capsys.readouterr() == ("", "")


MILLISECONDS = Clocking(1_000_000, 10, 10)
TENTHS = Clocking(100_000, 10, 10)
COLOURS = Enumeration("Lamp", (("Red", 0), ("Green", 1)))


@pytest.mark.parametrize(
    ("units", "clocking", "text"),
    [
        (0, MILLISECONDS, "0 ms"),
        (490, MILLISECONDS, "490 ms"),
        (9_999, MILLISECONDS, "9999 ms"),
        (10_000, MILLISECONDS, "10 s"),
        (61_530, MILLISECONDS, "61.53 s"),
        (-20, MILLISECONDS, "-20 ms"),
        (4_999, TENTHS, "499.9 ms"),
    ],
)
def test_a_time_is_exact(units: int, clocking: Clocking, text: str) -> None:
    assert duration(units, clocking) == text


@pytest.mark.parametrize(
    ("item", "kind", "text"),
    [
        (True, BOOL, "TRUE"),
        (-3, DINT, "-3"),
        (255, WORD, "16#FF"),
        (500, TIME, "500 ms"),
        (1, COLOURS, "Green"),
        (7, COLOURS, "7"),
        (None, BOOL, "?"),
    ],
)
def test_a_value_is_written_as_structured_text_has_it(
    item: Value | None, kind: Type, text: str
) -> None:
    assert value(item, kind, MILLISECONDS) == text


@pytest.mark.parametrize(
    ("spent", "text"), [(0.154, "0.15 s"), (12.4, "12 s"), (125.0, "2 min 05 s")]
)
def test_time_spent_is_rounded_for_reading(spent: float, text: str) -> None:
    assert wall_time(spent) == text


def test_the_package_runs_as_a_module() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "twohand", "--version"], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stdout[:7]) == (0, "twohand")
