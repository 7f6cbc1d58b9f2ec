"""Textbook systems: the known answer, the engine's and that of plain enumeration are one."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.engine.system.contract import Proved, Unknown, Violated

from tests.support.decided import Question
from tests.support.enumeration.enumerate_states import enumerate_readings
from tests.support.enumeration.textbook import TEXTBOOK, TextbookSystem

CASES = [
    pytest.param(system, identifier, id=f"{system.name}-{identifier}")
    for system in TEXTBOOK
    for identifier in system.holds
]


def question_of(system: TextbookSystem, identifier: str, folder: Path) -> Question:
    spec = system.load(folder)
    (requirement,) = (r for r in spec.requirements if r.identifier == identifier)
    return Question(spec.program, spec.clocking, requirement.property, spec.readings)


@pytest.mark.parametrize(("system", "identifier"), CASES)
def test_enumeration_finds_the_known_answer(
    system: TextbookSystem, identifier: str, tmp_path: Path
) -> None:
    question = question_of(system, identifier, tmp_path)
    found = enumerate_readings(
        question.program, question.clocking, question.choices, question.asked
    )
    assert (found.refutation is None) is system.holds[identifier]
    if identifier in system.shortest:
        assert found.refutation is not None
        assert len(found.refutation) == system.shortest[identifier]


SLOW = {("water_level", "in_range"), ("exclusion_by_delay", "exclusion")}
DECIDED = [
    pytest.param(
        system,
        identifier,
        id=f"{system.name}-{identifier}",
        marks=[pytest.mark.long]
        if identifier != next(iter(system.holds))
        or identifier in system.hard
        or (system.name, identifier) in SLOW
        else [],
    )
    for system in TEXTBOOK
    for identifier in system.holds
]


@pytest.mark.parametrize(("system", "identifier"), DECIDED)
def test_the_engine_decides_as_the_textbook(
    system: TextbookSystem, identifier: str, tmp_path: Path
) -> None:
    hard = identifier in system.hard
    answer = question_of(system, identifier, tmp_path).decide(2 if hard else 60)
    if hard and isinstance(answer, Unknown):
        return
    assert isinstance(answer, Proved if system.holds[identifier] else Violated)
