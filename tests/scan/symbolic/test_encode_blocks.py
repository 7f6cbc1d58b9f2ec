"""Triggers, bistables and counters as terms."""

from __future__ import annotations

from dataclasses import replace

import pytest
from twohand.program.types import Value
from twohand.scan.clocking import Clocking, Readings

from tests.support.meaning.system_runs import MILLISECOND, STANDARD, Run, encoded

CLOCKING = Clocking(MILLISECOND, 10, 10)


def rows(**columns: list[int]) -> list[dict[str, Value]]:
    return [
        {name: bool(value) for name, value in zip(columns, values, strict=True)}
        for values in zip(*columns.values(), strict=True)
    ]


def test_a_rising_edge_fires_on_the_first_call() -> None:
    encoding = encoded(
        "VAR_INPUT c : BOOL; END_VAR VAR e : R_TRIG; END_VAR", "e(CLK := c);", CLOCKING
    )
    assert Run(encoding).column("e.Q", rows(c=[1, 1, 0, 1])) == [True, False, False, True]


@pytest.mark.parametrize("first", [False, True])
@pytest.mark.parametrize("is_open", [False, True])
def test_a_falling_edge_on_the_first_call_is_a_reading(first: bool, is_open: bool) -> None:
    readings = Readings() if is_open else replace(STANDARD, falling_edge_at_first_call=first)
    encoding = encoded(
        "VAR_INPUT c : BOOL; END_VAR VAR e : F_TRIG; END_VAR", "e(CLK := c);", CLOCKING, readings
    )
    run = Run(encoding, falling_edge_at_first_call=first)
    assert run.column("e.Q", rows(c=[0, 0, 1, 0, 1])) == [first, False, False, True, False]
    run = Run(encoding, falling_edge_at_first_call=first)
    assert run.column("e.Q", rows(c=[1, 0, 0])) == [False, True, False]


@pytest.mark.parametrize(("block", "pins", "both"), [("SR", "S1, R", 1), ("RS", "S, R1", 0)])
def test_bistables_differ_where_both_inputs_are_on(block: str, pins: str, both: int) -> None:
    on, off = pins.split(", ")
    encoding = encoded(
        f"VAR_INPUT s, r : BOOL; END_VAR VAR x : {block}; END_VAR",
        f"x({on} := s, {off} := r);",
        CLOCKING,
    )
    expected = [False, True, True, bool(both), False]
    seen = Run(encoding).column("x.Q1", rows(s=[0, 1, 0, 1, 0], r=[0, 0, 0, 1, 1]))
    assert seen == expected


@pytest.mark.parametrize(("stops", "expected"), [(False, 4), (True, 2)])
def test_an_up_counter_goes_on_or_stops_at_its_preset(stops: bool, expected: int) -> None:
    encoding = encoded(
        "VAR_INPUT c : BOOL; END_VAR VAR x : CTU; END_VAR",
        "x(CU := c, PV := 2);",
        CLOCKING,
        replace(STANDARD, counter_stops_at_preset=stops),
    )
    run = Run(encoding)
    assert run.column("x.CV", rows(c=[1, 0] * 4))[-1] == expected
    assert run.state["x.Q"] is True


def test_a_counter_without_a_preset_is_full_at_once() -> None:
    encoding = encoded("VAR x : CTU; END_VAR", "x();", CLOCKING)
    assert Run(encoding).scan({})["x.Q"] is True


@pytest.mark.parametrize(("block", "pin", "limit"), [("CTU", "CU", 32767), ("CTD", "CD", -32768)])
def test_a_counter_stays_at_the_limit_of_its_type(block: str, pin: str, limit: int) -> None:
    encoding = encoded(
        f"VAR_INPUT c : BOOL; END_VAR VAR x : {block}; END_VAR", f"x({pin} := c);", CLOCKING
    )
    run = Run(encoding)
    run.state["x.CV"] = limit
    assert run.scan({"c": True})["x.CV"] == limit
    assert run.found == []


def test_a_down_counter_is_done_on_the_third_edge_after_loading_three() -> None:
    encoding = encoded(
        "VAR_INPUT c, load : BOOL; END_VAR VAR x : CTD; END_VAR",
        "x(CD := c, LD := load, PV := 3);",
        CLOCKING,
    )
    seen = Run(encoding).column("x.Q", rows(load=[1, 0, 0, 0, 0, 0], c=[0, 1, 0, 1, 0, 1]))
    assert seen == [False, False, False, False, False, True]


def test_an_up_down_counter_resets_before_it_loads_before_it_counts() -> None:
    encoding = encoded(
        "VAR_INPUT u, d, r, l : BOOL; END_VAR VAR x : CTUD; END_VAR",
        "x(CU := u, CD := d, R := r, LD := l, PV := 5);",
        CLOCKING,
    )
    table = rows(
        u=[1, 0, 1, 0, 0, 1, 0],
        d=[0, 1, 1, 0, 0, 1, 1],
        r=[0, 0, 0, 0, 1, 0, 0],
        l=[0, 0, 0, 1, 1, 0, 0],
    )
    run = Run(encoding)
    assert run.column("x.CV", table) == [1, 0, 1, 5, 0, 0, 0]
    assert (run.state["x.QU"], run.state["x.QD"]) == (False, True)
