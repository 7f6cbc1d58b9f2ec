"""Structured text that parses, with names or types that do not fit."""

from __future__ import annotations

from tests.commands.faulty_inputs.case import (
    GOOD_BODY,
    SOURCE,
    SPEC,
    Case,
    in_body,
    in_declarations,
    in_source,
    source_text,
    spec_text,
)

TWO_BLOCKS = """FUNCTION_BLOCK First
VAR_INPUT leftPalm, rightPalm : BOOL; END_VAR
VAR_OUTPUT enable : BOOL; END_VAR
enable := leftPalm AND rightPalm;
END_FUNCTION_BLOCK
FUNCTION_BLOCK «Second»
VAR_INPUT leftPalm, rightPalm : BOOL; END_VAR
VAR_OUTPUT enable : BOOL; END_VAR
enable := leftPalm AND rightPalm;
END_FUNCTION_BLOCK
"""
SELF = """FUNCTION_BLOCK Press
VAR «again» : Press; END_VAR
END_FUNCTION_BLOCK
"""

CLEARED = """FUNCTION_BLOCK Cleared
VAR_INPUT go : BOOL; END_VAR
VAR_OUTPUT q : BOOL; END_VAR
q := go;
go := FALSE;
END_FUNCTION_BLOCK
"""
CLOCK = f"began := TIME(); pause := TIME() - began; {GOOD_BODY}"
ROD = """FUNCTION_BLOCK Rod
VAR_INPUT go : BOOL; END_VAR
VAR_OUTPUT out : BOOL; END_VAR
VAR «began» : TIME; END_VAR
IF NOT go THEN began := TIME(); END_IF;
out := TIME() - began > T#1s;
END_FUNCTION_BLOCK
"""


def _with_clock(code: str, more: str, help_text: str) -> Case:
    """A spec of a press that keeps a reading of the clock."""
    source = source_text(f"pause := TIME(); {GOOD_BODY}")
    return Case(code, help_text, {SPEC: spec_text(more), SOURCE: source})


NAMES = [
    in_body("unknown-name", "enable := «leftPlam»;", "did you mean 'leftPalm'?"),
    in_body("unknown-name", "«pump» := stop;", "declare 'pump' first"),
    in_body("unknown-member", "enable := window.«X»;", "IN, PT, Q, ET"),
    in_body("unknown-argument", "window(«INN» := stop, PT := T#1s);", "did you mean 'IN'?"),
    in_body("unknown-function", "strokes := «LIMITT»(0, speed, 9);", "did you mean 'LIMIT'?"),
    in_body("unknown-enumeration-value", "mode := Mode#«Strok»;", "Stroke"),
    in_source(
        "unknown-type",
        source_text(f"{GOOD_BODY} delay();", "delay : «TONN»;"),
        "did you mean 'TON'?",
    ),
    in_declarations("duplicate-name", "«Window» : BOOL;", "rename one"),
    in_source(
        "input-left-assigned",
        f"{CLEARED}FUNCTION_BLOCK Press\nVAR_INPUT leftPalm, rightPalm : BOOL; END_VAR\n"
        "VAR_OUTPUT enable : BOOL; END_VAR\nVAR guard : Cleared; END_VAR\n"
        "«guard»();\nenable := leftPalm AND rightPalm;\nEND_FUNCTION_BLOCK\n",
        "go := ...",
    ),
    in_body("not-assignable", "«window.Q» := TRUE;", "only inputs"),
    in_source("recursive-instance", SELF, "variables"),
    in_source("several-blocks", TWO_BLOCKS, "BLOCK First;"),
    Case(
        "unknown-block",
        "did you mean 'Press'?",
        {
            SPEC: spec_text("BLOCK «Pres»;"),
            SOURCE: "FUNCTION_BLOCK Press\nVAR_OUTPUT enable : BOOL; END_VAR\nEND_FUNCTION_BLOCK\n",
        },
    ),
    Case(
        "no-block",
        "FUNCTION_BLOCK",
        {
            SPEC: spec_text("SOURCE «'press.st'»;", "SOURCE"),
            SOURCE: "TYPE Mode : (Idle, Stroke); END_TYPE\n",
        },
    ),
]

TYPES = [
    in_body("type-mismatch", "enable := «speed»;", "compare it"),
    in_body("condition-not-boolean", "IF «speed» THEN enable := TRUE; END_IF", "compare"),
    in_body("type-mismatch", "strokes := «count»;", "UINT_TO_INT"),
    in_body("type-mismatch", "pause := «5»;", "T#"),
    in_body("operator-types", "strokes := «speed + stop»;", "leave the BOOL out"),
    in_body("operator-types", "enable := «speed AND stop»;", "compare"),
    in_body("value-out-of-range", "strokes := «40000»;", "32767"),
    in_body("division-by-zero", "strokes := «9 / 0»;", "another number"),
    in_body("argument-count", "strokes := «ABS(speed, 1)»;", "inputs are IN"),
    in_body("argument-count", "«window(stop)»;", "IN, PT"),
    in_declarations("type-mismatch", "lamp : BOOL := «T#1s»;", "compare it"),
    in_body("clock-reading", "pause := «TIME()» + T#2s;", "TIME() - started >= T#480ms"),
    in_body("clock-reading", "pause := TIME();\nenable := «pause» > T#2s;", "in differences"),
    in_body("clock-reading", "pause := TIME();\npause := «T#0s»;", "variables of their own"),
    in_body("clock-reading", "pause := TIME() - «window.ET»;", "in differences"),
    in_body("argument-count", "pause := «TIME(stop)»;", "write TIME()"),
    in_declarations("clock-reading", "began : TIME := «TIME()»;", "difference of two readings"),
    _with_clock("clock-reading", "PROPERTY late : «pause» > T#2s;", "difference of two readings"),
    _with_clock("clock-reading", "OUTSIDE «pause»;", "remove it"),
    Case(
        "retained-clock",
        "declare it in VAR",
        {
            SPEC: spec_text("POWER CYCLES;"),
            SOURCE: source_text(CLOCK, "END_VAR VAR RETAIN «began» : TIME;"),
        },
    ),
    Case(
        "retained-clock",
        "with a timer",
        {
            SPEC: spec_text("BLOCK Press; POWER CYCLES; PLANT rod : Rod (go := enable);"),
            SOURCE: source_text() + ROD,
        },
    ),
]
