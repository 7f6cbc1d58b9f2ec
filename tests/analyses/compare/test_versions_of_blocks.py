"""Versions of small blocks, of the gallery and of other forms: told the same or different as they
truly are."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from twohand.analyses.compare.check import ComparisonReport, compare
from twohand.analyses.compare.load import load_comparison
from twohand.analyses.compare.options import ComparisonOptions, Version
from twohand.analyses.compare.question import Comparison
from twohand.analyses.compare.text import comparison_code, comparison_lines, named_verdicts
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import open_pool
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode

from tests.search.versions import OPTIONS, agreed
from tests.support.meaning.older_export import older
from tests.support.places import EXCHANGE_FILES, GALLERY
from tests.support.tiers import nightly


@pytest.fixture(scope="module")
def pool() -> Iterator[Pool]:
    with open_pool(OPTIONS) as opened:
        yield opened


def outcomes(found: ComparisonReport) -> dict[str, str]:
    return {name: verdict.outcome.value for name, verdict in named_verdicts(found)}


# --- against enumeration ----------------------------------------------------------------------


CHEAP = (2, 14, 20, 21, 25)
"""Seeds of blocks with few states."""


@pytest.mark.long
def test_small_versions_come_out_as_enumeration_says(pool: Pool) -> None:
    counts = agreed(CHEAP, pool)
    assert set(counts) == {
        "rewritten PROVED", "rewritten VACUOUS", "changed PROVED", "changed VIOLATED"
    }  # fmt: skip
    assert counts["changed VIOLATED"] >= 2


@pytest.mark.long
@pytest.mark.parametrize("first", [100, *map(nightly, range(120, 180, 20))])
def test_many_small_versions_come_out_as_enumeration_says(first: int, pool: Pool) -> None:
    counts = agreed(range(first, first + 20), pool)
    assert counts["rewritten PROVED"] >= 3
    assert counts["changed VIOLATED"] >= 1
    assert (
        sum(n for word, n in counts.items() if word.endswith(("VIOLATED", "UNDECIDED")))
        == (counts["changed VIOLATED"])
    )


# --- other forms ------------------------------------------------------------------------------

FORMS = ("two_hand_text.st", "two_hand_ladder.xml", "two_hand_diagram.xml")


def forms(first: Path, second: Path, pool: Pool, scan: str = "T#5ms..T#20ms") -> ComparisonReport:
    versions = Version(str(first)), Version(str(second))
    return compare(load_comparison(*versions, ComparisonOptions(scan=scan)), OPTIONS, pool=pool)


@pytest.mark.long
def test_structured_text_ladder_and_diagram_are_the_same(pool: Pool) -> None:
    text, ladder, diagram = (EXCHANGE_FILES / name for name in FORMS)
    for first, second in ((text, ladder), (ladder, diagram), (diagram, text)):
        found = forms(first, second, pool)
        assert outcomes(found) == {"stroke": "PROVED"}
        assert comparison_code(found) is ExitCode.ALL_PROVED


@pytest.mark.long
def test_the_older_schema_is_the_same_too(tmp_path: Path, pool: Pool) -> None:
    for name in FORMS[1:]:
        xml = (EXCHANGE_FILES / name).read_text(encoding="utf-8")
        again = tmp_path / name
        again.write_text(older(xml), encoding="utf-8")
        for other in FORMS:
            found = forms(again, EXCHANGE_FILES / other, pool)
            assert outcomes(found) == {"stroke": "PROVED"}


@pytest.mark.long
def test_one_changed_contact_of_a_ladder_is_found(tmp_path: Path, pool: Pool) -> None:
    text = (EXCHANGE_FILES / FORMS[1]).read_text(encoding="utf-8")
    places = [found.start() for found in re.finditer('negated="true"', text)]
    for place in places[:2]:
        other = text[:place] + text[place:].replace('negated="true"', 'negated="false"', 1)
        changed_file = tmp_path / "changed.xml"
        changed_file.write_text(other, encoding="utf-8")
        found = forms(EXCHANGE_FILES / FORMS[0], changed_file, pool, "T#10ms")
        assert outcomes(found) == {"stroke": "VIOLATED"}
        lines = "\n".join(comparison_lines(found, Terminal(width=200)))
        assert "changed.xml:" in lines


# --- the gallery ------------------------------------------------------------------------------


def gallery(file: str, first: str, second: str) -> Comparison:
    path = GALLERY / f"{file}.st"
    options = ComparisonOptions(scan="T#5ms..T#20ms")
    return load_comparison(Version(str(path), first), Version(str(path), second), options)


MENDED = (
    ("armed_by_one_release", "ArmedByOneRelease", "ArmedByBothReleases"),
    ("edge_of_both", "EdgeOfBoth", "EdgeOfBothInTime"),
    ("elapsed_time_equal", "ElapsedTimeEqual", "ElapsedTimeReached"),
    ("off_delay_on_hands", "OffDelayOnHands", "OnDelayOnHands"),
    ("second_stroke", "SecondStroke", "OneStroke"),
)


@pytest.mark.long
@pytest.mark.parametrize("names", MENDED, ids=lambda names: names[0])
def test_a_faulty_block_differs_from_the_mended_one_and_not_from_itself(
    names: tuple[str, str, str], pool: Pool
) -> None:
    file, faulty, mended = names
    found = compare(gallery(file, faulty, mended), OPTIONS, pool=pool)
    assert "VIOLATED" in outcomes(found).values()
    for name in (faulty, mended):
        itself = compare(gallery(file, name, name), OPTIONS, pool=pool)
        assert set(outcomes(itself).values()) <= {"PROVED", "VACUOUS"}
        assert comparison_code(itself) is ExitCode.ALL_PROVED
