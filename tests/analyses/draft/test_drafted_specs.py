"""A drafted spec is one: it parses, loads and is asked once its marks are taken away, whatever the
block is; nothing in it limits what is required."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
from twohand.analyses.draft.draft import drafted
from twohand.analyses.draft.lines import Line, draft_lines
from twohand.analyses.draft.machines import BY_WORD, MACHINES
from twohand.analyses.draft.text import spec_text, unmarked_text
from twohand.specification.load import resolve_specifications
from twohand.specification.model.specification import Specification
from twohand.specification.syntax import nodes as spec
from twohand.specification.syntax.parse import parse_specification, parse_specifications
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText

from tests.support.randomness.blocks import block_text
from tests.support.samples.renamed_blocks import gallery_blocks, renamed

LIMITING = (
    spec.HazardStatement,
    spec.AssumeStatement,
    spec.PlantStatement,
    spec.FeedbackStatement,
    spec.ExpectStatement,
    spec.AcceptStatement,
)
ROLES = (spec.HandStatement, spec.OutputStatement, spec.StationStatement, spec.StopStatement)


def lines_of(source: SourceText, block: str | None, machine: str | None) -> tuple[str, list[Line]]:
    found = drafted([source], block)
    kind = BY_WORD[machine] if machine else None
    return found.program.name, draft_lines(found, "block.st", kind)


def check_draft(source: SourceText, block: str | None, machine: str | None) -> bool:
    """Whether anything of it can be asked; it has to be readable, marked, and to limit nothing."""
    name, lines = lines_of(source, block, machine)
    tree = parse_specification(SourceText("draft.spec", spec_text(name, lines, "a machine")))
    for statement in tree.statements:
        assert not isinstance(statement, LIMITING)
        assert not isinstance(statement, ROLES) or statement.guessed is not None
        if isinstance(statement, spec.RequireWordStatement | spec.RequireStatement):
            assert statement.condition is None
        if isinstance(statement, spec.StationStatement):
            assert statement.condition is None
    with pytest.raises(InputError, match="guess"):
        loaded(source, SourceText("draft.spec", spec_text(name, lines)))
    asked = [each for each in lines if each.text and not each.missing and not each.alone]
    if any(each.demand for each in asked):
        (one,) = loaded(source, SourceText("draft.spec", unmarked_text(name, asked)))
        assert one.requirements
        return True
    return False


def loaded(source: SourceText, text: SourceText) -> tuple[Specification, ...]:
    return resolve_specifications(parse_specifications(text), Path(), {Path("block.st"): source})


def check_random(seed: int) -> bool:
    """The same of a random block; whether it could be drafted at all."""
    machine = Random(seed).choice([*BY_WORD, None])
    try:
        check_draft(SourceText("block.st", block_text(seed)), "Main", machine)
    except InputError as error:
        if any(
            each.span is None or each.span.source.path != "block.st" for each in error.diagnostics
        ):
            raise
        return False
    return True


@pytest.mark.long
def test_random_blocks_are_drafted() -> None:
    assert sum(check_random(seed) for seed in range(10)) >= 7


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
