"""What tells the types apart: pressing one hand again, and a hand that is tied down.

Shown twice: for the gallery's blocks, and for whatever logic meets the requirements of a type (on a
block whose outputs are free).
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest
from twohand.commands.shared.gallery_files import gallery_folder
from twohand.engine.system.contract import Proved, Violated
from twohand.specification.load import load_specification

from tests.support.decided import Question
from tests.support.implications import follows
from tests.support.samples.free_block import free_specification
from tests.support.tiers import rows

AGAIN = "prev(since({one}, fell(stroke) AND {one} AND NOT {other})) AND rose(stroke)"
"""One hand stayed on, the other was let go and pressed again, and the output is back."""
TWICE = "prev(since({one}, rose(stroke))) AND rose(stroke)"
"""A second start while one hand stays on."""
LATE = (
    "rose(stroke) AND since({one} AND {other}, "
    "rose({one} AND {other}) AND NOT once(rose({one}), {time}))"
)
"""A start by a hand that came long after the other one."""
SHORT = "T#20ms"
"""The window on the free block, whose scan is 10 ms."""


@dataclass(frozen=True)
class Case:
    """``reached`` are the types whose logic can come to it."""

    formula: str
    reached: str
    time: str = "T#500ms"

    def text(self, one: str, other: str, time: str) -> str:
        return self.formula.format(one=one, other=other, time=time)


CASES = {
    "re-pressing one hand restores the output": Case(AGAIN, "I"),
    "a tied hand lets a second start come": Case(TWICE, "I"),
    "a tied hand lets a start come after the window": Case(LATE, "I II"),
}
TYPES = {"I": "I", "II": "II", "III": f"III, WINDOW {SHORT}"}


@pytest.mark.parametrize("what", CASES)
@pytest.mark.parametrize(
    ("number", "kind"), [(1, "I"), (2, "II"), pytest.param(3, "III", marks=pytest.mark.long)]
)
def test_the_gallerys_blocks_of_each_type(
    number: int, kind: str, what: str, tmp_path: Path
) -> None:
    case = CASES[what]
    for file in gallery_folder().glob(f"lid_press_type{number}.*"):
        (tmp_path / file.name).write_text(file.read_text(encoding="utf-8"), encoding="utf-8")
    path = tmp_path / f"lid_press_type{number}.spec"
    spec = path.read_text(encoding="utf-8").partition("REQUIRE")[0]
    for one, other in (("left", "right"), ("right", "left")):
        text = case.text(one, other, case.time)
        path.write_text(f"{spec} REACHABLE it : {text};\nEND_SPEC\n", encoding="utf-8")
        specification = load_specification(path)
        question = Question(
            specification.program, specification.clocking, specification.requirements[0].property
        )
        kinds = Violated if kind in case.reached.split() else Proved
        assert isinstance(question.decide(60), kinds), (one, kind)


@pytest.mark.parametrize("what", CASES)
@pytest.mark.parametrize("kind", rows(TYPES, lambda kind: kind == "III"))
def test_whatever_logic_is_of_a_type(kind: str, what: str, tmp_path: Path) -> None:
    case = CASES[what]
    text = case.text("left", "right", SHORT)
    statements = f"REQUIRE TWO_HAND LOGIC TYPE {TYPES[kind]}; PROPERTY never_that : NOT ({text});"
    specification = free_specification(tmp_path, statements)
    *type_asks, never_that = (each.property for each in specification.requirements)
    assert follows(specification, type_asks, never_that) == (kind not in case.reached.split())


@pytest.mark.long
def test_a_tied_hand_gets_at_most_one_start_from_any_press_that_does_not_repeat(
    tmp_path: Path,
) -> None:
    twice = CASES["a tied hand lets a second start come"].text("left", "right", SHORT)
    for word in ("single_stroke", "two_hand_trip"):
        demand = f"REQUIRE {word} (complete := complete);"
        statements = f"{demand} PROPERTY never_that : NOT ({twice});"
        specification = free_specification(tmp_path, statements)
        *asked, never_that = (each.property for each in specification.requirements)
        assert follows(specification, asked, never_that)
        assert not follows(specification, asked[:1], never_that)
