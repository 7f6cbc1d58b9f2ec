"""A sentence of help is chosen by what is violated and by what the run shows in its last scan."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from twohand.evidence.verdict import Counterexample, Outcome, Report, Verdict
from twohand.lessons.course import Help, common_help, lessons
from twohand.lessons.fitting_help import Fitting, fitting_help
from twohand.program.durations import Scans, Units
from twohand.scan.concrete.execute import run
from twohand.specification.load import load_specification

LESSON = lessons()["series"]
BOTH_THEN_LEFT = ((False, False), (True, True), (False, True), (True, True))
"""What the left and the right palm do, scan by scan."""


def helped(
    folder: Path, *helps: Help, violated: tuple[str, ...] = ("release_both",), reading: bool = False
) -> Fitting | None:
    """What is said of a run of the block as it is begun, which violates these."""
    for name, text in LESSON.texts.items():
        (folder / name).write_text(text, encoding="utf-8")
    spec = load_specification(folder / LESSON.spec)
    steps = [({"leftPalm": left, "rightPalm": right}, Units(5)) for left, right in BOTH_THEN_LEFT]
    records = run(spec.program, spec.clocking, spec.readings.choices()[0], 100, steps, Scans(0))
    shown = Counterexample(tuple(records), reading_decides=reading)
    verdicts = tuple(
        Verdict(each, Outcome.VIOLATED, counterexample=shown)
        if each.identifier in violated
        else Verdict(each, Outcome.PROVED)
        for each in spec.requirements
    )
    return fitting_help(Report(spec, verdicts), replace(LESSON, help=helps), folder)


FITS = Help("fits", "said", ("release_both",))


@pytest.mark.parametrize(
    ("changes", "fits"),
    [
        ({}, True),
        ({"violated": ("power_up",)}, False),
        ({"violated": ("release_both", "power_up")}, False),
        ({"proved": ("power_up", "both_hands")}, True),
        ({"proved": ("power_up", "release_both")}, False),
        ({"reading": True}, False),
        ({"reading": False}, True),
        ({"shows": "left AND right"}, True),
        ({"shows": "{all} AND {output}"}, True),
        ({"shows": "NOT {any}"}, False),
        ({"shows": "prev({all})"}, False),
        ({"shows": "prev({any})"}, True),
        ({"shows": "rose(left) AND NOT rose(right)"}, True),
        ({"shows": "fell(left)"}, False),
        ({"shows": "prev(fell(left))"}, True),
        ({"shows": "once(NOT {any} AND ANY_SCAN)"}, True),
        ({"shows": "FIRST_SCAN"}, False),
        ({"shows": "prev({output})"}, False),
        ({"shows": "nothingOfThisName"}, False),
    ],
)
def test_a_help_fits_where_all_that_it_names_is_so(
    changes: dict[str, object], fits: bool, tmp_path: Path
) -> None:
    found = helped(tmp_path, replace(FITS, **changes))  # type: ignore[arg-type]
    assert found is not None, "there is one for every run"
    assert (found.code == "fits") is fits


def test_the_first_that_fits_is_given_and_those_of_the_lesson_come_first(tmp_path: Path) -> None:
    second = replace(FITS, code="second")
    found = helped(tmp_path, replace(FITS, shows="FIRST_SCAN"), second, replace(FITS, code="third"))
    assert found is not None
    assert found.code == "second"
    assert found.verdict.requirement.identifier == "release_both"
    common = helped(tmp_path)
    assert common is not None
    assert common.code == "starts-again"


def test_of_a_fault_that_nothing_foresees_it_is_said_how_to_read_the_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("twohand.lessons.fitting_help.common_help", lambda: common_help()[-1:])
    found = helped(tmp_path, violated=("stays_on",))
    assert found is not None
    assert (found.code, found.verdict.requirement.identifier) == ("see-the-run", "stays_on")


def test_the_run_that_is_looked_at_is_that_of_the_first_requirement(tmp_path: Path) -> None:
    both = replace(FITS, violated=("stays_on", "release_both"))
    found = helped(tmp_path, both, violated=("release_both", "stays_on"))
    assert found is not None
    assert found.verdict.requirement.identifier == "stays_on"


def test_a_sentence_names_the_hands_as_they_are_in_the_last_scan(tmp_path: Path) -> None:
    found = helped(tmp_path, replace(FITS, says="{on}; {off}; {moved}; {output}"))
    assert found is not None
    assert found.says == "'left' and 'right'; no hand; 'left'; stroke"


def test_a_reading_that_decides_is_told_apart(tmp_path: Path) -> None:
    own = replace(FITS, reading=True)
    found = helped(tmp_path, own, reading=True)
    assert found is not None
    assert found.code == "fits"


def test_nothing_is_said_of_a_run_where_there_is_none(tmp_path: Path) -> None:
    assert helped(tmp_path, FITS, violated=()) is None
