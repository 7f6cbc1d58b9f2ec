"""A block and its plants are one program: what drives what, and in which order."""

from __future__ import annotations

from pathlib import Path

from twohand.program import Assign, CallBlock

from tests.support.samples.specification_samples import load, load_text

ROD = "PLANT rod : Cylinder IN 'cylinder.st' (forward := forwardCoil, supply := NOT stop);"


def test_free_inputs_are_those_that_nothing_drives(tmp_path: Path) -> None:
    program = load(tmp_path, ROD + "FEEDBACK rodHome := rod.atHome;").program
    names = [variable.name for variable in program.inputs]
    assert "rod.jammed" in names
    assert "stop" in names
    assert not {"rod.forward", "rod.supply", "rodHome"} & set(names)
    assert program.variable("rod.forward") is not None


def test_a_plant_runs_before_its_feedback_and_the_block(tmp_path: Path) -> None:
    program = load(tmp_path, ROD + "FEEDBACK rodHome := rod.atHome AND NOT rod.jammed;").program
    steps = [
        step.target.name if isinstance(step, Assign) else step.name
        for step in program.routine.body
        if isinstance(step, Assign | CallBlock)
    ]
    assert steps == ["rod.forward", "rod.supply", "rod", "rodHome", "Press"]


def test_several_plants_run_in_the_order_of_the_spec(tmp_path: Path) -> None:
    more = ROD + "PLANT lift : Cylinder IN 'cylinder.st' (forward := lamp);"
    program = load(tmp_path, more).program
    calls = [step.name for step in program.routine.body if isinstance(step, CallBlock)]
    assert calls == ["rod", "lift", "Press"]
    assert program.variable("lift.atHome") is not program.variable("rod.atHome")
    assert len({variable.name for variable in program.variables}) == len(program.variables)


def test_a_plant_may_come_from_the_specs_own_sources(tmp_path: Path) -> None:
    text = (
        "SPEC S SOURCE 'press.st', 'cylinder.st'; BLOCK Press; SCAN T#10ms;"
        "PLANT rod : cylinder (forward := forwardCoil); REACHABLE rod.atEnd; END_SPEC"
    )
    (specification,) = load_text(tmp_path, text)
    assert specification.program.name == "Press"


def test_a_variable_of_the_plant_can_be_an_output_and_its_free_inputs_assumed(
    tmp_path: Path,
) -> None:
    more = ROD + "OUTPUT rod.atEnd; ASSUME NOT rod.jammed;"
    specification = load(tmp_path, more, "OUTPUT")
    assert [output.name for output in specification.outputs] == ["rod.atEnd"]
    assert len(specification.assumptions) == 1
