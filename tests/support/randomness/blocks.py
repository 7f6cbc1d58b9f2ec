"""Random function blocks as structured text: a seed gives a text."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from tests.support.randomness import clock_readings, real_inputs
from tests.support.randomness import units as random_units
from tests.support.randomness.data import FIXED, INPUTS, TYPES, DataText
from tests.support.randomness.library import FUNCTIONS

FLAGS = ("a", "b", "c", "f", "g", "q")
TIMERS = ("t0", "t1")
MODES = ("Idle", "Ready", "Run", "Fault")
NUMBERS = {"INT": ("n", "i", "j"), "SINT": ("s", "k"), "USINT": ("u", "v"), "DINT": ("d",)}
WRITABLE = {"INT": ("i", "j"), "SINT": ("k",), "USINT": ("v",), "DINT": ("d",)}
PRESETS = ("T#0ms", "T#1ms", "T#7ms", "T#20ms", "T#33ms", "T#-5ms", "T#60ms", "span", "delay")


class BlockText:
    """Writes one block; every choice comes from the seed. With ``retained`` some of what the
    block remembers is RETAIN (no timers); ``clocked`` it reads the clock; ``measured`` it compares
    inputs of REAL and LREAL with constants."""

    def __init__(
        self, seed: int, retained: bool = False, clocked: bool = False, measured: bool = False
    ) -> None:
        self.random = Random(seed)
        self.clock = Random(f"clock {seed}") if clocked else None
        self.measured = Random(f"measured {seed}") if measured else None
        self.keeping = Random(f"retained {seed}") if retained else None
        self.depth = 0
        self.loops = 0
        self.inside_loop = False
        self.kinds = {name: self.random.choice(("TON", "TOF", "TP")) for name in TIMERS}
        self.trigger = self.random.choice(("R_TRIG", "F_TRIG"))
        self.bistable = self.random.choice(("SR", "RS"))
        self.counter = self.random.choice(("CTU", "CTD", "CTUD"))
        self.presets = {name: self.random.choice(PRESETS) for name in TIMERS}
        self.inner_lines: list[str] = []
        self.data = DataText(self.random, self.flag, self.number)

    def pick(self, *choices: Callable[[], str]) -> str:
        return self.random.choice(choices)()

    # --- expressions

    def flag(self, depth: int = 2) -> str:
        if depth == 0:
            if self.measured is not None and self.measured.random() < 0.4:
                return real_inputs.comparison(self.measured)
            if self.random.random() < 0.15:
                return self.data.boolean()
            pins = (*(f"{t}.Q" for t in TIMERS), "edge.Q", "store.Q1", "inner.on", "TRUE", "FALSE")
            return self.random.choice(FLAGS + FLAGS + pins)
        below = depth - 1
        return self.pick(
            lambda: self.flag(0),
            lambda: f"NOT {self.flag(0)}",
            lambda: f"({self.flag(below)} AND {self.quiet_flag(below)})",
            lambda: f"({self.flag(below)} OR {self.quiet_flag(below)})",
            lambda: f"({self.flag(below)} XOR NOT ({self.flag(below)}))",
            lambda: f"({self.flag(below)} AND_THEN {self.flag(below)})",
            lambda: f"({self.flag(below)} OR_ELSE {self.flag(below)})",
            lambda: self.comparison(below),
            lambda: f"SEL({self.flag(0)}, {self.flag(below)}, {self.flag(below)})",
            lambda: f"({self.flag(0)} = {self.flag(0)})",
        )

    def quiet_flag(self, depth: int) -> str:
        """One that changes no variable: a platform may skip it."""
        while True:
            text = self.flag(depth)
            if not any(word in text for word in ("Bump", "=>", ".Add", ".Level")):
                return text

    def relation(self) -> str:
        return self.random.choice(("<", "<=", ">", ">=", "=", "<>"))

    def comparison(self, depth: int) -> str:
        def numbers() -> str:
            kind = self.random.choice(tuple(NUMBERS))
            return f"({self.number(kind, depth)} {self.relation()} {self.number(kind, depth)})"

        return self.pick(
            numbers,
            numbers,
            lambda: f"({self.bits('BYTE', depth)} {self.relation()} {self.bits('BYTE', depth)})",
            lambda: f"({self.duration()} {self.relation()} {self.duration()})",
            lambda: f"(mode {self.random.choice(('=', '<>'))} {self.mode()})",
            lambda: f"({self.random.choice(TIMERS)}.ET >= {self.duration()})",
            lambda: f"Bump(target := {self.random.choice(('i', 'j'))}, amount := n)",
        )

    def constant(self, kind: str) -> str:
        low = 0 if kind == "USINT" else -6
        if self.random.random() < 0.08:
            extremes = {"USINT": ("255", "250"), "SINT": ("127", "-128"), "INT": ("32767", "-9")}
            return self.random.choice(extremes.get(kind, ("100000",)))
        return str(self.random.randint(low, 9))

    def number(self, kind: str, depth: int = 2) -> str:
        if depth == 0 or self.random.random() < 0.25:
            if self.random.random() < 0.3:
                return self.constant(kind)
            if kind == "INT" and self.random.random() < 0.2:
                return self.data.integer()
            return self.random.choice(NUMBERS[kind])
        below = depth - 1
        one, two = (lambda: self.number(kind, below)), (lambda: self.number(kind, below))
        negative = "3" if kind == "USINT" else "-3"
        choices: list[Callable[[], str]] = [
            lambda: f"({one()} + {two()})",
            lambda: f"({one()} - {two()})",
            lambda: f"({one()} * {self.random.choice(('2', '3', two()))})",
            lambda: f"({one()} / {self.random.choice(('2', negative, two()))})",
            lambda: f"({one()} MOD {self.random.choice(('7', '5', two()))})",
            lambda: f"LIMIT({self.constant(kind)}, {one()}, {two()})",
            lambda: f"MIN({one()}, {two()}, {self.constant(kind)})",
            lambda: f"MAX({one()}, {two()})",
            lambda: f"SEL({self.flag(0)}, {one()}, {two()})",
            lambda: f"MUX({self.number('INT', 0)} MOD 3, {one()}, {two()}, {self.constant(kind)})",
            lambda: f"ABS({one()})",
            lambda: f"({one()} ** 2)",
            lambda: f"(-{self.random.choice(NUMBERS[kind])})",
        ]
        conversions = {
            "INT": ("BOOL_TO_INT(f)", "TO_INT(mode)", "WORD_TO_INT(w)", "TIME_TO_INT(span)", "k",
                    "BYTE_TO_INT(y)", "DINT_TO_INT(d)", "Clip(x := j, clipped => g)",
                    "Clip(x := i)", "Clip(Clip(n, 3), 7)", "inner.count", "count.CV"),
            "SINT": ("BYTE_TO_SINT(y)", "INT_TO_SINT(i)", "USINT_TO_SINT(v)", "INT_TO_SINT(n)"),
            "USINT": ("BYTE_TO_USINT(y)", "INT_TO_USINT(i)", "SINT_TO_USINT(k)",
                      "WORD_TO_USINT(w)", "BOOL_TO_USINT(g)"),
            "DINT": ("i", "k", "WORD_TO_DINT(w)", "TIME_TO_DINT(t0.ET)", "v"),
        }  # fmt: skip
        if kind == "INT" and self.random.random() < 0.08:
            return random_units.expression(self.random, lambda d: self.number("INT", d))
        if self.random.random() < 0.2:
            return self.random.choice(conversions[kind])
        return self.random.choice(choices)()

    def bits(self, kind: str, depth: int = 2) -> str:
        if depth == 0:
            literal = f"{kind}#16#{self.random.randrange(256):X}"
            return self.random.choice(("y", "p", literal) if kind == "BYTE" else ("w", literal))
        below = depth - 1
        function = self.random.choice(("SHL", "SHR", "ROL", "ROR"))
        return self.pick(
            lambda: self.bits(kind, 0),
            lambda: f"({self.bits(kind, below)} AND {self.bits(kind, below)})",
            lambda: f"({self.bits(kind, below)} OR NOT ({self.bits(kind, below)}))",
            lambda: f"({self.bits(kind, below)} XOR {self.bits(kind, below)})",
            lambda: f"{function}({self.bits(kind, below)}, {self.random.randint(0, 18)})",
            lambda: f"{function}({self.bits(kind, below)}, {self.random.choice(('n', 'v', 'i'))})",
            lambda: f"INT_TO_{kind}({self.number('INT', below)})",
            lambda: "WORD_TO_BYTE(w)" if kind == "BYTE" else "y",
            lambda: f"BOOL_TO_{kind}({self.flag(below)})",
        )

    def duration(self) -> str:
        return self.pick(
            lambda: self.random.choice(PRESETS),
            lambda: f"({self.random.choice(TIMERS)}.ET + {self.random.choice(PRESETS)})",
            lambda: f"(T#60ms - {self.random.choice(TIMERS)}.ET)",
            lambda: f"(span * {self.random.randint(-2, 3)})",
            lambda: f"(delay / {self.random.choice(('2', '-3', 'n'))})",
            lambda: "INT_TO_TIME(n)",
            lambda: "MIN(span, delay)",
            lambda: f"{self.random.choice(TIMERS)}.PT",
        )

    def mode(self) -> str:
        return self.random.choice((*MODES, "order", "mode", f"SEL({self.flag(0)}, mode, order)"))

    # --- statements

    def statements(self, count: int) -> str:
        self.depth += 1
        text = "\n".join(self.statement() for _ in range(self.random.randint(1, count)))
        self.depth -= 1
        return text

    def statement(self) -> str:
        text = self.statement_without_clock()
        if self.clock is None or self.clock.random() < 0.5:
            return text
        return f"{clock_readings.statement(self.clock)}\n{text}"

    def statement_without_clock(self) -> str:
        simple = [self.assign, self.assign, self.assign, self.call, self.call]
        simple.extend((self.data.assignment, self.use_unit))
        if self.depth < 4:
            simple.extend((self.if_then, self.if_then, self.case, self.loop))
        if self.inside_loop:
            simple.append(self.leave_loop)
        if self.depth > 1 and self.random.random() < 0.08:
            return f"IF {self.flag(1)} THEN RETURN; END_IF"
        return self.random.choice(simple)()

    def use_unit(self) -> str:
        return random_units.statement(self.random, self.flag, lambda d: self.number("INT", d))

    def assign(self) -> str:
        kind = self.random.choice(tuple(WRITABLE))
        return self.pick(
            lambda: f"{self.random.choice(('f', 'g', 'q'))} := {self.flag()};",
            lambda: f"{self.random.choice(('f', 'g', 'q'))} := {self.flag()};",
            lambda: f"{self.random.choice(WRITABLE[kind])} := {self.number(kind)};",
            lambda: f"{self.random.choice(WRITABLE[kind])} := {self.number(kind, 1)};",
            lambda: f"y := {self.bits('BYTE')};",
            lambda: f"w := {self.bits('WORD')};",
            lambda: f"span := {self.duration()};",
            lambda: f"mode := {self.mode()};",
            lambda: f"{self.random.choice(TIMERS)}.IN := {self.flag(1)};",
            lambda: f"{self.random.choice(TIMERS)}.PT := {self.random.choice(PRESETS)};",
        )

    def call_timer(self) -> str:
        name = self.random.choice(TIMERS)
        preset = self.presets[name] if self.random.random() < 0.8 else self.duration()
        arguments = self.random.choice(
            (
                f"IN := {self.flag(1)}, PT := {preset}",
                f"IN := {self.random.choice('abc')}, PT := {preset}",
                f"IN := {self.flag(1)}",
                "",
                f"PT := {preset}, IN := {self.random.choice('abc')}, Q => g, ET => span",
            )
        )
        return f"{name}({arguments});"

    def call_counter(self) -> str:
        preset = f"PV := {self.random.randint(-1, 3)}"
        arguments = {
            "CTU": f"CU := {self.flag(1)}, R := {self.flag(1)}, {preset}, Q => f",
            "CTD": f"CD := {self.flag(1)}, LD := {self.flag(1)}, {preset}, CV => j",
            "CTUD": f"CU := {self.flag(1)}, CD := {self.flag(1)}, R := {self.flag(1)}, "
            f"LD := {self.flag(1)}, {preset}, QU => f, QD => g",
        }
        return f"count({arguments[self.counter]});"

    def call(self) -> str:
        sets = "S1 := {}, R := {}" if self.bistable == "SR" else "S := {}, R1 := {}"
        return self.pick(
            self.call_timer,
            self.call_timer,
            self.call_counter,
            lambda: f"edge(CLK := {self.flag(1)}, Q => g);",
            lambda: f"store({sets.format(self.flag(1), self.flag(1))});",
            lambda: (
                f"inner(start := {self.flag(1)}, level := {self.number('INT', 1)}, "
                f"shared := {self.random.choice(('i', 'j'))}, on => f);"
            ),
            lambda: "inner(shared := j);",
            lambda: f"Clip(x := {self.number('INT', 1)}, clipped => f);",
        )

    def if_then(self) -> str:
        text = f"IF {self.flag()} THEN\n{self.statements(3)}\n"
        while self.random.random() < 0.4:
            text += f"ELSIF {self.flag()} THEN\n{self.statements(2)}\n"
        if self.random.random() < 0.5:
            text += f"ELSE\n{self.statements(2)}\n"
        return f"{text}END_IF"

    def case(self) -> str:
        if self.random.random() < 0.5:
            arms = f"Idle: {self.statements(2)}\nReady, Run: {self.statements(2)}\n"
            selector = "mode"
        else:
            selector = self.number("INT", 1)
            arms = f"-2, 0..2: {self.statements(2)}\n1..4, 7: {self.statements(2)}\n"
        if self.random.random() < 0.6:
            arms += f"ELSE\n{self.statements(2)}\n"
        return f"CASE {selector} OF\n{arms}END_CASE"

    def leave_loop(self) -> str:
        return f"IF {self.flag(1)} THEN {self.random.choice(('EXIT', 'CONTINUE'))}; END_IF"

    def loop(self) -> str:
        if self.loops >= 2 or (self.loops == 1 and self.random.random() < 0.7):
            return self.assign()
        self.loops += 1
        self.depth += 1
        outer, self.inside_loop = self.inside_loop, True
        variable = self.random.choice(("INT", "SINT"))
        counter = (
            ("x0", "x1")[self.loops - 1] if variable == "INT" else ("z0", "z1")[self.loops - 1]
        )
        text = self.pick(
            lambda: self.for_loop(counter, variable),
            lambda: self.for_loop(counter, variable),
            lambda: (
                f"{counter} := 0;\nWHILE {counter} < 3 AND {self.quiet_flag(1)} DO\n"
                f"{counter} := {counter} + 1;\n{self.statements(2)}\nEND_WHILE"
            ),
            lambda: (
                f"{counter} := 3;\nREPEAT\n{counter} := {counter} - 1;\n"
                f"{self.statements(2)}\nUNTIL {counter} < 1 OR {self.quiet_flag(1)} END_REPEAT"
            ),
        )
        self.inside_loop = outer
        self.loops -= 1
        self.depth -= 1
        return text

    def for_loop(self, counter: str, kind: str) -> str:
        first, last, by = self.random.choice(
            (
                ("0", "3", ""),
                ("3", "0", " BY -1"),
                ("1", NUMBERS[kind][0], ""),
                (self.random.choice(NUMBERS[kind]), "4", " BY 2"),
                ("126", "127", "") if kind == "SINT" else ("32766", "32767", ""),
                ("0", "0", ""),
                ("5", "1", ""),
            )
        )
        return (
            f"FOR {counter} := {first} TO {last}{by} DO\n{self.statements(2)}\nEND_FOR\n"
            f"{'k' if kind == 'SINT' else 'i'} := {counter};"
        )

    # --- the text

    def inner(self) -> str:
        return f"""
