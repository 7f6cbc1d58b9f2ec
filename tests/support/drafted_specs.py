"""Whether a drafted spec is one: it parses, is marked, limits nothing, and loads without marks."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.analyses.draft.draft import drafted
from twohand.analyses.draft.lines import Line, draft_lines
from twohand.analyses.draft.machines import BY_WORD
from twohand.analyses.draft.text import spec_text, unmarked_text
from twohand.specification.load import resolve_specifications
from twohand.specification.model.specification import Specification
from twohand.specification.syntax import nodes as spec
from twohand.specification.syntax.parse import parse_specification, parse_specifications
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText

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
