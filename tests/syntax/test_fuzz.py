"""Programs from the grammar's own rules are read or refused, whole and broken."""

from __future__ import annotations

from random import Random

import pytest

from tests.fuzz import check_derived, derived, main
from tests.support.tiers import nightly, rows


@pytest.mark.parametrize("first", rows(range(0, 500, 50), lambda first: first >= 50))
def test_programs_of_the_grammar_are_read_or_refused(first: int) -> None:
    for seed in range(first, first + 50):
        check_derived(Random(seed))


@pytest.mark.long
def test_the_rules_derive_long_and_varied_programs() -> None:
    texts = [derived(Random(seed)) for seed in range(200)]
    assert max(len(words) for words in texts) > 200
    words = {word for text in texts for word in text}
    assert {"IF", "CASE", "FOR", "ARRAY", "METHOD", "VAR_IN_OUT", "RETURN"} <= words


@pytest.mark.long
@pytest.mark.parametrize("first", [0, *map(nightly, range(200, 1_000, 200))])
def test_hundreds_of_programs_have_one_meaning_each(first: int) -> None:
    """``python -m tests.fuzz`` goes through twenty thousand, in about an hour."""
    main(100, first)
