"""``TIME()``: one clock, read in differences, that comes round (common practice)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest
from twohand.program import CLOCK, Program
from twohand.program.types import Value
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.concrete.execute import Machine
from twohand.scan.symbolic.encode import encode
from twohand.specification.surroundings.power import POWER_ON
from twohand.text.diagnostic import InputError

from tests.support.meaning.powered_blocks import with_power_cycles
from tests.support.meaning.typed_programs import PLAIN, bits, program, run_of, seen

DAY = 86_400_000
ROUND = 1 << 32
FIRST = CLOCK.name
A = "VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; lapse : TIME; END_VAR "
BEGAN = A + "VAR began : TIME; END_VAR "
LAPSE = "IF NOT a THEN began := TIME(); END_IF; lapse := TIME() - began;"


def lapses(
    tested: Program, first: int, texts: str, elapsed: int, signed: bool = False
) -> Sequence[Value]:
    rows: list[dict[str, Value]] = [{"a": text == "1", FIRST: first} for text in texts]
    return seen(run_of(tested, rows, elapsed, clock_is_signed=signed), "lapse")


@pytest.mark.parametrize("signed", [False, True])
@pytest.mark.parametrize("first", [0, 5, ROUND // 2 - 15, ROUND - 15, ROUND - 1])
def test_a_difference_is_the_time_between_two_readings_wherever_the_clock_comes_round(
    signed: bool, first: int
) -> None:
    assert lapses(program(BEGAN, LAPSE), first, "0111", 10, signed) == [0, 10, 20, 30]


def test_all_calls_in_a_scan_show_the_same() -> None:
    body = "began := TIME(); lapse := TIME() - began; q := lapse = T#0s;"
    assert bits(run_of(program(BEGAN, body), [{FIRST: 7}] * 3, 10), "q") == "111"


@pytest.mark.parametrize(
    ("signed", "shown"),
    [
        (False, [ROUND - 10, 0, 10]),
        (True, [-10, 0, 10]),
    ],
)
def test_what_the_clock_shows_is_of_its_reading(signed: bool, shown: list[int]) -> None:
    tested = program(BEGAN, LAPSE)
    records = run_of(tested, [{FIRST: ROUND - 10}] * 3, 10, clock_is_signed=signed)
    assert seen(records, FIRST) == seen(records, "began") == shown


def test_a_signed_clock_goes_on_below_zero() -> None:
    records = run_of(program(BEGAN, LAPSE), [{FIRST: ROUND // 2 - 1}] * 2, 10, clock_is_signed=True)
    assert seen(records, FIRST) == [ROUND // 2 - 1, -ROUND // 2 + 9]


@pytest.mark.parametrize(
    ("days", "signed", "after"),
    [
        (24, True, 24 * DAY),
        (25, True, 25 * DAY - ROUND),
        (25, False, 25 * DAY),
        (50, False, 50 * DAY - ROUND),
        (50, True, 50 * DAY - ROUND),
    ],
)
def test_a_difference_comes_round_as_the_clock_does(days: int, signed: bool, after: int) -> None:
    tested = program(BEGAN, LAPSE)
    machine = Machine(tested, Clocking(1_000_000, 1, DAY), replace(PLAIN, clock_is_signed=signed))
    machine.scan({"a": False}, 1)
    for _ in range(days - 1):
        machine.scan({"a": True}, DAY)
    assert machine.scan({"a": True}, DAY).values["lapse"] == after


def test_an_earlier_reading_less_a_later_one_is_below_zero_only_where_the_clock_is_signed() -> None:
    tested = program(BEGAN, LAPSE.replace("TIME() - began", "began - TIME()"))
    assert lapses(tested, 0, "01", 10, signed=True) == [0, -10]
    assert lapses(tested, 0, "01", 10, signed=False) == [0, ROUND - 10]


def test_an_initial_value_is_a_reading_as_any_other() -> None:
    tested = program(A + "VAR began : TIME := T#4ms; END_VAR", "lapse := TIME() - began;")
    assert lapses(tested, 7, "00", 10) == [3, 13]


def test_a_copy_is_as_old_as_its_original_in_instances_too() -> None:
    inner = (
        "FUNCTION_BLOCK Inner VAR_INPUT since : TIME; END_VAR VAR_OUTPUT kept : TIME; END_VAR "
        "VAR_TEMP now : TIME; END_VAR now := TIME(); kept := since; END_FUNCTION_BLOCK"
    )
    body = "IF NOT a THEN i(since := TIME()); END_IF; lapse := TIME() - i.kept;"
    tested = program(A + "VAR i : Inner; END_VAR", body, inner)
    assert {v.name for v in tested.stamps} == {"i.since", "i.kept", "i.now"}
    assert lapses(tested, 3, "0110", 10) == [0, 10, 20, 0]


def test_after_a_restart_the_clock_shows_what_that_scan_says() -> None:
    tested = with_power_cycles(program(BEGAN, "lapse := TIME() - began; q := TRUE;"))
    rows = [{POWER_ON: on, FIRST: shown} for on, shown in ((1, 50), (1, 0), (0, 3), (1, 0))]
    records = run_of(tested, rows, 10)
    assert seen(records, FIRST) == [50, 60, 3, 13]
    assert seen(records, "lapse") == [50, 60, 0, 13]


def test_a_state_is_gone_back_to_with_the_ages_of_its_readings() -> None:
    machine = Machine(program(BEGAN, LAPSE), Clocking(1_000_000, 10, 10), PLAIN)
    machine.scan({"a": False, FIRST: 77}, 10)
    assert machine.scan({"a": True}, 10).values["lapse"] == 10
    snapshot = machine.snapshot()
    assert machine.scan({"a": True}, 10).values["lapse"] == 20
    assert machine.snapshot() != snapshot
    machine.restore(snapshot)
    assert machine.snapshot() == snapshot
    assert machine.scan({"a": True}, 10).values["lapse"] == 20


def test_no_term_hangs_on_what_the_clock_shows() -> None:
    """But for what it shows at first, on which the initial values hang."""
    system = encode(program(BEGAN, LAPSE), Clocking(1_000_000, 5, 20), Readings()).system
    (age,) = (state for state in system.states if state.name == "began#since")
    assert str(system.signals["lapse"]).count("#clock") == str(age.update).count("#clock") == 0


@pytest.mark.parametrize("place", ["VAR RETAIN", "VAR"])
def test_a_reading_that_is_retained_is_refused_with_power_cycles(place: str) -> None:
    tested = program(A + f"{place} began : TIME; END_VAR", LAPSE)
    if place == "VAR":
        assert with_power_cycles(tested).stamps
        return
    with pytest.raises(InputError, match="'began' is retained") as refused:
        with_power_cycles(tested)
    assert [each.code for each in refused.value.diagnostics] == ["retained-clock"]
