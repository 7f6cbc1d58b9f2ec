"""Small blocks and specs for the tests of ``twohand.evidence``."""

from __future__ import annotations

from pathlib import Path

from twohand.evidence.verdict import Report
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Specification

TYPE_THREE = """
FUNCTION_BLOCK Press
VAR_INPUT left, right : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
VAR window : TON; armed : BOOL; END_VAR
window(IN := left OR right, PT := T#100ms);
IF NOT left AND NOT right THEN armed := TRUE; END_IF;
IF left AND right THEN
    IF armed AND NOT window.Q THEN stroke := TRUE; END_IF;
    armed := FALSE;
ELSE
    stroke := FALSE;
    IF window.Q THEN armed := FALSE; END_IF;
END_IF;
END_FUNCTION_BLOCK
"""
TWO_HANDS = "HAND left = left; HAND right = right; OUTPUT stroke;"


def specification(folder: Path, block: str, statements: str, scan: str = "T#10ms") -> Specification:
    """A spec of ``statements`` for a block."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "block.st").write_text(block, encoding="utf-8")
    path = folder / "block.spec"
    text = f"SPEC Sample\n SOURCE 'block.st';\n SCAN {scan};\n {statements}\nEND_SPEC\n"
    path.write_text(text, encoding="utf-8")
    return load_specification(path)


def type_three(folder: Path, window: int = 100, scan: str = "T#10ms") -> Specification:
    statements = f"{TWO_HANDS} REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#{window}ms;"
    return specification(folder, TYPE_THREE, statements, scan)


def logic(statements: str, inputs: str = "a, b : BOOL;", more: str = "") -> str:
    """A block with a BOOL output ``q``."""
    return f"""
FUNCTION_BLOCK Logic
VAR_INPUT {inputs} END_VAR
VAR_OUTPUT q : BOOL; END_VAR
VAR {more} END_VAR
{statements}
END_FUNCTION_BLOCK
"""


UNDECIDABLE_SOON = logic(
    "n := (n * 171) MOD 30269; q := n = 18106;",
    more="n : DINT := 1;",
)
"""Whether ``q`` comes on is one scan of the 20,000th (a congruential generator, Wichmann and Hill,
Applied Statistics 31, 1982): nothing shorter than walking there is known to find it."""


def outcomes(report: Report) -> dict[str, str]:
    return {v.requirement.identifier: v.outcome.value for v in report.verdicts}
