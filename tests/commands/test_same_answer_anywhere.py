"""Work is counted and never timed: the same input gives the same bytes, but for times, however busy
the machine is, however many processes work, however they begin and however texts are hashed."""

from __future__ import annotations

import json
from typing import Any

import pytest

from tests.bench import same_bytes
from tests.bench.same_bytes import COMMANDS, METHODS, Condition, printed
from tests.support.tiers import nightly

BY_NIGHT = ("proved", "violated", "faults")
"""The first two are in the document as well."""
QUIET = Condition(1, METHODS[0], 1, 0)
OTHERWISE = [Condition(4, METHODS[-1], 2, 1), Condition(2, METHODS[0], 3, 1)]


def test_runs_under_other_conditions_are_compared_with_the_first(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    conditions = list(same_bytes.conditions())
    assert len(set(conditions)) == len(conditions)
    seen = conditions[:5]
    for name in ("processes", "method", "seed", "busy"):
        every = {getattr(each, name) for each in conditions}
        assert {getattr(each, name) for each in seen} == every, name
    by_seed = {0: "PROVED", 1: "PROVED", 4711: "VIOLATED"}
    monkeypatch.setattr(same_bytes, "printed", lambda _, condition: by_seed[condition.seed])
    runs = [by_seed[each.seed] for each in seen]
    found = same_bytes.differences(("check",), len(seen))
    assert len(found) == sum(each != runs[0] for each in runs) > 0


@pytest.mark.long
@pytest.mark.parametrize(
    "arguments",
    [nightly(each) if name in BY_NIGHT else each for name, each in COMMANDS.items()],
    ids=list(COMMANDS),
)
def test_an_answer_has_the_same_bytes_anywhere(arguments: tuple[str, ...]) -> None:
    expected = printed(arguments, QUIET)
    assert [printed(arguments, each) for each in OTHERWISE] == [expected] * len(OTHERWISE)


@pytest.mark.long
def test_some_of_these_answers_are_open() -> None:
    for name in ("open, events", "open, proof"):
        assert "UNDECIDED" in printed(COMMANDS[name], QUIET), name


def document(arguments: tuple[str, ...]) -> Any:
    return json.loads(printed(arguments, QUIET).partition("\n")[2])


@pytest.mark.long
def test_a_spec_is_answered_alone_as_it_is_among_others() -> None:
    """What a process did before decides neither how terms are numbered nor when they are freed."""
    asked = ("selector_table.spec", "--effort", "0.2", "--json", "-")
    before = ("tied_down_ladder.spec", "lid_press_type3.spec")
    alone = document(("check", *asked))
    among = document(("check", *before, *asked))
    assert len(among["specs"]) == 3
    assert among["specs"][-1] == alone["specs"][0]
