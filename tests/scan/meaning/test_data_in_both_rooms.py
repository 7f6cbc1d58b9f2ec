"""One block with composed data of every kind means the same to executor and transition system."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
from twohand.scan.symbolic.encode import encode
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.side_by_side import CLOCKINGS, Pair, readings_for
from tests.support.tiers import rows

TEXT = """
TYPE
Phase : (Idle, Run := 4, Stop);
Cell : STRUCT p : Phase := Run; d : TIME := T#15ms; w : WORD; END_STRUCT
END_TYPE
FUNCTION Sum : INT
VAR_INPUT l : ARRAY [0..2] OF INT; END_VAR
VAR i : INT; acc : ARRAY [0..2] OF INT := [1, 2(2)]; c : Cell; END_VAR
FOR i := 0 TO 2 DO acc[i] := acc[i] + l[i]; c.w.3 := acc[i] > 3; END_FOR
Sum := acc[0] + acc[1] + acc[2] + SEL(c.w.3, 0, 1);
END_FUNCTION
FUNCTION_BLOCK Inner
VAR_INPUT cells : ARRAY [0..1] OF Cell; k : INT; END_VAR
VAR_IN_OUT store : ARRAY [0..1] OF Cell; END_VAR
VAR_OUTPUT best : Cell; END_VAR
VAR_TEMP tmp : ARRAY [0..1] OF Cell := [(d := T#5ms)]; END_VAR
VAR t : ARRAY [0..1] OF TOF; END_VAR
tmp[LIMIT(0, k, 1)].p := Stop;
t[LIMIT(0, k, 1)](IN := cells[LIMIT(0, k, 1)].w.0, PT := cells[0].d);
store[LIMIT(0, k, 1)] := cells[1 - LIMIT(0, k, 1)];
best := tmp[0];
best.w.1 := t[0].Q;
best.w.2 := t[1].Q OR best.p = Idle;
END_FUNCTION_BLOCK
FUNCTION_BLOCK Main
VAR_INPUT x, y : BOOL; k, n : INT; cells : ARRAY [0..1] OF Cell; END_VAR
VAR_OUTPUT q : BOOL; s : INT; END_VAR
VAR RETAIN kept : Cell; END_VAR
VAR
inner : ARRAY [1..2] OF Inner;
delays : ARRAY [0..2] OF TIME := [T#10ms, 2(T#20ms)];
t : TON;
phases : ARRAY [0..2] OF Phase := [Stop];
l : ARRAY [0..2] OF INT;
i : INT;
own : ARRAY [0..1] OF Cell;
lv : ARRAY [0..1] OF SINT (-3..9) := [2(0)];
END_VAR
t(IN := x, PT := delays[LIMIT(0, k, 2)]);
phases[LIMIT(0, n, 2)] := SEL(y, Phase.Idle, Stop);
IF phases[LIMIT(0, k, 2)] = Stop THEN l[LIMIT(0, n, 2)] := (l[LIMIT(0, k, 2)] + 1) MOD 5; END_IF
inner[1](cells := cells, k := k, store := own, best => kept);
IF y THEN inner[LIMIT(1, n, 2)](cells := own, k := n, store := own); END_IF
s := Sum(l);
lv[LIMIT(0, n, 1)] := LIMIT(-3, INT_TO_SINT(n MOD 20), 9);
own[k MOD 2] := inner[2].best;
q := t.Q AND own[1].w.0 XOR kept.w.1;
END_FUNCTION_BLOCK
"""


@pytest.mark.parametrize("seed", rows(range(6), lambda seed: seed >= 2))
def test_composed_data_means_the_same_in_both_rooms(seed: int) -> None:
    random = Random(seed)
    program = load_program([SourceText("racks.st", TEXT)], "Main")
    clocking = CLOCKINGS[seed % len(CLOCKINGS)]
    readings = replace(readings_for(random), temporaries_begin_anew=True)
    pair = Pair(encode(program, clocking, readings, 4))
    assert sum(pair.run(random) for _ in range(15)) > 30


def test_parts_of_a_retained_structure_are_retained() -> None:
    program = load_program([SourceText("racks.st", TEXT)], "Main")
    kept = {variable.name for variable in program.variables if variable.retain}
    assert kept == {"kept.p", "kept.d", "kept.w"}
