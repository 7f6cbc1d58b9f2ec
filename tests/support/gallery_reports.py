"""The gallery's reports, each made once for all workers of one run of the tests."""

from __future__ import annotations

import pickle
import time
from functools import cache
from pathlib import Path

from twohand.analyses.check.check import check
from twohand.commands.shared.gallery_files import gallery_folder, gallery_specs
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Report
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Specification

from tests.support.tiers import rows

OPTIONS = Options(effort=60.0, processes=1)
HARDEST = (
    *("lid_press_locks_out_mended", "lid_press_watched", "selector_table_goes_on"),
    "selector_table",
)
"""A fifth of the gallery's time; CI has their verdicts by the command that checks the gallery."""
GALLERY = rows(
    [path.stem for path in gallery_specs()], lambda _: True, lambda name: name in HARDEST
)
"""The gallery as rows of long tests."""
LONGEST_WAIT = 600
"""Seconds for another worker's report; a worker that was ended leaves its claim behind."""


@cache
def gallery_specification(name: str) -> Specification:
    return load_specification(gallery_folder() / f"{name}.spec", f"{name}.spec")


class GalleryReports:
    """Reports in a folder that all workers share: whoever asks first makes a report, the others
    wait for it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def __call__(self, name: str) -> Report:
        stored, claim = self.folder / f"{name}.report", self.folder / f"{name}.claim"
        end = time.monotonic() + LONGEST_WAIT
        while not stored.exists():
            try:
                claim.touch(exist_ok=False)
            except FileExistsError:
                if time.monotonic() > end:
                    claim.unlink(missing_ok=True)
                time.sleep(0.05)
                continue
            try:
                self._store(name, stored)
            finally:
                claim.unlink()
        report: Report = pickle.loads(stored.read_bytes())
        return report

    def _store(self, name: str, stored: Path) -> None:
        made = check(gallery_specification(name), OPTIONS)
        whole = stored.with_suffix(".whole")
        whole.write_bytes(pickle.dumps(made))
        whole.replace(stored)
