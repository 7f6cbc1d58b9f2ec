"""A lesson is done where everything is proved and nothing is open, and in no other case."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from pathlib import Path

import pytest
from twohand.evidence.verdict import FindingVerdict, Outcome, Report, Verdict
from twohand.lessons.answer import LessonAnswer, answer
from twohand.lessons.begun import Begun, begun_text, digest, is_proved, read_begun
from twohand.lessons.changed_spec import SpecChanges
from twohand.lessons.course import lessons
from twohand.report.exit_code import ExitCode
from twohand.scan.finding import Finding, FindingKind
from twohand.text.diagnostic import Diagnostic, Severity

from tests.support.samples.report_samples import (
    REQUIRE,
    STROKE_LINE,
    report,
    requirement,
    specification,
)

SAME = SpecChanges((), ())
LESSON = lessons()["series"]
OVERFLOW = Finding(FindingKind.OVERFLOW, STROKE_LINE)
UNDECIDED_OUTPUT = Diagnostic("output-undecided", "so", REQUIRE, severity=Severity.WARNING)
VERDICTS = (
    (Verdict(requirement(), Outcome.PROVED), True),
    (Verdict(requirement(), Outcome.PROVED, reason="whether it can happen is open"), False),
    (Verdict(requirement(), Outcome.UNDECIDED, reason="the time limit"), False),
    (Verdict(requirement(), Outcome.VIOLATED), False),
    (Verdict(requirement(), Outcome.VACUOUS), False),
)
PARTS: tuple[tuple[dict[str, object], bool], ...] = (
    ({}, True),
    ({"findings": (FindingVerdict(OVERFLOW, Outcome.UNDECIDED),)}, False),
    ({"findings": (FindingVerdict(OVERFLOW, Outcome.VIOLATED),)}, False),
    ({"never_on": ("stroke",)}, False),
    ({"on_after_finding": ("stroke",)}, False),
    ({"warnings": (UNDECIDED_OUTPUT,)}, False),
    ({"doubt": "whether the assumptions leave an input is open"}, False),
    ({"specification": replace(specification(), wide=(UNDECIDED_OUTPUT,))}, False),
)
CHANGES = (
    (SAME, True),
    (SpecChanges(("ASSUME a;",), ()), False),
    (SpecChanges((), ("ASSUME b;",)), False),
)


def said(found: Report, changes: SpecChanges = SAME) -> LessonAnswer:
    return answer(found, changes, LESSON, Path("nowhere"))


def test_a_lesson_is_done_exactly_where_all_is_proved_nothing_is_open_and_the_spec_is_its_own() -> (
    None
):
    proved, _ = VERDICTS[0]
    for (verdict, one), (part, two), (changes, three) in product(VERDICTS, PARTS, CHANGES):
        found = said(report(proved, verdict, **part), changes)
        assert found.done is (one and two and three), (verdict.outcome, part, changes)
        if "on_after_finding" not in part:  # which comes with its finding
            assert (found.exit_code is ExitCode.ALL_PROVED) is found.done


def test_a_report_on_nothing_is_not_done() -> None:
    assert not said(report()).done


@pytest.mark.parametrize(
    ("part", "changes", "code"),
    [
        ({"never_on": ("stroke",)}, SpecChanges(("a;",), ()), "spec-changed"),
        ({"never_on": ("stroke",), **PARTS[2][0]}, SAME, "stays-off"),
        ({"on_after_finding": ("stroke",), **PARTS[2][0]}, SAME, "stays-off"),
        (PARTS[2][0], SAME, "finding"),
        (PARTS[1][0], SAME, "open"),
        (PARTS[5][0], SAME, "open"),
        ({}, SAME, "done"),
    ],
)
def test_what_matters_most_is_said_first(
    part: dict[str, object], changes: SpecChanges, code: str
) -> None:
    assert said(report(VERDICTS[0][0], **part), changes).code == code


def test_what_never_happens_is_said_to_be_no_proof() -> None:
    assert said(report(VERDICTS[0][0], VERDICTS[4][0])).code == "vacuous"


def test_proved_in_the_list_means_that_these_files_were_proved(tmp_path: Path) -> None:
    for name, text in LESSON.texts.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    begun = Begun(LESSON, hints=2)
    assert not is_proved(begun, tmp_path)
    proved = replace(begun, proved=digest(begun, tmp_path))
    (tmp_path / "lesson.toml").write_text(begun_text(proved), encoding="utf-8")
    assert read_begun(tmp_path) == proved
    assert is_proved(proved, tmp_path)
    (tmp_path / "question.md").write_text("mine", encoding="utf-8")
    assert is_proved(proved, tmp_path)
    for name in (LESSON.block, LESSON.spec):
        (tmp_path / name).write_text(LESSON.texts[name] + " ", encoding="utf-8")
        assert not is_proved(proved, tmp_path)
        (tmp_path / name).write_text(LESSON.texts[name], encoding="utf-8")
    (tmp_path / LESSON.block).unlink()
    assert not is_proved(proved, tmp_path)
