"""Syntax errors: from where the parse stopped to a message of our own."""

from __future__ import annotations

from collections.abc import Callable

from twohand.syntax.lexing.keywords import KEYWORDS, REFUSED, REFUSED_TOKENS, RefusedConstruct
from twohand.syntax.recovery.other_languages import (
    arguments_of_type,
    chart,
    graphical_body,
    instruction_list,
    lone_owner,
    misplaced,
    quoted_name,
    without_block,
)
from twohand.syntax.recovery.stop import (
    CLOSERS,
    MISSPELT,
    SECTIONS,
    STATEMENT_STARTS,
    UNITS,
    SyntaxPlace,
)
from twohand.text.diagnostic import Diagnostic

Rule = Callable[[SyntaxPlace], Diagnostic | None]

_FOREIGN = {
    "==": "a comparison is written with a single =",
    "!=": "write <>",
    "&&": "write AND",
    "||": "write OR",
    "!": "write NOT",
    "=<": "write <=",
    "?": "write SEL(condition, value if FALSE, value if TRUE)",
}
_CALLED = frozenset({"AND", "OR", "XOR", "MOD"})
"""Operators that may also be called like functions."""
_CLOSING = frozenset(CLOSERS.values()) | {"END_REPEAT"}
_UNIT_ENDS = frozenset(CLOSERS[unit] for unit in UNITS)
_BIT_ACCESS = RefusedConstruct(
    "unsupported-bit-access",
    "single bits of a bit string (.{word})",
    "use AND with a mask, for instance (w AND 16#0008) <> 16#0000",
)


def explain(place: SyntaxPlace) -> Diagnostic:
    """The message for a place where the text does not fit."""
    for rule in _RULES:
        diagnostic = rule(place)
        if diagnostic is not None:
            return diagnostic
    return place.problem("syntax", f"{place.shown()} does not fit here", _expectation(place))


def _foreign_operator(place: SyntaxPlace) -> Diagnostic | None:
    if place.type != "FOREIGN":
        return None
    way = _FOREIGN.get(place.word, "write the operation out, for instance x := x + 1;")
    return place.problem("foreign-operator", f"'{place.word}' is no operator", way)


def _misspelt(place: SyntaxPlace) -> Diagnostic | None:
    for span in (place.span, place.before):
        right = MISSPELT.get(span.text.upper())
        if right is not None:
            message = f"'{span.text}' is no word of structured text"
            return place.problem("misspelt-keyword", message, f"write {right}", span)
    return None


def _keyword_as_name(place: SyntaxPlace) -> Diagnostic | None:
    """A keyword where a name is, as the text around it shows."""
    span, before = place.span, place.before
    is_word = place.word.upper() in KEYWORDS or place.word.upper() in REFUSED
    if before.text.upper() in KEYWORDS and place.type in ("ASSIGN", "_DOT"):
        span = before
    elif not (
        is_word
        and before.text != ":"
        and place.accepts("IDENTIFIER")
        and place.followed_by(r":=|:(?!=)|,|=>")
    ):
        return None
    message = f"'{span.text}' is a keyword and cannot be a name"
    way = f"choose another name, for instance {span.text}1"
    return place.problem("keyword-as-name", message, way, span)


def _refused(place: SyntaxPlace) -> Diagnostic | None:
    """What is outside the language read, by its name."""
    refusal = REFUSED.get(place.word.upper()) if place.type == "REFUSED" else None
    refusal = refusal or REFUSED_TOKENS.get(place.type)
    if place.before.text == "." and place.type in ("NUMBER", "DIRECT"):
        refusal = _BIT_ACCESS
    if refusal is None:
        return None
    what = refusal.what.format(word=place.word)
    return place.problem(refusal.code, f"the checker does not read {what}", refusal.way)


def _colon(place: SyntaxPlace) -> Diagnostic | None:
    if place.type != "_COLON":
        return None
    if place.followed_by("="):
        return place.problem("split-assignment", "':' and '=' are apart", "write := in one")
    if place.before.text.upper() == "ELSE":
        return place.problem("stray-colon", "ELSE has no colon", "remove it")
    if place.accepts("ASSIGN", "_LPAR"):
        refusal = REFUSED["JMP"]
        what = refusal.what.format(word="a label")
        message = f"the checker does not read {what}"
        return place.problem(refusal.code, message, refusal.way, place.before)
    return None


def _between(place: SyntaxPlace) -> Diagnostic | None:
    """A sign missing between two things that do not follow one another."""
    if place.accepts("_COLON", "RANGE"):
        return place.problem(
            "missing-colon", "a colon is missing after the label", "write : here", place.gap
        )
    if place.accepts("_COMMA", "_RPAR") and place.type in ("IDENTIFIER", "NUMBER", "TYPED"):
        return place.problem(
            "missing-comma", "a comma or an operator is missing", "write it here", place.gap
        )
    return None


