"""Blocks to inspect: for each kind of point one that has it and one that has not; and any program
as what is inspected."""

from __future__ import annotations

from dataclasses import dataclass

from twohand.analyses.inspect.points import InspectionKind, Weight
from twohand.analyses.inspect.subject import Subject
from twohand.program import Program
from twohand.scan.clocking import Clocking, Readings
from twohand.specification.model.specification import Specification

INPUTS = "VAR_INPUT a, b, c : BOOL; n : INT; END_VAR"
OUTPUTS = "VAR_OUTPUT q, r : BOOL; m : INT; END_VAR"


@dataclass(frozen=True)
class Sample:
    """``points``: the word, the weight and the line of the body (from 1) of every point of the
    ``kinds`` that are looked for; ``declared`` has further variables."""

    name: str
    kinds: tuple[InspectionKind, ...]
    body: str
    points: tuple[tuple[InspectionKind, Weight, int], ...]
    declared: str = ""
    before: str = ""

    @property
    def text(self) -> str:
        """The body begins in line 2."""
        head = f"{self.before} FUNCTION_BLOCK Press {INPUTS} {OUTPUTS} {self.declared}"
        return f"{head}\n{self.body}\nEND_FUNCTION_BLOCK\n"


T, X, C = "VAR t : TON; END_VAR", "VAR_TEMP x : BOOL; END_VAR", "VAR s : INT; END_VAR"
E = "VAR e : R_TRIG; END_VAR"
SKIP, TWICE, LOST = (
    InspectionKind.SKIPPED_CALL,
    InspectionKind.CALLED_TWICE,
    InspectionKind.LOST_WRITE,
)
DEAD, CONSTANT, MISSED = (
    InspectionKind.DEAD_CODE,
    InspectionKind.CONSTANT_CONDITION,
    InspectionKind.MISSED_CASE,
)
PASSED, LATE, EARLY, UNUSED = (
    InspectionKind.PASSED_CLOCK,
    InspectionKind.LATE_INPUT,
    InspectionKind.EARLY_READ,
    InspectionKind.UNUSED,
)
FAULT, NOTE, HARMLESS = Weight.FAULT, Weight.NOTE, Weight.HARMLESS
WAYS = (DEAD, CONSTANT, MISSED)

