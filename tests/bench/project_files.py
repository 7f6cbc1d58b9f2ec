"""Projects of many files, with words of units in comments and strings, for the benchmark."""

from __future__ import annotations

from pathlib import Path
from random import Random

MISLEADING = """(* Part {0}: FUNCTION_BLOCK Press in a comment; END_FUNCTION_BLOCK
   VAR_GLOBAL x : Press; END_VAR *)
"""
PRESS = """FUNCTION_BLOCK Press
VAR_INPUT a, b : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR
VAR w : B0; END_VAR
w(a := a, b := b);
q := a AND b;
END_FUNCTION_BLOCK
"""
KINDS = 10
"""Every tenth file is a type, every tenth global variables, every tenth a function."""


def write_project(folder: Path, files: int, seed: int = 1) -> None:
    """The block ``Press``, which needs the first of so many files of some 70 lines."""
    random = Random(seed)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "press.st").write_text(PRESS, encoding="utf-8")
    for number in range(files):
        text = MISLEADING.format(number) + _content(number, random)
        (folder / f"b{number:04}.st").write_text(text, encoding="utf-8")


def _content(number: int, random: Random) -> str:
    kind = number % KINDS
    if kind == 7:
        return f"TYPE Kind{number} : (Idle{number}, Run{number}, Stop{number}); END_TYPE\n"
    if kind == 8:
        names = [f"  g{number}_{n} : BOOL; // VAR_GLOBAL in a comment\n" for n in range(30)]
        return f"VAR_GLOBAL\n{''.join(names)}END_VAR\n"
    if kind == 9:
        head = f"FUNCTION F{number} : BOOL\nVAR_INPUT a, b : BOOL; END_VAR\n"
        return f"{head}F{number} := a AND b;\nEND_FUNCTION\n"
    return _block(number, random)


def _block(number: int, random: Random) -> str:
    before = [each for each in range(number) if each % KINDS < 7] if number > 20 else []
    inner = random.sample(before, 2) if before else []
    lines = [
        f"FUNCTION_BLOCK B{number}",
        "VAR_INPUT a, b : BOOL; END_VAR",
        "VAR_OUTPUT q : BOOL; s : STRING := 'END_FUNCTION_BLOCK (* no';END_VAR",
        "VAR",
        *(f"  t{n} : TON; c{n} : INT; // timer {n}" for n in range(10)),
        *(f"  inner{n} : B{each};" for n, each in enumerate(inner)),
        "END_VAR",
    ]
    for step in range(25):
        n = step % 10
        lines += [
            f"t{n}(IN := a AND NOT b, PT := T#{step + 1}00ms);",
            f"IF t{n}.Q THEN // FUNCTION Press",
            f"  c{n} := {step}; s := 'TYPE $' x';",
            "END_IF",
        ]
    return "\n".join([*lines, "q := t0.Q;", "END_FUNCTION_BLOCK\n"])
