"""What a program remembers when its supply comes back, and what it shows without it.

Every run is executed, and held to the transition system row by row (``powered_run``).
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from twohand.program import StandardBlock
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.scan_record import ScanRecord
from twohand.scan.symbolic.encode import encode
from twohand.text.diagnostic import InputError

from tests.support.meaning.powered_blocks import powered_run, rows, with_power_cycles
from tests.support.meaning.typed_programs import PLAIN, bits, program, seen

A = "VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR "
COUNT = "VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT n : INT; END_VAR "


def run(power: str, a: str, declarations: str, body: str, **readings: bool) -> list[ScanRecord]:
    chosen = replace(PLAIN, **readings)
    return powered_run(A + declarations, body, rows(power, a=a), readings=chosen)


# --- what stands without power ----------------------------------------------------------------


def test_without_power_the_block_does_not_run_and_its_outputs_are_off() -> None:
    records = powered_run(COUNT + "VAR_OUTPUT q : BOOL; END_VAR", "n := n + 1; q := TRUE;",
                          rows("110011", a="000000"))  # fmt: skip
    assert seen(records, "n") == [1, 2, 0, 0, 1, 2]
    assert bits(records, "q") == "110011"


def test_an_output_that_begins_on_is_off_without_power_and_on_again_with_it() -> None:
    records = powered_run(
        "VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL := TRUE; END_VAR",
        "IF a THEN q := FALSE; END_IF",
        rows("0110011", a="0001000"),
    )
    assert bits(records, "q") == "0110011"


def test_an_output_of_another_type_shows_the_default_of_its_type() -> None:
    before = "TYPE Mode : (Rest := 3, Move := 7); END_TYPE"
    records = powered_run(
        "VAR_INPUT a : BOOL; END_VAR "
        "VAR_OUTPUT m : Mode := Move; w : WORD := 16#F; t : TIME := T#5ms; END_VAR",
        "IF a THEN t := T#9ms; END_IF",
        rows("101", a="100"),
        before,
    )
    assert seen(records, "m") == [7, 3, 7]
    assert seen(records, "w") == [15, 0, 15]
    assert seen(records, "t") == [9, 0, 5]


def test_what_the_spec_names_as_output_is_off_too_and_back_where_it_was() -> None:
    records = powered_run(
        A + "VAR RETAIN relay : BOOL; s : SR; END_VAR VAR other : BOOL := TRUE; END_VAR",
        "IF a THEN relay := TRUE; other := FALSE; END_IF s(S1 := a, R := FALSE); q := relay;",
        rows("0111001", a="0010000"),
        named="relay other s.Q1",
    )
    assert bits(records, "relay") == "0011001"
    assert bits(records, "other") == "0100001"
    assert bits(records, "s.Q1") == "0011001"
    assert bits(records, "q") == "0011001"


def test_an_in_out_that_the_spec_names_as_output_is_off_without_power() -> None:
    declarations = "VAR_INPUT a : BOOL; END_VAR VAR_IN_OUT coil, note : BOOL; END_VAR"
    given = rows("1100", a="0011", coil="1010", note="1010")
    records = powered_run(declarations, "coil := coil OR a;", given, named="coil")
    assert bits(records, "coil") == "1000"
    assert bits(records, "note") == "1010"


def test_a_run_may_begin_without_power_and_then_from_initial_values() -> None:
    records = powered_run(COUNT + "VAR k : INT := 5; END_VAR", "k := k + 1; n := k;",
                          rows("0011", a="0000"))  # fmt: skip
    assert seen(records, "n") == [0, 0, 6, 7]


# --- what comes back --------------------------------------------------------------------------


def test_variables_begin_again_and_retained_ones_go_on() -> None:
    records = powered_run(
        COUNT + "VAR k : INT := 5; END_VAR VAR RETAIN r : INT := 5; END_VAR",
        "k := k + 1; r := r + 1; n := 10 * r + k;",
        rows("110010", a="000000"),
    )
    assert seen(records, "n") == [66, 77, 0, 0, 86, 0]


def test_a_retained_output_is_off_without_power_and_has_its_value_again() -> None:
    records = powered_run(
        "VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT RETAIN q : BOOL; END_VAR",
        "IF a THEN q := TRUE; END_IF",
        rows("011001", a="001000"),
    )
    assert bits(records, "q") == "001001"


def test_an_on_delay_runs_anew() -> None:
    body = "t(IN := a, PT := T#200ms); q := t.Q;"
    records = run("11110111", "11111111", "VAR t : TON; END_VAR", body)
    assert bits(records, "q") == "00110001"
    assert seen(records, "t.ET") == [0, 100, 200, 200, 0, 0, 100, 200]


def test_an_off_delay_is_forgotten() -> None:
    body = "t(IN := a, PT := T#900ms); q := t.Q;"
    assert bits(run("111011", "100000", "VAR t : TOF; END_VAR", body), "q") == "111000"


def test_a_pulse_is_forgotten_and_an_input_that_is_on_starts_one() -> None:
    body = "t(IN := a, PT := T#200ms); q := t.Q;"
    assert bits(run("1110111", "1111111", "VAR t : TP; END_VAR", body), "q") == "1100110"
    assert bits(run("1011", "1000", "VAR t : TP; END_VAR", body), "q") == "1000"


def test_a_latched_preset_is_forgotten_with_its_timer() -> None:
    declarations = "VAR t : TON; p : TIME := T#100ms; END_VAR"
    body = "t(IN := a, PT := p); p := T#400ms; q := t.Q;"
    records = run("1101111", "1111111", declarations, body, preset_latched=True)
    assert bits(records, "q") == "0100111"


def test_a_rising_edge_is_seen_anew_unless_it_is_retained() -> None:
    body = "e(CLK := a); q := e.Q;"
    assert bits(run("11011", "11111", "VAR e : R_TRIG; END_VAR", body), "q") == "10010"
    assert bits(run("11011", "11111", "VAR RETAIN e : R_TRIG; END_VAR", body), "q") == "10000"


@pytest.mark.parametrize(("edge", "expected"), [(False, "00000"), (True, "10010")])
def test_a_falling_trigger_reads_its_first_call_as_the_platform_does(
    edge: bool, expected: str
) -> None:
    declarations, body = "VAR e : F_TRIG; END_VAR", "e(CLK := a); q := e.Q;"
    records = run("11011", "00000", declarations, body, falling_edge_at_first_call=edge)
    assert bits(records, "q") == expected


def test_a_falling_trigger_forgets_that_its_input_was_on() -> None:
    body = "e(CLK := a); q := e.Q;"
    assert bits(run("101", "100", "VAR e : F_TRIG; END_VAR", body), "q") == "000"
    assert bits(run("101", "100", "VAR RETAIN e : F_TRIG; END_VAR", body), "q") == "001"


@pytest.mark.parametrize("kind", ["SR", "RS"])
def test_a_bistable_is_off_again_unless_it_is_retained(kind: str) -> None:
    pins = "S1 := a, R := FALSE" if kind == "SR" else "S := a, R1 := FALSE"
    body = f"b({pins}); q := b.Q1;"
    assert bits(run("1101", "1000", f"VAR b : {kind}; END_VAR", body), "q") == "1100"
    assert bits(run("1101", "1000", f"VAR RETAIN b : {kind}; END_VAR", body), "q") == "1101"


def test_a_counter_begins_again_unless_it_is_retained() -> None:
    body = "c(CU := a, PV := 9); n := c.CV;"
    given = rows("11110111", a="10101110")
    records = powered_run(COUNT + "VAR c : CTU; END_VAR", body, given)
    assert seen(records, "n") == [1, 1, 2, 2, 0, 1, 1, 1]
    records = powered_run(COUNT + "VAR RETAIN c : CTU; END_VAR", body, given)
    assert seen(records, "n") == [1, 1, 2, 2, 0, 3, 3, 3]


def test_both_counting_inputs_are_forgotten() -> None:
    body = "c(CU := a, CD := NOT a, PV := 9); n := c.CV;"
    records = powered_run(COUNT + "VAR c : CTUD; END_VAR", body, rows("1101", a="1000"))
    assert seen(records, "n") == [1, 0, 0, -1]
    kept = powered_run(COUNT + "VAR RETAIN c : CTUD; END_VAR", body, rows("1101", a="1000"))
    assert seen(kept, "n") == [1, 0, 0, 0]
    down = "c(CD := a, PV := 9); n := c.CV;"
    records = powered_run(COUNT + "VAR c : CTD; END_VAR", down, rows("1101", a="1111"))
    assert seen(records, "n") == [-1, -1, 0, -1]


def test_pins_have_their_initial_values_again() -> None:
    declarations = "VAR t : TON := (PT := T#100ms); END_VAR"
    body = "t(IN := TRUE); q := t.Q; IF a THEN t.PT := T#900ms; END_IF"
    assert bits(run("1101111", "1000000", declarations, body), "q") == "0000111"


def test_instances_are_retained_with_all_that_is_in_them_but_what_says_otherwise() -> None:
    inner = """FUNCTION_BLOCK Inner
    VAR_INPUT go : BOOL; END_VAR VAR_OUTPUT k : INT; END_VAR
    VAR e : R_TRIG; m : INT; END_VAR VAR NON_RETAIN f : R_TRIG; l : INT; t : TON; END_VAR
    VAR RETAIN o : INT; END_VAR
    e(CLK := go); f(CLK := go); t(IN := go, PT := T#1s);
    IF e.Q THEN m := m + 1; END_IF; IF f.Q THEN l := l + 1; END_IF; o := o + 1;
    k := 100 * o + 10 * m + l;
    END_FUNCTION_BLOCK"""
    body, given = "i(go := a, k => n);", rows("11011", a="11111")
    records = powered_run(COUNT + "VAR RETAIN i : Inner; END_VAR", body, given, inner)
    assert seen(records, "n") == [111, 211, 0, 311, 411]
    records = powered_run(COUNT + "VAR i : Inner; END_VAR", body, given, inner)
    assert seen(records, "n") == [111, 211, 0, 311, 411]
    records = powered_run(
        COUNT + "VAR i : Inner; END_VAR", body, given, inner.replace("VAR RETAIN o", "VAR o")
    )
    assert seen(records, "n") == [111, 211, 0, 111, 211]


def test_what_only_a_restart_writes_is_a_constant() -> None:
    block = program(A + "VAR limit : INT := 7; END_VAR", "q := a AND limit > 3;")
    system = encode(with_power_cycles(block), Clocking(1_000_000, 10, 10), Readings()).system
    assert "limit" not in {state.name for state in system.states}


# --- what is refused --------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["TON", "TOF", "TP"])
def test_a_retained_timer_is_refused_at_its_place_with_a_way_round(kind: str) -> None:
    tested = program(A + f"VAR RETAIN hold : {kind}; END_VAR", "hold(IN := a); q := hold.Q;")
    assert tested.instances[0].block is StandardBlock(kind)
    with pytest.raises(InputError) as refused:
        with_power_cycles(tested)
    (diagnostic,) = refused.value.diagnostics
    assert diagnostic.code == "retained-timer"
    assert diagnostic.span is not None
    assert diagnostic.span.text == "hold"
    assert "'hold' is a retained" in diagnostic.message
    assert "NON_RETAIN" in diagnostic.help


def test_a_timer_within_a_retained_instance_is_refused_as_well() -> None:
    inner = (
        "FUNCTION_BLOCK Inner VAR_INPUT go : BOOL; END_VAR VAR t : TOF; END_VAR t(IN := go); "
        "END_FUNCTION_BLOCK"
    )
    tested = program(A + "VAR RETAIN i, j : Inner; END_VAR", "i(go := a); j(go := a);", inner)
    with pytest.raises(InputError, match=r"'i\.t' is a retained TOF.*'j\.t' is a retained TOF"):
        with_power_cycles(tested)


def test_a_block_whose_names_stand_in_the_way_is_refused() -> None:
    tested = program(A + "VAR Power : SR; END_VAR", "Power(S1 := a); q := Power.Q1;")
    with pytest.raises(InputError, match=r"the block has a 'Power\.S1'"):
        with_power_cycles(tested)
