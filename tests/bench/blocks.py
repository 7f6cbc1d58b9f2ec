"""Blocks and specs for the benchmark: type III logic in many shapes, any window, any scan."""

from __future__ import annotations

import random
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Case:
    """One block and its spec."""

    name: str
    block: str
    specification: str

    def write(self, folder: Path) -> Path:
        """Put both files into ``folder`` and give the spec's path."""
        (folder / f"{self.name}.st").write_text(self.block, encoding="utf-8")
        path = folder / f"{self.name}.spec"
        path.write_text(self.specification, encoding="utf-8")
        return path


def station_block(window: int, feed: str = "left OR right") -> str:
    """A station of type III, window in ms; fed by 'left AND right' it limits nothing."""
    return f"""
FUNCTION_BLOCK Station
VAR_INPUT left, right : BOOL; END_VAR
VAR_OUTPUT together : BOOL; END_VAR
VAR window : TON; armed : BOOL; END_VAR
window(IN := {feed}, PT := T#{window}ms);
IF NOT left AND NOT right THEN
    armed := TRUE;
    together := FALSE;
ELSIF left AND right THEN
    IF armed AND NOT window.Q THEN together := TRUE; END_IF;
    armed := FALSE;
ELSE
    together := FALSE;
END_IF;
END_FUNCTION_BLOCK
"""


def stations_case(name: str, count: int, window: int, scan: str, faulty: bool = False) -> Case:
    """``count`` stations of type III in one block, window in ms, ``scan`` as in a spec."""
    numbers = range(1, count + 1)
    hands = [f"{side}{n}" for n in numbers for side in ("left", "right")]
    together = " AND ".join(f"station{n}.together" for n in numbers)
    calls = "\n".join(f"station{n}(left := left{n}, right := right{n});" for n in numbers)
    block = station_block(window, "left AND right" if faulty else "left OR right") + (
        f"""
FUNCTION_BLOCK Press
VAR_INPUT {", ".join(hands)} : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
VAR {", ".join(f"station{n}" for n in numbers)} : Station; armed : BOOL; END_VAR
{calls}
IF NOT ({" OR ".join(hands)}) THEN armed := TRUE; END_IF;
IF stroke AND NOT ({together}) THEN armed := FALSE; END_IF;
stroke := armed AND {together};
END_FUNCTION_BLOCK
"""
    )
    lines = [f"HAND hand_{hand} = {hand};" for hand in hands]
    lines += [f"STATION place{n} = hand_left{n}, hand_right{n};" for n in numbers]
    return Case(name, block, specification(name, scan, window, lines))


def specification(name: str, scan: str, window: int, lines: list[str]) -> str:
    body = "\n    ".join(
        [
            f"SOURCE '{name}.st';",
            "BLOCK Press;",
            f"SCAN {scan};",
            *lines,
            "OUTPUT stroke;",
            f"REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#{window}ms;",
        ]
    )
    return f"SPEC Bench\n    {body}\nEND_SPEC\n"


def random_variant(seed: int) -> Case:
    """A correct type III block in a shape chosen by ``seed``: feed, arming, latch, guard, order."""
    pick = random.Random(seed)
    window = pick.choice((200, 300, 450, 480, 500))
    scan = pick.choice(("T#10ms", "T#20ms", "T#5ms..T#20ms", "T#1ms..T#10ms"))
    guard = pick.choice(("", " AND guardShut", " AND NOT stop"))
    lateness = pick.choice(("window.Q", f"window.ET >= T#{window}ms", f"window.ET > T#{window}ms"))
    preset = window if lateness == "window.Q" else window * pick.choice((2, 10))
    none = pick.choice(("NOT left AND NOT right", "NOT (left OR right)"))
    both = pick.choice(("left AND right", "bothOn.Q1"))
    timer = f"window(IN := left OR right, PT := T#{preset}ms);"
    latch = "bothOn(S := left AND right, R1 := NOT left OR NOT right);"
    calls = [timer, latch]
    pick.shuffle(calls)
    early = (
        f"IF {none} THEN armed := TRUE; ELSIF {lateness} AND NOT run THEN armed := FALSE; END_IF;"
        if pick.random() < 0.5
        else f"IF {none} THEN armed := TRUE; END_IF;"
    )
    block = f"""
FUNCTION_BLOCK Press
VAR_INPUT left, right, guardShut, stop : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
VAR window : TON; bothOn : RS; armed, run : BOOL; strokes : UINT; END_VAR
{calls[0]}
{calls[1]}
{early}
IF {both} THEN
    IF armed AND NOT ({lateness}){guard} THEN run := TRUE; END_IF;
    armed := FALSE;
ELSE
    run := FALSE;
END_IF;
{"IF NOT (TRUE" + guard + ") THEN run := FALSE; END_IF;" if guard else ""}
{
        "IF run AND NOT stroke AND strokes < 60000 THEN strokes := strokes + 1; END_IF;"
        if pick.random() < 0.3
        else ""
    }
stroke := run;
END_FUNCTION_BLOCK
"""
    name = f"variant{seed}"
    lines = ["HAND one = left;", "HAND other = right;"]
    return Case(name, block, specification(name, scan, window, lines))


def long_block(lines: int, name: str = "Line") -> str:
    """A block of about so many lines: a timer and a counter for each ten."""
    declarations: list[str] = []
    body: list[str] = []
    for number in range(lines // 10):
        declarations += [
            f"    t{number} : TON;",
            f"    m{number} : BOOL; c{number} : INT;  (* station {number} *)",
        ]
        body += [
            f"IF a AND NOT b OR m{number} THEN",
            f"    c{number} := c{number} + 1;",
            f"ELSIF c{number} > 10 THEN",
            f"    c{number} := 0;",
            "END_IF",
            f"t{number}(IN := m{number} AND a, PT := T#{number + 1}00ms);",
            f"m{number} := t{number}.Q OR (b AND c{number} = {number % 9});",
            f"q := q OR m{number};",
        ]
    head = [f"FUNCTION_BLOCK {name}", "VAR_INPUT a, b : BOOL; END_VAR"]
    head += ["VAR_OUTPUT q : BOOL; END_VAR", "VAR"]
    return "\n".join([*head, *declarations, "END_VAR", *body, "END_FUNCTION_BLOCK", ""])
