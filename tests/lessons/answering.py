"""Answers of learners, checked as the command checks them."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, replace
from pathlib import Path

from twohand.analyses.check.check import check
from twohand.engine.workers.pool import Pool
from twohand.files.reading import read_source
from twohand.lessons.answer import LessonAnswer, answer
from twohand.lessons.changed_spec import spec_changes
from twohand.lessons.course import lessons
from twohand.specification.load import load_specification


@dataclass(frozen=True)
class Edit:
    """Changes of the block of a ``lesson``; ``code`` is that of the sentence that they get, ''
    where the block is mended, in the way of the hints (``mended``) or in another one."""

    lesson: str
    name: str
    code: str
    changes: tuple[tuple[str, str], ...]

    @property
    def text(self) -> str:
        """The block with the changes; each changes a text that is there once."""
        lesson = lessons()[self.lesson]
        text = lesson.texts[lesson.block]
        for before, after in self.changes:
            assert text.count(before) == 1, f"{self.lesson}: {before!r}"
            text = text.replace(before, after)
        return text


def _edits() -> tuple[Edit, ...]:
    text = (Path(__file__).parent / "answers.toml").read_text(encoding="utf-8")
    return tuple(
        Edit(
            each["lesson"],
            each["name"],
            each["code"],
            tuple((before, after) for before, after in each["changes"]),
        )
        for each in tomllib.loads(text)["answer"]
    )


EDITS = _edits()
MENDED = {edit.lesson: edit for edit in EDITS if edit.name == "mended"}
ALSO_RIGHT = tuple(edit for edit in EDITS if not edit.code and edit.name != "mended")
WRONG = tuple(edit for edit in EDITS if edit.code)
AT_FIRST = {
    "series": "tied-hand",
    "release": "one-hand",
    "window": "wait-unseen",
    "scans": "sampled-lag",
    "power_up": "retained",
    "stop": "goes-on-by-itself",
    "end_of_stroke": "no-end",
    "contacts": "one-palm-unseen",
    "bouncing": "bounce-as-release",
    "stations": "station-not-asked",
    "distance": "late-off",
    "proof": "reading",
}
"""What is said of the block as it is begun."""


def answered(edit: Edit, folder: Path, pool: Pool | None = None) -> LessonAnswer:
    """What is said of the learner's block, whose files are written into ``folder``."""
    lesson = lessons()[edit.lesson]
    for name, text in {**lesson.texts, lesson.block: edit.text}.items():
        (folder / name).write_text(text, encoding="utf-8")
    spec = folder / lesson.spec
    changes = spec_changes(lesson.spec_text, read_source(spec, lesson.spec))
    asked = replace(load_specification(spec, lesson.spec), lags=())  # which no sentence speaks of
    report = check(asked, pool=pool)
    return answer(report, changes, lesson, folder)