def _no_statement(place: SyntaxPlace) -> Diagnostic | None:
    if place.accepts("ASSIGN", "_LPAR"):
        message = f"'{place.before.text}' alone is no statement"
        way = "assign with :=, call with (), or make it a comment"
        return place.problem("not-a-statement", message, way, place.before)
    if place.accepts("IF", "IDENTIFIER") and place.type not in _CLOSING | {"ELSE", "ELSIF"}:
        if place.at_end or place.type in SECTIONS | UNITS | {"TYPE"}:
            return None
        way = "a statement begins with a name or a keyword such as IF"
        return place.problem("not-a-statement", f"{place.shown()} begins no statement", way)
    return None


def _assignment(place: SyntaxPlace) -> Diagnostic | None:
    if place.type == "EQUAL" and place.accepts("ASSIGN"):
        return place.problem("equals-for-assignment", "'=' compares", "write := to assign")
    if place.type != "ASSIGN":
        return None
    opened = place.open_tokens()
    if opened and opened[-1].type in SECTIONS and place.accepts("_COLON"):
        message = f"'{place.before.text}' has no type"
        way = "write name : TYPE := value; or close the declarations with END_VAR before statements"
        return place.problem("missing-type", message, way, place.before)
    if place.accepts("EQUAL"):
        return place.problem("assignment-in-expression", "':=' assigns", "write = to compare")
    return None


def _parenthesis(place: SyntaxPlace) -> Diagnostic | None:
    opened = place.open_tokens()
    inside = bool(opened) and opened[-1].type == "_LPAR"
    if place.type == "_RPAR" and not inside:
        return place.problem(
            "unmatched-parenthesis", "this parenthesis closes nothing", "remove it or open one"
        )
    if not inside or not place.accepts("_RPAR") or place.type in ("NUMBER", "TYPED"):
        return None
    if place.type == "IDENTIFIER" and place.span.line == place.before.line:
        return None
    return place.problem(
        "missing-parenthesis",
        "a parenthesis is not closed",
        "write ) here",
        place.gap,
        ((place.span_of(opened[-1]), "opened here"),),
    )


def _missing_name(place: SyntaxPlace) -> Diagnostic | None:
    word = place.before.text.upper()
    if word not in UNITS or not place.accepts("IDENTIFIER"):
        return None
    return place.problem(
        "missing-name", f"this {word} has no name", f"write {word} and its name", place.before
    )


def _operand(place: SyntaxPlace) -> Diagnostic | None:
    if place.before.text.upper() in _CALLED and not place.accepts("IDENTIFIER"):
        message = f"an expression is missing before '{place.before.text}'"
        way = "write a name, a literal or a parenthesis"
        return place.problem("missing-expression", message, way, place.before)
    if not place.accepts("IDENTIFIER", "NUMBER", "_LPAR"):
        return None
    if place.before.text.upper() == "IF" and place.type == "THEN":
        return place.problem("missing-expression", "IF has no condition", "write one before THEN")
    message = f"an expression is missing before {place.shown()}"
    return place.problem("missing-expression", message, "write a name, a literal or a parenthesis")


def _semicolon(place: SyntaxPlace) -> Diagnostic | None:
    if not place.accepts("_SEMICOLON") or place.accepts("IF") or place.accepts("END_REPEAT"):
        return None  # none is needed here, although one may be here
    if place.accepts("SET_ASSIGN"):
        return None  # behind a name that begins a statement
    if place.type in ("_COMMA", "_COLON", "_DOT"):
        return place.problem(
            "wrong-separator", f"'{place.word}' occurs where ';' is needed", "write ;"
        )
    starts = STATEMENT_STARTS | SECTIONS | UNITS | _CLOSING | {"ELSE", "ELSIF", "_LPAR", "TYPE"}
    opened = place.open_tokens()
    in_type = bool(opened) and opened[-1].type in SECTIONS | {"TYPE"}
    if place.type == "_LPAR" and in_type:
        return place.problem(
            "unsupported-subrange",
            "a type with something in parentheses (a subrange, or values before a base type) "
            "is not read",
            "use the plain type; initial pin values are written := (PT := T#1s)",
        )
    if place.type in starts or place.at_end:
        return place.problem("missing-semicolon", "a semicolon is missing", "write ; here",
                             place.gap)  # fmt: skip
    return None


def _keyword_missing(place: SyntaxPlace) -> Diagnostic | None:
    for keyword, after in (("THEN", "the condition"), ("DO", "the head of the loop"),
                           ("OF", "the selector"), ("TO", "the first value")):  # fmt: skip
        if place.accepts(keyword):
            message = f"{keyword} is missing after {after}"
            return place.problem("missing-keyword", message, f"write {keyword} here", place.gap)
    return None


