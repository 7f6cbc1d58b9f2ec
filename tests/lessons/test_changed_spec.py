"""A spec is compared with its lesson's by content: what asks the same is the same."""

from __future__ import annotations

import pytest
from twohand.lessons.changed_spec import SpecChanges, spec_changes
from twohand.lessons.course import lessons
from twohand.text.source_text import SourceText

OURS = """(* A press. *)
SPEC Press
    SOURCE 'press.st';
    SCAN T#5ms..T#20ms;
    REQUIRE TWO_HAND LOGIC TYPE II;
    PROPERTY stays_on : prev(stroke) AND left -> stroke;
END_SPEC
"""


@pytest.mark.parametrize(
    "changes",
    [
        (("(* A press. *)", "(* Mine; REQUIRE nothing; *) // really"),),
        (("    ", "\t"),),
        (("prev(stroke) AND left", "prev( stroke )\n  and LEFT"),),
        (("TYPE II;", "type ii ;"),),
        (("    SCAN T#5ms..T#20ms;\n", ""), ("END_SPEC", "SCAN T#5ms .. T#20ms;;\nEND_SPEC")),
    ],
)
def test_comments_spaces_case_and_order_mean_nothing(changes: tuple[tuple[str, str], ...]) -> None:
    text = OURS
    for before, after in changes:
        assert before in text
        text = text.replace(before, after)
    assert not spec_changes(OURS, SourceText("press.spec", text))


@pytest.mark.parametrize(
    ("before", "after", "left_out", "added"),
    [
        (
            "TYPE II",
            "TYPE I",
            ("REQUIRE TWO_HAND LOGIC TYPE II;",),
            ("REQUIRE TWO_HAND LOGIC TYPE I;",),
        ),
        ("    REQUIRE TWO_HAND LOGIC TYPE II;\n", "", ("REQUIRE TWO_HAND LOGIC TYPE II;",), ()),
        (
            "    REQUIRE TWO_HAND LOGIC TYPE II;\n",
            "// REQUIRE TWO_HAND LOGIC TYPE II;\n",
            ("REQUIRE TWO_HAND LOGIC TYPE II;",),
            (),
        ),
        ("END_SPEC", "ASSUME left;\nEND_SPEC", (), ("ASSUME left;",)),
        ("'press.st'", "'Other.st'", ("SOURCE 'press.st';",), ("SOURCE 'Other.st';",)),
        ("'press.st'", "'Press.st'", ("SOURCE 'press.st';",), ("SOURCE 'Press.st';",)),
        ("T#20ms", "T#200ms", ("SCAN T#5ms..T#20ms;",), ("SCAN T#5ms..T#200ms;",)),
        ("SPEC Press", "SPEC Other", ("SPEC Press",), ("SPEC Other",)),
    ],
)
def test_what_is_asked_less_and_what_is_added_is_named(
    before: str, after: str, left_out: tuple[str, ...], added: tuple[str, ...]
) -> None:
    changed = OURS.replace(before, after, 1)
    assert changed != OURS
    assert spec_changes(OURS, SourceText("press.spec", changed)) == SpecChanges(left_out, added)


def test_a_statement_that_is_there_twice_counts_twice() -> None:
    twice = OURS.replace("END_SPEC", "ASSUME left;\nASSUME LEFT;\nEND_SPEC")
    once = OURS.replace("END_SPEC", "ASSUME left;\nEND_SPEC")
    assert spec_changes(once, SourceText("a", twice)).added == ("ASSUME LEFT;",)


@pytest.mark.parametrize("name", lessons())
def test_taking_any_statement_away_is_a_change(name: str) -> None:
    text = lessons()[name].spec_text
    assert not spec_changes(text, SourceText("a", text))
    head, *statements = text.split(";")
    for number in range(len(statements)):
        kept = ";".join([head, *statements[:number], *statements[number + 1 :]])
        assert spec_changes(text, SourceText("a", kept)), statements[number]
