"""A block, a plant and specs of them, for the tests of the spec language."""

from __future__ import annotations

from pathlib import Path

from twohand.specification.load import load_specifications
from twohand.specification.model.specification import Specification
from twohand.text.diagnostic import Diagnostic, InputError

PRESS = """
TYPE Mode : (Idle, Stroke, Fault); END_TYPE
FUNCTION_BLOCK Press
VAR_INPUT
    leftPalm, rightPalm, leftOpener, guardShut, stop, rodHome : BOOL;
    speed : INT;
END_VAR
VAR_OUTPUT
    enable, lamp, forwardCoil : BOOL;
    strokes : INT;
END_VAR
VAR
    window : TON;
    mode : Mode;
END_VAR
VAR CONSTANT
    TOP_SPEED : INT := 100;
END_VAR
window(IN := leftPalm OR rightPalm, PT := T#500ms);
IF leftPalm AND rightPalm AND NOT window.Q THEN
    enable := TRUE;
    mode := Mode#Stroke;
END_IF;
IF NOT (leftPalm AND rightPalm) OR stop OR NOT guardShut THEN
    enable := FALSE;
    mode := Mode#Idle;
END_IF;
forwardCoil := enable;
lamp := rodHome;
IF speed > TOP_SPEED AND strokes < 1000 THEN strokes := strokes + 1; END_IF;
END_FUNCTION_BLOCK
"""

CYLINDER = """
FUNCTION_BLOCK Cylinder
VAR_INPUT
    forward, supply, jammed : BOOL;
END_VAR
VAR_OUTPUT
    atHome, atEnd : BOOL;
END_VAR
VAR
    place : INT;
END_VAR
IF supply AND NOT jammed THEN
    IF forward THEN place := MIN(place + 1, 10); ELSE place := MAX(place - 1, 0); END_IF;
END_IF;
atHome := place = 0;
atEnd := place = 10;
END_FUNCTION_BLOCK
"""

TWO_CANDIDATES = """
FUNCTION_BLOCK First
VAR_INPUT a : BOOL; END_VAR
VAR_OUTPUT b : BOOL; END_VAR
b := a;
END_FUNCTION_BLOCK
FUNCTION_BLOCK Second
VAR_INPUT a : BOOL; END_VAR
VAR_OUTPUT b : BOOL; END_VAR
b := NOT a;
END_FUNCTION_BLOCK
"""

FINE = """
FUNCTION_BLOCK Fine
VAR_INPUT leftPalm, rightPalm : BOOL; END_VAR
VAR_OUTPUT enable : BOOL; END_VAR
VAR window : TON; END_VAR
window(IN := leftPalm AND rightPalm, PT := T#500us);
enable := window.Q;
END_FUNCTION_BLOCK
"""

FILES = {
    "press.st": PRESS,
    "cylinder.st": CYLINDER,
    "two.st": TWO_CANDIDATES,
    "fine.st": FINE,
}

STATEMENTS = {
    "SOURCE": "SOURCE 'press.st';",
    "SCAN": "SCAN T#5ms..T#20ms;",
    "HAND": "HAND left = leftPalm; HAND right = rightPalm;",
    "OUTPUT": "OUTPUT enable;",
    "REQUIRE": "REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#480ms;",
}
"""A whole spec, by its statements."""


def spec_text(more: str = "", without: str = "") -> str:
    """A spec of all ``STATEMENTS`` but those ``without`` names, and ``more``."""
    kept = [text for word, text in STATEMENTS.items() if word not in without.split()]
    return "\n".join(["SPEC Sample", *kept, more, "END_SPEC", ""])


def write_files(folder: Path) -> None:
    for name, text in FILES.items():
        (folder / name).write_text(text, encoding="utf-8")


def load_text(folder: Path, text: str) -> tuple[Specification, ...]:
    """The specs in ``text``, in a folder with all ``FILES``."""
    write_files(folder)
    path = folder / "sample.spec"
    path.write_text(text, encoding="utf-8")
    return load_specifications(path, "sample.spec")


def load(folder: Path, more: str = "", without: str = "") -> Specification:
    return load_text(folder, spec_text(more, without))[0]


def errors_of(folder: Path, text: str) -> tuple[Diagnostic, ...]:
    """What is wrong with the specs in ``text``; none if nothing is."""
    try:
        load_text(folder, text)
    except InputError as error:
        return error.diagnostics
    return ()
