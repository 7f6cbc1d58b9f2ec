"""Random bodies with temporary variables, and the same with notes of what was assigned."""

from __future__ import annotations

from random import Random
from typing import NamedTuple

_FLAGS = ("t", "u", "v")
_CONDITIONS = ("a", "b", "n > 0", "n = 2", "NOT a")


class TemporariesText(NamedTuple):
    """``body`` and, with the same effect, ``noted``, which sets ``early`` where a temporary
    variable is read that was not assigned."""

    declarations: str
    body: str
    noted: str


def temporaries_text(random: Random) -> TemporariesText:
    sets = ", ".join(f"{name}_set" for name in _FLAGS)
    declarations = (
        "VAR_INPUT a, b : BOOL; n : INT; END_VAR VAR_OUTPUT q, early : BOOL; END_VAR\n"
        f"VAR_TEMP {', '.join(_FLAGS)} : BOOL; i1, i2 : INT; END_VAR VAR {sets} : BOOL; END_VAR\n"
    )
    reset = " ".join(f"{name}_set := FALSE;" for name in _FLAGS)
    plain, noted = _statements(random, 5, 2)
    return TemporariesText(declarations, plain, f"early := FALSE; {reset}\n{noted}")


def _statements(random: Random, most: int, depth: int) -> tuple[str, str]:
    parts = [_statement(random, depth) for _ in range(random.randint(1, most))]
    return "\n".join(p for p, _ in parts), "\n".join(n for _, n in parts)


def _value(random: Random) -> tuple[str, str]:
    """An expression, and the notes that its reads make."""
    read = [random.choice(_FLAGS) for _ in range(random.choice((0, 1, 1, 2)))]
    words = [random.choice(("", "NOT ")) + name for name in (*read, random.choice("ab"))]
    random.shuffle(words)
    notes = "".join(f"IF NOT {name}_set THEN early := TRUE; END_IF; " for name in read)
    return random.choice((" AND ", " OR ", " XOR ")).join(words), notes


def _statement(random: Random, depth: int) -> tuple[str, str]:
    kind = random.choice(("set", "set", "show", "if", "if", "for", "leave"))
    value, notes = _value(random)
    if kind == "set" or (depth == 0 and kind != "show"):
        name = random.choice(_FLAGS)
        return f"{name} := {value};", f"{notes}{name} := {value}; {name}_set := TRUE;"
    if kind == "show":
        return f"q := {value};", f"{notes}q := {value};"
    inner, inner_noted = _statements(random, 3, depth - 1)
    if kind == "for":
        head = f"FOR i{depth} := 1 TO n DO\n"
        return f"{head}{inner}\nEND_FOR;", f"{head}{inner_noted}\nEND_FOR;"
    if kind == "leave":
        test = random.choice(_CONDITIONS)
        left = f"IF {test} THEN RETURN; END_IF;"
        return f"{left}\n{inner}", f"{left}\n{inner_noted}"
    other, other_noted = _statements(random, 2, depth - 1)
    test, tested = (value, notes) if random.random() < 0.4 else (random.choice(_CONDITIONS), "")
    return (
        f"IF {test} THEN\n{inner}\nELSE\n{other}\nEND_IF;",
        f"{tested}IF {test} THEN\n{inner_noted}\nELSE\n{other_noted}\nEND_IF;",
    )