QUICK = (
    Sample(
        "a timer in a branch whose output is read outside of it",
        (SKIP,),
        "IF a THEN\nt(IN := b, PT := T#50ms);\nEND_IF;\nq := t.Q;",
        ((SKIP, FAULT, 2),),
        T,
    ),
    Sample(
        "a timer that only runs, and is only read, where it is called",
        (SKIP,),
        "q := FALSE;\nIF a THEN\nt(IN := TRUE, PT := T#50ms);\nq := t.Q;\n"
        "ELSE\nt(IN := FALSE);\nEND_IF;",
        (),
        T,
    ),
    Sample(
        "a timer that one of two branches calls in each scan",
        (SKIP,),
        "r := FALSE;\nIF c THEN\nt(IN := b, PT := T#50ms);\nr := t.Q;\nEND_IF;\n"
        "IF NOT c THEN\nt(IN := FALSE);\nEND_IF;",
        (),
        T,
    ),
    Sample(
        "an edge that a second call takes away",
        (TWICE,),
        "e(CLK := a);\ne(CLK := a);\nq := e.Q;",
        ((TWICE, FAULT, 1),),
        E,
    ),
    Sample(
        "two places of which each scan runs one",
        (TWICE,),
        "IF a THEN\ne(CLK := b);\nELSE\ne(CLK := c);\nEND_IF;\nq := e.Q;",
        ((TWICE, HARMLESS, 2),),
        E,
    ),
    Sample(
        "an output of two masters",
        (LOST,),
        "q := a;\nIF c THEN\nq := b;\nEND_IF;",
        ((LOST, FAULT, 3),),
    ),
    Sample(
        "an output that is written in two places, never both",
        (LOST,),
        "IF c THEN\nq := b;\nELSE\nq := a;\nEND_IF;",
        ((LOST, HARMLESS, 2),),
    ),
    Sample(
        "ways that nothing leads into",
        WAYS,
        "IF n > 3 THEN\nIF n < 2 THEN\nq := TRUE;\nEND_IF;\nEND_IF;\n"
        "IF a OR NOT a THEN\nr := TRUE;\nELSE\nr := FALSE;\nEND_IF;\n"
        "IF b THEN\nRETURN;\nELSE\nRETURN;\nEND_IF;\nm := 1;",
        ((CONSTANT, FAULT, 2), (CONSTANT, FAULT, 6), (DEAD, FAULT, 16)),
    ),
    Sample(
        "a CASE that misses a value and one that cannot",
        WAYS,
        "CASE n OF\n1: q := TRUE;\nEND_CASE;\n"
        "CASE s OF\n0: s := 1;\n1: s := 0;\n2: m := 1;\nEND_CASE;",
        ((MISSED, FAULT, 1), (MISSED, HARMLESS, 4), (DEAD, FAULT, 7)),
        C,
    ),
    Sample(
        "a clock that jumps over a value, and its end that it stops at",
        (PASSED,),
        "t(IN := a, PT := T#50ms);\nq := t.ET = T#23ms;\nr := t.ET = T#50ms;",
        ((PASSED, FAULT, 2), (PASSED, HARMLESS, 3)),
        T,
    ),
    Sample(
        "an input that the call of the next scan sees, and one that this scan's sees",
        (LATE,),
        "t.IN := a;\nt(PT := T#50ms);\ne(CLK := b);\ne.CLK := c;\nq := t.Q AND e.Q;",
        ((LATE, HARMLESS, 1), (LATE, FAULT, 4)),
        "VAR t : TON; e : R_TRIG; END_VAR",
    ),
    Sample(
        "a temporary variable that one way does not set",
        (EARLY,),
        "IF a THEN\nx := b;\nEND_IF;\nq := x;",
        ((EARLY, FAULT, 4),),
        X,
    ),
    Sample(
        "a temporary variable that every way to its read sets",
        (EARLY,),
        "IF a THEN\nx := b;\nEND_IF;\nIF a AND_THEN x THEN\nq := TRUE;\nEND_IF;\nx := c;\nr := x;",
        (),
        X,
    ),
)

