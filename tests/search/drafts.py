"""A random block is drafted into a spec that is one."""

from __future__ import annotations

from random import Random

from twohand.analyses.draft.machines import BY_WORD
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText

from tests.support.drafted_specs import check_draft
from tests.support.randomness.blocks import block_text


def draft_is_a_spec(seed: int) -> bool:
    """Whether a random block could be drafted at all; what is drafted has to be a spec."""
    machine = Random(seed).choice([*BY_WORD, None])
    try:
        check_draft(SourceText("block.st", block_text(seed)), "Main", machine)
    except InputError as error:
        places = [each.span for each in error.diagnostics]
        if any(place is None or place.source.path != "block.st" for place in places):
            raise
        return False
    return True
