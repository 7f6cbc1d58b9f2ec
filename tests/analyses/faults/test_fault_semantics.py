"""Wired blocks: executor and transition system agree, enumeration agrees with the engine, and
without a fault the wired spec is the one whose contacts are read directly."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
from twohand.analyses.faults.cases import FaultAnalysis
from twohand.analyses.faults.requirements import after_fault
from twohand.engine.system.contract import Proved, Violated
from twohand.scan.symbolic.encode import encode
from twohand.specification.load import load_specifications
from twohand.specification.model.fault import FaultCourse
from twohand.specification.model.specification import Requirement, Specification

from tests.support.decided import Question
from tests.support.enumeration.enumerate_states import enumerate_readings
from tests.support.meaning.side_by_side import Pair
from tests.support.samples.fault_samples import (
    FED_SPEC,
    PAIR_SPEC,
    SINGLE_SPEC,
    analysis,
    written_spec,
)
from tests.support.tiers import rows

SPECS = {"pair": PAIR_SPEC, "single": SINGLE_SPEC, "fed": FED_SPEC}
MORE = {
    "pair": "ASSUME leftNC OR rightNC OR guardShut;",
    "single": "SUPPLY one = leftNO; SUPPLY two = rightNO, guardShut; NOTICE NOT go;",
    "fed": "NOTICE alarm;",
}


@pytest.fixture(params=rows(SPECS, lambda name: name == "pair"))
def analysed(request: pytest.FixtureRequest, tmp_path: Path) -> FaultAnalysis:
    return analysis(tmp_path, SPECS[request.param], MORE[request.param])


@pytest.mark.parametrize("name", SPECS)
@pytest.mark.parametrize(
    "more",
    rows(
        ["", "BOUNCE T#15ms;", "POWER CYCLES;", "POWER CYCLES; BOUNCE T#9ms;"],
        lambda more: more in ("BOUNCE T#15ms;", "POWER CYCLES;"),
    ),
)
@pytest.mark.parametrize("scan", rows(["T#10ms", "T#3ms..T#8ms"], lambda scan: ".." in scan))
def test_executor_and_system_agree_on_faulty_blocks(
    tmp_path: Path, name: str, more: str, scan: str
) -> None:
    text = SPECS[name].replace("SCAN T#10ms", f"SCAN {scan}")
    analysed = analysis(tmp_path, text, f"{MORE[name]} {more}")
    random = Random(7)
    scans = 0
    for _ in range(4):
        faults = random.sample(analysed.faults, random.choice((0, 1, 1, 2)))
        if len(faults) == 1:
            faults = [faults[0].as_it(random.choice(list(FaultCourse)))]
        spec = analysed.under(*faults, in_order=random.random() < 0.5)
        encoding = encode(spec.program, spec.clocking, spec.readings, spec.loop_bound)
        pair = Pair(encoding)
        scans += sum(pair.run(random) for _ in range(5))
    assert scans >= 4 * 5 * 5


def decided(specification: Specification, requirement: Requirement) -> bool:
    """Whether the engine proves it; the enumeration of every state says the same."""
    assumptions = [named.formula for named in specification.assumptions]
    asked = requirement.property
    question = Question(
        specification.program,
        specification.clocking,
        asked,
        specification.readings,
        assumptions,
    )
    answer = question.decide(60)
    assert isinstance(answer, Proved | Violated)
    found = enumerate_readings(
        specification.program, specification.clocking, question.choices, asked, assumptions
    )
    assert (found.refutation is None) is isinstance(answer, Proved)
    return isinstance(answer, Proved)


@pytest.mark.long
def test_the_engine_says_of_each_fault_what_visiting_every_state_says(
    analysed: FaultAnalysis,
) -> None:
    proved = 0
    asked = 0
    random = Random(11)
    three = random.sample(analysed.faults, 3)
    faults = [(each.as_it(course),) for each, course in zip(three, FaultCourse, strict=True)]
    pairs = [tuple(random.sample(analysed.faults, 2)) for _ in range(1)]
    for chosen in (*faults, *pairs):
        spec = analysed.under(*chosen, in_order=True)
        for requirement in (*spec.requirements, *after_fault(spec).all):
            proved += decided(spec, requirement)
            asked += 1
    assert 0 < proved < asked


@pytest.mark.long
@pytest.mark.parametrize("name", SPECS)
def test_without_a_fault_the_wired_spec_answers_as_the_direct_one(
    tmp_path: Path, name: str
) -> None:
    path = written_spec(tmp_path, SPECS[name], MORE[name])
    direct = load_specifications(path)[0]
    wired = analysis(tmp_path, SPECS[name], MORE[name]).sound
    assert direct.lines is None
    for one, other in zip(direct.requirements, wired.requirements, strict=True):
        assert decided(direct, one) is decided(wired, other)
