"""The difference that is shown: the lines that a change touches, and none beside them."""

from __future__ import annotations

from difflib import unified_diff
from random import Random

from twohand.analyses.mend.text import unified_lines


def test_in_a_long_text_only_what_changes_is_shown_as_changed() -> None:
    before = [*(["x := a;", "END_IF;", ""] * 100), "q := a OR b;", *(["END_IF;", ""] * 50)]
    after = [line.replace("a OR b", "a AND b") for line in before]
    shown = list(unified_lines(before, after))
    assert [line for line in shown if line[0] in "+-"] == ["-q := a OR b;", "+q := a AND b;"]
    assert shown[0] == "@@ -298,7 +298,7 @@"


def test_of_a_short_text_it_is_that_of_the_standard_library() -> None:
    for seed in range(40):
        random = Random(seed)
        before = [random.choice("abcd") for _ in range(random.randrange(30))]
        after = [line for line in before if random.random() > 0.1]
        after.insert(random.randrange(len(after) + 1), "new")
        expected = list(unified_diff(before, after, lineterm=""))[2:]
        assert list(unified_lines(before, after)) == expected
