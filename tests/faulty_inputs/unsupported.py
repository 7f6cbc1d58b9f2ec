"""Constructs that the checker does not read, each refused by its name."""

from __future__ import annotations

from faulty_inputs.case import in_body, in_declarations, in_source

UNSUPPORTED = [
    in_declarations("unsupported-real", "level : «REAL»;", "integer", "floating-point"),
    in_body("unsupported-real", "strokes := «1.5»;", "integer", "floating-point"),
    in_declarations("unsupported-string", "text : «STRING»;", "enumeration", "strings"),
    in_declarations("unsupported-array", "list : «ARRAY»[0..3] OF INT;", "each element", "arrays"),
    in_declarations("unsupported-date", "day : «DATE»;", "TIME", "dates"),
    in_declarations("unsupported-pointer", "p : «POINTER» TO INT;", "VAR_IN_OUT", "pointers"),
    in_declarations("unsupported-address", "lamp «AT» %QX0.1 : BOOL;", "VAR_OUTPUT", "addresses"),
    in_declarations("unsupported-subrange", "n : INT «(»0..9);", "plain type", "subrange"),
    in_body("unsupported-address", "enable := «%IX0.1»;", "VAR_INPUT", "addresses"),
    in_body("unsupported-bit-access", "enable := flags.«3»;", "mask", "single bits"),
    in_body("unsupported-jump", "«JMP» away;", "IF", "jumps"),
    in_body("unsupported-set-assignment", "enable «S»= stop;", "SR", "set and reset"),
    in_body("unsupported-pragma", "«{attribute 'no_copy'}» enable := stop;", "remove it", "pragma"),
    in_body("unsupported-method", "«METHOD» Go : BOOL", "FUNCTION", "methods"),
    in_source(
        "unsupported-structure",
        "TYPE Axis : «STRUCT» speed : INT; END_STRUCT; END_TYPE\n",
        "each member",
        "structures",
    ),
    in_source(
        "unsupported-object",
        "FUNCTION_BLOCK Press «EXTENDS» Base\nEND_FUNCTION_BLOCK\n",
        "plain FUNCTION_BLOCK",
        "object orientation",
    ),
    in_source(
        "unsupported-global",
        "«VAR_GLOBAL» lamp : BOOL; END_VAR\n",
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
