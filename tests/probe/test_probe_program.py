"""The program tells every combination of the readings that it looks at apart."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from random import Random

import pytest
from twohand.probe.number import ASKED_NUMBERS, READINGS, conclusion, observation, probe_program
from twohand.program import Element
from twohand.program.durations import Units
from twohand.program.types import BOOL, Integer
from twohand.program.walks import nodes_below
from twohand.scan.clocking import Readings
from twohand.scan.concrete.blocks import InstanceCall, InstanceMemory

from tests.probe.bench import CHOICES, ended_with, platform, program
from tests.support.tiers import rows

QUICK = [CHOICES[0], CHOICES[-1], CHOICES[0b0110101], CHOICES[0b1001010]]


def every_ten(_: int) -> int:
    return 10


def concluded(readings: Readings, scan_time: Callable[[int], int] = every_ten) -> dict[str, bool]:
    numbers = [ended_with(readings, scan_time)] * ASKED_NUMBERS
    return dict(conclusion([observation(each) for each in numbers]).fixed)


def expected(choice: tuple[bool, ...]) -> dict[str, bool]:
    """Where an edge call counts no time, it counts none in the first scan either."""
    fixed = dict(zip(READINGS, choice, strict=True))
    if not fixed["edge_call_counts"]:
        del fixed["first_scan_has_time"]
    return fixed


@pytest.mark.parametrize("choice", QUICK[3:])
def test_a_combination_of_readings_is_found(choice: tuple[bool, ...]) -> None:
    assert concluded(platform(choice)) == expected(choice)


@pytest.mark.long
@pytest.mark.parametrize("choice", rows(CHOICES, lambda _: True, lambda c: sum(c[:6]) % 3 > 0))
def test_every_combination_of_readings_is_found(choice: tuple[bool, ...]) -> None:
    assert concluded(platform(choice)) == expected(choice)


@pytest.mark.long
@pytest.mark.parametrize("choice", QUICK)
@pytest.mark.parametrize("longest", [1, 3, 45, 100])
def test_whatever_the_scans_take(choice: tuple[bool, ...], longest: int) -> None:
    chance = Random(longest)
    found = concluded(platform(choice), lambda _: chance.randint(max(1, longest // 4), longest))
    assert found == expected(choice)


@pytest.mark.long
def test_a_clock_that_moves_within_a_scan_leaves_all_open(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    real = InstanceCall.run

    def run(call: InstanceCall, memory: InstanceMemory, elapsed: Units) -> None:
        memory.age = Units(memory.age + memory.running)
        real(call, memory, elapsed)

    monkeypatch.setattr(InstanceCall, "run", run)
    seen = observation(ended_with(platform(CHOICES[0]), every_ten))
    found = conclusion([seen] * ASKED_NUMBERS)
    assert (dict(found.fixed), found.clock_moves) == ({}, True)


@pytest.mark.parametrize(
    ("block", "name"),
    [
        pytest.param("TP", "edge_call_counts", marks=pytest.mark.long),
        pytest.param("TOF", "zero_preset_at_once", marks=pytest.mark.long),
        pytest.param("TON", "preset_latched", marks=pytest.mark.long),
        pytest.param("CTD", "counter_stops_at_preset", marks=pytest.mark.long),
    ],
)
def test_blocks_that_read_the_standard_differently_leave_all_open(
    block: str, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The model has one reading for all of them."""
    real = InstanceCall.run

    def run(call: InstanceCall, memory: InstanceMemory, elapsed: Units) -> None:
        if call.instance.block.value == block:
            call.readings = replace(call.readings, **{name: True})
        real(call, memory, elapsed)

    monkeypatch.setattr(InstanceCall, "run", run)
    seen = observation(ended_with(platform(CHOICES[0]), every_ten))
    found = conclusion([seen] * ASKED_NUMBERS)
    assert (dict(found.fixed), found.not_modelled) == ({}, (name,))


def test_the_program_touches_nothing_but_itself_and_cannot_stop_a_controller() -> None:
    tested = program()
    assert not tested.inputs
    assert not tested.outputs
    assert not tested.left_out
    text = probe_program()
    code = " ".join(part.partition("*)")[2] for part in text.split("(*"))
    for word in ("RETAIN", "VAR_GLOBAL", "VAR_EXTERNAL", "%", "WHILE", "REPEAT", "/", "[", "TIME("):
        assert word not in code
    assert code.count("MOD") == code.count("MOD 2") + code.count("MOD 97") + code.count("MOD 101")
    assert not any(isinstance(node, Element) for node in nodes_below(tested.routine))
    assert text.isascii()


def test_no_number_of_the_program_leaves_its_type() -> None:
    """Its greatest result: all bits set, three rounds, check digits 98."""
    result = next(v for v in program().variables if v.name == "result")
    assert isinstance(result.type, Integer)
    assert result.type is not BOOL
    assert result.type.highest > ((4**9 - 1 + 4**8) * 10 + 4) * 100 + 98
