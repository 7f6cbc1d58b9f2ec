"""Texts that nobody writes: ``python -m tests.pathological KIND SIZE FOLDER`` checks one of them.

Each has to end in an error with its place, or in a check, within 10 s and 1 GB.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

from checker.source.diagnostic import Diagnostic, InputError
from checker.temporal.specification import load_specifications

HEAD = "FUNCTION_BLOCK B\nVAR a, q : BOOL; x : INT; END_VAR\n"
TAIL = "\nEND_FUNCTION_BLOCK\n"
SPEC = "SPEC S SOURCE 'b.st'; SCAN T#10ms; {} REACHABLE q; END_SPEC\n"


def _body(text: str) -> tuple[str, str]:
    return HEAD + text + TAIL, SPEC.format("")


def _spec(text: str) -> tuple[str, str]:
    return HEAD + TAIL, SPEC.format(text)


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


def told(kind: str, size: int, folder: Path) -> tuple[Diagnostic, ...]:
    """What is said of a text; nothing where it is read."""
    source, spec = KINDS[kind](size)
    (folder / "b.st").write_text(source, encoding="utf-8")
    (folder / "s.spec").write_text(spec, encoding="utf-8")
    try:
        load_specifications(folder / "s.spec")
    except InputError as error:
        return error.diagnostics
    return ()


if __name__ == "__main__":
    for problem in told(sys.argv[1], int(sys.argv[2]), Path(sys.argv[3])):
        where = problem.span.line if problem.span is not None else problem.path
        print(f"{where}: {problem.message[:80]} [{problem.code}]")
