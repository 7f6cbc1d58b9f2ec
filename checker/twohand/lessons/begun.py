"""What was begun in a folder: its ``lesson.toml``, in the learner's own folder."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from twohand.files.reading import read_source
from twohand.gate.project.toml_table import toml_table
from twohand.lessons.course import ABOUT, Lesson, lessons
from twohand.text.diagnostic import Diagnostic, InputError, collected, wrong
from twohand.text.suggestions import nearest

MOST_HINTS = 1000
HEAD = "# What was begun in this folder; 'twohand lesson' reads and writes it.\n"


@dataclass(frozen=True)
class Begun:
    """A lesson that was begun, the number of ``hints`` that were given, and the digest of the files
    that were ``proved`` last ('' where none were)."""

    lesson: Lesson
    hints: int = 0
    proved: str = ""


def begun_text(begun: Begun) -> str:
    """What stands in the file."""
    lines = [f'lesson = "{begun.lesson.name}"', f"hints = {begun.hints}"]
    if begun.proved:
        lines.append(f'proved = "{begun.proved}"')
    return HEAD + "\n".join(lines) + "\n"


def _is_begun(folder: Path) -> bool:
    """FALSE as well for a folder that nobody may look into."""
    try:
        return (folder / ABOUT).is_file()
    except OSError:
        return False


def read_begun(folder: Path) -> Begun:
    """InputError where no lesson was begun in the folder, or what was cannot be read."""
    path = folder / ABOUT
    if not _is_begun(folder):
        message = "no lesson was begun in this folder"
        way = "type: twohand lesson begin NAME --to FOLDER; 'twohand lesson' lists them"
        raise wrong("no-lesson", message, None, way, path=str(folder))
    table = toml_table(read_source(path, str(path)))
    table.expect("lesson", "hints", "proved")
    table.require("lesson")
    name, proved = table.text("lesson"), table.text("proved")
    hints = table.number("hints", -1, MOST_HINTS)
    if table.problems:
        raise InputError(table.problems)
    assert name is not None
    if name.text not in lessons():
        close = nearest(name.text, lessons())
        way = f"did you mean '{close}'?" if close else "'twohand lesson' lists them"
        raise wrong("unknown-lesson", f"there is no lesson '{name.text}'", name.span, way)
    return Begun(lessons()[name.text], int(hints or 0), proved.text if proved else "")


def digest(begun: Begun, folder: Path) -> str:
    """Of the block and the spec as they are in the folder; InputError where one cannot be read."""
    found = sha256(usedforsecurity=False)
    for name in (begun.lesson.block, begun.lesson.spec):
        found.update((read_source(folder / name).sha256 or "").encode("ascii"))
    return found.hexdigest()


def is_proved(begun: Begun, folder: Path) -> bool:
    """Whether the files are those that were proved last."""
    try:
        return bool(begun.proved) and digest(begun, folder) == begun.proved
    except InputError:
        return False


def lessons_in(folder: Path) -> tuple[dict[Path, Begun], list[Diagnostic]]:
    """What was begun in this folder and in those in it; and what of that cannot be read."""
    found: dict[Path, Begun] = {}
    problems: list[Diagnostic] = []
    try:
        inner = sorted(each for each in folder.iterdir() if not each.name.startswith("."))
    except OSError as error:
        message = f"the folder cannot be read: {error.strerror}"
        way = "see that it may be read"
        raise wrong("unreadable-path", message, None, way, path=str(folder)) from None
    for each in (folder, *inner):
        if _is_begun(each):
            with collected(problems):
                found[each] = read_begun(each)
    return found, problems
