"""A small block that shows what it sampled, and scenarios of it."""

from __future__ import annotations

from pathlib import Path

from twohand.scan.scan_record import ScanRecord
from twohand.scenarios.judging import Failure
from twohand.scenarios.model import Scenario
from twohand.scenarios.play import PlayedScenario, play
from twohand.scenarios.reading import resolve_scenarios
from twohand.text.source_text import SourceText

BLOCK = """TYPE Mode : (Idle, Run); END_TYPE
FUNCTION_BLOCK Shown
VAR_INPUT a, leftNO, leftNC : BOOL; n : INT; t : TIME; w : WORD; mode : Mode; END_VAR
VAR_IN_OUT shared : BOOL; END_VAR
VAR_OUTPUT q : BOOL; END_VAR
VAR open, latched : BOOL; delay : TON; kept : INT := 3; END_VAR
q := a AND NOT latched;
IF shared THEN shared := FALSE; kept := kept + 1; END_IF;
delay(IN := a, PT := T#30ms);
END_FUNCTION_BLOCK
"""
SPEC = """SPEC Shown
    SOURCE 'shown.st';
    SCAN T#10ms{longest};
    HAND left = leftNO, NOT leftNC;
    OUTPUT q;
    {more}
    PROPERTY follows : q -> a;
END_SPEC
"""


def written(folder: Path, more: str = "", longest: str = "", block: str = BLOCK) -> Path:
    """The files of the spec in ``folder``."""
    (folder / "shown.st").write_text(block, encoding="utf-8")
    text = SPEC.format(more=more, longest=longest)
    (folder / "shown.spec").write_text(text, encoding="utf-8")
    return folder


def scenario_of(folder: Path, statements: str) -> Scenario:
    text = f"SCENARIO seen FOR 'shown.spec';\n{statements}\nEND_SCENARIO\n"
    (scenario,) = resolve_scenarios(SourceText("a.scenario", text), folder)
    return scenario


def played(folder: Path, statements: str) -> PlayedScenario:
    return play(scenario_of(folder, statements))


def records(folder: Path, statements: str) -> tuple[ScanRecord, ...]:
    return played(folder, statements).first.execution.records


def seen(folder: Path, statements: str, name: str) -> dict[int, object]:
    """The value of a variable by the times of scans, in milliseconds."""
    return {each.time: each.values.get(name) for each in records(folder, statements)}


def failures(shown: PlayedScenario) -> list[tuple[int, Failure]]:
    first = [(each.run.execution.records, each.failure) for each in shown.failures]
    return [(records[failure.position].time, failure) for records, failure in first]
