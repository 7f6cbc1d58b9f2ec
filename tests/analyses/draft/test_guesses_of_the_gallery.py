"""Hands and outputs of the gallery's blocks are guessed right where the logic shows them, whatever
the names are; what is not found is listed here with the reason."""

from __future__ import annotations

import pytest
from twohand.analyses.draft.draft import Drafted, drafted
from twohand.analyses.draft.guessing.names import words
from twohand.analyses.draft.lines import draft_lines
from twohand.analyses.draft.roles import Purpose

from tests.support.samples.renamed_blocks import (
    LANGUAGES,
    GalleryBlock,
    gallery_blocks,
    in_old_names,
    renamed,
    source_of,
)

NOT_SHOWN = {
    "off_delay_on_hands": "a stroke starts without one of the hands: that is its fault",
    "relay_series": "three contacts in series, each as good as the others",
    "relay_series_two_stations": "five contacts in series, each as good as the others",
    "stations_joined_by_or_mended": "four contacts in series, each as good as the others",
}
"""Blocks whose logic does not show what their spec says."""
BY_NAMES = {"relay_series"}
"""Where names decide what the logic leaves open."""
NO_HANDS = {
    "contradiction_believed_mended": "end switches of which both may not be on",
    "discrepancy_too_long": "two contacts of one device",
    "discrepancy_too_long_mended": "two contacts of one device",
    "supervision": "end switches of which both may not be on",
    "supervision_deaf": "end switches of which both may not be on",
}
"""Blocks without hands of which two inputs look like them to somebody who cannot read names."""
BLOCKS = gallery_blocks()
WITH_HANDS = [each for each in BLOCKS if each.hands]


def drafted_as(block: GalleryBlock, language: str | None) -> tuple[Drafted, dict[str, str]]:
    """The draft of a block in a language (None: names that say nothing; '': its own names)."""
    text, new = (source_of(block.path), {}) if language == "" else renamed(block, language)
    return drafted([text], block.block), new


def guessed(found: Drafted, new: dict[str, str]) -> tuple[list[tuple[str, ...]], list[str]]:
    """Hands with their contacts, and outputs, sorted and by their own names."""
    hands = [
        in_old_names([contact.text for contact in side], new)
        for each in found.roles.hands
        for side in (each.left, each.right)
    ]
    outputs = found.roles.outputs
    named = [each.name for each in outputs.signals] if outputs is not None else []
    return sorted(hands), sorted(in_old_names(named, new))


def is_right(block: GalleryBlock, language: str | None) -> bool:
    found = guessed(*drafted_as(block, language))
    return found == (sorted(block.hands), sorted(block.outputs))


def in_long_suite(blocks: list[GalleryBlock]) -> list[object]:
    """Each block with its spec's name."""
    return [pytest.param(each, id=each.spec) for each in blocks]


def sample(name: str) -> GalleryBlock:
    return next(each for each in BLOCKS if each.spec == name)


@pytest.mark.parametrize("name", ["lid_press_antivalent"])
def test_hands_and_outputs_are_found_without_names(name: str) -> None:
    assert is_right(sample(name), None)


@pytest.mark.long
def test_the_other_roles_are_found_without_names() -> None:
    found, new = drafted_as(sample("hoop_press_guard"), None)
    roles = found.roles

    def named(purpose: Purpose) -> list[str]:
        return list(in_old_names([each.text for each in roles.of(purpose)], new))

    assert named(Purpose.GUARD) == ["guardShut", "stopReleased"]
    assert named(Purpose.STROKE_END) == ["top"]
    assert named(Purpose.HARMLESS) == ["upstroke"]


@pytest.mark.long
def test_reset_and_ready_are_found_by_what_they_do() -> None:
    found, new = drafted_as(sample("hoop_press_reset"), None)
    roles = found.roles
    resets = in_old_names([each.text for each in roles.of(Purpose.RESET)], new)
    ready = in_old_names([each.text for each in roles.of(Purpose.READY)], new)
    assert (resets, ready) == (("resetButton",), ("ready",))


@pytest.mark.long
def test_where_hands_count_in_one_mode_alone_every_sentence_says_so() -> None:
    found, _ = drafted_as(sample("selector_table"), "")
    assert [each.text for each in found.roles.in_use] == ["useFront", "useBack"]
    starts = [each for each in found.roles.hand_reasons if "in every start" in each]
    assert [each.partition(" with ")[2] for each in starts] == [
        "useFront that was seen",
        "useBack that was seen",
    ]
    found, _ = drafted_as(sample("beam_press_remote"), "")
    (mode,) = found.roles.of(Purpose.MODE)
    assert (mode.text, mode.reasons) == (
        "NOT remote",
        ("stroke started without the hands while it was TRUE",),
    )


def test_three_contacts_in_series_are_left_to_somebody_who_knows() -> None:
    found, _ = drafted_as(sample("relay_series"), None)
    assert found.roles.hands == ()
    assert "b1, b2 and b3" in found.roles.why_no_hands
    lines = draft_lines(found, "renamed.st", None)
    assert [each.missing for each in lines if "HAND left" in each.text] == [True]


@pytest.mark.long
def test_names_decide_only_what_the_logic_leaves_open() -> None:
    assert is_right(sample("relay_series"), "")
    assert is_right(sample("relay_series"), "French")


def test_the_lists_of_words_are_for_all_roles_that_names_hint_at() -> None:
    roles = {each.value for each in Purpose} - {"outside"}
    assert set(words()) >= roles
    assert all(
        word == word.lower() and word.isascii() for each in words().values() for word in each
    )


@pytest.mark.long
@pytest.mark.parametrize("block", in_long_suite(WITH_HANDS))
def test_hands_and_outputs_of_every_block_are_found_without_names(block: GalleryBlock) -> None:
    assert is_right(block, None) is (block.spec not in NOT_SHOWN)


@pytest.mark.long
@pytest.mark.parametrize("number", range(0, len(WITH_HANDS), 2))
def test_hands_and_outputs_are_found_in_one_language_or_another(number: int) -> None:
    block, languages = WITH_HANDS[number], ["", *LANGUAGES]
    language = languages[number // 2 % len(languages)]
    assert is_right(block, language) is (block.spec not in {*NOT_SHOWN} - BY_NAMES)


@pytest.mark.long
def test_blocks_without_hands_get_none_but_for_those_that_look_so() -> None:
    others = [each for each in BLOCKS if not each.hands]
    wrong = {each.spec for each in others if drafted_as(each, None)[0].roles.hands}
    assert wrong == set(NO_HANDS)
