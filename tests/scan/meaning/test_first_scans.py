"""Whether time has passed in a first scan: that of the run, and the first one after a restart.

Runs are of both rooms (``both_rooms``, 10 ms a scan), where an edge call counts its scan's time.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from twohand.program import Program
from twohand.scan.clocking import Readings
from twohand.scan.symbolic.encode import encode
from twohand.specification.surroundings.composition import Composition, Plant
from twohand.specification.surroundings.power import power_cycles
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.both_rooms import TEN, both_rooms
from tests.support.meaning.powered_blocks import PLACE, rows, with_power_cycles
from tests.support.meaning.typed_programs import PLAIN, program

DECLARED = "VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT e : TIME; END_VAR VAR t : TON; END_VAR "
CALL = "t(IN := a, PT := T#1s); e := t.ET;"
RETAINED = "VAR RETAIN go : BOOL; END_VAR "
LATER = "t(IN := go, PT := T#1s); e := t.ET; go := TRUE;"

both_ways = pytest.mark.parametrize(("has_time", "counted"), [(False, 0), (True, 10)])


def ages(tested: Program, power: str, has_time: bool, name: str = "e") -> list[object]:
    readings = replace(PLAIN, edge_call_counts=True, first_scan_has_time=has_time)
    given = [{**row, "m.a": row["a"]} for row in rows(power, a="1" * len(power))]
    return [values[0] for values in both_rooms(tested, given, [name], readings)]


@both_ways
def test_the_first_scan_of_the_run_is_one(has_time: bool, counted: int) -> None:
    tested = program(DECLARED, CALL)
    readings = replace(PLAIN, edge_call_counts=True, first_scan_has_time=has_time)
    shown = both_rooms(tested, rows("111111", a="110111"), ["e"], readings)
    assert shown == [[counted], [counted + 10], [0], [10], [20], [30]]


@both_ways
def test_the_first_scan_with_supply_is_one(has_time: bool, counted: int) -> None:
    tested = with_power_cycles(program(DECLARED, CALL))
    assert ages(tested, "0011", has_time) == [0, 0, counted, counted + 10]


@both_ways
def test_so_is_each_first_scan_after_a_restart(has_time: bool, counted: int) -> None:
    tested = with_power_cycles(program(DECLARED, CALL))
    expected = [counted, counted + 10, 0, counted, counted + 10, 0, 0, counted]
    assert ages(tested, "11011001", has_time) == expected


@both_ways
def test_only_after_a_restart_where_what_is_retained_starts_the_timer(
    has_time: bool, counted: int
) -> None:
    tested = with_power_cycles(program(DECLARED + RETAINED, LATER))
    assert ages(tested, "11101", has_time) == [0, 10, 20, 0, counted]


def with_plant(has_first_edge: bool) -> Program:
    """The block beside a plant, which knows of no restart."""
    condition = "a" if has_first_edge else "a AND later"
    text = f"""FUNCTION_BLOCK Motor
    VAR_INPUT a : BOOL; END_VAR VAR t : TON; later : BOOL; n : INT; END_VAR
    n := n + 1;
    t(IN := {condition} AND n <> 4, PT := T#1s);
    later := TRUE;
    END_FUNCTION_BLOCK"""
    motor = load_program([SourceText("motor.st", text)], "Motor", "m.")
    block = program(DECLARED, CALL)
    power = power_cycles(block, (), PLACE)
    return Composition(block, PLACE, [Plant("m", motor, (), PLACE)], power=power).program


@both_ways
def test_a_restart_of_the_block_is_none_of_a_plant(has_time: bool, counted: int) -> None:
    tested = with_plant(has_first_edge=True)
    assert ages(tested, "11101", has_time) == [counted, counted + 10, counted + 20, 0, counted]
    expected = [counted, counted + 10, counted + 20, 0, 10]
    assert ages(tested, "11101", has_time, "m.t.ET") == expected


@pytest.mark.parametrize(("has_first_edge", "begins"), [(True, 2), (False, 1)])
def test_block_and_plant_begin_apart_and_only_where_a_timer_can_start(
    has_first_edge: bool, begins: int
) -> None:
    states = encode(with_plant(has_first_edge), TEN, Readings()).system.states
    assert len([state for state in states if state.name.startswith("#begun")]) == begins
