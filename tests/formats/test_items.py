"""Items say what the exit code says: nothing that counts is lost to another tool."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from twohand.analyses.check.record import CheckedSpec, checked_spec
from twohand.evidence.verdict import FindingVerdict, Outcome, Report
from twohand.formats.items import ItemOutcome, harmless, items_of
from twohand.report.exit_code import ExitCode
from twohand.specification.model.specification import Expectation
from twohand.text.diagnostic import Diagnostic, Severity

from tests.support.gallery_reports import GALLERY
from tests.support.samples.report_samples import (
    OVERFLOW,
    proved,
    reachable,
    report,
    specification,
    undecided,
    violated,
)

HOLDS, FAILS, OPEN = ItemOutcome.HOLDS, ItemOutcome.FAILS, ItemOutcome.OPEN


def warning(code: str) -> Diagnostic:
    return Diagnostic(code, "it is open", severity=Severity.WARNING)


CASES: dict[str, tuple[Report, list[ItemOutcome], str]] = {
    "proved": (report(proved()), [HOLDS], "PROVED: the output is on only while both hands are on"),
    "violated": (report(violated()), [FAILS], "VIOLATED: at 510 ms the output started"),
    "undecided": (report(undecided()), [OPEN], "UNDECIDED: after a missed window nothing starts"),
    "proved, its trigger open": (
        report(proved(reason="whether it can happen was not decided")),
        [OPEN],
        "but this is open: whether it can happen was not decided",
    ),
    "never reached": (
        report(reachable(Outcome.VACUOUS)),
        [FAILS],
        "VACUOUS: the output can turn on",
    ),
    "a finding": (
        report(proved(), findings=(FindingVerdict(OVERFLOW, Outcome.VIOLATED),)),
        [HOLDS, FAILS],
        "FINDING: overflow can happen",
    ),
    "a finding that is open": (
        report(proved(), findings=(FindingVerdict(OVERFLOW, Outcome.UNDECIDED, reason="effort"),)),
        [HOLDS, OPEN],
        "UNDECIDED: overflow is not excluded",
    ),
    "never on": (
        report(proved(), never_on=("stroke",)),
        [HOLDS, FAILS],
        "NEVER ON: output stroke can never turn on",
    ),
    "a tolerance too wide": (
        report(proved(), specification=specification(wide=(warning("wide-window"),))),
        [HOLDS, FAILS],
        "NOT ACCEPTED: it is open",
    ),
    "an output that may never be on": (
        report(proved(), warnings=(warning("output-undecided"),)),
        [HOLDS, OPEN],
        "UNDECIDED: it is open",
    ),
    "hands that may be one": (
        report(proved(), warnings=(warning("hands-undecided"),)),
        [HOLDS, OPEN],
        "UNDECIDED: it is open",
    ),
    "doubted assumptions": (
        report(proved(), doubt="the assumptions may contradict each other"),
        [OPEN, OPEN],
        "but this is open: the assumptions may contradict each other",
    ),
}
CODES = {HOLDS: ExitCode.ALL_PROVED, OPEN: ExitCode.UNDECIDED, FAILS: ExitCode.VIOLATED}


def outcome(checked: CheckedSpec) -> ItemOutcome:
    found = {item.outcome for item in items_of(checked)}
    return FAILS if FAILS in found else OPEN if OPEN in found else HOLDS


@pytest.mark.parametrize("name", CASES)
def test_everything_that_counts_is_an_item(name: str) -> None:
    made, outcomes, said = CASES[name]
    checked = checked_spec(made)
    items = items_of(checked)
    assert [item.outcome for item in items] == outcomes
    assert CODES[outcome(checked)] is checked.exit_code
    assert any(said in item.text for item in items)
    assert len({item.identifier for item in items}) == len(items)


def test_only_what_fails_as_expected_is_meant() -> None:
    expected = Expectation.VIOLATED
    found = [
        items_of(checked_spec(report(each)))[0].meant
        for each in (violated(expected), violated(), proved(), undecided())
    ]
    assert found == [True, False, False, False]


@pytest.mark.long
@pytest.mark.parametrize("name", GALLERY)
def test_the_items_of_the_gallery_say_what_its_exit_codes_say(
    name: str, gallery_answer: Callable[[str], CheckedSpec]
) -> None:
    checked = gallery_answer(name)
    assert CODES[outcome(checked)] is checked.exit_code
    names = [item.identifier for item in items_of(checked)]
    assert len(set(names)) == len(names)


def test_signs_that_are_not_shown_are_marked() -> None:
    assert harmless("a\u202eb\x00c\ud800d\n") == "a?b?c?d?"
    assert harmless("Größe <b> µ") == "Größe <b> µ"