def _wrong_end(place: SyntaxPlace) -> Diagnostic | None:
    """An end of what was not begun."""
    opened = [token for token in place.open_tokens() if token.type in CLOSERS]
    kinds = [token.type for token in opened]
    awaited = [CLOSERS[kind] for kind in kinds]
    if place.type in ("ELSE", "ELSIF") and not {"IF", "CASE"} & set(kinds):
        return place.problem(
            "stray-else", f"{place.word.upper()} belongs to no IF", "remove it, or write its IF"
        )
    if place.type not in _CLOSING or (place.type in awaited and not _closes_less(place, kinds)):
        return None
    if not opened or (kinds[-1] in UNITS and place.type not in _UNIT_ENDS):
        message = f"{place.word.upper()} ends nothing here"
        return place.problem("stray-end", message, "remove it, or write what it ends")
    message = f"{place.word.upper()} occurs where {awaited[-1]} is needed"
    way = f"write {awaited[-1]}"
    return place.problem(
        "wrong-end", message, way, related=((place.span_of(opened[-1]), f"for this {kinds[-1]}"),)
    )


def _closes_less(place: SyntaxPlace, opened: list[str]) -> bool:
    """Whether the end of an outer statement is rather a wrong end of the innermost: the rest of
    the unit shows, since each statement has its end."""
    if place.type in _UNIT_ENDS or opened[-1] in SECTIONS | UNITS | {"TYPE"}:
        return False
    if CLOSERS[opened[-1]] == place.type:
        return False
    return place.wrong_ends(opened[:-1], 1) < place.wrong_ends(opened[:-1], 0)


def _missing_end(place: SyntaxPlace) -> Diagnostic | None:
    """Something that is begun and not ended."""
    opened = [token for token in place.open_tokens() if token.type in CLOSERS]
    if not opened or not place.accepts(CLOSERS[opened[-1].type]):
        return None
    first = opened[-1]
    ends = place.at_end or place.type in _CLOSING | UNITS | {"TYPE", "ELSE", "ELSIF"}
    if not ends and not (first.type in SECTIONS and _begins_body(place)):
        return None
    end = CLOSERS[first.type]
    way = f"write {end} before {place.shown()}"
    if first.type == "IF":
        way += "; ELSE IF begins a second IF, ELSIF does not"
    return place.problem(
        "missing-end",
        f"{end} is missing",
        way,
        place.gap if place.at_end else place.span,
        ((place.span_of(first), f"for this {first.upper()}"),),
    )


def _begins_body(place: SyntaxPlace) -> bool:
    return place.type in STATEMENT_STARTS | SECTIONS and place.type != "IDENTIFIER"


def _section(place: SyntaxPlace) -> Diagnostic | None:
    opened = place.open_tokens()
    if not opened:
        if place.type in SECTIONS:
            way = "put them inside FUNCTION_BLOCK ... END_FUNCTION_BLOCK"
            return place.problem("outside-of-block", "these declarations belong to no block", way)
        return place.problem(
            "outside-of-block", f"{place.shown()} is outside of any block",
            "SOURCE names files of structured text, no specs" if place.word.upper() == "SPEC" else
            "a file has FUNCTION_BLOCK, FUNCTION, PROGRAM and TYPE; text belongs in comments",
        )  # fmt: skip
    if place.type in SECTIONS and opened[-1].type not in SECTIONS:
        message = "declarations must come before statements"
        return place.problem("late-declarations", message, "move them before the first statement")
    if opened[-1].type in SECTIONS and place.accepts("_COLON"):
        return place.problem(
            "missing-type", f"'{place.before.text}' has no type", "write name : TYPE;", place.before
        )
    return None


def _expectation(place: SyntaxPlace) -> str:
    readable = {
        "IDENTIFIER": "a name",
        "ASSIGN": ":=",
        "_SEMICOLON": ";",
        "_COLON": ":",
        "_COMMA": ",",
        "_RPAR": ")",
        "_LPAR": "(",
        "RANGE": "..",
        "LBRACKET": "[",
        "RBRACKET": "]",
        "DIRECT": "an address such as %IX0.0",
        "END_REPEAT": "END_REPEAT",
    }
    wanted = [text for terminal, text in readable.items() if place.accepts(terminal)]
    return f"expected here: {' or '.join(wanted)}" if wanted else "remove it"


_RULES: tuple[Rule, ...] = (
    _foreign_operator, _misspelt, graphical_body, chart, misplaced, instruction_list,
    quoted_name, lone_owner, without_block, arguments_of_type, _keyword_as_name,
    _missing_name, _refused, _colon, _assignment, _operand,
    _parenthesis, _between, _semicolon, _keyword_missing, _no_statement, _wrong_end,
    _missing_end, _section,
)  # fmt: skip
