"""The page of a check: everything of the record is on it, and nothing else comes with it."""

from __future__ import annotations

import re
from dataclasses import replace

from twohand.evidence.verdict import Outcome
from twohand.formats.page import view
from twohand.formats.page.page import page_text

from tests.formats.page.pages import (
    CAUTION,
    answered,
    answers,
    below,
    checked,
    page,
    text_of,
)
from tests.support.samples.report_samples import SEEN, proved, reachable, undecided, violated

ALL = checked(proved(), violated(), undecided(), reachable(Outcome.VACUOUS))
WORDS = ["PROVED", "VIOLATED", "UNDECIDED", "UNREACHABLE"]


def test_every_verdict_is_in_the_table_and_at_its_evidence() -> None:
    found = page(answered(ALL))
    (table,) = (
        each
        for each in below(found, "table")
        if each.find("thead/tr/th") is not None and "Clause" in text_of(each)
    )
    rows = [[text_of(cell) for cell in row] for row in below(table, "tr")][1:]
    assert [row[0] for row in rows] == ["both_hands", "start_window", "window_missed", "can_run"]
    assert [row[-1] for row in rows] == WORDS
    assert rows[1][1].startswith("the output starts only if both hands came on within 490 ms")
    assert rows[1][2] == "ISO 13851:2019, 5.8"
    assert [answers(each)[0] for each in below(found, "details")] == WORDS


def test_every_row_leads_to_its_evidence() -> None:
    found = page(answered(ALL, ALL))
    identifiers = [each.get("id") for each in found.iter() if each.get("id")]
    assert len(identifiers) == len(set(identifiers))
    links = [str(each.get("href")).removeprefix("#") for each in below(found, "a")]
    assert links
    assert set(links) <= {each.get("id") for each in below(found, "details")}


def test_nothing_is_fetched_and_nothing_runs() -> None:
    text = page_text(answered(ALL))
    found = page(answered(ALL))
    assert "http" not in text.replace("http-equiv", "").replace("http://www.w3.org/", "")
    tags = {str(each.tag).rpartition("}")[2] for each in found.iter()}
    assert not tags & {"script", "link", "img", "iframe", "object", "embed", "base", "form"}
    names = {name for each in found.iter() for name in each.attrib}
    assert not [name for name in names if name.startswith("on") or name in ("src", "style")]
    assert "url(" not in text
    assert "@import" not in text
    (policy,) = (e for e in below(found, "meta") if e.get("http-equiv"))
    assert policy.get("content") == "default-src 'none'; style-src 'unsafe-inline'"


def test_what_was_checked_is_said_with_its_hashes() -> None:
    spec = replace(
        ALL.spec, sources=(view.HashedFile("press.st", "ab12"),), assumptions=("a OR b",)
    )
    text = text_of(page(answered(replace(ALL, spec=spec))))
    for said in ("press.st ab12", "Scan time 10 ms", "Hands left: leftPalm right", "a OR b"):
        assert said in text
    assert "twohand check press.spec --effort 60" in text
    assert CAUTION in text


def test_what_was_not_asked_comes_before_the_verdicts() -> None:
    text = text_of(page(answered(ALL)))
    assert 0 < text.index("Not asked") < text.index("a stop") < text.index("Clause")
    for subject in ALL.subjects_not_asked:
        assert subject in text


def test_a_run_is_drawn_with_its_hands_first_and_described() -> None:
    found = page(answered(ALL))
    details = [*below(found, "details")][1]
    assert SEEN in text_of(details)
    (drawing,) = below(details, "svg")
    title, described = next(below(drawing, "title")), next(below(drawing, "desc"))
    assert drawing.get("aria-labelledby") == f"{title.get('id')} {described.get('id')}"
    assert "At 510 ms: right TRUE, stroke TRUE. Wrong at 510 ms." in text_of(described)
    words = [text_of(each) for each in below(drawing, "text")]
    assert words[:3] == ["left (leftPalm) left (leftPalm)", "right", "stroke"] or words[:3] == [
        "left (leftPalm)", "right", "stroke",
    ]  # fmt: skip
    assert "500 ms" in words  # the quiet stretch that is cut
    assert words[-1] == "▲ wrong"


def test_the_table_of_values_has_what_changes() -> None:
    details = [*below(page(answered(ALL)), "details")][1]
    (table,) = below(details, "table")
    rows = [[text_of(cell) for cell in row] for row in below(table, "tr")]
    assert rows[0] == ["Signal", "0 ms scan 1", "10 ms scan 2", "510 ms scan 52"]
    assert rows[1] == ["leftPalm", "FALSE", "TRUE", ""]
    assert ["window.ET", "0 ms", "", "500 ms"] in rows
    assert "Unchanged: guardShut TRUE, armed FALSE" in text_of(details)


def test_a_run_that_several_fall_to_is_drawn_once() -> None:
    again = violated()
    other = replace(again, requirement=replace(again.requirement, identifier="other"))
    found = page(answered(checked(again, other)))
    assert len([*below(found, "svg")]) == 1
    assert "the same run as for start_window" in text_of(found)


def test_runs_beyond_the_most_are_named(monkeypatch) -> None:
    monkeypatch.setattr(view.Evidence, "__init__", _with_room_for_one)
    other = reachable(Outcome.PROVED)
    found = page(answered(checked(violated(), other)))
    assert len([*below(found, "svg")]) == 1
    assert "The run that reaches it, replayed: the page has no room for it" in text_of(found)


def _with_room_for_one(self: view.Evidence, texts: view.Texts) -> None:
    self.texts, self.left = texts, 1


def test_the_same_answer_gives_the_same_page_but_for_when_it_was_made() -> None:
    first = page_text(answered(ALL))
    later = replace(answered(ALL), made=replace(answered(ALL).made, seconds=9.0, machine="other"))
    cut = re.compile(r'<footer id="made">.*?</footer>', re.DOTALL)
    assert page_text(answered(ALL)) == first
    assert page_text(later) != first
    assert cut.sub("", page_text(later)) == cut.sub("", first)


def test_a_page_of_a_run_is_small() -> None:
    one = len(page_text(answered(checked(violated()))).encode())
    none = len(page_text(answered(checked(proved()))).encode())
    assert one - none < 10_000
