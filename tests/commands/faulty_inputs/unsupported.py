"""Constructs that the checker does not read, each refused by its name."""

from __future__ import annotations

from tests.commands.faulty_inputs.case import in_body, in_declarations, in_source

UNSUPPORTED = [
    in_body("unsupported-real", "strokes := «SQRT(strokes)»;", "integer", "floating-point"),
    in_body("unsupported-real", "strokes := «1.5»;", "integer", "floating-point"),
    in_body("unsupported-string", "strokes := «LEN('abc')»;", "enumeration", "strings"),
    in_declarations(
        "unsupported-array",
        "list : «ARRAY [0..1, 0..1, 0..1, 0..1] OF INT»;",
        "array of arrays",
        "dimensions",
    ),
    in_body("unsupported-date", "strokes := «D#2026-01-01»;", "TIME", "dates"),
    in_body("unsupported-pointer", "strokes := strokes«^»;", "VAR_IN_OUT", "pointers"),
    in_declarations(
        "overlapping-addresses",
        "lamp AT %QW1 : WORD; horn AT «%QX1.1» : BOOL;",
        "address of its own",
        "overlaps",
    ),
    in_declarations("malformed-address", "lamp AT «%Q1X2» : BOOL;", "%QW4", "address"),
    in_body("malformed-address", "enable := «%I*»;", "%QW4", "address"),
    in_body("unsupported-bit-access", "strokes := strokes«.%B1»;", "SHR", "bits"),
    in_body("index-out-of-range", "enable := strokes«.16»;", "0 to 15", "no bit"),
    in_body("unsupported-jump", "«JMP» away;", "IF", "jumps"),
    in_body("unsupported-reference", "enable «REF=» stop;", "VAR_IN_OUT", "references"),
    in_body("unsupported-address-of", "enable := «ADR»(stop);", "VAR_IN_OUT", "address"),
    in_body("unsupported-pragma", "«{attribute 'no_init'}» enable := stop;", "remove", "no_init"),
    in_body("unsupported-conditional-compilation", "«{IF x}» enable := stop;", "remove", "compil"),
    in_body("unsupported-quoted-name", '"«enable»" := stop;', "write #enable", "global"),
    in_body("unsupported-quoted-name", '«"en-able"» := stop;', "single blanks", "en-able"),
    in_body("unknown-name", "#«enabled» := stop;", "declare it", "#enabled"),
    in_body("keyword-as-name", "«#if» := stop;", "if1", "without its mark"),
    in_body("unsupported-instruction-list", "«LD» stop", "structured text", "instruction"),
    in_body("unsupported-graphical", "«NETWORK» stop", "structured text", "graphical"),
    in_body("unsupported-pointer", "enable := «THIS»;", "THIS^.x", "THIS"),
    in_body("unsupported-enable", "window(EN := stop, «Q => enable»);", "IF", "enabled"),
    in_source(
        "unsupported-data-block",
        'DATA_BLOCK "D"\nNON_RETAIN\nSTRUCT on : BOOL; END_STRUCT;\n'
        "BEGIN\n«on := TRUE;»\nEND_DATA_BLOCK\n",
        "where they are declared",
    ),
    in_source("member-outside-of-block", "«METHOD» Go : BOOL\nEND_METHOD\n", "FUNCTION_BLOCK"),
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
        "«CLASS» Press\nEND_CLASS\n",
        "FUNCTION_BLOCK",
        "classes",
    ),
    in_source(
        "unsupported-global",
        "«VAR_CONFIG» lamp : BOOL; END_VAR\n",
        "VAR_OUTPUT",
        "resource",
    ),
    in_source(
        "misplaced-edge",
        "FUNCTION_BLOCK Press VAR start : BOOL «R_EDGE»; END_VAR END_FUNCTION_BLOCK\n",
        "R_TRIG",
        "R_EDGE",
    ),
]
