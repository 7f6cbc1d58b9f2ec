"""Timers as terms: published traces, readings, calls left out."""

from __future__ import annotations

from dataclasses import replace

import pytest
from twohand.scan.clocking import PARAMETER_PREFIX, Clocking, Readings
from twohand.scan.symbolic.encode import EncodedProgram
from twohand.scan.transition_system import StateKind

from tests.support.meaning.system_runs import MILLISECOND, STANDARD, Run, encoded
from tests.support.meaning.timer_traces import PERIOD, PRESET, TRACES, TimerTrace

FIXED = Clocking(MILLISECOND, PERIOD, PERIOD)
RANGE = Clocking(MILLISECOND, 5, 200)
DECLARED = "VAR_INPUT start : BOOL; skip : BOOL; preset : TIME; END_VAR VAR t : {}; END_VAR"


def timer(
    block: str, clocking: Clocking, readings: Readings = STANDARD, preset: str = "T#300ms"
) -> EncodedProgram:
    body = f"IF NOT skip THEN t(IN := start, PT := {preset}); END_IF"
    return encoded(DECLARED.format(block), body, clocking, readings)


def row(start: int, skip: bool = False, preset: int = PRESET) -> dict[str, int]:
    return {"start": bool(start), "skip": skip, "preset": preset}


@pytest.mark.parametrize("trace", TRACES, ids=lambda trace: trace.title)
@pytest.mark.parametrize(("clocking", "ticks"), [(FIXED, 1), (RANGE, PERIOD)])
def test_published_traces(trace: TimerTrace, clocking: Clocking, ticks: int) -> None:
    run = Run(timer(trace.block, clocking))
    seen = [run.scan(row(start), ticks) for start in trace.start]
    assert [int(values["t.Q"]) for values in seen] == list(trace.q)
    assert [values["t.ET"] for values in seen] == list(trace.elapsed)


def test_a_timer_that_is_not_called_keeps_its_pins_and_sees_the_time_later() -> None:
    run = Run(timer("TON", FIXED))
    rows = [row(1), row(1), row(1, skip=True), row(1, skip=True), row(1)]
    assert run.column("t.ET", rows) == [0, 100, 100, 100, 300]


def test_the_edge_call_may_count_its_scan() -> None:
    run = Run(timer("TON", FIXED, replace(STANDARD, edge_call_counts=True)))
    assert run.column("t.Q", [row(1)] * 4) == [False, False, True, True]


@pytest.mark.parametrize(
    ("block", "at_once", "expected"),
    [
        ("TON", False, [False, True]),
        ("TON", True, [True, True]),
        ("TP", False, [True, False]),
        ("TP", True, [False, False]),
    ],
)
def test_a_zero_preset_is_over_at_once_or_one_call_later(
    block: str, at_once: bool, expected: list[bool]
) -> None:
    readings = replace(STANDARD, zero_preset_at_once=at_once)
    run = Run(timer(block, FIXED, readings, "T#0ms"))
    assert run.column("t.Q", [row(1), row(1)]) == expected


@pytest.mark.parametrize(("latched", "expected"), [(False, 500), (True, 300)])
def test_a_preset_may_be_latched_at_the_edge(latched: bool, expected: int) -> None:
    run = Run(timer("TON", FIXED, replace(STANDARD, preset_latched=latched), "preset"))
    rows = [row(1)] * 2 + [row(1, preset=500)] * 6
    assert run.column("t.ET", rows)[-1] == expected


def test_a_negative_preset_shows_no_negative_time() -> None:
    run = Run(timer("TON", FIXED, STANDARD, "T#-50ms"))
    assert run.column("t.ET", [row(1)] * 3) == [0, 0, 0]


def test_open_readings_are_parameters_only_where_they_matter() -> None:
    names = {state.name for state in timer("TON", FIXED, Readings()).system.states}
    assert {name for name in names if name.startswith(PARAMETER_PREFIX)} == {
        f"{PARAMETER_PREFIX}edge_call_counts",
        f"{PARAMETER_PREFIX}first_scan_has_time",
    }
    assert "t#preset" not in names
    system = timer("TON", FIXED, Readings(), "preset").system
    parameters = {s.name for s in system.states if s.initial is None}
    assert parameters == {
        f"{PARAMETER_PREFIX}edge_call_counts",
        f"{PARAMETER_PREFIX}first_scan_has_time",
        f"{PARAMETER_PREFIX}zero_preset_at_once",
        f"{PARAMETER_PREFIX}preset_latched",
    }
    assert "t#preset" in {state.name for state in system.states}


def test_a_reading_that_is_fixed_either_way_is_no_parameter() -> None:
    for chosen in (False, True):
        readings = Readings(**dict.fromkeys(Readings().open, chosen))
        system = timer("TON", FIXED, readings, "preset").system
        assert [state.name for state in system.states if state.initial is None] == []


def test_ages_are_clocks_and_nothing_else_is() -> None:
    system = timer("TP", RANGE).system
    assert [s.name for s in system.states if s.kind is StateKind.CLOCK] == ["t#age"]
    assert (system.shortest, system.longest, system.tick) == (5, 200, 1)


def test_with_a_fixed_period_time_is_counted_in_scans() -> None:
    system = timer("TON", Clocking(MILLISECOND, 7, 7), STANDARD, "T#500ms").system
    assert (system.shortest, system.longest, system.tick) == (1, 1, 7)
    assert "t#age + #elapsed >= 72" in str(system.signals["t.Q"])


def test_presets_assigned_before_the_call_count() -> None:
    encoding = encoded(DECLARED.format("TON"), "t.PT := T#100ms; t.IN := start; t();", FIXED)
    assert Run(encoding).column("t.Q", [row(1), row(1)]) == [False, True]


FIRST_SCAN = f"{PARAMETER_PREFIX}first_scan_has_time"
IDLE = "ready := ready OR i; t(IN := ready AND before, PT := T#300ms); before := ready;"


@pytest.mark.parametrize(
    ("kind", "call", "matters"),
    [
        ("TON", "t(IN := i, PT := T#300ms);", True),
        ("TP", "t(IN := i, PT := T#300ms);", True),
        ("TOF", "t(IN := i, PT := T#300ms);", False),
        ("TOF", "t(IN := i, PT := T#300ms); t(IN := FALSE);", True),
        ("TON", IDLE, False),
        ("TON", f"IF before THEN {IDLE} END_IF; before := i;", False),
        ("TON", "t(IN := before OR i, PT := T#300ms);", True),
    ],
)
def test_the_first_scan_matters_only_where_a_timer_can_start_in_it(
    kind: str, call: str, matters: bool
) -> None:
    declarations = f"VAR_INPUT i : BOOL; END_VAR VAR t : {kind}; ready, before : BOOL; END_VAR"
    system = encoded(declarations, call, RANGE, Readings()).system
    names = {state.name for state in system.states}
    assert {FIRST_SCAN, "#begun"} & names == ({FIRST_SCAN, "#begun"} if matters else set())


@pytest.mark.parametrize(
    ("fixed", "remembered"),
    [
        ({"edge_call_counts": False}, False),
        ({"first_scan_has_time": True}, False),
        ({"first_scan_has_time": False}, True),
        ({"edge_call_counts": True, "first_scan_has_time": False}, True),
    ],
)
def test_a_fixed_first_scan_is_remembered_only_where_it_has_no_time(
    fixed: dict[str, bool], remembered: bool
) -> None:
    system = timer("TON", FIXED, replace(Readings(), **fixed)).system
    names = {state.name for state in system.states}
    assert FIRST_SCAN not in names
    assert ("#begun" in names) is remembered
