"""What is said of a learner's block: done is what is proved, and nothing else."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from twohand.analyses.check.exit_code import report_code
from twohand.evidence.verdict import Outcome, Report, Verdict
from twohand.lessons.changed_spec import SpecChanges
from twohand.lessons.course import Lesson
from twohand.lessons.fitting_help import fitting_help
from twohand.report.exit_code import ExitCode

DONE = "done"
_OWN = {
    DONE: "",
    "spec-changed": "The spec is not the lesson's any more, so that this proves nothing of the "
    "lesson: mend the block, not the question. 'twohand lesson again' puts block and spec back.",
    "stays-off": "The output never goes on. A block that stays off breaks no prohibition, and it "
    "is no control either: somebody will bridge it. The lesson is done when the hands do start "
    "it, and only they do.",
    "finding": "A number leaves the range of its type, is divided by zero, or an index or a loop "
    "goes beyond its bound. What comes after that is anybody's guess, so look at this line first.",
    "vacuous": "Something is proved only because it never happens: the block does not do at all "
    "what this requirement speaks of.",
    "open": "Not everything was decided. What is open is not proved, and so the lesson is not "
    "done. Give it more work with --effort, or write the block more simply.",
    "not-met": "Something that is asked is not met.",
}
"""What is said where no help of a lesson speaks of it, by its code."""


@dataclass(frozen=True)
class LessonAnswer:
    """``code`` names the sentence ``says``; ``verdict`` is the one whose run it speaks of, None
    where it speaks of none. ``changes`` are those of the spec."""

    code: str
    says: str
    exit_code: ExitCode
    changes: SpecChanges
    verdict: Verdict | None = None

    @property
    def done(self) -> bool:
        return self.code == DONE


def answer(report: Report, changes: SpecChanges, lesson: Lesson, folder: Path) -> LessonAnswer:
    """What is said first of a report on the learner's files in ``folder``."""
    code = report_code(report)
    if changes:
        worse = ExitCode.VIOLATED if code is ExitCode.ALL_PROVED else code
        return LessonAnswer("spec-changed", _OWN["spec-changed"], worse, changes)
    if report.never_on or report.on_after_finding:
        return _own("stays-off", code, changes)
    if any(each.outcome is Outcome.VIOLATED for each in report.findings):
        return _own("finding", code, changes)
    fitting = fitting_help(report, lesson, folder)
    if fitting is not None:
        return LessonAnswer(fitting.code, fitting.says, code, changes, fitting.verdict)
    return _own(_without_a_run(report, code), code, changes)


def _without_a_run(report: Report, code: ExitCode) -> str:
    outcomes = {verdict.outcome for verdict in report.verdicts}
    if Outcome.VACUOUS in outcomes:
        return "vacuous"
    if code is ExitCode.UNDECIDED:
        return "open"
    if code is ExitCode.ALL_PROVED and outcomes == {Outcome.PROVED}:
        return DONE
    return "not-met"


def _own(name: str, code: ExitCode, changes: SpecChanges) -> LessonAnswer:
    return LessonAnswer(name, _OWN[name], code, changes)
