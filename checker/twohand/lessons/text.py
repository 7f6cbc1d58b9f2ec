"""The lessons as lines: the list of them, and what is said of an answer."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from twohand.evidence.verdict import Outcome, Report
from twohand.lessons.answer import LessonAnswer
from twohand.lessons.begun import Begun, is_proved
from twohand.lessons.course import QUESTION, Lesson, lessons
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.report.run import finding_lines, violation_lines
from twohand.report.summary import clause_lines
from twohand.report.verdict_line import verdict_lines
from twohand.specification.phrases import listing

NAME = 15
TITLE = 45


def list_lines(begun: Mapping[Path, Begun], terminal: Terminal) -> list[str]:
    """A row for each lesson, with what became of it in the folders where it was begun."""
    lines = []
    done: set[str] = set()
    where: dict[str, Path] = {}
    for lesson in lessons().values():
        row = f"{lesson.number:>2}  {lesson.name:<{NAME}}{lesson.title:<{TITLE}}"
        lines.append(terminal.clip(f"{row}{lesson.minutes:>3} min", terminal.width))
        for folder in (folder for folder, each in begun.items() if each.lesson is lesson):
            where.setdefault(lesson.name, folder)
            proved = is_proved(begun[folder], folder)
            done |= {lesson.name} if proved else set()
            word = terminal.paint("proved", Paint.GOOD) if proved else "begun"
            lines.append(f"    {word} in {terminal.shown(str(folder))}")
    lines += ["", f"{len(done)} of {len(lessons())} proved, in this folder and those in it"]
    following = next((each for each in lessons() if each not in done), None)
    if following is not None:
        known = where.get(following)
        way = f"begin {following} --to {following}" if known is None else f"look {known}"
        lines += terminal.wrap(f"go on with: twohand lesson {way}", 0, 2)
    return lines


def begun_lines(lesson: Lesson, folder: Path, terminal: Terminal) -> list[str]:
    """Where a lesson was put, and what to do."""
    text = (
        f"lesson {lesson.number}, {lesson.title}: begun in {folder}. Read {folder / QUESTION}, "
        f"mend {folder / lesson.block}, and look: twohand lesson look {folder}"
    )
    return terminal.wrap(text, 0, 2)


def answer_lines(
    answer: LessonAnswer, report: Report, lesson: Lesson, folder: Path, terminal: Terminal
) -> list[str]:
    """The verdicts, the run that the sentence speaks of, the sentence, and how to go on."""
    title = f"lesson {lesson.number}: {lesson.title}"
    lines = [terminal.heading(title)]
    for verdict in report.verdicts:
        lines += verdict_lines(verdict, report, terminal, brief=True)
        if answer.done and lesson.invariants:
            lines += clause_lines(verdict, terminal)
    if answer.verdict is not None:
        lines += ["", *violation_lines(answer.verdict, report, terminal)]
    for found in report.findings if answer.code == "finding" else ():
        lines += ["", *finding_lines(found, report, terminal)]
    if answer.changes:
        lines += ["", *_changes(answer, terminal)]
    if answer.done:
        return [*lines, "", *done_lines(lesson, terminal)]
    lines += ["", terminal.heading("What this says")]
    lines += terminal.wrap(f"{answer.says} [{answer.code}]", 2)
    lines += ["", *terminal.wrap(_left(answer, report, folder), 0, 2)]
    return lines


def _changes(answer: LessonAnswer, terminal: Terminal) -> list[str]:
    lines = [terminal.heading("The spec was changed")]
    for label, statements in (
        ("the lesson asks, and this spec does not: ", answer.changes.left_out),
        ("only this spec says: ", answer.changes.added),
    ):
        lines += terminal.paragraphs([f"{label}{each}" for each in statements], 2, 4)
    return lines


def _left(answer: LessonAnswer, report: Report, folder: Path) -> str:
    """What else is not proved, and where to get a hint."""
    others = [
        verdict.requirement.identifier
        for verdict in report.verdicts
        if verdict.outcome is not Outcome.PROVED and verdict is not answer.verdict
    ]
    also = f"; not proved as well: {listing(others)}" if others else ""
    return f"not done{also}; for a hint: twohand lesson hint {folder}"


def done_lines(lesson: Lesson, terminal: Terminal) -> list[str]:
    """That a lesson is done, and what the trade does about it."""
    done = "Done: everything that is asked is proved, for every run of any length."
    lines = [terminal.paint(line, Paint.GOOD) for line in terminal.wrap(done, 0, 2)]
    lines += ["", terminal.heading("What the trade does")]
    for each in lesson.trade:
        lines += terminal.wrap(f"- {each.says} ({each.source})", 2, 4)
    if lesson.next:
        lines += ["", terminal.heading("To try, in the folder of the lesson")]
        lines += terminal.paragraphs(lesson.next, 2, 4)
    later = next((each for each in lessons().values() if each.number == lesson.number + 1), None)
    if later is not None:
        way = f"twohand lesson begin {later.name} --to FOLDER"
        lines += ["", *terminal.wrap(f"next: {later.title}: {way}", 0, 2)]
    return lines


def hint_lines(lesson: Lesson, number: int, terminal: Terminal) -> list[str]:
    """The hint of this number, from 1 on; beyond the last one, all of them."""
    total = len(lesson.hints)
    if number <= total:
        head = f"hint {number} of {total}: "
        return terminal.wrap(head + lesson.hints[number - 1], 0, 2)
    lines = [terminal.heading("all hints")]
    lines += [line for each in lesson.hints for line in terminal.wrap(f"- {each}", 2, 4)]
    way = f"'twohand gallery' has blocks about '{lesson.title}', faulty and mended ones"
    return [*lines, *terminal.wrap(way, 0, 2)]
