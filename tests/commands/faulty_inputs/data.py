"""Wrong types, initial values, indices, addresses and shared variables."""

from __future__ import annotations

from tests.commands.faulty_inputs.case import (
    BLOCK,
    GOOD_BODY,
    SOURCE,
    SPEC,
    Case,
    in_declarations,
    spec_text,
)

LIST = "list : ARRAY [1..3] OF INT;"


def with_list(code: str, body: str, help_text: str, message: str = "") -> Case:
    text = BLOCK.format(
        body=body, declarations=f"{LIST} rpm : REAL; pair : STRUCT on : BOOL; END_STRUCT;"
    )
    return Case(code, help_text, {SPEC: spec_text(), SOURCE: text}, message)


def before_block(code: str, text: str, body: str, help_text: str, message: str = "") -> Case:
    whole = text + BLOCK.format(body=f"{GOOD_BODY} {body}", declarations="")
    files: dict[str, str | bytes] = {SPEC: spec_text("BLOCK Press;"), SOURCE: whole}
    return Case(code, help_text, files, message)


BAND = "VAR_INPUT level : REAL; END_VAR {} enable := leftPalm AND rightPalm AND {};"


def with_real(
    code: str,
    declared: str,
    comparison: str,
    help_text: str,
    message: str = "",
    more: str = "",
) -> Case:
    """``level`` is an input of REAL; the spec has ``more``."""
    text = BLOCK.format(body="", declarations="").replace(
        "END_FUNCTION_BLOCK", f"{BAND.format(declared, comparison)}\nEND_FUNCTION_BLOCK"
    )
    return Case(code, help_text, {SPEC: spec_text(more), SOURCE: text}, message)


DATA = [
    with_real(
        "real-constants-alike", "", "level > 0.1 AND «level < 0.100000001»", "further apart", "0.1"
    ),
    with_real(
        "real-constants-alike",
        "VAR CONSTANT TOP : REAL := 0.3; END_VAR",
        "level > TOP AND «level < 0.3»",
        "one of them",
        "round",
    ),
    with_real(
        "real-constant-rounded", "", "level >= 0.1 AND «level <= 0.1»", "REAL#0.1", "no REAL is"
    ),
    with_real("real-constant-rounded", "", "«level <> -0.1»", "REAL#-0.1", "platform rounds"),
    with_real("value-out-of-range", "", "level > «1.0E39»", "both sides", "too large"),
    with_real("unsupported-real", "", "level < 6.5", "BOOL", "'level'", "ASSUME «level» = 2;"),
    with_list("unsupported-real", "list[1] := «rpm * 2.0»;", "INT in tenths", "REAL"),
    with_list(
        "real-in-loop",
        "WHILE «rpm < 0.5» DO ; END_WHILE",
        "before the loop",
        "loop",
    ),
    in_declarations("initial-value-needed", "«level» : INT (3..9);", ":= value", "INT (3..9)"),
    in_declarations("wrong-initial-value", "n : INT := «[1, 2]»;", "name : TYPE", "list"),
    in_declarations("wrong-initial-value", f"{LIST[:-1]} := «5»;", "[1, 2, 3(0)]", "list"),
    in_declarations("wrong-initial-value", f"{LIST[:-1]} := [«4(1)»];", "less", "more values"),
    in_declarations("empty-range", "l : ARRAY [«3..1»] OF INT;", "1..3", "empty"),
    in_declarations("array-too-large", "l : «ARRAY [1..200, 1..200] OF INT»;", "needs", "10000"),
    in_declarations("type-mismatch", "x : «TIME» (T#1s..T#2s);", "INT (0..10)", "subrange"),
    in_declarations("misplaced-address", "x, y AT «%IX0.0» : BOOL;", "of its own", "one address"),
    with_list("index-out-of-range", "strokes := list[«4»];", "1 to 3", "no element 4"),
    with_list("index-count", "strokes := list«[1, 2]»;", "dimensions", "1 index,"),
    with_list("type-mismatch", "strokes := list[«stop»];", "convert", "an index is an integer"),
    with_list("structure-as-value", "strokes := «list»;", "an element", "an array"),
    with_list("structure-as-value", "enable := «pair»;", "a member", "a structure"),
    with_list("type-mismatch", "list := «1»;", "a variable of that type", "ARRAY [1..3]"),
    with_list("unknown-member", "enable := pair.«off»;", "on", "'off'"),
    with_list("no-members", "enable := strokes.«on»;", "structures", "'strokes'"),
    before_block(
        "shared-instance",
        "VAR_GLOBAL «t» : TON; END_VAR\n",
        "enable := t.Q;",
        "instance of the block's own",
        "not called by the block",
    ),
    before_block(
        "unknown-name",
        "VAR_GLOBAL lamp : BOOL; END_VAR\n",
        "enable := press.«lump»;",
        "lamp",
        "the list 'press'",
    ),
    before_block(
        "effect-in-index",
        "VAR_GLOBAL l : ARRAY [0..9] OF INT; END_VAR\n"
        "FUNCTION Up : INT VAR_IN_OUT n : INT; END_VAR n := n + 1; Up := n; END_FUNCTION\n",
        "«l[strokes]» := Up(strokes);",
        "a statement of its own",
        "index",
    ),
]
