"""Long programs that are full of calls: timers, counters, edges, instances of a block.

The blocks have the inputs and the output of those in ``long_blocks``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from tests.bench.long_frame import LINES, block

CALLS = 25
"""Call sites of each timer or counter that has many."""


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
    return block(declared, body)


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
    return block(declared, [*body, "q := m0;"])


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
    return block(declared, [*body, "q := m0;"])


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
    return block(declared, [*body, "END_CASE", "q := m0;"])


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
    return block(declared, body)


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
    return block(declared, [*body, "q := m0;"])


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
    return block(declared, body)


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
    return block(declared, body, STATION)


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
    return block(declared, [*body, "q := m0;"], STATION)
