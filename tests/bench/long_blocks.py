"""Blocks of about 2,000 lines in the shapes that long programs have, for the benchmark."""

from __future__ import annotations

from collections.abc import Callable

from tests.bench import long_blocks_of_calls as of_calls
from tests.bench.long_frame import LINES, block


def assignments() -> str:
    """Nothing but assignments, each of the values before it."""
    count = LINES // 2 - 20
    declared = [f"m{k} : BOOL;" for k in range(count)]
    body = ["m0 := a OR q;"]
    body += [
        f"m{k} := (m{k - 1} AND NOT b) OR (a AND m{max(k - 7, 0)} AND n > {k});"
        for k in range(1, count)
    ]
    return block(declared, [*body, f"q := m{count - 1};"])


def few_variables() -> str:
    """2,000 assignments to twenty variables, in turn Boolean and numbers."""
    declared = [f"m{k} : BOOL; c{k} : INT;" for k in range(10)]
    body = []
    for k in range(LINES // 2):
        one, two = k % 10, (k * 7 + 3) % 10
        body.append(f"m{one} := m{two} AND c{one} > {k % 50} OR a;")
        body.append(f"c{two} := SEL(m{one}, c{two}, MIN(c{one} + 1, {k % 90 + 100}));")
    return block(declared, [*body, "q := m0;"])


def deep_branches() -> str:
    """IF in IF and CASE in CASE, forty deep, again and again."""
    declared = [f"m{k} : BOOL; c{k} : INT;" for k in range(40)]
    body: list[str] = []
    for group in range(LINES // 200):
        for depth in range(40):
            if depth % 2:
                body += [f"CASE c{depth} OF", f"{group}: c{depth} := {depth};", f"{group + 50}:"]
            else:
                body += [f"IF a AND m{depth} OR n > {depth + group} THEN", f"c{depth} := n;"]
        body += [f"m{group} := NOT m{group + 1};", f"c{group} := c{group} / 2;"]
        for depth in reversed(range(40)):
            if depth % 2:
                body += [f"ELSE m{depth} := b;", "END_CASE"]
            else:
                body += ["ELSE", f"m{depth} := c{depth} = {group};", "END_IF"]
    return block(declared, [*body, "q := m1;"])


def branches_one_by_one() -> str:
    """IFs one after the other, each reading and writing the same ten variables."""
    declared = [f"m{k} : BOOL; c{k} : INT;" for k in range(10)]
    body: list[str] = []
    for k in range(LINES // 5):
        one, two, three = k % 10, (k * 3 + 1) % 10, (k * 7 + 5) % 10
        body += [
            f"IF m{one} AND c{two} > {k % 60} THEN",
            f"    c{two} := c{three}; m{two} := a;",
            f"ELSIF m{three} THEN",
            f"    c{one} := {k}; m{three} := c{one} < c{two};",
            "END_IF",
        ]
    return block(declared, [*body, "q := m1;"])


def arrays() -> str:
    """Arrays read and written at a variable index."""
    declared = ["x : ARRAY[0..31] OF INT; on : ARRAY[0..31] OF BOOL; k : INT; c : INT;"]
    body = ["k := LIMIT(0, n, 31);"]
    for number in range(LINES // 5):
        body += [
            f"IF on[k] AND x[k] > {number} THEN",
            f"    x[{number % 32}] := MIN(c, {number}); k := {number % 32};",
            "    on[k] := a;",
            f"ELSE c := x[k]; on[(k + {number % 5}) MOD 32] := b;",
            "END_IF",
        ]
    return block(declared, [*body, "q := on[0];"])


def loops() -> str:
    """FOR loops over arrays, 150 of them with ten rounds each."""
    declared = ["x : ARRAY[0..9] OF INT; on : ARRAY[0..9] OF BOOL; i : INT; c : INT; m : BOOL;"]
    body: list[str] = []
    for number in range(LINES // 13):
        body += [
            "FOR i := 0 TO 9 DO",
            f"    IF on[i] AND x[i] < {number + 100} THEN",
            "        x[i] := x[i] + 1;",
            "    ELSIF m THEN",
            "        on[i] := a;",
            f"        IF x[i] = {number} THEN",
            "            EXIT;",
            "        END_IF",
            "    ELSE",
            "        x[i] := 0;",
            "    END_IF",
            "END_FOR",
            f"m := on[{number % 10}] OR b;",
        ]
    return block(declared, [*body, "q := on[0];"])


def open_loops() -> str:
    """WHILE and REPEAT loops whose rounds depend on inputs, 160 of them."""
    declared = ["x : ARRAY[0..9] OF INT; k : INT; c : INT; m : BOOL;"]
    body: list[str] = []
    for number in range(LINES // 24):
        body += [
            f"k := 0; c := LIMIT(0, n - {number}, 8);",
            "WHILE k < c DO",
            f"    IF x[k] > {number} THEN",
            "        x[k] := 0; EXIT;",
            "    ELSE",
            "        x[k] := x[k] + 1;",
            "    END_IF",
            "    IF m AND k > 3 THEN",
            "        c := 7;",
            "    END_IF",
            "    k := k + 1;",
            "END_WHILE",
            f"m := x[{number % 10}] > {number} OR b;",
            "k := 9;",
            "REPEAT",
            f"    IF k < 5 AND x[k] = {number} THEN",
            "        m := a;",
            "    ELSIF m THEN",
            f"        c := {number};",
            "    END_IF",
            "    k := k - 1;",
            "UNTIL k = 0 OR (m AND a)",
            "END_REPEAT",
            "m := m AND c > 2;",
        ]
    return block(declared, [*body, "q := m;"])


def state_machine() -> str:
    """A CASE of 100 arms with six transitions each."""
    declared = ["state : INT; t : TON; c : INT; m : ARRAY[0..19] OF BOOL;"]
    body: list[str] = []
    arms = 100
    body += ["t(IN := a, PT := T#100ms);", "CASE state OF"]
    for arm in range(arms):
        body += [f"{arm}:"]
        for step in range(6):
            other = (arm * 7 + step * 13 + 1) % arms
            body += [
                f"IF a AND m[{(arm + step) % 20}] AND c > {step} THEN",
                f"    state := {other}; m[{(arm * 3 + step) % 20}] := b;",
                "END_IF",
            ]
        body += [f"c := {arm};"]
    return block(declared, [*body, "ELSE state := 0;", "END_CASE", "q := m[0];"])


def state_machine_in_rows() -> str:
    """A state machine as a long row of IFs, as it is often written."""
    declared = ["state : INT; c : INT; m : ARRAY[0..19] OF BOOL; t : TON;"]
    body = ["t(IN := m[0], PT := T#250ms);"]
    for row in range(LINES // 5):
        body += [
            f"IF state = {row % 100} AND m[{row % 20}] THEN",
            f"    state := {(row * 7 + 1) % 100};",
            f"ELSIF state = {(row * 3 + 50) % 100} AND t.Q THEN",
            f"    m[{(row * 3) % 20}] := a; c := LIMIT(0, c + {row % 3} - 1, 100);",
            "END_IF",
        ]
    return block(declared, [*body, "q := m[0] AND c > 50;"])


def sums() -> str:
    """Numbers added, scaled and compared: findings of overflow everywhere."""
    declared = [f"c{k} : DINT;" for k in range(20)]
    body: list[str] = []
    for k in range(LINES):
        one, two, three = k % 20, (k * 7 + 3) % 20, (k * 3 + 11) % 20
        body.append(f"c{one} := LIMIT(-30000, c{two} + c{three} / {k % 5 + 2} - {k % 7}, 30000);")
    return block(declared, [*body, "q := c0 > 5;"])


def bit_strings() -> str:
    """Words masked, shifted and compared."""
    declared = [f"w{k} : WORD; m{k} : BOOL;" for k in range(20)]
    body: list[str] = []
    for k in range(LINES // 2):
        one, two = k % 20, (k * 7 + 3) % 20
        body.append(f"w{one} := (w{two} AND 16#{k % 255:02X}) OR SHL(w{one}, {k % 15 + 1});")
        body.append(f"m{one} := w{one} = w{two} OR m{two};")
    return block(declared, [*body, "q := m0;"])


SHAPES: tuple[Callable[[], str], ...] = (
    assignments,
    few_variables,
    deep_branches,
    branches_one_by_one,
    of_calls.timers_with_one_call,
    of_calls.call_sites_with_one_constant,
    of_calls.call_sites_with_constants,
    of_calls.call_sites_with_variables,
    of_calls.call_sites_in_chains,
    of_calls.pulses_in_states,
    of_calls.counters_with_one_call,
    of_calls.counters_at_many_places,
    of_calls.edges_and_latches,
    of_calls.instances,
    of_calls.instances_called_again,
    arrays,
    loops,
    open_loops,
    state_machine,
    state_machine_in_rows,
    sums,
    bit_strings,
)
