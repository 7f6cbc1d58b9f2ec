"""Each requirement on a small block that violates it and on one that does not: the engine's answer
is that of visiting every state."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.engine.system.contract import Proved, Violated
from twohand.scan.clocking import Readings
from twohand.specification.load import load_specification

from tests.support.decided import Question
from tests.support.enumeration.enumerate_states import enumerate_runs
from tests.support.requirement_pairs import PAIRS, Pair
from tests.support.tiers import rows


def block(inputs: str, body: str) -> str:
    return f"""FUNCTION_BLOCK Small
VAR_INPUT {inputs} : BOOL; END_VAR
VAR_OUTPUT q, ready : BOOL; END_VAR
VAR armed, held, was, seen : BOOL; t : TON; END_VAR
VAR RETAIN run : BOOL; END_VAR
{body}
END_FUNCTION_BLOCK
"""


def is_long(pair: Pair) -> bool:
    """Pairs with many states."""
    many = pair.word in ("manual_reset", "two_hand_trip", "single_stroke")
    return many or "selection" in pair.violated[0] or "BOUNCE" in pair.roles


@pytest.mark.parametrize("wrong", rows([False, True], lambda wrong: not wrong), ids=["good", "bad"])
@pytest.mark.parametrize(
    "pair",
    rows(PAIRS, is_long),
    ids=lambda pair: f"{pair.word}-{pair.violated[0]}",
)
def test_the_engine_agrees_with_visiting_every_state(
    pair: Pair, wrong: bool, tmp_path: Path
) -> None:
    text = block(pair.inputs, pair.bad if wrong else pair.good)
    (tmp_path / "small.st").write_text(text, encoding="utf-8")
    path = tmp_path / "small.spec"
    path.write_text(
        f"SPEC Small SOURCE 'small.st'; SCAN T#1ms; {pair.roles} {pair.demand} END_SPEC\n",
        encoding="utf-8",
    )
    specification = load_specification(path)
    program, clocking = specification.program, specification.clocking
    readings = Readings().choices()[0]
    found = set()
    for requirement in specification.requirements:
        visited = enumerate_runs(program, clocking, readings, requirement.property)
        answer = Question(program, clocking, requirement.property, readings).decide(60)
        assert isinstance(answer, Proved if visited.refutation is None else Violated)
        if visited.refutation is not None:
            assert len(answer.steps) == len(visited.refutation)  # type: ignore[union-attr]
            found.add(requirement.identifier)
    expected = {name for name in pair.violated if wrong}
    assert expected <= found
    assert wrong or found == set()
