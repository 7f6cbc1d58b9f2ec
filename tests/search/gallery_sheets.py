"""The sheet of a gallery spec: what is printed is read again as a person would, and played."""

from __future__ import annotations

from pathlib import Path
from random import Random

from twohand.analyses.sheet.derive import derive, why_none
from twohand.analyses.sheet.sheet import sheet_from
from twohand.evidence.verdict import Outcome, Report, Verdict
from twohand.formats.page.sheet import sheet_page
from twohand.specification.load import load_specifications

from tests.analyses.sheet.printed import played_line, printed_lines
from tests.support.places import GALLERY


def played_sheets(seed: int, _: Path) -> None:
    """One spec of the gallery: whatever is true of its requirements, every line plays as printed,
    under every reading and random scan times of another seed than it was made with."""
    random = Random(seed)
    paths = sorted(GALLERY.glob("*.spec"))
    while True:
        path = random.choice(paths)
        specifications = load_specifications(path)
        if len(specifications) == 1 and not why_none(specifications[0]):
            break
    (spec,) = specifications
    report = Report(spec, tuple(Verdict(each, Outcome.PROVED) for each in spec.requirements))
    sheet = sheet_from(report, (), derive(spec, spec.requirements), ())
    lines = list(printed_lines(sheet_page(sheet)))
    assert len(lines) == len(sheet.still) + len(sheet.contacts) + len(sheet.moving)
    marked = {each.title for each in sheet.still if each.needs_generator}
    for line in lines:
        if not any(line.title.endswith(title) for title in marked):
            played = played_line(line, spec, path.name, seed)
            assert played.all_played, (path.name, line.title)
            assert (played.failures, played.outside) == ((), ()), (path.name, line)
