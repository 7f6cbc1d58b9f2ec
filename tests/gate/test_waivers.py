"""A waiver passes exactly what it was written for, until its day, and never more."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from twohand.formats.items import Item, ItemOutcome
from twohand.gate.project.toml_table import toml_table
from twohand.gate.record import ReviewOutcome, outcome_of, review_code
from twohand.gate.waivers import (
    BoundItem,
    Waiver,
    WaiverStanding,
    WrittenWaiver,
    complaints,
    read_waivers,
    waived,
    waiver_text,
    waivers_of,
    with_waiver,
)
from twohand.record.message import FilePlace
from twohand.report.exit_code import ExitCode
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText, Span

TODAY = date(2026, 6, 15)
PLACE = FilePlace("press.spec")
SIGNS = "a \t\n\r\x00\x07\x1f\x7f\x85\"'\\#=][äß\u2028\ufeff\U0001d518"
SPAN = Span(SourceText("waivers.toml", "[[waiver]]"), 0, 10)
TEXTS = {
    ItemOutcome.HOLDS: "PROVED: all is well",
    ItemOutcome.FAILS: "VIOLATED: it started",
    ItemOutcome.OPEN: "PROVED: all is well; but this is open: effort",
}


def item(outcome: ItemOutcome, name: str = "Press/start_window") -> BoundItem:
    return BoundItem(Item("start_window", name, outcome, TEXTS[outcome], PLACE, PLACE), "c0ffee")


def waiver(**changes: object) -> Waiver:
    values: dict[str, object] = {
        "spec": "press.spec",
        "requirement": "Press/start_window",
        "outcome": "VIOLATED",
        "reason": "guard locked",
        "decided_by": "safety engineer",
        "until": TODAY,
        "content": "c0ffee",
    }
    return Waiver(**values | changes)  # type: ignore[arg-type]


def written(*waivers: Waiver) -> list[WrittenWaiver]:
    return [WrittenWaiver(each, SPAN) for each in waivers]


@pytest.mark.parametrize(
    ("outcome", "word", "content", "name", "days"),
    list(
        product(
            ItemOutcome,
            ("VIOLATED", "UNDECIDED", "VACUOUS", "PROVED"),
            ("c0ffee", "beef"),
            ("Press/start_window", "Press/start"),
            (-1, 0, 1),
        )
    ),
)
def test_only_a_waiver_of_this_very_outcome_content_and_time_is_in_force(
    outcome: ItemOutcome, word: str, content: str, name: str, days: int
) -> None:
    """Every combination, held against the rule in words: it fails, as it did, and was looked at."""
    mine = waiver(
        outcome=word, content=content, requirement=name, until=TODAY + timedelta(days=days)
    )
    found = waived([item(outcome)], written(mine), TODAY)
    came_out = {ItemOutcome.FAILS: "VIOLATED", ItemOutcome.OPEN: "UNDECIDED"}.get(outcome)
    fits = name == "Press/start_window" and content == "c0ffee" and word == came_out
    ((_, applied),) = found.items
    ((_, standing),) = found.standings
    assert (applied is mine) is (fits and days >= 0)
    assert (standing is WaiverStanding.IN_FORCE) is (applied is mine)
    assert bool(list(complaints(found.standings))) is (applied is None)
    code = review_code(found.items, ExitCode.ALL_PROVED)
    assert (code is ExitCode.ALL_PROVED) is (outcome is ItemOutcome.HOLDS or (fits and days >= 0))


def test_why_a_waiver_is_not_in_force_is_told_apart() -> None:
    cases = [
        (waiver(until=date(2026, 6, 14)), "waiver-expired"),
        (waiver(content="beef"), "waiver-does-not-fit"),
        (waiver(content="beef", until=date(2026, 6, 14)), "waiver-does-not-fit"),
        (waiver(requirement="Press/start"), "waiver-unused"),
    ]
    for mine, code in cases:
        found = waived([item(ItemOutcome.FAILS)], written(mine), TODAY)
        assert [each.code for each in complaints(found.standings)] == [code]


def test_of_two_waivers_for_one_thing_the_second_is_unused() -> None:
    two = waiver(), waiver(reason="another")
    found = waived([item(ItemOutcome.FAILS)], written(*two), TODAY)
    assert [standing for _, standing in found.standings] == [
        WaiverStanding.IN_FORCE,
        WaiverStanding.UNUSED,
    ]
    assert found.items[0][1] is two[0]


def test_what_is_waived_is_never_said_to_hold() -> None:
    assert outcome_of(item(ItemOutcome.FAILS), waiver()) is ReviewOutcome.WAIVED
    assert outcome_of(item(ItemOutcome.OPEN), waiver()) is ReviewOutcome.WAIVED


@pytest.mark.parametrize("own", [ExitCode.VIOLATED, ExitCode.UNDECIDED, ExitCode.UNUSABLE])
def test_what_no_item_says_is_not_lost(own: ExitCode) -> None:
    assert review_code([(item(ItemOutcome.HOLDS), None)], own) is own


def test_a_waiver_of_one_thing_passes_no_other() -> None:
    items = [item(ItemOutcome.FAILS), item(ItemOutcome.FAILS, "Press/both_hands")]
    found = waived(items, written(waiver()), TODAY)
    assert review_code(found.items, ExitCode.VIOLATED) is ExitCode.VIOLATED
    items = [item(ItemOutcome.FAILS), item(ItemOutcome.OPEN, "Press/both_hands")]
    found = waived(items, written(waiver()), TODAY)
    assert review_code(found.items, ExitCode.VIOLATED) is ExitCode.UNDECIDED


@settings(max_examples=40, deadline=None, database=None)
@given(
    st.lists(
        st.builds(
            Waiver,
            **{
                name: st.text(SIGNS, min_size=1, max_size=8).filter(str.strip)
                for name in ("spec", "requirement", "outcome", "reason", "decided_by", "content")
            },
            until=st.dates(),
        ),
        min_size=1,
        max_size=3,
    )
)
def test_what_is_written_is_read_again(waivers: list[Waiver]) -> None:
    text = waiver_text(waivers[0])
    for each in waivers[1:]:
        text = with_waiver(SourceText("w.toml", text), each)
    assert [each.waiver for each in waivers_of(toml_table(SourceText("w.toml", text)))] == waivers


GOOD = waiver_text(waiver())
WRONG = [
    (GOOD.replace("reason", "reson"), 5, "unknown-key"),
    (GOOD.replace("2026-06-15", '"2026-06-15"'), 7, "wrong-kind-of-value"),
    (GOOD.replace('"guard locked"', '" "'), 5, "wrong-kind-of-value"),
    (GOOD.replace('reason = "guard locked"\n', ""), 1, "missing-key"),
    (GOOD.replace("[[waiver]]", "[[waivers]]"), 1, "unknown-key"),
    (GOOD.replace("[[waiver]]", "[waiver]"), 1, "wrong-kind-of-value"),
    (GOOD + "]", 9, "malformed-toml"),
]


@pytest.mark.parametrize(("text", "line", "code"), WRONG)
def test_what_is_wrong_with_a_file_of_waivers_is_told_and_none_of_it_counts(
    text: str, line: int, code: str, tmp_path: Path
) -> None:
    path = tmp_path / "waivers.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as raised:
        read_waivers(path, "waivers.toml")
    first = raised.value.diagnostics[0]
    assert first.span is not None
    assert (first.code, first.span.line) == (code, line)


def test_no_file_and_an_empty_one_have_no_waivers(tmp_path: Path) -> None:
    assert read_waivers(tmp_path / "none.toml", "none.toml") == ()
    (tmp_path / "empty.toml").touch()
    assert read_waivers(tmp_path / "empty.toml", "empty.toml") == ()
