"""A drafted spec is one: it parses, loads and is asked once its marks are taken away, whatever the
block is; nothing in it limits what is required."""

from __future__ import annotations

import pytest
from twohand.analyses.draft.machines import BY_WORD, MACHINES
from twohand.text.source_text import SourceText

from tests.search.drafts import draft_is_a_spec
from tests.support.drafted_specs import check_draft, lines_of
from tests.support.samples.renamed_blocks import gallery_blocks, renamed


@pytest.mark.long
def test_random_blocks_are_drafted() -> None:
    assert sum(draft_is_a_spec(seed) for seed in range(10)) >= 7


@pytest.mark.long
def test_every_block_of_the_gallery_gets_a_spec_for_some_kind_of_machine() -> None:
    blocks = gallery_blocks()[::4]
    asked = 0
    for number, block in enumerate(blocks):
        text, _ = renamed(block, "Italian")
        machine = MACHINES[number % len(MACHINES)].word
        asked += check_draft(SourceText("block.st", text.text), block.block, machine)
    assert asked >= len(blocks) // 3


def test_without_a_kind_of_machine_nothing_is_required_and_the_kinds_are_told() -> None:
    _, lines = lines_of(SourceText("block.st", SERIES), None, None)
    assert not any(each.demand for each in lines)
    (last,) = [each for each in lines if each.missing]
    assert all(f"--machine {word}:" in " ".join(last.comments) for word in BY_WORD)


SERIES = """FUNCTION_BLOCK Press
VAR_INPUT leftPalm, rightPalm : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
stroke := leftPalm AND rightPalm;
END_FUNCTION_BLOCK
"""


@pytest.mark.long
def test_what_is_required_is_the_same_whatever_the_block_does() -> None:
    """A block that never releases its output is asked as much as one that does."""
    latched = SERIES.replace("stroke :=", "stroke := stroke OR")
    texts = [
        [each.text for each in lines_of(SourceText("block.st", text), None, "table")[1]
         if each.demand]
        for text in (SERIES, latched)
    ]  # fmt: skip
    assert texts[0] == texts[1]
    assert len(texts[0]) == 3


def test_a_parameter_that_was_not_found_is_said_to_be_missing() -> None:
    _, lines = lines_of(SourceText("block.st", SERIES), None, "press")
    lacking = [each.text for each in lines if each.missing]
    assert len(lacking) == 1
    assert "REQUIRE single_stroke (complete := {stroke_end})" not in lacking[0]
    assert "single_stroke (complete := ...)" in lacking[0]


@pytest.mark.long
def test_names_of_hands_avoid_those_of_the_block() -> None:
    text = SERIES.replace("leftPalm", "left").replace("rightPalm", "right")
    _, lines = lines_of(SourceText("block.st", text), None, "clamp")
    assert [each.text for each in lines if each.text.startswith("HAND")] == [
        "HAND left_hand = left",
        "HAND right_hand = right",
    ]
    assert check_draft(SourceText("block.st", text), None, "clamp")


@pytest.mark.long
def test_what_the_block_only_reads_is_written_outside() -> None:
    text = SERIES.replace("VAR_OUTPUT", "VAR open : BOOL; END_VAR VAR_OUTPUT").replace(
        "AND rightPalm", "AND rightPalm AND open"
    )
    _, lines = lines_of(SourceText("block.st", text), None, "clamp")
    assert [each.text for each in lines if each.text.startswith("OUTSIDE")] == ["OUTSIDE open"]
    assert check_draft(SourceText("block.st", text), None, "clamp")


@pytest.mark.long
def test_a_timer_fed_by_the_hands_is_told() -> None:
    text = SERIES.replace("VAR_OUTPUT", "VAR t : TON; END_VAR VAR_OUTPUT").replace(
        "stroke :=", "t(IN := leftPalm OR rightPalm, PT := T#480ms); stroke := NOT t.Q AND"
    )
    _, lines = lines_of(SourceText("block.st", text), None, None)
    told = [comment for each in lines if not each.text for comment in each.comments]
    assert any("timer t of T#480ms" in each and "window" in each for each in told)
