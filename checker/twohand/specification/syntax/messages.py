"""What is said where the parser of the spec language cannot go on."""

from __future__ import annotations

from collections.abc import Mapping

from lark import Token

from twohand.specification.phrases import listing
from twohand.specification.syntax.build_formulas import UNBOUNDED, unbounded
from twohand.specification.syntax.slips import slip, statement_slip
from twohand.specification.syntax.words import STATEMENTS, TERMINALS, TOP_LEVEL
from twohand.syntax.lexing.keywords import REFUSED_TOKENS
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_text import Span
from twohand.text.suggestions import nearest

_OPERAND = {"IDENTIFIER", "NUMBER", "TYPED", "_LPAR"}
_OPERATORS = {"AND", "OR", "XOR", "PLUS", "STAR"}
_SIGNS = {
    "_SEMICOLON": "';'",
    "_COLON": "':'",
    "_COMMA": "','",
    "_LPAR": "'('",
    "_RPAR": "')'",
    "_DOT": "'.'",
    "ASSIGN": "':='",
    "EQUAL": "'='",
    "RANGE": "'..'",
    "IDENTIFIER": "a name",
    "NUMBER": "a whole number",
    "TYPED": "a time such as T#10ms",
    "STRING": "a file name in quotes",
    "TRUE": "TRUE",
    "FALSE": "FALSE",
    "_IMPLIES": "'->'",
}


def missing_semicolon(span: Span) -> Diagnostic:
    """The statement that ends with ``span`` has no semicolon."""
    help_text = "end each statement with ';'"
    return Diagnostic("missing-semicolon", "a ';' is missing after this", span, help_text)


def unknown_statement(token: Token, span: Span) -> Diagnostic:
    """No statement begins so."""
    close = nearest(str(token), STATEMENTS)
    near = f"did you mean '{close}'?" if close else "statements begin with a word like HAND"
    help_text = statement_slip(token) or near
    return Diagnostic("unknown-statement", f"no statement begins with '{token}'", span, help_text)


def explain(
    token: Token,
    span: Span,
    accepted: set[str],
    before: tuple[Token, Span] | None,
    terminals: Mapping[str, str] = TERMINALS,
) -> Diagnostic:
    """Why ``token``, after the token ``before``, does not fit where ``accepted`` would;
    ``terminals`` are those of the words of the language."""
    key = token.upper()
    if key in UNBOUNDED:
        return Diagnostic(*unbounded(key, span))
    if before is not None and before[0].upper() in UNBOUNDED:
        return Diagnostic(*unbounded(before[0].upper(), before[1]))
    if before is not None and before[0].upper() in {"ALWAYS", "NEVER"}:
        return _not_at_the_top(*before)
    if before is not None and key == "LOGIC" and accepted >= {"_COLON", "_LPAR", "_SEMICOLON"}:
        message = f"there is no requirement '{before[0]}' with LOGIC"
        way = "write REQUIRE TWO_HAND LOGIC TYPE"
        return Diagnostic("unknown-requirement", message, before[1], way)
    if terminals is TERMINALS and key in TOP_LEVEL and f"_{key}" not in accepted:
        return _not_at_the_top(token, span)
    slipped = slip(token, span, accepted, before)
    if slipped is not None:
        return slipped
    if token.type in REFUSED_TOKENS and "STRING" not in accepted and token.type != "STRING":
        refusal = REFUSED_TOKENS[token.type]
        what = refusal.what.format(word=str(token))
        return Diagnostic(refusal.code, f"{what} are not read", span, refusal.way)
    message = f"'{token}' does not fit here"
    if token.type == "_SEMICOLON":
        message = "the statement ends too early"
    words = {terminal: word for word, terminal in terminals.items()}
    return Diagnostic("unexpected-text", message, span, _expected(accepted, key, words))


def _not_at_the_top(token: Token, span: Span) -> Diagnostic:
    message = f"'{token.upper()}' may occur only at the top of a PROPERTY"
    way = "give this part a PROPERTY of its own, or use once, held, since"
    if token.upper() == "FOR":
        way = "that p was TRUE for so long is held(p, T#300ms)"
    return Diagnostic("not-at-the-top", message, span, way)


def _expected(accepted: set[str], found: str, known: Mapping[str, str]) -> str:
    """What would fit, in words; at most four things."""
    words: list[str] = []
    left = set(accepted)
    if left >= _OPERAND:
        words.append("an expression")
        left -= {"FIRST_SCAN", "ANY_SCAN", "NOT", "MINUS", "PLUS", "AND", "OR", "XOR", "MOD"}
        left -= {"TRUE", "FALSE"}
        left -= _OPERAND
    elif left >= _OPERATORS:
        words.append("an operator")
        left -= {"_IMPLIES", "_SINCE", "_DOT", "_LPAR", "EQUAL"}
    words += sorted(known[terminal] for terminal in left if terminal in known)
    words += sorted(_SIGNS[terminal] for terminal in left if terminal in _SIGNS)
    close = nearest(found, (word for word in words if word.isupper()))
    if close is not None:
        return f"did you mean '{close}'?"
    if not words:
        return ""
    return f"expected {listing(words[:4], 'or')}"
