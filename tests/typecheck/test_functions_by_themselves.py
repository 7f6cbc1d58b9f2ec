"""A function as the program that is checked does what a block sees that calls it once a scan."""

from __future__ import annotations

from random import Random

from twohand.files.index import UNITS
from twohand.program import Program
from twohand.program.durations import Units
from twohand.program.types import Value
from twohand.scan.clocking import Readings
from twohand.scan.concrete.execute import run
from twohand.scan.symbolic.encode import encode
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.side_by_side import CLOCKINGS, LOOP_BOUND, RUNS, Pair
from tests.support.meaning.typed_programs import MILLISECONDS, PLAIN

FUNCTION = """FUNCTION Sum : INT
VAR_INPUT a, b : INT; keep : BOOL; END_VAR
VAR_IN_OUT total : INT; END_VAR
VAR_OUTPUT high : BOOL; END_VAR
VAR n : INT := 2; m : INT; END_VAR
n := n + Twice(a);
IF keep THEN RETURN; END_IF;
total := total MOD 50 + n;
m := m + 1;
high := total > 60;
Sum := b + n + m;
END_FUNCTION
FUNCTION Twice : INT
VAR_INPUT a : INT; END_VAR
Twice := 2 * a;
END_FUNCTION
"""
CALLER = """FUNCTION_BLOCK Caller
VAR_INPUT a, b, given : INT; keep : BOOL; END_VAR
VAR_OUTPUT Sum, total : INT; high : BOOL; END_VAR
total := given;
Sum := Outside(a := a, b := b, keep := keep, total := total, high => high);
END_FUNCTION_BLOCK
"""
SHOWN = ("Sum", "total", "high")


def loaded(text: str, name: str) -> Program:
    return load_program([SourceText("sum.st", text)], name, kinds=UNITS)


def test_a_function_by_itself_gives_what_its_caller_sees() -> None:
    function = loaded(FUNCTION, "Sum")
    body = FUNCTION.replace("FUNCTION Sum", "FUNCTION Outside").replace("Sum :=", "Outside :=")
    caller = loaded(CALLER + body, "Caller")
    assert {v.name for v in function.inputs} == {"a", "b", "keep", "total"}
    assert [v.name for v in function.outputs] == ["Sum", "high"]
    random = Random(7)
    rows: list[dict[str, Value]] = [
        {
            "a": random.randint(-40, 40),
            "b": random.randint(-9, 9),
            "keep": random.random() < 0.3,
            "total": random.randint(-200, 200),
        }
        for _ in range(60)
    ]
    others = [{("given" if n == "total" else n): v for n, v in row.items()} for row in rows]
    first = run(function, MILLISECONDS, PLAIN, 10, [(row, Units(100)) for row in rows])
    second = run(caller, MILLISECONDS, PLAIN, 10, [(row, Units(100)) for row in others])
    seen = [[tuple(each.values[name] for name in SHOWN) for each in way] for way in (first, second)]
    assert seen[0] == seen[1]
    assert len(set(seen[0])) > 40


def test_a_function_by_itself_means_the_same_in_both_rooms() -> None:
    random = Random("functions")
    pair = Pair(encode(loaded(FUNCTION, "Sum"), CLOCKINGS[2], Readings(), LOOP_BOUND))
    assert sum(pair.run(random) for _ in range(RUNS)) >= RUNS


def test_nothing_of_a_function_lasts_from_one_call_to_the_next() -> None:
    """The same inputs give the same, whatever was called before."""
    function = loaded(FUNCTION, "Sum")
    row: dict[str, Value] = {"a": 3, "b": 4, "keep": False, "total": 7}
    other: dict[str, Value] = {"a": 9, "b": 1, "keep": True, "total": 70}
    steps = [(each, Units(100)) for each in (row, other, row)]
    first, _, again = run(function, MILLISECONDS, PLAIN, 10, steps)
    assert first.values == again.values
