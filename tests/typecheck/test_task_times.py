"""Tasks of a configuration: offered as the scan time, and compared with it."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Specification
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

BLOCKS = """
FUNCTION_BLOCK Release
VAR_INPUT left, right : BOOL; END_VAR
VAR_OUTPUT go : BOOL; END_VAR
go := left AND right;
END_FUNCTION_BLOCK
PROGRAM Main
VAR_INPUT a, b : BOOL; END_VAR
VAR list : ARRAY[0..1] OF Release; END_VAR
list[0](left := a, right := b);
END_PROGRAM
PROGRAM Lamps
VAR_INPUT c : BOOL; END_VAR
END_PROGRAM
"""
CONFIGURATION = """
CONFIGURATION Cell
    RESOURCE Cpu ON Controller
        TASK Fast(INTERVAL := T#8ms, PRIORITY := 1);
        TASK Slow(INTERVAL := TIME#0.25s, PRIORITY := 9);
        TASK Event(SINGLE := wake, PRIORITY := 0);
        PROGRAM press WITH Fast : Main(a := %IX0.0);
        PROGRAM lamps WITH Slow : Lamps;
    END_RESOURCE
END_CONFIGURATION
"""


def tasks(block: str, configuration: str = CONFIGURATION) -> list[tuple[str, int | None]]:
    program = load_program([SourceText("a.st", BLOCKS + configuration)], block)
    return [(task.name, task.interval) for task in program.tasks]


def specification(folder: Path, scan: str, block: str = "Release") -> Specification:
    (folder / "cell.st").write_text(BLOCKS + CONFIGURATION)
    path = folder / "cell.spec"
    path.write_text(
        f"SPEC Cell SOURCE 'cell.st'; BLOCK {block}; {scan} PROPERTY p : go -> left; END_SPEC"
    )
    return load_specification(path, "cell.spec")


def test_a_block_runs_in_the_tasks_of_the_programs_that_have_it() -> None:
    assert tasks("Main") == [("Fast", 8_000_000)]
    assert tasks("Release") == [("Fast", 8_000_000)]
    assert tasks("Lamps") == [("Slow", 250_000_000)]


def test_a_block_that_no_program_has_may_run_in_every_task() -> None:
    alone = CONFIGURATION.replace(": Main(a := %IX0.0)", ": Lamps")
    assert tasks("Release", alone) == [("Fast", 8_000_000), ("Slow", 250_000_000), ("Event", None)]


@pytest.mark.parametrize(
    ("right", "wrong", "code"),
    [
        ("WITH Fast", "WITH Fastt", "unknown-name"),
        ("T#8ms", "8", "type-mismatch"),
        ("T#8ms", "T#0ms", "value-out-of-range"),
        ("PRIORITY := 9", "PRIO := 9", "unknown-argument"),
        ("ON Controller", "OF Controller", "syntax"),
        ("press WITH", "press IN", "missing-keyword"),
    ],
)
def test_a_wrong_configuration_is_refused(right: str, wrong: str, code: str) -> None:
    with pytest.raises(InputError) as caught:
        tasks("Main", CONFIGURATION.replace(right, wrong))
    assert caught.value.diagnostics[0].code == code


def test_a_missing_scan_time_is_offered_from_the_task(tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        specification(tmp_path, "")
    (problem,) = caught.value.diagnostics
    assert problem.code == "missing-scan"
    assert problem.help == "write SCAN T#8ms; (task 'Fast')"


@pytest.mark.parametrize("scan", ["SCAN T#8ms;", "SCAN T#5ms..T#8ms;", "SCAN T#8ms..T#20ms;"])
def test_a_scan_time_that_has_the_interval_is_no_warning(tmp_path: Path, scan: str) -> None:
    assert specification(tmp_path, scan).warnings == ()


@pytest.mark.parametrize("scan", ["SCAN T#10ms;", "SCAN T#9ms..T#20ms;"])
def test_a_scan_time_without_the_interval_is_a_warning(tmp_path: Path, scan: str) -> None:
    (warning,) = specification(tmp_path, scan).warnings
    assert warning.code == "scan-not-of-task"
    assert "T#8ms of task 'Fast'" in warning.message
    assert warning.span is not None
    assert warning.span.source.path == "cell.spec"