FUNCTION_BLOCK Inner
VAR_INPUT start : BOOL; level : INT := 2; END_VAR
VAR_OUTPUT on : BOOL; count : INT; END_VAR
VAR_IN_OUT shared : INT; END_VAR
VAR NON_RETAIN wait : {self.random.choice(("TON", "TOF", "TP"))}; END_VAR
{self.sections("rise : R_TRIG;")}
VAR_TEMP draft : INT := 3; END_VAR
draft := draft + count;
rise(CLK := start);
IF rise.Q THEN count := (count + 1) MOD 4; shared := shared MOD 9 + 1; END_IF
IF level < 0 THEN on := FALSE; RETURN; END_IF
wait(IN := start, PT := {self.random.choice(("T#15ms", "INT_TO_TIME(level)", "T#0ms"))});
on := wait.Q OR draft > 5;
END_FUNCTION_BLOCK
"""

    def sections(self, *declarations: str, keyword: str = "VAR") -> str:
        """Each declaration in a section of its own, some retained if any are to be."""
        texts = []
        for declaration in declarations:
            kept = self.keeping is not None and self.keeping.random() < 0.4
            word = f"{keyword} RETAIN" if kept else keyword
            texts.append(f"{word} {declaration} END_VAR")
        return "\n".join(texts)

    def text(self) -> str:
        body = "\n".join(self.statement() for _ in range(self.random.randint(3, 6)))
        timers = "\n".join(f"{name} : {kind};" for name, kind in self.kinds.items())
        start = self.random.choice(("TRUE", "FALSE"))
        variables = self.sections(
            "f, g : BOOL;", "i : INT := 3;", "j : INT;", "k : SINT := -2;", "v : USINT;",
            "d : DINT;", "y : BYTE := 16#C3;", "w : WORD;", "mode : Mode := Ready;",
            "span : TIME := T#12ms;", "x0, x1 : INT;", "z0, z1 : SINT;",
        )  # fmt: skip
        instances = self.sections(
            f"edge : {self.trigger};",
            f"store : {self.bistable};",
            f"count : {self.counter};",
            "inner : Inner;",
        )
        units = (
            random_units.UNITS if self.clock is None else random_units.UNITS + clock_readings.UNITS
        )
        return f"""{FUNCTIONS}{TYPES}{units}{self.inner()}
FUNCTION_BLOCK Main
VAR_INPUT a, b, c : BOOL; n : INT; s : SINT; u : USINT; p : BYTE; order : Mode; delay : TIME;
END_VAR
{INPUTS}
{FIXED}
{"" if self.measured is None else real_inputs.DECLARED}
{self.sections(f"q : BOOL := {start};", keyword="VAR_OUTPUT")}
{variables}
VAR {timers} END_VAR
VAR {self.data.declarations()} {random_units.DECLARED} END_VAR
{instances}
{"" if self.clock is None else clock_readings.DECLARED}
{body}
{"" if self.clock is None else clock_readings.LAST}
END_FUNCTION_BLOCK
"""


def block_text(
    seed: int, retained: bool = False, clocked: bool = False, measured: bool = False
) -> str:
    """A library of a few units whose block ``Main`` is random."""
    return BlockText(seed, retained, clocked, measured).text()
