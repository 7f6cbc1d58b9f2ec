"""Physical hands move contacts, and what is wrong between them and the block changes its inputs.

The tables follow from what a contact is (common practice): a closed one conducts, so that its
input reads TRUE; two lines that touch read TRUE where either does; without supply all is FALSE.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.analyses.faults.cases import load_fault_analyses
from twohand.program.types import Value
from twohand.specification.model.fault import FaultCourse

from tests.support.samples.fault_samples import (
    FED_SPEC,
    PAIR_SPEC,
    SINGLE_SPEC,
    analysis,
    faults_named,
    runs,
    written_spec,
)

INPUTS = ("leftNO", "leftNC", "rightNO", "rightNC")
OFF, LEFT = {"hand.left": False}, {"hand.left": True}
BEGINS = {"fault.begins": True}
T, F = True, False


def test_a_healthy_contact_follows_its_hand_and_an_opener_is_its_opposite(tmp_path: Path) -> None:
    sound = analysis(tmp_path, PAIR_SPEC).sound
    assert runs(sound, [{}, LEFT, {}], *INPUTS) == [
        (F, T, F, T),
        (T, F, F, T),
        (F, T, F, T),
    ]
    assert sound.assumptions == (), "that contacts agree is no assumption any more"


@pytest.mark.parametrize(
    ("fault", "at_rest", "pressed"),
    [
        # (leftNO, leftNC, rightNO, rightNC) with both hands off, and with the left one on
        ("leftNO-stuck-open", (F, T, F, T), (F, F, F, T)),
        ("leftNO-stuck-closed", (T, T, F, T), (T, F, F, T)),
        ("leftNC-stuck-open", (F, F, F, T), (T, F, F, T)),
        ("leftNC-stuck-closed", (F, T, F, T), (T, T, F, T)),
        ("leftNO-leftNC-short", (T, T, F, T), (T, T, F, T)),
        ("leftNO-rightNO-short", (F, T, F, T), (T, F, T, T)),
        ("leftNC-rightNC-short", (F, T, F, T), (T, T, F, T)),
        ("leftNO-rightNC-short", (T, T, F, T), (T, F, F, T)),
        ("supply-lost", (F, F, F, F), (F, F, F, F)),
    ],
)
def test_what_a_fault_makes_of_the_inputs(
    tmp_path: Path, fault: str, at_rest: tuple[bool, ...], pressed: tuple[bool, ...]
) -> None:
    analysed = analysis(tmp_path, PAIR_SPEC)
    faulty = analysed.under(*faults_named(analysed, fault))
    assert runs(faulty, [BEGINS, LEFT], *INPUTS) == [at_rest, pressed]


def test_a_fault_begins_in_any_scan_and_stays(tmp_path: Path) -> None:
    analysed = analysis(tmp_path, SINGLE_SPEC)
    faulty = analysed.under(*faults_named(analysed, "leftNO-stuck-closed"))
    scans: list[dict[str, Value]] = [{}, BEGINS, {}, LEFT, {}]
    seen = [(F, F, F), (T, F, T), (T, F, T), (T, T, T), (T, F, T)]
    assert runs(faulty, scans, "leftNO", "sound.leftNO", "fault.present") == seen
    assert runs(faulty, [BEGINS], "leftNO") == [(T,)], "in the first scan as well"
    pair = analysis(tmp_path, PAIR_SPEC)
    short = pair.under(*faults_named(pair, "leftNO-rightNO-short"))
    seen = [(T, F), (T, T), (F, F), (T, T)]
    assert runs(short, [LEFT, LEFT | BEGINS, {}, LEFT], "leftNO", "rightNO") == seen


@pytest.mark.parametrize(
    ("course", "present"),
    [
        (FaultCourse.ONCE, (F, T, T, F, F, F)),
        (FaultCourse.OFTEN, (F, T, T, F, T, F)),
    ],
)
def test_a_fault_that_ends_is_there_once_or_each_time(
    tmp_path: Path, course: FaultCourse, present: tuple[bool, ...]
) -> None:
    analysed = analysis(tmp_path, SINGLE_SPEC)
    (stuck,) = faults_named(analysed, "leftNO-stuck-closed")
    faulty = analysed.under(stuck.as_it(course))
    there: dict[str, Value] = {"fault.there": True}
    scans: list[dict[str, Value]] = [{}, there, there, {}, there, {}]
    seen = runs(faulty, scans, "leftNO", "fault.present")
    assert seen == [(each, each) for each in present]
    assert runs(faulty, [there, LEFT], "leftNO", "sound.leftNO") == [(T, F), (T, T)]


def test_each_of_two_faults_stays(tmp_path: Path) -> None:
    analysed = analysis(tmp_path, SINGLE_SPEC)
    one, other = faults_named(analysed, "leftNO-stuck-closed", "rightNO-stuck-open")
    with pytest.raises(ValueError, match="stays"):
        analysed.under(one.as_it(FaultCourse.OFTEN), other)


@pytest.mark.parametrize(
    ("first", "second", "at_rest"),
    [
        ("leftNO-stuck-closed", "supply-lost", (F, F, F, F)),
        ("leftNO-stuck-closed", "leftNO-rightNO-short", (T, T, T, T)),
        ("leftNO-leftNC-short", "leftNC-rightNC-short", (T, T, F, T)),
        # a chain: the opener of the left hand reaches the closer of the right one over two shorts
        ("leftNO-leftNC-short", "leftNO-rightNO-short", (T, T, T, T)),
        ("leftNC-stuck-open", "leftNO-stuck-closed", (T, F, F, T)),
    ],
)
def test_two_faults_at_once(
    tmp_path: Path, first: str, second: str, at_rest: tuple[bool, ...]
) -> None:
    analysed = analysis(tmp_path, PAIR_SPEC)
    faulty = analysed.under(*faults_named(analysed, first, second))
    both: dict[str, Value] = {"fault.begins": True, "second.begins": True}
    assert runs(faulty, [both], *INPUTS) == [at_rest]


def test_an_input_reads_the_wire_of_an_output_as_the_scan_before_wrote_it(tmp_path: Path) -> None:
    analysed = analysis(tmp_path, SINGLE_SPEC)
    faulty = analysed.under(*faults_named(analysed, "leftNO-go-output-short"))
    right: dict[str, Value] = {"hand.right": True, "guardShut": True}
    scans = [{}, LEFT | right | BEGINS, right, right, {}, {}]
    assert runs(faulty, scans, "leftNO", "rightNO", "go") == [
        (F, F, F),
        (T, T, T),
        (T, T, T),  # by its own output
        (T, T, T),
        (T, F, F),
        (F, F, F),
    ]
    assert runs(faulty, [{}, LEFT | right, right], "leftNO", "go")[-1] == (F, F), "not yet there"


def test_two_contacts_that_touch_the_same_output_touch_each_other(tmp_path: Path) -> None:
    analysed = analysis(tmp_path, SINGLE_SPEC)
    pair = faults_named(analysed, "leftNO-go-output-short", "rightNO-go-output-short")
    both: dict[str, Value] = {"fault.begins": True, "second.begins": True}
    scans = [LEFT | both, {}]
    assert runs(analysed.under(*pair), scans, "leftNO", "rightNO") == [(T, T), (F, F)]


def test_no_output_is_on_before_the_first_scan(tmp_path: Path) -> None:
    path = written_spec(tmp_path, SINGLE_SPEC)
    source = tmp_path / "single.st"
    text = source.read_text(encoding="utf-8").replace("go : BOOL;", "go : BOOL := TRUE;")
    source.write_text(text, encoding="utf-8")
    (analysed,) = load_fault_analyses(path)
    faulty = analysed.under(*faults_named(analysed, "leftNO-go-output-short"))
    right: dict[str, Value] = {"hand.right": True, "guardShut": True}
    assert runs(faulty, [right | BEGINS, right], "leftNO", "go") == [(F, F), (F, F)]
    scans = [LEFT | right | BEGINS, right]
    assert runs(faulty, scans, "leftNO", "go") == [(T, T), (T, T)], "it is on from then"


def test_in_order_the_second_fault_waits_for_the_first(tmp_path: Path) -> None:
    analysed = analysis(tmp_path, SINGLE_SPEC)
    pair = faults_named(analysed, "leftNO-stuck-closed", "rightNO-stuck-closed")
    scans: list[dict[str, Value]] = [{"second.begins": True}, BEGINS, {"second.begins": True}]
    inputs = ("leftNO", "rightNO")
    assert runs(analysed.under(*pair), scans, *inputs) == [(F, T), (T, T), (T, T)]
    ordered = analysed.under(*pair, in_order=True)
    assert runs(ordered, scans, *inputs) == [(F, F), (T, F), (T, T)]


def test_a_lost_supply_takes_only_what_it_feeds_and_a_short_feeds_from_the_other(
    tmp_path: Path,
) -> None:
    more = "SUPPLY one = leftNO, leftNC; SUPPLY two = rightNO, rightNC;"
    analysed = analysis(tmp_path, PAIR_SPEC, more)
    lost = analysed.under(*faults_named(analysed, "one-lost"))
    assert runs(lost, [BEGINS], *INPUTS) == [(F, F, F, T)]
    pair = faults_named(analysed, "one-lost", "leftNC-rightNC-short")
    both: dict[str, Value] = {"fault.begins": True, "second.begins": True}
    assert runs(analysed.under(*pair), [both], *INPUTS) == [(F, T, F, T)]


def test_feedback_sticks_after_the_plant_has_moved(tmp_path: Path) -> None:
    analysed = analysis(tmp_path, FED_SPEC)
    names = [fault.identifier for fault in analysed.faults]
    assert {"rodHome-stuck-false", "rodHome-stuck-true", "supply-lost"} <= set(names)
    assert not any(name.startswith("door") for name in names)
    both: dict[str, Value] = {"hand.lefty": True, "hand.righty": True}
    scans = [{}, both, both, both]
    watched = ("go", "rodHome", "alarm")
    assert runs(analysed.sound, scans, *watched) == [
        (F, T, F),
        (T, T, F),
        (T, F, F),
        (T, F, F),
    ]
    stuck = analysed.under(*faults_named(analysed, "rodHome-stuck-true"))
    scans[1] = both | BEGINS
    seen = [(F, T, F), (T, T, F), (F, T, T), (F, T, T)]
    assert runs(stuck, scans, *watched) == seen
    assert runs(stuck, scans, "sound.rodHome") == [(T,), (T,), (F,), (T,)]


def test_an_input_that_a_supply_names_can_fail_as_well(tmp_path: Path) -> None:
    analysed = analysis(tmp_path, FED_SPEC, "SUPPLY p = door, left; ASSUME door OR NOT door;")
    lost = analysed.under(*faults_named(analysed, "p-lost"))
    scans: list[dict[str, Value]] = [{"sound.door": True}, {"sound.door": True} | BEGINS]
    assert runs(lost, scans, "door") == [(T,), (F,)]
    unsupplied = [variable.name for variable in analysed.lines.unsupplied]
    assert unsupplied == ["right", "rodHome"]
    stuck = analysed.under(*faults_named(analysed, "door-stuck-true"))
    assert runs(stuck, [BEGINS], "door", "sound.door") == [(T, F)]


def test_a_plant_sees_a_contact_as_it_is_now_wired_or_not(tmp_path: Path) -> None:
    more = "PLANT second : Rod (forward := left);"
    analysed = analysis(tmp_path, FED_SPEC, more)
    scans: list[dict[str, Value]] = [{}, {"hand.lefty": True}]
    assert runs(analysed.sound, scans, "second.home") == [(T,), (F,)]
