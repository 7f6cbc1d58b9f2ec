"""Constructs that the checker does not read, each refused by its name."""

from __future__ import annotations

from faulty_inputs.case import in_body, in_declarations, in_source

UNSUPPORTED = [
    in_body("unsupported-real", "enable := «SQRT(strokes) > 1.5»;", "integer", "floating-point"),
    in_body("unsupported-real", "strokes := «1.5»;", "integer", "floating-point"),
    in_body("unsupported-string", "strokes := «LEN('abc')»;", "enumeration", "strings"),
    in_declarations(
        "unsupported-array",
        "list : «ARRAY [0..1, 0..1, 0..1, 0..1] OF INT»;",
        "array of arrays",
        "dimensions",
    ),
    in_body("unsupported-date", "strokes := «D#2026-01-01»;", "TIME", "dates"),
    in_declarations("unsupported-pointer", "p : «POINTER» TO INT;", "VAR_IN_OUT", "pointers"),
    in_declarations(
        "overlapping-addresses",
        "lamp AT %QW1 : WORD; horn AT «%QX1.1» : BOOL;",
        "address of its own",
        "overlaps",
    ),
    in_declarations("malformed-address", "lamp AT «%Q1X2» : BOOL;", "%QW4", "address"),
    in_body("unsupported-address", "enable := «%IX0.1»;", "AT %QX0.0", "addresses"),
    in_body("unsupported-bit-access", "strokes := strokes«.%B1»;", "SHR", "bits"),
    in_body("index-out-of-range", "enable := strokes«.16»;", "0 to 15", "no bit"),
    in_body("unsupported-jump", "«JMP» away;", "IF", "jumps"),
    in_body("unsupported-set-assignment", "enable «S»= stop;", "SR", "set and reset"),
    in_body("unsupported-pragma", "«{attribute 'no_copy'}» enable := stop;", "remove it", "pragma"),
    in_body("unsupported-method", "«METHOD» Go : BOOL", "FUNCTION", "methods"),
    in_source(
        "unsupported-union",
        "TYPE Mixed : «UNION» speed : INT; END_UNION; END_TYPE\n",
        "structure",
        "unions",
    ),
    in_source(
        "recursive-type",
        "TYPE Axis : STRUCT next : «Axis»; END_STRUCT; END_TYPE\n",
        "elementary",
        "by itself",
    ),
    in_source(
        "unsupported-object",
        "FUNCTION_BLOCK Press «EXTENDS» Base\nEND_FUNCTION_BLOCK\n",
        "plain FUNCTION_BLOCK",
        "object orientation",
    ),
    in_source(
        "unsupported-global",
        "«VAR_CONFIG» lamp : BOOL; END_VAR\n",
        "VAR_OUTPUT",
        "resource",
    ),
    in_source(
        "unsupported-edge-input",
        "FUNCTION_BLOCK Press VAR_INPUT start : BOOL «R_EDGE»; END_VAR END_FUNCTION_BLOCK\n",
        "R_TRIG",
        "edge",
    ),
]
