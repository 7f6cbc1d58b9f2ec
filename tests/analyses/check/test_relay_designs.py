"""The page on relay designs says what the checker says, and leaves out no violation."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

import pytest
from twohand.commands.shared.gallery_files import gallery_folder, gallery_specs
from twohand.evidence.verdict import Verdict
from twohand.specification.model.specification import Aim

from tests.support.gallery_reports import GalleryReports

ROW = re.compile(r"^\|(?P<claim>[^|]+)\| `(?P<spec>\w+)` \| `(?P<name>\w+)` \| (?P<word>\w+) \|$")


@dataclass(frozen=True)
class Row:
    claim: str
    spec: str
    requirement: str
    word: str


@cache
def page() -> tuple[Row, ...]:
    text = (gallery_folder() / "relay_designs.md").read_text(encoding="utf-8")
    rows = []
    for line in text.splitlines():
        found = ROW.match(line)
        assert found or not line.startswith("| ") or line.startswith("| what is said"), line
        if found:
            rows.append(Row(*(found[key].strip() for key in ("claim", "spec", "name", "word"))))
    return tuple(rows)


SPECS = sorted({row.spec for row in page()})


def word(verdict: Verdict) -> str:
    """The page's word for a verdict."""
    reachable = verdict.requirement.aim is Aim.REACHABLE
    return "REACHED" if reachable and verdict.witness else verdict.outcome.value


@pytest.mark.long
@pytest.mark.parametrize("spec", SPECS)
def test_every_row_of_the_page_is_a_verdict_of_the_checker(
    spec: str, gallery_report: GalleryReports
) -> None:
    report = gallery_report(spec)
    came_out = {v.requirement.identifier: word(v) for v in report.verdicts}
    rows = {row.requirement: row.word for row in page() if row.spec == spec}
    assert {name: came_out.get(name) for name in rows} == rows
    violated = {name for name, outcome in came_out.items() if outcome == "VIOLATED"}
    assert violated <= rows.keys()
    for verdict in report.verdicts:
        assert verdict.as_expected
        assert verdict.certificate or verdict.counterexample or verdict.witness
    assert report.findings == ()


def test_every_relay_spec_of_the_gallery_is_on_the_page() -> None:
    assert {path.stem for path in gallery_specs() if path.stem.startswith("relay_")} == set(SPECS)


def test_no_row_stands_twice() -> None:
    assert len({(row.spec, row.requirement) for row in page()}) == len(page())
