"""Bistables, edges and counters of IEC 61131-3 Ed. 2, Tables 34 to 36 (Ed. 3, 43 to 45)."""

from __future__ import annotations

import pytest
from twohand.program import Program
from twohand.program.types import Value

from tests.support.meaning.typed_programs import bits, inputs, program, run_of, seen


def called(kind: str, pins: str, preset: str = "") -> Program:
    """A block that passes each pin its input of the same name in lower case."""
    names = [pin.strip() for pin in pins.split(",")]
    arguments = ", ".join(f"{pin} := {pin.lower()}_in" for pin in names)
    declared = ", ".join(f"{pin.lower()}_in" for pin in names)
    return program(
        f"VAR_INPUT {declared} : BOOL; END_VAR VAR b : {kind}; END_VAR",
        f"b({arguments}{preset});",
    )


def columns(**values: str) -> list[dict[str, Value]]:
    """Rows of Boolean inputs from one string each."""
    length = len(next(iter(values.values())))
    return [{f"{name}_in": text[i] == "1" for name, text in values.items()} for i in range(length)]


def test_set_dominates_in_sr() -> None:
    records = run_of(called("SR", "S1, R"), columns(s1="010010", r="000110"))
    assert bits(records, "b.Q1") == "011011"


def test_reset_dominates_in_rs() -> None:
    records = run_of(called("RS", "S, R1"), columns(s="010010", r1="000110"))
    assert bits(records, "b.Q1") == "011000"


def test_a_rising_edge_lasts_one_call_and_the_first_call_counts() -> None:
    tested = called("R_TRIG", "CLK")
    assert bits(run_of(tested, columns(clk="01101")), "b.Q") == "01001"
    assert bits(run_of(tested, columns(clk="110")), "b.Q") == "100"


def test_a_falling_edge_lasts_one_call() -> None:
    assert bits(run_of(called("F_TRIG", "CLK"), columns(clk="10010")), "b.Q") == "01001"


def test_f_trig_with_false_on_its_first_call_is_a_reading() -> None:
    tested, rows = called("F_TRIG", "CLK"), columns(clk="0010")
    assert bits(run_of(tested, rows), "b.Q") == "0001"
    assert bits(run_of(tested, rows, falling_edge_at_first_call=True), "b.Q") == "1001"


def test_ctu_counts_edges_and_reset_dominates() -> None:
    rows = columns(cu="1011010101", r="0000000110")
    records = run_of(called("CTU", "CU, R", ", PV := 3"), rows)
    assert seen(records, "b.CV") == [1, 1, 2, 2, 2, 3, 3, 0, 0, 1]
    assert bits(records, "b.Q") == "0000011000"


def test_an_edge_under_reset_is_used_up() -> None:
    records = run_of(called("CTU", "CU, R", ", PV := 1"), columns(cu="0110", r="0100"))
    assert seen(records, "b.CV") == [0, 0, 0, 0]


def test_ctu_with_no_preset_is_at_it_at_once() -> None:
    assert bits(run_of(called("CTU", "CU, R", ", PV := 0"), columns(cu="0", r="0")), "b.Q") == "1"


def test_counters_go_on_to_the_limit_of_their_type_or_stop_at_the_preset() -> None:
    tested, rows = called("CTU", "CU, R", ", PV := 2"), columns(cu="1010101010", r="0" * 10)
    assert seen(run_of(tested, rows), "b.CV")[-1] == 5
    assert seen(run_of(tested, rows, counter_stops_at_preset=True), "b.CV")[-1] == 2
    down, rows = called("CTD", "CD, LD", ", PV := 2"), columns(cd="0101010", ld="1000000")
    assert seen(run_of(down, rows), "b.CV")[-1] == -1
    assert seen(run_of(down, rows, counter_stops_at_preset=True), "b.CV")[-1] == 0


@pytest.mark.parametrize(("start", "pin", "end"), [(32766, "CU", 32767), (-32767, "CD", -32768)])
def test_counters_stay_at_the_limit_of_int(start: int, pin: str, end: int) -> None:
    tested = program(
        "VAR_INPUT e : BOOL; END_VAR VAR b : CTUD; first : BOOL := TRUE; END_VAR",
        f"b(LD := first, PV := {start}, {pin} := e AND NOT first); first := FALSE;",
    )
    records = run_of(tested, inputs("e", "0101010"))
    assert seen(records, "b.CV")[0] == start
    assert seen(records, "b.CV")[-1] == end


def test_ctd_loads_its_preset_and_ends_at_zero() -> None:
    records = run_of(called("CTD", "CD, LD", ", PV := 3"), columns(cd="0101010", ld="1000000"))
    assert bits(records, "b.Q") == "0000011"
    assert seen(records, "b.CV") == [3, 2, 2, 1, 1, 0, 0]


def test_ctud_reset_before_load_before_counts() -> None:
    rows = columns(cu="0101010", cd="0100001", r="1000010", ld="0010010")
    records = run_of(called("CTUD", "CU, CD, R, LD", ", PV := 3"), rows)
    # both edges together leave the count as it is
    assert seen(records, "b.CV") == [0, 0, 3, 4, 4, 0, -1]
    assert bits(records, "b.QU") == "0011100"
    assert bits(records, "b.QD") == "1100011"


def test_outputs_bound_in_the_call_name_their_writer() -> None:
    tested = program(
        "VAR_INPUT c : BOOL; END_VAR VAR b : R_TRIG; q : BOOL; END_VAR", "b(CLK := c, Q => q);"
    )
    (record,) = run_of(tested, [{"c": True}])
    assert record.values["q"] is True
    assert record.writers["b.Q"].text.startswith("b(CLK")
    assert record.writers["b.CLK"].text == "c"
    assert set(record.writers) == {"b.CLK", "b.Q", "q"}
