"""Blocks of about 2,000 lines in the shapes that long programs have, for the benchmark.

Each is a function block ``Line`` with inputs ``a``, ``b`` (BOOL) and ``n`` (INT) and output ``q``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

LINES = 2_000
CALLS = 25
"""Call sites of each timer or counter that has many."""

INDENT = "    "


def _block(declarations: Sequence[str], body: Sequence[str], before: str = "") -> str:
    return "\n".join(
        [
            before + "FUNCTION_BLOCK Line",
            "VAR_INPUT a, b : BOOL; n : INT; END_VAR",
            "VAR_OUTPUT q : BOOL; END_VAR",
            "VAR",
            *(INDENT + line for line in declarations),
            "END_VAR",
            *body,
            "END_FUNCTION_BLOCK",
            "",
        ]
    )


def assignments() -> str:
    """Nothing but assignments, each of the values before it."""
    count = LINES // 2 - 20
    declared = [f"m{k} : BOOL;" for k in range(count)]
    body = ["m0 := a OR q;"]
    body += [
        f"m{k} := (m{k - 1} AND NOT b) OR (a AND m{max(k - 7, 0)} AND n > {k});"
        for k in range(1, count)
    ]
    return _block(declared, [*body, f"q := m{count - 1};"])


def few_variables() -> str:
    """2,000 assignments to twenty variables, in turn Boolean and numbers."""
    declared = [f"m{k} : BOOL; c{k} : INT;" for k in range(10)]
    body = []
    for k in range(LINES // 2):
        one, two = k % 10, (k * 7 + 3) % 10
        body.append(f"m{one} := m{two} AND c{one} > {k % 50} OR a;")
        body.append(f"c{two} := SEL(m{one}, c{two}, MIN(c{one} + 1, {k % 90 + 100}));")
    return _block(declared, [*body, "q := m0;"])


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
    return _block(declared, [*body, "q := m1;"])


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
    return _block(declared, [*body, "q := m1;"])


def timers_with_one_call() -> str:
    """200 timers of all three kinds, each called once."""
    declared, body = [], []
    for k in range(LINES // 10):
        kind = ("TON", "TOF", "TP")[k % 3]
        declared += [f"t{k} : {kind};", f"m{k} : BOOL; c{k} : INT;"]
        body += [
            f"IF a AND NOT b OR m{k} THEN",
            f"    c{k} := SEL(c{k} < 1000, 0, c{k} + 1);",
            f"ELSIF c{k} > 10 THEN",
            f"    c{k} := 0;",
            "END_IF",
            f"t{k}(IN := m{k} AND a, PT := T#{k + 1}00ms);",
            f"m{k} := t{k}.Q OR (b AND c{k} = {k % 9});",
            f"q := q OR m{k};",
        ]
    return _block(declared, body)


def _call_sites(preset: Callable[[int, int], str], kinds: Sequence[str]) -> str:
    """Twenty timers, each called at 25 places in the branches of states."""
    timers = 20
    declared = [f"t{k} : {kinds[k % len(kinds)]}; m{k} : BOOL; p{k} : TIME;" for k in range(timers)]
    body: list[str] = []
    for site in range(CALLS):
        for k in range(timers):
            body += [
                f"IF n = {site} OR m{k} THEN",
                f"    t{k}(IN := a AND NOT m{k}, PT := {preset(k, site)});",
                f"    m{(k + 1) % timers} := t{k}.Q OR b;",
                "END_IF",
            ]
    return _block(declared, [*body, "q := m0;"])


def call_sites_with_constants() -> str:
    """Twenty timers called at 25 places, each with a constant preset of its own."""
    return _call_sites(lambda k, site: f"T#{(k + 1) * 10 + site}ms", ("TON", "TOF", "TP"))


def call_sites_with_one_constant() -> str:
    """Twenty timers called at 25 places, always with the same preset."""
    return _call_sites(lambda k, _: f"T#{k + 1}00ms", ("TON", "TOF", "TP"))


def call_sites_with_variables() -> str:
    """Twenty timers called at 25 places with presets from variables."""
    return _call_sites(lambda k, site: f"p{(k * 3 + site) % 20}", ("TON", "TOF", "TP"))


def call_sites_in_chains() -> str:
    """Twenty timers, each called in the 25 branches of one IF with a constant preset of its own."""
    timers = 20
    declared = [f"t{k} : {('TON', 'TOF', 'TP')[k % 3]}; m{k} : BOOL;" for k in range(timers)]
    body: list[str] = []
    for k in range(timers):
        for site in range(CALLS):
            body += [
                f"{'ELSIF' if site else 'IF'} n = {site * 2 + k} OR m{(k + site) % timers} THEN",
                f"    t{k}(IN := a AND NOT m{k},",
                f"        PT := T#{(k + 1) * 10 + site}ms);",
                f"    m{k} := t{k}.Q AND b;",
            ]
        body += ["END_IF"]
    return _block(declared, [*body, "q := m0;"])


def pulses_in_states() -> str:
    """Twenty timers called at 25 places that exclude each other: the arms of a CASE."""
    timers = 20
    declared = [f"t{k} : {('TON', 'TOF', 'TP')[k % 3]}; m{k} : BOOL;" for k in range(timers)]
    declared += ["state : INT;"]
    body = ["CASE state OF"]
    for site in range(CALLS):
        body += [f"{site}:"]
        for k in range(timers):
            body += [
                f"t{k}(IN := a AND m{(k + 1) % timers}, PT := T#{(k + 1) * 10 + site}ms);",
                f"IF t{k}.Q THEN",
                f"    m{k} := NOT b; state := {(site + 1) % CALLS};",
                "END_IF",
            ]
    return _block(declared, [*body, "END_CASE", "q := m0;"])


def counters_with_one_call() -> str:
    """250 counters of all three kinds."""
    declared, body = [], []
    for k in range(LINES // 8):
        kind = ("CTU", "CTD", "CTUD")[k % 3]
        pins = (
            f"CU := m{k}, R := b, PV := {k}",
            f"CD := m{k}, LD := b, PV := {k}",
            f"CU := m{k}, CD := a, R := b, LD := m{k} AND a, PV := n",
        )[k % 3]
        out = ("Q", "Q", "QU")[k % 3]
        declared += [f"t{k} : {kind};", f"m{k} : BOOL;"]
        body += [
            f"IF a OR t{k}.CV > {k} THEN",
            f"    t{k}({pins});",
            "END_IF",
            f"m{k} := NOT m{k} AND a;",
            f"q := q OR t{k}.{out};",
        ]
    return _block(declared, body)


def counters_at_many_places() -> str:
    """Twenty counters called at 25 places each."""
    counters = 20
    declared = [f"t{k} : CTU; m{k} : BOOL;" for k in range(counters)]
    body: list[str] = []
    for site in range(CALLS):
        for k in range(counters):
            body += [
                f"IF n = {site} OR m{k} THEN",
                f"    t{k}(CU := a AND NOT m{k}, R := b, PV := {site * 3 + k});",
                f"    m{(k + 1) % counters} := t{k}.Q OR b;",
                "END_IF",
            ]
    return _block(declared, [*body, "q := m0;"])


def edges_and_latches() -> str:
    """Edge triggers and bistables, each called at five places."""
    declared = [f"r{k} : R_TRIG; f{k} : F_TRIG; s{k} : RS; m{k} : BOOL;" for k in range(80)]
    body: list[str] = []
    for site in range(LINES // 400):
        for k in range(80):
            body += [
                f"r{k}(CLK := a AND m{k});",
                f"IF r{k}.Q OR n > {site} THEN f{k}(CLK := b OR m{k}); END_IF",
                f"s{k}(S := r{k}.Q, R1 := f{k}.Q);",
                f"m{(k + 1) % 80} := s{k}.Q1;",
                "q := q OR m0;",
            ]
    return _block(declared, body)


STATION = """FUNCTION_BLOCK Station
VAR_INPUT left, right, guard : BOOL; limit : INT; END_VAR
VAR_OUTPUT run : BOOL; strokes : INT; END_VAR
VAR window : TON; rest : TOF; edge : R_TRIG; armed : BOOL; END_VAR
window(IN := left OR right, PT := T#500ms);
rest(IN := run, PT := T#200ms);
IF NOT left AND NOT right THEN
    armed := TRUE;
END_IF
IF left AND right THEN
    IF armed AND NOT window.Q AND guard THEN
        run := TRUE;
    END_IF
    armed := FALSE;
ELSE
    run := FALSE;
END_IF
edge(CLK := run);
IF edge.Q AND strokes < limit THEN
    strokes := strokes + 1;
ELSIF rest.Q AND strokes > 1000 THEN
    strokes := 0;
END_IF
END_FUNCTION_BLOCK

"""


def instances() -> str:
    """100 instances of a block of twenty lines."""
    count = 100
    declared = [f"s{k} : Station; m{k} : BOOL;" for k in range(count)]
    body: list[str] = []
    for k in range(count):
        other = (k + 1) % count
        body += [
            f"s{k}(left := a AND m{k}, right := b, guard := NOT s{other}.run, limit := n);",
            f"m{k} := s{k}.run AND s{k}.strokes > {k};",
            f"IF s{k}.run AND s{other}.run THEN",
            f"    m{other} := FALSE;",
            "END_IF",
            "q := q OR m0;",
        ]
    return _block(declared, body, STATION)


def instances_called_again() -> str:
    """Ten instances of a block of twenty lines, each called at 25 places."""
    count = 10
    declared = [f"s{k} : Station; m{k} : BOOL;" for k in range(count)]
    body: list[str] = []
    for site in range(CALLS):
        for k in range(count):
            body += [
                f"IF n = {site} OR m{k} THEN",
                f"    s{k}(left := a AND m{k}, right := b, guard := NOT m{k}, limit := {site});",
                f"    m{(k + 1) % count} := s{k}.run;",
                "END_IF",
            ]
    return _block(declared, [*body, "q := m0;"], STATION)


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
    return _block(declared, [*body, "q := on[0];"])


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
    return _block(declared, [*body, "q := on[0];"])


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
    return _block(declared, [*body, "q := m;"])


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
    return _block(declared, [*body, "ELSE state := 0;", "END_CASE", "q := m[0];"])


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
    return _block(declared, [*body, "q := m[0] AND c > 50;"])


def sums() -> str:
    """Numbers added, scaled and compared: findings of overflow everywhere."""
    declared = [f"c{k} : DINT;" for k in range(20)]
    body: list[str] = []
    for k in range(LINES):
        one, two, three = k % 20, (k * 7 + 3) % 20, (k * 3 + 11) % 20
        body.append(f"c{one} := LIMIT(-30000, c{two} + c{three} / {k % 5 + 2} - {k % 7}, 30000);")
    return _block(declared, [*body, "q := c0 > 5;"])


def bit_strings() -> str:
    """Words masked, shifted and compared."""
    declared = [f"w{k} : WORD; m{k} : BOOL;" for k in range(20)]
    body: list[str] = []
    for k in range(LINES // 2):
        one, two = k % 20, (k * 7 + 3) % 20
        body.append(f"w{one} := (w{two} AND 16#{k % 255:02X}) OR SHL(w{one}, {k % 15 + 1});")
        body.append(f"m{one} := w{one} = w{two} OR m{two};")
    return _block(declared, [*body, "q := m0;"])


SHAPES: tuple[Callable[[], str], ...] = (
    assignments,
    few_variables,
    deep_branches,
    branches_one_by_one,
    timers_with_one_call,
    call_sites_with_one_constant,
    call_sites_with_constants,
    call_sites_with_variables,
    call_sites_in_chains,
    pulses_in_states,
    counters_with_one_call,
    counters_at_many_places,
    edges_and_latches,
    instances,
    instances_called_again,
    arrays,
    loops,
    open_loops,
    state_machine,
    state_machine_in_rows,
    sums,
    bit_strings,
)
