"""Contacts that bounce: for the stated time after a hand moved they show anything, then no more."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.engine.system.contract import Proved, Violated
from twohand.program import Program, Read
from twohand.program.types import Value
from twohand.scan.clocking import PARAMETER_PREFIX
from twohand.scan.concrete.execute import Machine
from twohand.scan.symbolic.encode import encode
from twohand.specification.load import load_specifications
from twohand.specification.logic.formula import (
    Always,
    Atom,
    Bound,
    Fell,
    Formula,
    Iff,
    Not,
    Once,
    Or,
    Rose,
)
from twohand.specification.model.specification import Specification
from twohand.specification.model.station_formulas import in_run
from twohand.text.diagnostic import InputError

from tests.support.decided import Question
from tests.support.enumeration.enumerate_states import enumerate_readings
from tests.support.samples.fault_samples import (
    PAIR_SPEC,
    SINGLE_SPEC,
    analysis,
    faults_named,
    runs,
    written_spec,
)

ON: dict[str, Value] = {"hand.left": True}
SHOWN_ON: dict[str, Value] = {"bounce.leftNO": True}
T, F = True, False

DELAYED = """
FUNCTION_BLOCK Delayed
VAR_INPUT leftNO, rightNO, guardShut : BOOL; END_VAR
VAR_OUTPUT go : BOOL; END_VAR
VAR open : TON; armed : BOOL; END_VAR
open(IN := NOT leftNO AND NOT rightNO, PT := T#60ms);
IF open.Q THEN armed := TRUE; END_IF;
go := (go OR armed) AND leftNO AND rightNO AND guardShut;
armed := armed AND NOT go;
END_FUNCTION_BLOCK
"""
"""Both contacts have to be seen open for 60 ms before the next start."""


def bouncing(folder: Path, time: str, text: str = SINGLE_SPEC, more: str = "") -> Specification:
    path = written_spec(folder, text, f"BOUNCE {time}; {more}")
    return load_specifications(path)[0]


def test_a_contact_shows_anything_while_it_settles_and_its_hand_afterwards(
    tmp_path: Path,
) -> None:
    spec = bouncing(tmp_path, "T#20ms")  # scans of 10 ms: the scan of the move and two more
    scans = [SHOWN_ON, ON, ON | SHOWN_ON, ON, ON, ON, SHOWN_ON, {}, SHOWN_ON, SHOWN_ON]
    shown = [F, F, T, F, T, T, T, F, T, F]
    settling = [F, T, T, T, F, F, T, T, T, F]
    assert runs(spec, scans, "leftNO", "settling.left") == list(zip(shown, settling, strict=True))


def test_a_hand_that_is_on_in_the_first_scan_has_not_moved(tmp_path: Path) -> None:
    spec = bouncing(tmp_path, "T#20ms")
    assert runs(spec, [ON, ON], "leftNO") == [(T,), (T,)]


def test_a_further_move_begins_the_time_anew(tmp_path: Path) -> None:
    spec = bouncing(tmp_path, "T#10ms")
    scans: list[dict[str, Value]] = [{}, ON, {}, {}, {}]
    assert runs(spec, scans, "settling.left") == [(F,), (T,), (T,), (T,), (F,)]


@pytest.mark.long
def test_the_time_of_the_surroundings_is_the_same_on_every_platform(tmp_path: Path) -> None:
    spec = bouncing(tmp_path, "T#20ms")
    scans: list[dict[str, Value]] = [{}, ON, ON, ON, ON]
    for readings in spec.readings.choices():
        machine = Machine(spec.program, spec.clocking, readings)
        values = [machine.scan(inputs, 10).values["settling.left"] for inputs in scans]
        assert values == [F, T, T, T, F], readings
    system = encode(spec.program, spec.clocking, spec.readings).system
    assert PARAMETER_PREFIX + "edge_call_counts" not in {state.name for state in system.states}


def variable(program: Program, name: str) -> Formula:
    found = program.variable(name)
    assert found is not None
    return Atom(Read(found, found.span))


@pytest.mark.long
@pytest.mark.parametrize("scan", ["T#10ms", "T#3ms..T#8ms"])
def test_settling_is_just_what_the_definition_says(tmp_path: Path, scan: str) -> None:
    """Proved, not sampled: the hand moved at most so long ago."""
    text = SINGLE_SPEC.replace("SCAN T#10ms", f"SCAN {scan}")
    spec = bouncing(tmp_path, "T#25ms", text)
    hand = variable(spec.program, "hand.left")
    moves = in_run(Or((Rose(hand), Fell(hand))))
    moved = Once(moves, Bound(0, 25))
    same = Always(Iff(variable(spec.program, "settling.left"), moved))
    assert isinstance(Question(spec.program, spec.clocking, same).decide(60), Proved)
    longer = Once(moves, Bound(0, 30))
    other = Always(Iff(variable(spec.program, "settling.left"), longer))
    assert isinstance(Question(spec.program, spec.clocking, other).decide(60), Violated)


def test_contacts_of_one_hand_bounce_each_for_itself(tmp_path: Path) -> None:
    spec = bouncing(tmp_path, "T#10ms", PAIR_SPEC)
    scans: list[dict[str, Value]] = [{}, ON | {"bounce.leftNC": True}, ON | SHOWN_ON, ON]
    seen = [(F, T), (F, T), (T, F), (T, F)]
    assert runs(spec, scans, "leftNO", "leftNC") == seen


def test_a_fault_shows_against_what_a_contact_would_show_bouncing(tmp_path: Path) -> None:
    analysed = analysis(tmp_path, SINGLE_SPEC, "BOUNCE T#10ms;")
    stuck = analysed.under(*faults_named(analysed, "leftNO-stuck-closed"))
    scans: list[dict[str, Value]] = [{}, ON | {"fault.begins": True}, ON | SHOWN_ON, ON, {}]
    seen = [(F, F), (T, F), (T, T), (T, T), (T, F)]
    assert runs(stuck, scans, "leftNO", "sound.leftNO") == seen


def verdicts(spec: Specification, *identifiers: str) -> dict[str, bool]:
    """What is proved of a small spec; the enumeration of every state says the same."""
    found = {}
    for requirement in spec.requirements:
        if identifiers and requirement.identifier not in identifiers:
            continue
        question = Question(spec.program, spec.clocking, requirement.property, spec.readings)
        answer = question.decide(60)
        assert isinstance(answer, Proved | Violated), requirement.identifier
        enumerated = enumerate_readings(
            spec.program, spec.clocking, question.choices, requirement.property
        )
        assert (enumerated.refutation is None) is isinstance(answer, Proved)
        found[requirement.identifier] = isinstance(answer, Proved)
    return found


@pytest.mark.long
def test_contacts_taken_as_they_are_pass_for_presses(tmp_path: Path) -> None:
    """Both hands go off together, are seen off, and on again by bouncing: a start of its own.
    The release itself is seen in time, as far as bouncing lets it."""
    assert verdicts(bouncing(tmp_path, "T#10ms")) == {
        "both_hands": True,
        "release_both": True,
        "power_up": True,
        "new_press": False,
    }


def test_without_bounce_no_new_press_is_asked(tmp_path: Path) -> None:
    (spec,) = load_specifications(written_spec(tmp_path, SINGLE_SPEC))
    assert [r.identifier for r in spec.requirements] == ["both_hands", "release_both", "power_up"]


@pytest.mark.long
def test_contacts_that_have_to_be_seen_open_for_long_do_not_pass_for_presses(
    tmp_path: Path,
) -> None:
    path = written_spec(tmp_path, SINGLE_SPEC, "BOUNCE T#10ms;")
    (tmp_path / "single.st").write_text(DELAYED, encoding="utf-8")
    (spec,) = load_specifications(path)
    for requirement in spec.requirements:
        question = Question(spec.program, spec.clocking, requirement.property, spec.readings)
        assert isinstance(question.decide(60), Proved), requirement.identifier


def test_an_off_delay_that_outlasts_the_bounce_time_is_still_seen(tmp_path: Path) -> None:
    """What is tolerated of a release is the bounce time, and no scan more."""
    path = written_spec(tmp_path, SINGLE_SPEC, "BOUNCE T#10ms;")
    slow = DELAYED.replace("AND leftNO AND rightNO", "AND (leftNO AND rightNO OR was)").replace(
        "armed : BOOL;", "armed, was : BOOL;"
    )
    slow = slow.replace("armed := armed AND NOT go;", "was := leftNO AND rightNO;")
    (tmp_path / "single.st").write_text(slow, encoding="utf-8")
    (spec,) = load_specifications(path)
    both = next(r for r in spec.requirements if r.identifier == "both_hands")
    answer = Question(spec.program, spec.clocking, both.property, spec.readings).decide(60)
    assert isinstance(answer, Violated)


@pytest.mark.long
def test_availability_that_is_lost_to_bouncing_is_asked_apart(tmp_path: Path) -> None:
    spec = bouncing(tmp_path, "T#10ms", more="AVAILABLE WITHIN 0 SCANS WHEN guardShut;")
    for requirement in spec.requirements:
        if requirement.identifier.startswith("available"):
            question = Question(spec.program, spec.clocking, requirement.property, spec.readings)
            expected = Proved if requirement.identifier == "available" else Violated
            assert isinstance(question.decide(60), expected)


@pytest.mark.parametrize("time", ["T#0ms", "T#-5ms"])
def test_a_bounce_time_is_positive(tmp_path: Path, time: str) -> None:
    with pytest.raises(InputError) as caught:
        bouncing(tmp_path, time)
    assert {d.code for d in caught.value.diagnostics} == {"bounce-not-positive"}


def test_what_is_never_satisfied_would_be_seen(tmp_path: Path) -> None:
    """The requirements with tolerance still speak of something: a start can happen."""
    spec = bouncing(tmp_path, "T#10ms")
    never = Always(Not(variable(spec.program, "go")))
    assert isinstance(Question(spec.program, spec.clocking, never).decide(60), Violated)


@pytest.mark.parametrize(
    ("demand", "kept"),
    [
        (
            "SINGLE_STROKE (complete := NOT guardShut)",
            {"concurrent": True, "held": True, "resumption": True},
        ),
        ("TWO_HAND_TRIP (complete := NOT guardShut)", {"concurrent": True}),
        ("ANTI_TIE_DOWN (window := T#50ms)", {"anti_tie_down": False}),
    ],
)
def test_other_demands_allow_for_bounce_as_well(
    tmp_path: Path, demand: str, kept: dict[str, bool]
) -> None:
    """A block without a window is tied down with bounce or without; what depends on seeing a
    release in time is kept as far as bouncing lets it."""
    text = SINGLE_SPEC.replace("REQUIRE TWO_HAND LOGIC TYPE II;", f"REQUIRE {demand};")
    spec = bouncing(tmp_path, "T#10ms", text)
    for requirement in spec.requirements:
        word = requirement.identifier.removeprefix("single_stroke_").removeprefix("two_hand_trip_")
        if word in kept:
            question = Question(spec.program, spec.clocking, requirement.property, spec.readings)
            assert isinstance(question.decide(60), Proved) is kept.pop(word), word
    assert not kept
