"""Structured text that does not parse."""

from __future__ import annotations

from tests.commands.faulty_inputs.case import in_body, in_declarations, in_source

SYNTAX = [
    in_body("equals-for-assignment", "enable «=» leftPalm;", "write :="),
    in_body("missing-semicolon", "enable := leftPalm«\n»    strokes := 1;", "write ; here"),
    in_body("missing-keyword", "IF stop« »enable := FALSE; END_IF", "write THEN here"),
    in_body(
        "missing-end",
        "FOR count := 1 TO 3 DO IF stop THEN strokes := 1; «END_FOR»",
        "END_IF before",
    ),
    in_body("wrong-end", "IF stop THEN enable := FALSE; «END_WHILE»", "write END_IF"),
    in_body("stray-else", "enable := stop; «ELSE» enable := FALSE;", "write its IF"),
    in_body("missing-parenthesis", "strokes := (speed + 1«;»", "write ) here"),
    in_body("unmatched-parenthesis", "strokes := speed + 1«)»;", "remove it"),
    in_body("missing-expression", "strokes := speed + «;»", "a name, a literal"),
    in_body("foreign-operator", "enable := leftPalm «&&» rightPalm;", "write AND"),
    in_body("foreign-operator", "enable := «!»stop;", "write NOT"),
    in_body("foreign-operator", "IF speed «==» 1 THEN enable := TRUE; END_IF", "single ="),
    in_body("misspelt-keyword", "IF stop THEN enable := FALSE; «ENDIF»", "write END_IF"),
    in_body("unterminated-comment", "«(*» (* inner *) enable := stop;", "as comments nest"),
    in_body("stray-comment-end", "enable := stop; «*)»", "open the comment"),
    in_body("unterminated-string", "enable := «'»stop;", "close it with '"),
    in_body("unterminated-pragma", "«{»attribute enable := stop;", "close it with }"),
    in_body("unknown-character", "enable := leftPalm «§» stop;", "remove it"),
    in_body("malformed-name", "«pаrt» := 2;", "looks like"),
    in_body("malformed-duration", "pause := «T#5x»;", "T#"),
    in_body("malformed-number", "strokes := «12ab»;", "12"),
    in_body("not-a-statement", "«stop»;", "call with ()"),
    in_body("split-assignment", "enable «:» = stop;", "write := in one"),
    in_declarations("keyword-as-name", "«Until» : BOOL;", "choose another name"),
    in_declarations("missing-type", "«lamp»;", "name : TYPE"),
    in_source("declarations-elsewhere", "«enable» := leftPalm;\n", "FUNCTION_BLOCK"),
    in_source("outside-of-block", "«enable» is the output.\n", "FUNCTION_BLOCK"),
]
