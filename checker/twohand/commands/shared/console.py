"""What the console at hand can show: decided once, from its encoding, its size and the wishes."""

from __future__ import annotations

import codecs
import shutil
from collections.abc import Mapping

from twohand.report.drawing.terminal import LINES, Terminal, can_encode

WIDTH_OF_A_FILE = 100
"""Columns where the output goes to no terminal and COLUMNS says nothing."""
LEAST_WIDTH = 40
GREATEST_WIDTH = 160
"""Lines longer than this are hard to follow on a wide screen."""


def known_encoding(name: str | None) -> str:
    """An encoding that Python knows; ASCII where the stream states none."""
    try:
        return codecs.lookup(name or "ascii").name
    except LookupError:
        return "ascii"


def wants_color(color: str, is_terminal: bool, environment: Mapping[str, str]) -> bool:
    """``always`` and ``never`` decide; ``auto`` colours a terminal unless NO_COLOR is set (to
    anything but nothing, as no-color.org has it) or the terminal is a dumb one."""
    if color != "auto":
        return color == "always"
    plain = environment.get("NO_COLOR", "") or environment.get("TERM", "") == "dumb"
    return is_terminal and not plain


def terminal_for(
    encoding: str | None,
    is_terminal: bool,
    environment: Mapping[str, str],
    *,
    lines: bool | None = None,
    width: int | None = None,
    color: str = "auto",
) -> Terminal:
    """The terminal to render for; ``lines`` and ``width`` None: what the console can do."""
    known = known_encoding(encoding)
    if width is None:
        columns = shutil.get_terminal_size((WIDTH_OF_A_FILE, 24)).columns
        width = min(columns, GREATEST_WIDTH)
    if lines is None:
        lines = can_encode("".join(vars(LINES).values()), known)
    colored = wants_color(color, is_terminal, environment)
    return Terminal(max(width, LEAST_WIDTH), lines, colored, known)


def encodable(text: str, encoding: str | None) -> str:
    """``text`` with what the stream cannot encode replaced, so that printing cannot fail."""
    known = known_encoding(encoding)
    return text.encode(known, "replace").decode(known)
