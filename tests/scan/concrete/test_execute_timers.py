"""Timers of IEC 61131-3 Ed. 2, Table 38 (Ed. 3, Table 46 and Figure 15), scan by scan.

The traces are those of the tables' diagrams sampled every 100 ms with PT = 300 ms.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from twohand.scan.scan_record import ScanRecord

from tests.support.meaning.typed_programs import bits, inputs, program, run_of, seen

PUBLISHED = "11111010"
LATER = "0000"


def timer_run(
    kind: str,
    trace: str,
    preset: str = "T#300ms",
    elapsed: int = 100,
    **choices: bool,
) -> list[ScanRecord]:
    tested = program(
        f"VAR_INPUT i : BOOL; END_VAR VAR t : {kind}; END_VAR", f"t(IN := i, PT := {preset});"
    )
    return run_of(tested, inputs("i", trace), elapsed, **choices)


def shown(records: Sequence[ScanRecord]) -> str:
    """Q and ET of each scan as ``1/100``."""
    return " ".join(f"{int(r.values['t.Q'])}/{r.values['t.ET']}" for r in records)


def test_ton_follows_the_published_diagram() -> None:
    assert shown(timer_run("TON", PUBLISHED)) == "0/0 0/100 0/200 1/300 1/300 0/0 0/0 0/0"


def test_tp_follows_the_published_diagram() -> None:
    expected = "1/0 1/100 1/200 0/300 0/300 0/0 1/0 1/100"
    assert shown(timer_run("TP", PUBLISHED)) == expected


def test_tof_follows_the_published_diagram() -> None:
    # IN falls at 700 ms for good; the edge call contributes nothing.
    expected = "1/0 1/0 1/0 1/0 1/0 1/0 1/0 1/0 1/100 1/200 0/300 0/300"
    assert shown(timer_run("TOF", PUBLISHED + LATER)) == expected


def test_edges_during_a_pulse_neither_restart_nor_lengthen_it() -> None:
    assert shown(timer_run("TP", "1010")) == "1/0 1/100 1/200 0/0"


def test_tp_needs_a_false_sampled_after_the_pulse() -> None:
    # IN rises in the call that sees the pulse over: no new pulse until IN was seen FALSE.
    assert bits(timer_run("TP", "10011101"), "t.Q") == "11100001"
    assert shown(timer_run("TP", "1001101")) == "1/0 1/100 1/200 0/300 0/300 0/0 1/0"


def test_tof_is_off_before_its_input_ever_was_on() -> None:
    assert shown(timer_run("TOF", "000")) == "0/0 0/0 0/0"


def test_tof_cancels_without_a_gap_when_its_input_rises_in_time() -> None:
    assert shown(timer_run("TOF", "1001")) == "1/0 1/0 1/100 1/0"


@pytest.mark.parametrize(
    ("kind", "trace", "expected"),
    [
        ("TON", "1111", "0/100 0/200 1/300 1/300"),
        ("TOF", "10000", "1/0 1/100 1/200 0/300 0/300"),
        ("TP", "1111", "1/100 1/200 0/300 0/300"),
    ],
)
def test_an_edge_call_may_count_its_scan(kind: str, trace: str, expected: str) -> None:
    assert shown(timer_run(kind, trace, edge_call_counts=True)) == expected


def test_an_edge_call_that_counts_can_be_the_end_as_well() -> None:
    counts = {"edge_call_counts": True}
    assert shown(timer_run("TON", "1", elapsed=300, **counts)) == "1/300"
    assert shown(timer_run("TP", "10", elapsed=400, **counts)) == "0/300 0/0"
    assert shown(timer_run("TOF", "10", elapsed=400, **counts)) == "1/0 0/300"


@pytest.mark.parametrize("preset", ["T#0ms", "T#-5ms"])
@pytest.mark.parametrize(
    ("kind", "trace", "at_once", "one_later"),
    [("TON", "0110", "0110", "0010"), ("TOF", "100", "100", "110"), ("TP", "0110", "0000", "0100")],
)
def test_no_preset_is_over_at_once_or_one_call_later(
    kind: str, trace: str, at_once: str, one_later: str, preset: str
) -> None:
    assert bits(timer_run(kind, trace, preset), "t.Q") == one_later
    assert bits(timer_run(kind, trace, preset, zero_preset_at_once=True), "t.Q") == at_once
    assert set(seen(timer_run(kind, trace, preset), "t.ET")) == {0}


CHANGED = """
IF n > 1 THEN limit := T#100ms; ELSE limit := T#300ms; END_IF;
n := n + 1;
t(IN := i, PT := limit);
"""


@pytest.mark.parametrize(
    ("kind", "trace", "read_anew", "latched"),
    [("TON", "11111", "00111", "00011"), ("TP", "11111", "11000", "11100")],
)
def test_a_changed_preset_is_read_anew_or_was_latched(
    kind: str, trace: str, read_anew: str, latched: str
) -> None:
    tested = program(
        f"VAR_INPUT i : BOOL; END_VAR VAR t : {kind}; n : INT; limit : TIME; END_VAR", CHANGED
    )
    rows = inputs("i", trace)
    assert bits(run_of(tested, rows), "t.Q") == read_anew
    assert bits(run_of(tested, rows, preset_latched=True), "t.Q") == latched


FROZEN = program(
    "VAR_INPUT i, call : BOOL; END_VAR VAR t : TON; END_VAR",
    "IF call THEN t(IN := i, PT := T#300ms); END_IF;",
)


def test_a_timer_that_is_not_called_keeps_its_output_while_time_goes_on() -> None:
    rows = [{"i": True, "call": call} for call in (True, True, False, False, True)]
    assert shown(run_of(FROZEN, rows)) == "0/0 0/100 0/100 0/100 1/300"


def test_a_timer_never_called_has_no_age() -> None:
    rows = [{"i": True, "call": n >= 9} for n in range(11)]
    assert shown(run_of(FROZEN, rows)).endswith("0/0 0/0 0/100")


def test_a_timer_that_is_not_called_misses_what_its_input_did() -> None:
    rows = [{"i": i, "call": call} for i, call in ((True, True), (False, False), (True, True))]
    assert shown(run_of(FROZEN, rows)) == "0/0 0/0 0/200"


def test_the_clock_stands_still_within_a_scan() -> None:
    call = "t(IN := i, PT := T#150ms);"
    tested = program("VAR_INPUT i : BOOL; END_VAR VAR t : TON; END_VAR", call + call)
    assert shown(run_of(tested, inputs("i", "111"))) == "0/0 0/100 1/150"


def test_a_pin_can_be_set_before_the_call() -> None:
    tested = program(
        "VAR_INPUT i : BOOL; END_VAR VAR t : TON; END_VAR",
        "t.PT := T#100ms; t.IN := i; t();",
    )
    assert bits(run_of(tested, inputs("i", "110")), "t.Q") == "010"


def test_an_instance_may_be_declared_with_a_preset() -> None:
    tested = program(
        "VAR_INPUT i : BOOL; END_VAR VAR t : TON := (PT := T#100ms); END_VAR", "t(IN := i);"
    )
    assert bits(run_of(tested, inputs("i", "110")), "t.Q") == "010"
