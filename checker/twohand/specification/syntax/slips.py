"""Slips in a spec: words and signs of other languages, and times without T#, with what is right."""

from __future__ import annotations

import re
from collections.abc import Iterator

from lark import Token

from twohand.text.diagnostic import Diagnostic
from twohand.text.source_text import Span

Placed = tuple[Token, Span]

_TOKENS = {
    "=>": "write '->' for 'then'",
    "==": "a comparison is written with a single =",
    "!=": "write <>",
    "&&": "write AND",
    "||": "write OR",
    "!": "write NOT",
    "IMPLIES": "write '->' for 'then'",
    "HOLDS": "a PROPERTY holds in every scan: write PROPERTY name : formula",
}
"""What never fits in a spec."""
_BEFORE = {
    "IF": "write condition -> consequence, without IF and THEN",
    "HOLDS": "a formula is asked for every scan by itself; leave HOLDS out",
    "GLOBALLY": "write ALWAYS, or nothing: a PROPERTY is asked of every scan",
}
"""Words that pass for a name until the next word follows."""
_WANTED = {
    "_SCANS": ({"CYCLE", "CYCLES", "SCAN", "TICKS"}, "write SCANS"),
    "_WITHIN": ({"IN", "AFTER", "BY"}, "write WITHIN"),
}
"""By what is accepted: the words for which it is taken."""
_STATEMENTS = {
    **dict.fromkeys(
        ("ASSERT", "INVARIANT", "ENSURE", "CHECK", "GUARANTEE", "VERIFY", "ALWAYS", "NEVER"),
        "write PROPERTY name : formula;",
    ),
    **dict.fromkeys(("FILE", "IMPORT", "INCLUDE"), "write SOURCE 'file.st';"),
    **dict.fromkeys(("CYCLE", "PERIOD", "INTERVAL"), "write SCAN T#10ms; or SCAN T#5ms..T#20ms;"),
    **dict.fromkeys(("TYPE", "LOGIC", "TWO_HAND"), "write REQUIRE TWO_HAND LOGIC TYPE III, ...;"),
    **dict.fromkeys(("INPUT", "BUTTON"), "write HAND name = input;"),
    "-": "a comment is written // or (* *)",
}
_TIME = re.compile(r"\d[\d_]*(?:\.\d+)?(?:d|h|m|s|ms|us|ns)", re.IGNORECASE)
_UNITS = {"D", "H", "M", "S", "MS", "US", "NS"}
_TYPES = {"1": "I", "2": "II", "3": "III"}
_OPTIONS = {"WINDOW", "TRUE_LAG", "RELEASE"}
_SIGNS = {"ASSIGN": "':='", "EQUAL": "'='", "_COLON": "':'"}


def statement_slip(token: Token) -> str:
    """What was meant by a word with which no statement begins; '' where that is not known."""
    return _STATEMENTS.get(token.upper(), "")


def slip(token: Token, span: Span, accepted: set[str], before: Placed | None) -> Diagnostic | None:
    """Why a token does not fit, where it is one of the usual slips."""
    place = (token, span)
    for found in (_of_signs, _of_times, _of_types, _of_words):
        for problem in found(place, accepted, before):
            return problem
    return None


def _unfit(text: str, span: Span, way: str) -> Diagnostic:
    return Diagnostic("unexpected-text", f"'{text}' does not fit here", span, way)


def _of_words(place: Placed, accepted: set[str], before: Placed | None) -> Iterator[Diagnostic]:
    token, span = place
    word = token.upper()
    if word in _TOKENS:
        yield _unfit(token, span, _TOKENS[word])
    for wanted, (words, way) in _WANTED.items():
        if wanted in accepted and word in words:
            yield _unfit(token, span, way)
    if before is None:
        return
    if before[0].upper() in _BEFORE:
        yield _unfit(before[0], before[1], _BEFORE[before[0].upper()])
    if token == "->" and before[0] == "<":
        yield _unfit("<->", before[1].through(span), "write '=' for 'exactly when'")


def _of_signs(place: Placed, accepted: set[str], before: Placed | None) -> Iterator[Diagnostic]:
    """One of := = : where another one of them belongs, or none."""
    token, span = place
    if token.type not in _SIGNS or "AND" in accepted:
        return
    wanted = [sign for kind, sign in _SIGNS.items() if kind in accepted]
    if len(wanted) == 1:
        message = f"{_SIGNS[token.type]} should be {wanted[0]} here"
        yield Diagnostic("wrong-sign", message, span, f"write {wanted[0]}")
    elif not wanted and before is not None and accepted & {"TYPED", "TRUE"}:
        yield Diagnostic(
            "wrong-sign", f"no {_SIGNS[token.type]} is needed here", span, "leave it out"
        )


def _of_times(place: Placed, accepted: set[str], before: Placed | None) -> Iterator[Diagnostic]:
    """``300ms``, ``300 ms`` and ``300`` for ``T#300ms``."""
    token, span = place
    if _TIME.fullmatch(token):
        yield _unfit(token, span, f"a time is written T#{token}")
    elif token.isdigit() and "TYPED" in accepted and "NUMBER" not in accepted:
        yield _unfit(
            token, span, f"a time is written with T# and its unit, for instance T#{token}ms"
        )
    if before is None:
        return
    number, place_before = before
    if _TIME.fullmatch(number):
        yield _unfit(number, place_before, f"a time is written T#{number}")
    elif number.isdigit() and token.upper() in _UNITS:
        way = f"a time is written T#{number}{token}"
        yield _unfit(f"{number} {token}", place_before.through(span), way)
    elif number.isdigit() and "_SCANS" in accepted and token.type == "_SEMICOLON":
        yield _unfit(number, place_before, f"write T#{number}ms or {number} SCANS")


def _of_types(place: Placed, accepted: set[str], before: Placed | None) -> Iterator[Diagnostic]:
    """The type of a two-hand control and what belongs to it."""
    token, span = place
    word = token.upper()
    if word == "TYPE" and "_LOGIC" in accepted:
        yield _unfit(token, span, "write TWO_HAND LOGIC TYPE")
    if word in _OPTIONS and "_COMMA" in accepted:
        yield _unfit(token, span, f"write a comma before {word}")
    if before is None:
        return
    last = before[0].upper()
    if last == "TYPE" and token in _TYPES:
        yield _unfit(token, span, f"write TYPE {_TYPES[token]}")
    if last == "TYPE" and word in _TYPES.values():
        yield _unfit(token, span, f"write REQUIRE TWO_HAND LOGIC TYPE {word}")
    if last in _TYPES.values() and word in ("A", "B", "C"):
        yield _unfit(token, span, f"the letter concerns hardware: write ARRANGEMENT {word};")
