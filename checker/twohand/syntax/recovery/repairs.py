"""How a syntax error may be mended, so that what follows can be read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from twohand.syntax.recovery.parse_table import END
from twohand.syntax.recovery.stop import CLOSERS, MISSPELT, UNITS, SyntaxPlace
from twohand.text.diagnostic import Diagnostic


class Repair(NamedTuple):
    """Take the word before away (``back``), pass over ``skip`` tokens, put in ``insert``."""

    insert: tuple[str, ...] = ()
    skip: int = 0
    back: bool = False


_FOREIGN: Mapping[str, tuple[str, ...]] = {
    "==": ("EQUAL",),
    "!=": ("UNEQUAL",),
    "&&": ("AND",),
    "||": ("OR",),
    "!": ("NOT",),
    "=<": ("LESS_EQUAL",),
    "+=": ("ASSIGN",),
    "-=": ("ASSIGN",),
    "*=": ("ASSIGN",),
    "/=": ("ASSIGN",),
    "++": ("ASSIGN", "IDENTIFIER"),
}
_OPERAND = ("IDENTIFIER",)

_FIXED: Mapping[str, tuple[Repair, ...]] = {
    "missing-semicolon": (Repair(("_SEMICOLON",)),),
    "missing-keyword": tuple(Repair((word,)) for word in ("THEN", "DO", "OF", "TO")),
    "missing-parenthesis": (
        Repair(("_RPAR",)),
        Repair(("_RPAR", "_RPAR")),
        Repair(("_RPAR", "_SEMICOLON")),
    ),
    "missing-comma": (Repair(("_COMMA",)), Repair(("PLUS",))),
    "missing-colon": (Repair(("_COLON",)),),
    "missing-name": (Repair(_OPERAND),),
    "missing-expression": (
        Repair(_OPERAND),
        Repair((*_OPERAND, "_SEMICOLON")),
        Repair(skip=1),
        Repair((*_OPERAND, "THEN")),
        Repair(back=True),
    ),
    "missing-type": (
        Repair(("_COLON",)),
        Repair(("_COLON", "IDENTIFIER")),
        Repair(("END_VAR", "IDENTIFIER"), back=True),
        Repair(("_COLON", "IDENTIFIER", "_SEMICOLON")),
    ),
    "unmatched-parenthesis": (Repair(skip=1),),
    "equals-for-assignment": (Repair(("ASSIGN",), 1),),
    "assignment-in-expression": (Repair(("EQUAL",), 1),),
    "wrong-separator": (Repair(("_SEMICOLON",), 1), Repair(skip=1)),
    "split-assignment": (Repair(("ASSIGN",), 2),),
    "stray-colon": (Repair(skip=1),),
    "stray-end": (Repair(skip=1), Repair(skip=2)),
    "stray-else": (Repair(skip=1),),
    "not-a-statement": (
        Repair(("_SEMICOLON",)),
        Repair(("_LPAR", "_RPAR")),
        Repair(("ASSIGN",)),
        Repair(("ASSIGN", "IDENTIFIER")),
        Repair(back=True),
        Repair(_OPERAND, 1),
        Repair(("IDENTIFIER", "ASSIGN")),
    ),
    "keyword-as-name": (Repair(_OPERAND, 1), Repair(_OPERAND, back=True)),
}
_OF_REFUSED = (Repair(("NUMBER",), 1), Repair(("IDENTIFIER",), 1), Repair(skip=1))
_OF_STRANGE = tuple(
    Repair(insert, 1)
    for insert in ((), ("IDENTIFIER",), ("AND",), ("PLUS",), ("_SEMICOLON",), ("ASSIGN",))
)

FORCED = frozenset({"missing-end", "outside-of-block"})
"""Mended so in any case: what follows may be wrong as well."""


def strange_repairs() -> tuple[Repair, ...]:
    """For characters that mean nothing."""
    return _OF_STRANGE


def suggested_repairs(problem: Diagnostic, place: SyntaxPlace) -> Iterator[Repair]:
    """What the message for the place says how to mend, the likeliest first."""
    yield from _FIXED.get(problem.code, ())
    match problem.code:
        case "foreign-operator" if place.word in _FOREIGN:
            yield Repair(_FOREIGN[place.word], 1)
            yield Repair(("ASSIGN",), 1)
        case "misspelt-keyword":
            yield from _spelt_right(place)
        case "missing-end":
            yield Repair(_closing(place))
        case "wrong-end":
            yield Repair(_closing(place)[:-1] or _closing(place), int(place.type != "END_REPEAT"))
            yield Repair(_closing(place), 1)
        case "late-declarations":
            end = place.distance_to("END_VAR")
            if end is not None:
                yield Repair(skip=end + 1)
        case "outside-of-block":
            openers = () if place.word.upper() == "SPEC" else (*UNITS, "TYPE")
            yield Repair(skip=place.distance_to(*openers, END) or 0)
        case code if code.startswith("unsupported-"):
            yield from _without_refused(place)


def _closing(place: SyntaxPlace) -> tuple[str, ...]:
    """What ends the innermost thing that is begun."""
    opened = [token for token in place.open_tokens() if token.type in CLOSERS]
    if not opened:
        return ()
    end = CLOSERS[opened[-1].type]
    return ("UNTIL", "IDENTIFIER", "END_REPEAT") if end == "UNTIL" else (end,)


def _spelt_right(place: SyntaxPlace) -> Iterator[Repair]:
    for word, skip in ((place.word, 1), (place.before.text, 0)):
        right = MISSPELT.get(word.upper())
        if right is None:
            continue
        known = () if " " in right else (right,)
        for insert in (known, _closing(place)):
            yield Repair(insert, skip, back=not skip)


def _without_refused(place: SyntaxPlace) -> Iterator[Repair]:
    if place.type == "LBRACKET":
        end = place.distance_to("RBRACKET")
        if end is not None:
            yield Repair(skip=end + 1)
    end = place.distance_to_word(f"END_{place.word.upper().removeprefix('INITIAL_')}")
    if end is not None:
        yield Repair(skip=end + 1)
        yield Repair(skip=end + 2)
    yield from _OF_REFUSED
