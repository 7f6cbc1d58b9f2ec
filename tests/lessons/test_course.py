"""Twelve lessons in order, each whole: question, block with one fault, hints, help, a source."""

from __future__ import annotations

import re
from collections import Counter
from difflib import ndiff

import pytest
from twohand.commands.shared.gallery_files import topics
from twohand.lessons.course import Help, Lesson, common_help, lessons

from tests.lessons.answering import AT_FIRST, MENDED, WRONG

EVERY = pytest.mark.parametrize("lesson", lessons().values(), ids=lambda lesson: lesson.name)
KNOWN_SOURCES = re.compile(
    r"ISO 1[34]\d{3}|IEC 6\d{4}|29 CFR 1910|Directive 2006/42/EC|Mich\. Admin\. Code|Quebec, S-2\.1"
    r"|common practice|OSHA letters"
)


def test_the_lessons_are_the_topics_of_the_gallery() -> None:
    assert [(each.name, each.title) for each in lessons().values()] == [
        (each.name, each.title) for each in topics()
    ]
    assert len(lessons()) == 12


@EVERY
def test_a_lesson_has_a_question_graded_hints_help_and_what_the_trade_does(lesson: Lesson) -> None:
    question = lesson.texts["question.md"]
    assert question.startswith(f"# Lesson {lesson.number}: {lesson.title}\n")
    assert f"`{lesson.block}`" in question
    assert len(lesson.hints) == 3
    assert 10 <= lesson.minutes <= 20
    assert lesson.help
    assert lesson.trade
    for practice in lesson.trade:
        assert KNOWN_SOURCES.search(practice.source), practice.source


@EVERY
def test_a_block_has_ten_to_forty_lines_and_is_mended_with_one_to_three(lesson: Lesson) -> None:
    first = lesson.texts[lesson.block].splitlines()
    assert 10 <= len(first) <= 40
    written = MENDED[lesson.name].text.replace("; END_IF;", ";\nEND_IF;").splitlines()
    changed = [line for line in ndiff(first, written) if line.startswith("+ ")]
    named = [line for line in changed if line.strip("+ ") not in ("END_IF;", "ELSE")]
    assert 1 <= len(named) <= 3


@EVERY
def test_three_wrong_answers_or_more_are_kept_of_each_lesson(lesson: Lesson) -> None:
    edits = [edit for edit in WRONG if edit.lesson == lesson.name]
    assert len(edits) >= 3
    assert len({edit.text for edit in edits}) == len(edits)
    assert lesson.name in AT_FIRST


@EVERY
def test_each_help_of_a_lesson_is_given_to_some_answer(lesson: Lesson) -> None:
    given = {edit.code for edit in WRONG if edit.lesson == lesson.name} | {AT_FIRST[lesson.name]}
    mirrored = {"one-palm-unseen-left"}
    assert {each.code for each in lesson.help} - mirrored == given


def test_the_codes_of_the_help_of_one_lesson_are_apart() -> None:
    for helps in (*(each.help for each in lessons().values()), common_help()):
        assert [code for code, n in Counter(each.code for each in helps).items() if n > 1] == []


def test_the_last_common_help_fits_every_run() -> None:
    assert common_help()[-1] == Help("see-the-run", common_help()[-1].says, ())
