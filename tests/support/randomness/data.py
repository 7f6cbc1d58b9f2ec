"""Structures, arrays, subranges, bits and values without model, for random blocks."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

TYPES = """
TYPE
Pair : STRUCT on : BOOL; n : INT := 2; END_STRUCT;
Level : INT (-5..40) := 1;
Rack : ARRAY [1..3] OF Pair := [(n := 1), 2((on := TRUE))];
END_TYPE
VAR_GLOBAL tally : INT := 3; common : INT; shown : BOOL; END_VAR
PROGRAM Elsewhere common := 3; END_PROGRAM
FUNCTION Swap : Pair
VAR_INPUT old : Pair; END_VAR
Swap.on := NOT old.on;
Swap.n := old.n MOD 7;
END_FUNCTION
"""
INPUTS = "VAR_INPUT given : Pair; lamps : ARRAY [0..1] OF BOOL; step : Level; END_VAR"
FIXED = "VAR CONSTANT table : ARRAY [0..3] OF INT := [4, 2(7), 1]; END_VAR"


class DataText:
    """Texts about composed data; ``flag`` and ``number`` make the expressions within."""

    def __init__(
        self, random: Random, flag: Callable[[int], str], number: Callable[[str, int], str]
    ) -> None:
        self.random = random
        self.flag = flag
        self.number = number
        self.kind = random.choice(("TON", "TOF", "TP"))

    def declarations(self) -> str:
        first = self.random.randint(0, 4)
        return (
            "pair : Pair := (on := TRUE); rack, spare : Rack; level : Level; "
            f"grid : ARRAY [0..1, -1..1] OF INT := [{first}, 2(5), 9]; "
            "marks : ARRAY [0..3] OF BOOL; ratio : REAL := 1.5; label : STRING(8) := 'a'; "
            f"ts : ARRAY [0..1] OF {self.kind} := [(PT := T#20ms)]; "
            f"cube : ARRAY [0..1, 0..1, 1..2] OF BOOL;"
        )

    def index(self, low: int, high: int) -> str:
        """Mostly within the limits."""
        return self.random.choice(
            (
                str(self.random.randint(low, high)),
                str(self.random.randint(low, high)),
                f"LIMIT({low}, n, {high})",
                f"LIMIT({low}, i, {high})",
                f"SEL(a, {low}, {high})",
                "n" if self.random.random() < 0.3 else f"LIMIT({low}, level, {high})",
                f"LIMIT({low}, {self.number('INT', 0)}, {high})",
            )
        )

    def boolean(self) -> str:
        """An operand of type BOOL."""
        return self.random.choice(
            (
                "pair.on",
                "given.on",
                "shown",
                f"lamps[{self.index(0, 1)}]",
                f"rack[{self.index(1, 3)}].on",
                f"marks[{self.index(0, 3)}]",
                f"cube[{self.index(0, 1)}, {self.index(0, 1)}][{self.index(1, 2)}]",
                f"ts[{self.index(0, 1)}].Q",
                f"y.{self.random.randrange(8)}",
                f"w.%X{self.random.randrange(16)}",
                f"j.{self.random.randrange(16)}",
            )
        )

    def integer(self) -> str:
        """An operand of type INT."""
        return self.random.choice(
            (
                "pair.n",
                "given.n",
                "level",
                "tally",
                "random.common",
                "step",
                f"rack[{self.index(1, 3)}].n",
                f"grid[{self.index(0, 1)}, {self.index(-1, 1)}]",
                f"table[{self.index(0, 3)}]",
            )
        )

    def assignment(self) -> str:
        at = self.index
        return self.random.choice(
            (
                lambda: f"pair.on := {self.flag(1)};",
                lambda: f"pair.n := {self.number('INT', 1)};",
                lambda: f"rack[{at(1, 3)}].n := {self.number('INT', 1)};",
                lambda: f"rack[{at(1, 3)}].on := {self.flag(1)};",
                lambda: f"rack[{at(1, 3)}] := {self.random.choice(('pair', 'given'))};",
                lambda: f"pair := rack[{at(1, 3)}];",
                lambda: f"rack[{at(1, 3)}] := spare[{at(1, 3)}];",
                lambda: f"rack[{at(1, 3)}] := Swap(rack[{at(1, 3)}]);",
                lambda: f"pair := Swap(old := {self.random.choice(('pair', 'given'))});",
                lambda: "spare := rack;",
                lambda: f"tally := ({self.number('INT', 0)} + 1) MOD 9;",
                lambda: f"common := {self.number('INT', 1)};",
                lambda: f"grid[{at(0, 1)}, {at(-1, 1)}] := {self.number('INT', 1)};",
                lambda: f"marks[{at(0, 3)}] := {self.flag(1)};",
                lambda: f"cube[{at(0, 1)}, 0, {at(1, 2)}] := {self.flag(1)};",
                lambda: f"level := LIMIT(-5, {self.number('INT', 1)}, 40);",
                lambda: f"level := {self.number('INT', 0)};",
                lambda: f"y.{self.random.randrange(8)} := {self.flag(1)};",
                lambda: f"w.{self.random.randrange(16)} := {self.flag(1)};",
                lambda: f"i.{self.random.randrange(16)} := {self.flag(0)};",
                lambda: f"ratio := INT_TO_REAL({self.number('INT', 1)}) * 2.5;",
                lambda: "label := CONCAT(label, 'b');",
                lambda: f"ts[{at(0, 1)}].IN := {self.flag(1)};",
                lambda: f"ts[{at(0, 1)}].PT := T#{self.random.choice((0, 12, 40))}ms;",
                lambda: f"ts[{at(0, 1)}](IN := {self.flag(1)});",
                lambda: f"ts[{at(0, 1)}](IN := {self.flag(1)}, Q => marks[{at(0, 3)}]);",
                lambda: f"edge(CLK := {self.flag(1)}, Q => rack[{at(1, 3)}].on);",
            )
        )()
