"""The stored reference: what two runs may differ in is taken out, and nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.reference.comparing import differences
from tests.reference.normal import relied, stored

PROVED = """  PROVED       'stroke' is on only while both hands are on (both_hands)
               for all time: invariant of {count} found by {method},
               accepted by {checker} VERSION (TIME)
               invariant, in every scan:
                 {clause}
  PROVED       next
"""


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("accepted by cvc5 1.4.2 (0.09 s)", "accepted by cvc5 1.4.2\n        (1.23 s)"),
        ("accepted by cvc5 1.4.2 (2 min 05 s)", "accepted by cvc5 1.5 (119 s)"),
        ("1 spec, 7 requirements: 7 PROVED, 2.40 s", "1 spec, 7 requirements: 7 PROVED, 12 s"),
        (
            "beam_press    14  14 PROVED    yes       2.66 s",
            "beam_press    14  14 PROVED    yes  12 s",
        ),
        (
            '{\n  "a": 1,\n  "made": {\n    "seconds": 0.7\n  }\n}',
            '{\n  "a": 1,\n  "made": {\n    "seconds": 12,\n    "spent": []\n  }\n}',
        ),
    ],
)
def test_the_time_spent_and_the_version_of_a_solver_are_not_stored(one: str, other: str) -> None:
    assert stored(one) == stored(other)


@pytest.mark.parametrize(
    "text",
    [
        "at 12.5 s (scan 27) stroke becomes TRUE",
        "reached in a replayed run of 26 scans (485 ms); nothing exceeds it",
        '{\n  "format": "twohand-measurement",\n  "seconds": 0.12\n}',
        '{\n  "seconds": 0.178,\n  "scan": {\n    "seconds": 1\n  }\n}',
    ],
)
def test_all_else_is_stored_to_the_letter(text: str) -> None:
    assert stored(text) == text


def test_what_a_user_relies_on_is_the_same_for_another_invariant() -> None:
    one = PROVED.format(
        count="3 clauses", method="property-directed proof", checker="cvc5", clause="not armed"
    )
    other = PROVED.format(
        count="1 clause", method="plain search", checker="z3", clause="a\n                     b"
    )
    assert one != other
    assert relied(one) == relied(other)
    assert "PROVED next" in relied(one)


def test_what_a_user_relies_on_of_a_document_leaves_out_its_proofs() -> None:
    document = (
        '{{\n  "decided": {},\n  "proof": {{"method": "{}", "checker": "", "clauses": []}}\n}}'
    )
    assert relied(document.format("true", "a")) == relied(document.format("true", "b"))
    assert relied(document.format("true", "a")) != relied(document.format("false", "a"))


def test_what_a_user_relies_on_is_the_same_for_another_run_and_not_for_another_verdict() -> None:
    text = """  {0}     'q' (held)
               held: at {1} ms (scan {2}) q is TRUE and a becomes FALSE; asked: 'q' (TIME)

held: VIOLATED
  time {1} ms
What this does not say
"""
    seen = relied(text.format("VIOLATED", 10, 3))
    assert seen == relied(text.format("VIOLATED", 15, 4))
    assert seen != relied(text.format("PROVED", 10, 3))


def test_a_case_that_differs_is_listed_and_so_is_one_that_is_missing(tmp_path: Path) -> None:
    first, second = tmp_path / "first", tmp_path / "second"
    for folder, code in ((first, 0), (second, 1)):
        (folder / "check").mkdir(parents=True)
        (folder / "check" / "same.txt").write_text("exit code 0", encoding="utf-8")
        (folder / "check" / "other.txt").write_text(f"exit code {code}", encoding="utf-8")
    (first / "check" / "gone.txt").touch()
    gone, other = differences(first, second, relied=True)
    assert gone == [f"check/gone.txt: only in {first}"]
    assert other[-2:] == ["-exit code 0", "+exit code 1"]
