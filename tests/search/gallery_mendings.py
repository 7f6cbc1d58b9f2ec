"""What the search for mending changes finds for the gallery's faulty blocks that are within two
small changes of their mended version. Each takes the time of a hundred short checks."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from shutil import copytree

from twohand.analyses.audit.changes.change import BlockChange
from twohand.analyses.audit.changes.subject import ChangeableSpec, load_changeable_specs
from twohand.analyses.check.check import check
from twohand.analyses.check.exit_code import report_code
from twohand.analyses.mend.mend import mend
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options
from twohand.report.exit_code import ExitCode
from twohand.specification.load import load_specification

from tests.support.gallery_mended import WITHIN_TWO
from tests.support.places import GALLERY

_OPTIONS = Options(processes=1)


def changes_of(name: str, subject: ChangeableSpec) -> Iterator[BlockChange]:
    """Those that make the mended version; of equal words the first, then the next."""
    left = list(subject.changes)
    for words in WITHIN_TWO[name].changes:
        change = next(each for each in left if each.words == words)
        left.remove(change)
        yield change


def mended(name: str, folder: Path, pool: Pool) -> None:
    """AssertionError where the search, or a check of the mended text, says otherwise."""
    (subject,) = load_changeable_specs(GALLERY / f"{name}.spec")
    written = subject.changed(list(changes_of(name, subject)))
    assert written is not None
    assert report_code(check(written, _OPTIONS, pool=pool)) is ExitCode.ALL_PROVED
    found = mend(subject, _OPTIONS, lambda *_: None, pool, 0)
    assert bool(found.mendings) == WITHIN_TWO[name].found
    for number, mending in enumerate(found.mendings):
        here = folder / str(number)
        copytree(GALLERY, here)
        for before, after in subject.file_texts(mending.changes):
            (here / Path(before.path).name).write_text(after.text, encoding="utf-8")
        report = check(load_specification(here / f"{name}.spec"), _OPTIONS, pool=pool)
        assert report_code(report) is ExitCode.ALL_PROVED


def mended_at(seed: int, folder: Path, pool: Pool) -> None:
    names = sorted(WITHIN_TWO)
    mended(names[seed % len(names)], folder, pool)
