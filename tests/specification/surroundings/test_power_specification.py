"""POWER CYCLES in a spec: what it adds to the program, and what is asked where it stands."""

from __future__ import annotations

from pathlib import Path

from twohand.program import Assign, CallBlock, If, Read, Role, Variable
from twohand.program.types import BOOL, Value
from twohand.scan.clocking import Clocking
from twohand.scan.concrete.execute import Machine
from twohand.scan.scan_record import ScanRecord
from twohand.specification.catalogue.two_hand import two_hand_requirements
from twohand.specification.logic.evaluate import refuted_at
from twohand.specification.logic.formula import Atom, Bound
from twohand.specification.model.control import Availability, LogicType, TwoHand
from twohand.specification.model.specification import Requirement, Specification

from tests.support.meaning.powered_blocks import PLACE
from tests.support.requirement_traces import ONE_STATION, SPAN, UNIT, VARIABLES
from tests.support.samples.specification_samples import errors_of, load, spec_text

CYCLES = "POWER CYCLES; "
ROD = "PLANT rod : Cylinder IN 'cylinder.st' (forward := forwardCoil, supply := power.on); "
POWER = Variable("power.on", BOOL, Role.INPUT, False, PLACE)


def run(specification: Specification, *rows: str) -> list[ScanRecord]:
    """Runs with the inputs that are named in each row TRUE, all others FALSE."""
    readings = specification.readings.choices()[0]
    machine = Machine(specification.program, specification.clocking, readings)
    given: list[dict[str, Value]] = [dict.fromkeys(row.split(), True) for row in rows]
    return [machine.scan(inputs, specification.clocking.longest) for inputs in given]


# --- the program ------------------------------------------------------------------------------


def test_the_supply_is_an_input_of_the_whole_only_where_it_can_go(tmp_path: Path) -> None:
    powered = load(tmp_path, CYCLES)
    assert powered.power is not None
    assert powered.power in powered.program.sampled
    assert powered.power.name == "power.on"
    plain = load(tmp_path)
    assert plain.power is None
    assert plain.program.variable("power.on") is None


def test_plants_and_feedback_run_before_the_power_is_asked_for(tmp_path: Path) -> None:
    program = load(tmp_path, CYCLES + ROD + "FEEDBACK rodHome := rod.atHome;").program
    *around, guard = program.routine.body
    names = [part.target.name if isinstance(part, Assign) else "" for part in around]
    assert names == ["rod.forward", "rod.supply", "", "rodHome"]
    assert isinstance(guard, If)
    ((condition, under_power),) = guard.branches
    assert isinstance(condition, Read)
    assert condition.variable.name == "power.on"
    assert any(isinstance(part, CallBlock) and part.name == "Press" for part in under_power)


def test_a_plant_moves_without_power_and_its_binding_sees_the_supply_of_this_scan(
    tmp_path: Path,
) -> None:
    specification = load(tmp_path, CYCLES + ROD + "FEEDBACK rodHome := rod.atHome;")
    start = "power.on leftPalm rightPalm guardShut"
    records = run(specification, start, start, start, "", "", "power.on", "power.on")
    assert [record.values["rod.supply"] for record in records] == [1, 1, 1, 0, 0, 1, 1]
    assert [record.values["rod.place"] for record in records] == [0, 1, 2, 2, 2, 1, 0]
    home = [record.values["rodHome"] for record in records]
    assert home == [True, False, False, False, False, False, True]
    others = load(tmp_path, CYCLES + ROD.replace("power.on", "TRUE"))
    records = run(others, start, start, start, "", "", "power.on", "power.on")
    assert [record.values["rod.place"] for record in records] == [0, 1, 2, 3, 2, 1, 0]


def test_outputs_of_the_spec_are_off_without_power_whatever_section_they_stand_in(
    tmp_path: Path,
) -> None:
    (tmp_path / "relay.st").write_text(
        "FUNCTION_BLOCK Relay VAR_INPUT a : BOOL; END_VAR VAR RETAIN coil, other : BOOL; END_VAR "
        "IF a THEN coil := TRUE; other := TRUE; END_IF END_FUNCTION_BLOCK"
    )
    text = "SOURCE 'relay.st'; OUTPUT coil; REACHABLE coil; POWER CYCLES;"
    specification = load(tmp_path, text, "SOURCE OUTPUT HAND REQUIRE")
    records = run(specification, "power.on a", "", "power.on")
    assert [record.values["coil"] for record in records] == [True, False, True]
    assert [record.values["other"] for record in records] == [True, True, True]


def test_formulas_and_assumptions_may_read_the_supply(tmp_path: Path) -> None:
    more = "ASSUME FIRST_SCAN -> power.on; PROPERTY dark : NOT Power.On -> NOT lamp;"
    specification = load(tmp_path, CYCLES + more)
    assert len(specification.assumptions) == 1
    assert specification.requirements[-1].identifier == "dark"
    (error,) = errors_of(tmp_path, spec_text("PROPERTY dark : NOT power.on -> NOT lamp;"))
    assert error.code == "unknown-name"


def test_a_second_statement_and_a_plant_named_power_are_refused(tmp_path: Path) -> None:
    assert [e.code for e in errors_of(tmp_path, spec_text(CYCLES * 2))] == ["repeated-statement"]
    plant = ROD.replace("rod", "Power")
    (error,) = errors_of(tmp_path, spec_text(CYCLES + plant))
    assert (error.code, error.span and error.span.text) == ("ambiguous-name", "Power")


