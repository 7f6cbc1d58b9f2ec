"""Texts that are no structured text of a block: graphical bodies, instruction lists, members and
statements without their block, names in another spelling."""

from __future__ import annotations

import re

from twohand.syntax.lexing.keywords import REFUSED
from twohand.syntax.recovery.stop import MEMBERS, STATEMENT_STARTS, SyntaxPlace
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_text import Span

_GRAPHICAL = re.compile(r"_?(?:LD|FBD|SFC|IL|CFC|LADDER)_BODY|_?(?:END_)?NETWORKS?|_?LADDER", re.I)
_OPERATORS = "LD LDN ST STN ANDN ORN XORN JMPC JMPCN CAL CALC CALCN RETC RETCN"
_INSTRUCTIONS = frozenset(_OPERATORS.split())
_UNIT = re.compile(r"\b(?:FUNCTION_BLOCK|FUNCTION|PROGRAM|TYPE|INTERFACE|CONFIGURATION)\b", re.I)
_ARGUMENTS = re.compile(r":\s*(?P<name>[^\W\d][\w.]*)\s*\([^():;]*\Z")
_SECTION = re.compile(r"\b(?:END_)?(?:VAR|STRUCT)(?:_\w+)?\b", re.I)
_STATEMENT = re.compile(r":=|\)\s*;|\bEND_(?:IF|CASE|FOR|WHILE)\b", re.I)


def graphical_body(place: SyntaxPlace) -> Diagnostic | None:
    """A ladder, function block diagram or the like as text; XML in a place of text."""
    if place.word == "<" and not place.text[: place.span.start].strip():
        message = "this is XML, and no structured text"
        way = "name it in SOURCE as a file of its own: exchange files of IEC 61131-10 are read"
        return place.problem("unsupported-exchange-format", message, way)
    for span in (place.span, place.before):
        if _GRAPHICAL.fullmatch(span.text):
            message = f"the checker does not read graphical bodies ({span.text})"
            way = "save the block as structured text"
            return place.problem("unsupported-graphical", message, way, span)
    return None


def instruction_list(place: SyntaxPlace) -> Diagnostic | None:
    """``LD a``, ``ST b``: one operator and one operand a line."""
    before = place.before
    operand = place.type in ("IDENTIFIER", "NUMBER", "TYPED", "DIRECT", "TRUE", "FALSE")
    if before.text.upper() not in _INSTRUCTIONS or not operand:
        return None
    if place.span.line != before.line:
        return None
    message = f"the checker does not read instruction lists ({before.text})"
    way = "write the body as structured text, for instance b := a;"
    return place.problem("unsupported-instruction-list", message, way, before)


def chart(place: SyntaxPlace) -> Diagnostic | None:
    """A step or transition of a sequential function chart; both words are names elsewhere."""
    if place.before.text.upper() not in ("STEP", "TRANSITION") or place.type != "IDENTIFIER":
        return None
    refusal = REFUSED["INITIAL_STEP"]
    what = refusal.what.format(word=place.before.text)
    message = f"the checker does not read {what}"
    return place.problem(refusal.code, message, refusal.way, place.before)


def misplaced(place: SyntaxPlace) -> Diagnostic | None:
    """EXTENDS or IMPLEMENTS that is not in the head of a block, VAR_GLOBAL in a block."""
    if place.type in ("EXTENDS", "IMPLEMENTS"):
        way = f"write it right behind the block's name: FUNCTION_BLOCK Name {place.type} Base"
        return place.problem("misplaced-header", f"{place.type} does not belong here", way)
    if place.type == "VAR_GLOBAL" and place.open_tokens():
        message = "VAR_GLOBAL does not belong in a block"
        return place.problem("misplaced-section", message, "put it outside, and VAR_EXTERNAL here")
    return None


def quoted_name(place: SyntaxPlace) -> Diagnostic | None:
    """``"name"`` where a name is, or with a member behind it."""
    span = place.span
    if place.type == "_DOT" and place.before.text.endswith('"'):
        span = place.before
    elif place.type != "STRING" or not place.word.startswith('"'):
        return None
    message = f"the checker does not read names in quotes ({span.text})"
    return place.problem("unsupported-quoted-name", message, "write the name without quotes", span)


def lone_owner(place: SyntaxPlace) -> Diagnostic | None:
    """THIS or SUPER as a value: a pointer."""
    for span in (place.span, place.before):
        if span.text.upper() in ("THIS", "SUPER") and place.type != "ASSIGN":
            message = f"the checker does not read {span.text} by itself, which is a pointer"
            way = f"name a member, for instance {span.text}^.x"
            return place.problem("unsupported-pointer", message, way, span)
    return None


def without_block(place: SyntaxPlace) -> Diagnostic | None:
    """Statements, or a method, property or action, that are outside of any block."""
    if place.open_tokens():
        return None
    if place.type in MEMBERS:
        message = f"this {place.type} belongs to no block"
        way = "put it inside its FUNCTION_BLOCK or PROGRAM, behind the statements there"
        return place.problem("member-outside-of-block", message, way)
    first = not place.text[: place.span.start].strip()
    if not first or place.type not in STATEMENT_STARTS:
        return None
    if _UNIT.search(place.text) or not _STATEMENT.search(place.text):
        return None
    return place.problem(
        "declarations-elsewhere",
        "these statements belong to no block; their declarations are elsewhere",
        "give both in one file: FUNCTION_BLOCK Name, VAR ... END_VAR, the statements, "
        "END_FUNCTION_BLOCK; or name the file that begins the block right before this one",
    )


def arguments_of_type(place: SyntaxPlace) -> Diagnostic | None:
    """``pump : Pump(5);``: arguments that are no values of an enumeration and no range."""
    before = place.text[: place.span.start]
    found = _ARGUMENTS.search(before)
    section = list(_SECTION.finditer(before))
    if found is None or not section or section[-1][0].upper().startswith("END"):
        return None
    name = found["name"]
    message = (
        f"the checker does not read arguments behind '{name}', which go to a method that the "
        "platform calls at start"
    )
    way = f"give initial values: {name} := (input := value)"
    span = Span(place.source, found.start("name"), found.end("name"))
    return place.problem("unsupported-initial-method", message, way, span)