MORE = (
    Sample(
        "a timer in a branch that is left with the timer at rest",
        (SKIP,),
        "q := FALSE;\nIF a THEN\nt(IN := b, PT := T#50ms);\nq := t.Q AND b;\nEND_IF;\n"
        "IF NOT a AND t.IN THEN\nt(IN := FALSE);\nEND_IF;",
        ((SKIP, HARMLESS, 3),),
        T,
    ),
    Sample(
        "a timer whose output nobody reads",
        (SKIP, UNUSED),
        "IF a THEN\nt(IN := b, PT := T#50ms);\nEND_IF;\nq := c AND a AND n > 0;",
        ((SKIP, NOTE, 2),),
        T,
    ),
    Sample(
        "a timer for two signals",
        (TWICE,),
        "t(IN := a, PT := T#50ms);\nq := t.Q;\nt(IN := b, PT := T#50ms);\nr := t.Q;",
        ((TWICE, FAULT, 1),),
        T,
    ),
    Sample(
        "a timer that is begun anew within a scan",
        (TWICE,),
        "t(IN := a, PT := T#50ms);\nIF b THEN\nt(IN := FALSE);\nEND_IF;\nq := t.Q;",
        ((TWICE, NOTE, 1),),
        T,
    ),
    Sample(
        "a call in a loop",
        (TWICE,),
        "FOR m := 1 TO 2 DO\ne(CLK := a);\nEND_FOR;\nq := e.Q;",
        ((TWICE, FAULT, 2),),
        E,
    ),
    Sample(
        "constants, a chain that needs no last condition, an ELSE as a safeguard",
        WAYS,
        "IF FALSE THEN\nq := TRUE;\nEND_IF;\nIF a THEN\nr := TRUE;\nELSIF NOT a THEN\nr := FALSE;\n"
        "END_IF;\nCASE n MOD 2 OF\n-1, 0, 1: m := 1;\nELSE\nm := 2;\nEND_CASE;",
        ((CONSTANT, NOTE, 1), (CONSTANT, NOTE, 6), (DEAD, NOTE, 9)),
    ),
    Sample(
        "loops",
        WAYS,
        "m := 0;\nWHILE m < 2 DO\nm := m + 1;\nEND_WHILE;\n"
        "REPEAT\nm := m + 1;\nUNTIL m > 2 END_REPEAT;\n"
        "FOR m := 3 TO 1 DO\nq := TRUE;\nEND_FOR;",
        ((CONSTANT, FAULT, 7), (DEAD, FAULT, 8)),
    ),
    Sample(
        "a function with a way that no call takes",
        WAYS,
        "m := Clip(LIMIT(0, n, 5));",
        ((CONSTANT, FAULT, -1),),
        before="FUNCTION Clip : INT VAR_INPUT x : INT; END_VAR Clip := x; IF x > 5 THEN Clip := 5; "
        "END_IF; END_FUNCTION",
    ),
    Sample(
        "a function whose ways are taken by one call each",
        WAYS,
        "m := Clip(LIMIT(0, n, 5)) + Clip(LIMIT(6, n, 9));",
        (),
        before="FUNCTION Clip : INT VAR_INPUT x : INT; END_VAR Clip := x; IF x > 5 THEN Clip := 5; "
        "END_IF; END_FUNCTION",
    ),
    Sample(
        "a block of which each instance takes one way",
        WAYS,
        "one(x := TRUE);\ntwo(x := FALSE);",
        (),
        "VAR one, two : Inner; END_VAR",
        "FUNCTION_BLOCK Inner VAR_INPUT x : BOOL; END_VAR VAR_OUTPUT y : INT; END_VAR "
        "IF x THEN y := 1; ELSE y := 2; END_IF; END_FUNCTION_BLOCK",
    ),
    Sample(
        "an input of a user's block behind its call",
        (LATE,),
        "one(x := a);\none.x := b;\nq := one.y > 0;",
        ((LATE, FAULT, 2),),
        "VAR one : Inner; END_VAR",
        "FUNCTION_BLOCK Inner VAR_INPUT x : BOOL; END_VAR VAR_OUTPUT y : INT; END_VAR "
        "IF x THEN y := 1; ELSE y := 2; END_IF; END_FUNCTION_BLOCK",
    ),
    Sample(
        "a copy of a clock that passes a value",
        (PASSED,),
        "t(IN := a, PT := T#60ms);\nx := t.ET;\nIF x <> T#33ms THEN\nq := TRUE;\nEND_IF;",
        ((PASSED, FAULT, 3),),
        f"{T} VAR x : TIME; END_VAR",
    ),
    Sample(
        "a clock and a value that goes to and fro, and a preset that stands",
        (PASSED,),
        "t(IN := a, PT := T#60ms);\nk := NOT k;\nIF k THEN\nx := T#51ms;\nELSE\nx := T#61ms;\n"
        "END_IF;\nq := t.ET = x;\nr := t.ET = t.PT;",
        ((PASSED, NOTE, 8), (PASSED, HARMLESS, 9)),
        f"{T} VAR x : TIME; k : BOOL; END_VAR",
    ),
    Sample(
        "variables that nobody uses",
        (UNUSED,),
        "w := a;\nq := k AND c AND n > 0;",
        ((UNUSED, NOTE, 0), (UNUSED, NOTE, 0), (UNUSED, NOTE, 0), (UNUSED, NOTE, 0)),
        "VAR w, k, z : BOOL; END_VAR",
    ),
    Sample(
        "findings",
        (InspectionKind.FINDING,),
        "IF a THEN\nm := 100 / n;\nEND_IF;\nIF n > 0 THEN\nm := 100 / n;\nEND_IF;",
        ((InspectionKind.FINDING, FAULT, 2),),
    ),
)


CLOCKING = Clocking(1_000_000, 5, 20)


def subject(tested: Program, clocking: Clocking = CLOCKING) -> Subject:
    specification = Specification(
        name=tested.name,
        source=tested.sources[0],
        program=tested,
        clocking=clocking,
        readings=Readings(),
        loop_bound=4,
        stations=(),
        outputs=tested.outputs,
        assumptions=(),
        requirements=(),
    )
    return Subject(specification, "a test")