def test_a_retained_timer_is_refused_where_it_is_declared(tmp_path: Path) -> None:
    (tmp_path / "late.st").write_text(
        "FUNCTION_BLOCK Late VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR\n"
        "VAR RETAIN window : TON; END_VAR\nwindow(IN := a, PT := T#1s); q := window.Q;\n"
        "END_FUNCTION_BLOCK"
    )
    text = "SOURCE 'late.st'; OUTPUT q; REACHABLE q;"
    without = "SOURCE OUTPUT HAND REQUIRE"
    (error,) = errors_of(tmp_path, spec_text(text + CYCLES, without))
    assert error.code == "retained-timer"
    assert error.span is not None
    assert (error.span.text, error.span.line) == ("window", 2)
    assert errors_of(tmp_path, spec_text(text, without)) == ()


# --- what is asked ----------------------------------------------------------------------------


def asked(available: Availability | None = None) -> dict[str, Requirement]:
    control = TwoHand(
        LogicType.THREE, ONE_STATION, (VARIABLES["on"],), SPAN, UNIT, 20, window=500,
        power=Atom(Read(POWER, PLACE)),
    )  # fmt: skip
    return {each.identifier: each for each in two_hand_requirements(control, available)}


def refuted(requirement: Requirement, **signals: str) -> int | None:
    length = len(signals["power"])
    names = {**{name: name for name in VARIABLES}, "power.on": "power"}
    records = [
        ScanRecord(
            scan * 100,
            100,
            {n: signals.get(s, "0" * length)[scan] == "1" for n, s in names.items()},
        )
        for scan in range(length)
    ]
    return refuted_at(requirement.property, records, Clocking(UNIT, 100, 100))


def test_a_hand_that_is_on_when_power_returns_starts_nothing() -> None:
    power_up = asked()["power_up"]
    assert "a first scan under power" in power_up.sentence
    assert refuted(power_up, power="1101111", left="0001111", right="0000111", on="0000010") == 5
    assert refuted(power_up, power="1101111", left="0001011", right="0000011", on="0000011") is None
    assert refuted(power_up, power="11111", left="10011", right="00001", on="00001") is None
    assert refuted(power_up, power="11111", left="11111", right="00001", on="00001") == 4


def test_what_hands_do_without_power_counts_only_when_it_comes() -> None:
    power_up = asked()["power_up"]
    assert refuted(power_up, power="00111", left="11001", right="00001", on="00001") is None
    assert refuted(power_up, power="00111", left="00101", right="00001", on="00001") is None
    assert refuted(power_up, power="00111", left="00111", right="00001", on="00001") == 4


def test_a_loss_of_power_ends_the_output_and_all_hands_have_to_be_released() -> None:
    release_both = asked()["release_both"]
    assert refuted(release_both, power="1101", left="1111", right="1111", on="0101") == 3
    assert refuted(release_both, power="11001", left="11001", right="11001", on="01001") is None


def test_an_attempt_is_under_power_from_rest_to_answer() -> None:
    available = asked(Availability(Bound(0, 1, in_scans=True), SPAN))["available"]
    assert "come on from rest under power" in available.sentence
    hands = {"left": "00111", "right": "00111"}
    assert refuted(available, power="11111", on="00000", **hands) == 4
    assert refuted(available, power="11011", on="00000", **hands) is None
    assert refuted(available, power="00111", on="00000", **hands) is None
    assert refuted(available, power="01111", on="00000", **hands) == 4
    assert refuted(available, power="11101", on="00000", **hands) is None


def test_logic_without_power_need_not_notice_and_has_its_time_anew(tmp_path: Path) -> None:
    demand = (
        "REQUIRE discrepancy (first := leftPalm, second := leftOpener, within := T#200ms, "
        "notice := lamp); "
    )
    specification = load(tmp_path, CYCLES + demand)
    (found,) = [r for r in specification.requirements if r.identifier == "discrepancy"]
    assert "unless that ends or power is lost" in found.sentence

    def refuted_with(power: str, wrong: str) -> int | None:
        records = [
            ScanRecord(scan * 100, 100, {**values, "leftPalm": differs == "1"})
            for scan, differs in enumerate(wrong)
            for values in [{"power.on": power[scan] == "1", "leftOpener": False, "lamp": False}]
        ]
        return refuted_at(found.property, records, specification.clocking)

    assert refuted_with("11111", "01111") == 4
    assert refuted_with("1100000", "0111111") is None
    assert refuted_with("11001111", "01111111") == 7


def test_supply_that_comes_back_starts_nothing_without_an_action_after_it(tmp_path: Path) -> None:
    """A button that comes on in the very scan in which the supply does is none."""
    demand = "REQUIRE no_restart (start := leftPalm, output := lamp); "
    specification = load(tmp_path, CYCLES + demand)
    (found,) = [r for r in specification.requirements if r.identifier == "no_restart"]

    def refuted_with(power: str, start: str, output: str) -> int | None:
        rows = zip(power, start, output, strict=True)
        records = [
            ScanRecord(
                scan * 100,
                100,
                {"power.on": on == "1", "leftPalm": button == "1", "lamp": lit == "1"},
            )
            for scan, (on, button, lit) in enumerate(rows)
        ]
        return refuted_at(found.property, records, specification.clocking)

    assert refuted_with("110011", "000000", "000001") == 5
    assert refuted_with("110011", "000001", "000001") is None
    assert refuted_with("110011", "000011", "000001") == 5
    assert refuted_with("110011", "010011", "011001") == 5
    assert refuted_with("011", "000", "010") == 1
