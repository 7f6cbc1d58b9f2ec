"""Texts that nobody writes: ``python -m tests.pathological`` measures them all, ``python -m
tests.pathological KIND SIZE FOLDER`` reads and models one of them.

Each has to end in an error with its place, or in a model, within 10 s and 1 GB.
"""

from __future__ import annotations

import contextlib
import gc
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import psutil
from twohand.scan.symbolic.encode import encode
from twohand.specification.load import load_specifications
from twohand.text.diagnostic import Diagnostic, InputError

LIMIT = 60.0
"""Seconds after which a text is given up."""

HEAD = "FUNCTION_BLOCK B\nVAR a, q : BOOL; x : INT; END_VAR\n"
TAIL = "\nEND_FUNCTION_BLOCK\n"
SPEC = "SPEC S SOURCE 'b.st'; SCAN T#10ms; {} REACHABLE q; END_SPEC\n"


def _body(text: str) -> tuple[str, str]:
    return HEAD + text + TAIL, SPEC.format("")


def _spec(text: str) -> tuple[str, str]:
    return HEAD + TAIL, SPEC.format(text)


def _units(text: str) -> tuple[str, str]:
    return text + HEAD + TAIL, SPEC.replace("'b.st';", "'b.st'; BLOCK B;").format("")


def _numbered(pattern: str, size: int) -> str:
    """A part repeated 100,000 times at full size."""
    return "".join(pattern.replace("#", str(number)) + "\n" for number in range(size // 99))


def _declared(variables: str, text: str = "") -> tuple[str, str]:
    return HEAD + f"VAR\n{variables}END_VAR\n" + text + TAIL, SPEC.format("")


def _line(text: str) -> str:
    return f"{text}\n"


KINDS: dict[str, Callable[[int], tuple[str, str]]] = {
    "parentheses": lambda n: _body(f"x := {'(' * n}1{')' * n};"),
    "open-parentheses": lambda n: _body(f"x := {'(' * n};"),
    "nots": lambda n: _body(f"q := {'NOT ' * n}a;"),
    "ifs": lambda n: _body("IF a THEN\n" * n + "x := 1; " + "END_IF\n" * n),
    "open-ifs": lambda n: _body("IF a THEN\n" * n),
    "calls": lambda n: _body(f"x := {'ABS(' * n}1{')' * n};"),
    "comments": lambda n: _body("(*" * n + "*)" * n + "x := 1;"),
    "open-comments": lambda n: _body("(*\n" * (n // 3)),
    "structures": lambda n: (
        f"TYPE T : {_line('STRUCT a :') * n}INT; {_line('END_STRUCT;') * n}END_TYPE\n{HEAD}{TAIL}",
        SPEC.format(""),
    ),
    "long-name": lambda n: _body("y" * n + " := 1;"),
    "long-number": lambda n: _body(f"x := {'1' * n};"),
    "long-sum": lambda n: _body(f"x := {'1 + ' * (n // 4)}1;"),
    "long-string": lambda n: _body("q := '" + "s" * n),
    "long-duration": lambda n: _body(f"x := T#{'1' * n}ms;"),
    "strange": lambda n: _body("\u00a7\n" * (n // 3)),
    "errors": lambda n: _body("x = 1;\n" * (n // 7)),
    "semicolons": lambda n: _body(";\n" * (n // 2)),
    "words": lambda n: _body("IF\n" * (n // 3)),
    "ends": lambda n: _body("END_IF;\n" * (n // 8)),
    "one-line": lambda n: _body("x := 1; " * (n // 8)),
    "quotes": lambda n: _body("'\n" * (n // 2)),
    "braces": lambda n: _body("{" * n),
    "zeros": lambda n: (HEAD + "\0" * n + TAIL, SPEC.format("")),
    "units": lambda n: ("FUNCTION_BLOCK\n" * (n // 15), SPEC.format("")),
    "whole-units": lambda n: _units(
        _numbered("FUNCTION_BLOCK F#\nVAR a : BOOL; END_VAR\na := NOT a;\nEND_FUNCTION_BLOCK", n)
    ),
    "same-units": lambda n: _units(_numbered("FUNCTION_BLOCK F\nEND_FUNCTION_BLOCK", n)),
    "declarations": lambda n: _declared(_numbered("y# : INT := 7;", n)),
    "unknown-types": lambda n: _declared(_numbered("y# : Z#;", n)),
    "same-names": lambda n: _declared(_numbered("y : INT;", n)),
    "timers": lambda n: _declared(_numbered("y# : TON;", n)),
    "arms": lambda n: _body(f"CASE x OF\n{_numbered('#: x := 7;', n)}END_CASE"),
    "ranges": lambda n: _body(f"CASE x OF\n{_line('1..2,') * (n // 6)}3: x := 1; END_CASE"),
    "branches": lambda n: _body(
        f"IF a THEN q := a;\n{_numbered('ELSIF x = 7 THEN x := 9;', n)}END_IF"
    ),
    "unknown-names": lambda n: _body(_numbered("y# := y#;", n)),
    "array": lambda n: _declared(f"y : ARRAY[0..{n}] OF INT;\n", "y[x] := 1;"),
    "array-of-structures": lambda n: _declared(
        f"y : ARRAY[0..{n // 99}] OF STRUCT a, b : INT; END_STRUCT;\n", "y[x].a := y[x].b;"
    ),
    "arrays-of-arrays": lambda n: _declared(
        "y : " + "ARRAY[0..9] OF " * len(str(n)) + "INT;\n", "q := y[x, x] > 1;"
    ),
    "array-values": lambda n: _declared(
        f"y : ARRAY[0..9] OF INT := [{_line('1,') * (n // 3)}1];\n"
    ),
    "enumeration": lambda n: _units(f"TYPE T : ({_numbered('y#,', n)}z); END_TYPE\n"),
    "types": lambda n: _units(f"TYPE\n{_numbered('T# : INT;', n)}END_TYPE\n"),
    "chain-of-types": lambda n: _units(
        f"TYPE T0 : INT;\n{''.join(_line(f'T{k + 1} : T{k};') for k in range(n // 99))}END_TYPE\n"
    ),
    "chain-of-blocks": lambda n: _units(
        "FUNCTION_BLOCK F0\nEND_FUNCTION_BLOCK\n"
        + "".join(
            f"FUNCTION_BLOCK F{k + 1}\nVAR f : F{k}; END_VAR\nf();\nEND_FUNCTION_BLOCK\n"
            for k in range(n // 990)
        )
    ),
    "rounds": lambda n: _body(f"FOR x := 0 TO 30000 DO {'q := NOT q; ' * (n // 99_000)}END_FOR"),
    "disjunction": lambda n: _body(f"q := {_line('a OR') * (n // 50)}a;"),
    "spec-properties": lambda n: _spec(_numbered("PROPERTY y# : q;", n)),
    "spec-hands": lambda n: _spec(_numbered("HAND y# = a;", n)),
    "specs": lambda n: (HEAD + TAIL, _numbered("SPEC S# SOURCE 'b.st'; SCAN T#10ms; END_SPEC", n)),
    "spec-parentheses": lambda n: _spec(f"PROPERTY p : {'(' * n}q{')' * n};"),
    "spec-open-parentheses": lambda n: _spec(f"PROPERTY p : {'(' * n};"),
    "spec-nots": lambda n: _spec(f"PROPERTY p : {'NOT ' * n}q;"),
    "spec-implications": lambda n: _spec(f"PROPERTY p : {'q -> ' * n}q;"),
    "spec-once": lambda n: _spec(f"PROPERTY p : {'once(' * n}q{')' * n};"),
    "spec-comments": lambda n: _spec("(*\n" * (n // 3)),
    "spec-long-name": lambda n: _spec(f"HAND {'h' * n} = a;"),
    "spec-long-number": lambda n: _spec(f"LOOPS {'1' * n};"),
    "spec-quotes": lambda n: _spec("'\n" * (n // 2)),
    "spec-strange": lambda n: _spec("\u00a7\n" * (n // 3)),
    "spec-zeros": lambda n: _spec("\0" * n),
    "spec-semicolons": lambda n: _spec(";\n" * (n // 2)),
    "spec-errors": lambda n: _spec("HAND ;\n" * (n // 7)),
}  # fmt: skip
DEEP = frozenset(
    {
        *("parentheses", "open-parentheses", "nots", "ifs", "open-ifs", "calls", "structures"),
        *("comments", "spec-parentheses", "spec-open-parentheses", "spec-nots"),
        *("spec-implications", "spec-once"),
    }
)
"""Nested: their size is a depth, 10,000 at most; that of the others is up to 10 MB."""
BELOW: dict[str, int] = {
    "arms": 33_000 * 99,
    "array": 9_990,
    "array-of-structures": 4_990 * 99,
    "array-values": 99_000 * 3,
    "branches": 22_000 * 99,
    "chain-of-blocks": 4_990 * 990,
    "chain-of-types": 49_000 * 99,
    "declarations": 33_000 * 99,
    "disjunction": 99_000 * 50,
    "ends": 99_000 * 8,
    "enumeration": 99_000 * 99,
    "errors": 49_000 * 7,
    "ranges": 49_000 * 6,
    "rounds": 100 * 99_000,
    "same-names": 49_000 * 99,
    "semicolons": 199_000 * 2,
    "spec-hands": 39_000 * 99,
    "spec-properties": 39_000 * 99,
    "spec-errors": 99_000 * 7,
    "specs": 22_000 * 99,
    "timers": 49_000 * 99,
    "types": 49_000 * 99,
    "unknown-names": 49_000 * 99,
    "unknown-types": 49_000 * 99,
    "whole-units": 4_990 * 99,
    "words": 199_000 * 3,
}
"""Sizes at which a text is just small enough to be read as a whole."""


def told(kind: str, size: int, folder: Path) -> tuple[Diagnostic, ...]:
    """What is wrong with a text, or what of it is not read because nothing needs it; nothing where
    it is read."""
    source, spec = KINDS[kind](size)
    (folder / "b.st").write_text(source, encoding="utf-8")
    (folder / "s.spec").write_text(spec, encoding="utf-8")
    unread: list[Diagnostic] = []
    try:
        for read in load_specifications(folder / "s.spec"):
            encode(read.program, read.clocking, read.readings, read.loop_bound)
            unread += [note for note in read.warnings if note.code == "unread-unit"]
    except InputError as error:
        return error.diagnostics
    return tuple(unread)


def size_of(kind: str) -> int:
    """Full size."""
    return 10_000 if kind in DEEP else 9_900_000


def measure(kind: str, size: int) -> tuple[float, float, str]:
    """CPU seconds (on Windows by the clock), peak megabytes and the first thing said of a text."""
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "tests.pathological", kind, str(size), folder]
        began, before, peak = time.perf_counter(), os.times(), 0
        pipe = subprocess.PIPE
        with subprocess.Popen(command, stdout=pipe, stderr=subprocess.STDOUT) as process:
            assert process.stdout is not None
            while process.poll() is None and time.perf_counter() - began < LIMIT:
                with contextlib.suppress(psutil.Error):
                    peak = max(peak, psutil.Process(process.pid).memory_info().rss)
                time.sleep(0.02)
            by_clock = time.perf_counter() - began
            process.kill()
            lines = process.stdout.read().decode(errors="replace").splitlines() or ["nothing"]
    after = os.times()
    seconds = sum(after[2:4]) - sum(before[2:4]) or by_clock
    return seconds, peak / 1e6, lines[-1] if "Traceback" in lines[0] else lines[0]


def main() -> None:
    print("| kind | size | s | MB | said |\n|---|---|---|---|---|")
    sizes = [(kind, size_of(kind)) for kind in KINDS] + list(BELOW.items())
    for kind, size in sizes:
        if kind in sys.argv or len(sys.argv) == 1:
            seconds, megabytes, said = measure(kind, size)
            cells = [kind, f"{size:,}", f"{seconds:.1f}", f"{megabytes:.0f}", said[:90]]
            print("| " + " | ".join(cells) + " |", flush=True)


if __name__ == "__main__":
    if len(sys.argv) < 4:
        main()
    else:
        gc.set_threshold(100_000, 20, 100)  # as the command line does
        problems = told(sys.argv[1], int(sys.argv[2]), Path(sys.argv[3]))
        for problem in problems[:20]:
            where = problem.span.line if problem.span is not None else problem.path
            print(f"{where}: {problem.message[:80]} [{problem.code}]")
        if not problems:
            print("modelled")
