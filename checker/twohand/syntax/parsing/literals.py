"""Literals of structured text: numbers, typed values and durations, exactly.

IEC 61131-3:2003, 2.2 and annex B.1.2. Durations are whole nanoseconds.
"""

from __future__ import annotations

import re
from fractions import Fraction

from twohand.program.types import (
    BOOL,
    ELEMENTARY,
    LTIME,
    TIME,
    BitString,
    Boolean,
    Duration,
    Integer,
    Type,
    Value,
)
from twohand.syntax import tree
from twohand.syntax.lexing.keywords import UNMODELLED, UNMODELLED_PREFIXES
from twohand.text.diagnostic import Diagnostic, InputError, wrong
from twohand.text.source_text import Span

SHORT_PREFIXES = {"B": "BYTE", "W": "WORD", "DW": "DWORD", "LW": "LWORD", "L": "DINT"}
"""Outside of the standard, where a number follows: an enumeration may have such a name."""

_DURATION_PREFIXES = {"T": TIME, "TIME": TIME, "LT": LTIME, "LTIME": LTIME}
_NANOSECONDS = {
    "d": 86_400_000_000_000,
    "h": 3_600_000_000_000,
    "m": 60_000_000_000,
    "s": 1_000_000_000,
    "ms": 1_000_000,
    "us": 1_000,
    "ns": 1,
}
_LIMITS = {"h": 24, "m": 60, "s": 60, "ms": 1000, "us": 1000, "ns": 1000}
"""A unit that is not the first must stay below one of the unit before it in this list."""
_ORDER = list(_NANOSECONDS)
_PART = re.compile(
    r"([0-9](?:_?[0-9])*)(\.[0-9](?:_?[0-9])*)?(ms|us|ns|d|h|m|s)(_?)", re.IGNORECASE
)
_DECIMAL = re.compile(r"[0-9](?:_?[0-9])*")
_BASED = re.compile(r"(2|8|16)#([0-9A-Fa-f](?:_?[0-9A-Fa-f])*)")
_REAL = re.compile(r"[0-9][0-9_]*(\.[0-9_]+([eE][+-]?[0-9_]+)?|[eE][+-]?[0-9_]+)")


LONGEST_DURATION = 80
"""Characters; the longest that means anything has five units of 20 digits at most in the first."""

GREATEST_DURATION = 2**63 - 1
"""Nanoseconds of an LTIME (64 bits with a sign, IEC 61131-3 Ed. 3, table 10, from memory)."""

LONGEST_NUMBER = 64
"""Digits without leading zeros: those of an LWORD to the base 2."""


def not_modelled(type_name: str, word: str, span: Span) -> Diagnostic:
    """The refusal of what makes a modelled value of a type whose values are not modelled."""
    refusal = UNMODELLED[type_name]
    message = f"this depends on {refusal.what.format(word=word)}, whose values are not modelled"
    return Diagnostic(refusal.code, message, span, refusal.way)


def number_literal(text: str, span: Span) -> tree.Literal | tree.UnmodelledLiteral:
    """A number without type: ``5``, ``1_000``, ``16#FF``, ``2#1010``; InputError if malformed."""
    if _REAL.fullmatch(text):
        return tree.UnmodelledLiteral("REAL", span)
    return tree.Literal(_number(text, span), None, span)


def plain_literal(text: str, span: Span) -> tree.UnmodelledLiteral:
    """``1.5``, ``'text'`` or ``"text"``, whose values are not modelled."""
    if text.startswith('"'):
        return tree.UnmodelledLiteral("WSTRING", span)
    if text.startswith("'"):
        return tree.UnmodelledLiteral("STRING", span)
    if not _REAL.fullmatch(text):
        raise _malformed(span, "write for instance 1.5 or 2.0E-3")
    return tree.UnmodelledLiteral("REAL", span)


def typed_literal(
    text: str, span: Span
) -> tree.Literal | tree.EnumerationValue | tree.UnmodelledLiteral:
    """``INT#5``, ``WORD#16#FF``, ``BOOL#1``, ``T#1h30m``, ``Mode#Run``; InputError if malformed."""
    prefix, _, rest = text.partition("#")
    key = prefix.upper()
    if key in _DURATION_PREFIXES:
        return tree.Literal(duration(rest, span), _DURATION_PREFIXES[key], span)
    if key in UNMODELLED_PREFIXES:
        return tree.UnmodelledLiteral(UNMODELLED_PREFIXES[key], span)
    if rest[:1].isdigit() or rest[:1] in ("+", "-"):
        key = SHORT_PREFIXES.get(key, key)
    kind = ELEMENTARY.get(key)
    if kind is not None:
        return tree.Literal(_typed_value(rest, kind, span), kind, span)
    return _enumeration_value(prefix, rest, span)


def check_range(value: int, kind: Type, span: Span) -> Value:
    """The value as one of the type; InputError (``value-out-of-range``) where it does not fit."""
    if isinstance(kind, Boolean):
        if value in (0, 1):
            return bool(value)
        lowest, highest = 0, 1
    elif isinstance(kind, Integer):
        lowest, highest = kind.lowest, kind.highest
    elif isinstance(kind, BitString):
        lowest, highest = 0, kind.highest
    else:
        return value
    if lowest <= value <= highest:
        return value
    message = f"{value} does not fit {kind.name}"
    raise wrong("value-out-of-range", message, span, f"{kind.name} holds {lowest} to {highest}")


def duration(text: str, span: Span) -> int:
    """Nanoseconds of what follows ``T#``; InputError if malformed or finer than 1 ns.

    Only the last unit may have a decimal point; units go from coarse to fine, each once, and only
    the first may overflow (IEC 61131-3:2003, 2.2.3.1; skipping a unit is from Ed. 3, from memory).
    """
    sign, body = (-1, text[1:]) if text.startswith("-") else (1, text.removeprefix("+"))
    if len(body) > LONGEST_DURATION:
        raise _bad_duration(span, f"it has more than {LONGEST_DURATION} characters")
    total = Fraction(0)
    position = 0
    previous = -1
    while position < len(body):
        part = _PART.match(body, position)
        if part is None:
            raise _bad_duration(span, f"'{body[position:]}' is not a number with a unit")
        whole, decimals, unit, separator = part.groups()
        position = part.end()
        if (decimals or separator) and (position < len(body)) == bool(decimals):
            raise _bad_duration(span, "only the last unit may have a decimal point"
                                if decimals else "'_' must be between two units")  # fmt: skip
        rank = _ORDER.index(unit.lower())
        if rank <= previous:
            raise _bad_duration(span, "units go from d to ns, each at most once")
        amount = Fraction(f"{whole}{decimals or ''}".replace("_", ""))
        if previous >= 0 and amount >= _limit(previous, rank):
            raise _bad_duration(span, "only the first unit may exceed its range")
        total += amount * _NANOSECONDS[unit.lower()]
        previous = rank
    if previous < 0:
        raise _bad_duration(span, "a duration needs a number and a unit")
    if total.denominator != 1:
        raise _bad_duration(span, "it is finer than one nanosecond")
    if total > GREATEST_DURATION:
        days = GREATEST_DURATION // _NANOSECONDS["d"]
        message = f"'{span.text}' is longer than any duration"
        raise wrong("value-out-of-range", message, span, f"the longest has {days} days (LTIME)")
    return sign * int(total)


def _limit(previous: int, rank: int) -> int:
    """How many of unit ``rank`` make one of the coarser unit ``previous``."""
    limit = 1
    for step in range(previous + 1, rank + 1):
        limit *= _LIMITS[_ORDER[step]]
    return limit


def _bad_duration(span: Span, reason: str) -> InputError:
    way = "write for instance T#500ms, T#1.5s or T#1h30m"
    return wrong("malformed-duration", f"'{_shown(span)}' is no duration: {reason}", span, way)


def _typed_value(rest: str, kind: Type, span: Span) -> Value:
    if isinstance(kind, Boolean) and rest.upper() in ("TRUE", "FALSE"):
        return rest.upper() == "TRUE"
    if isinstance(kind, Duration):  # reached for no prefix; keeps the cases complete
        return duration(rest, span)
    negative = rest.startswith("-")
    digits = rest[1:] if rest[:1] in ("-", "+") else rest
    if not digits:
        raise _malformed(span, f"{kind.name}# needs a value, for instance {kind.name}#1")
    value = _number(digits, span)
    return check_range(-value if negative else value, kind, span)


def _number(text: str, span: Span) -> int:
    if _DECIMAL.fullmatch(text):
        return _decimal(text, span)
    based = _BASED.fullmatch(text)
    if based:
        base, digits = int(based[1]), based[2].replace("_", "").lstrip("0") or "0"
        if len(digits) > LONGEST_NUMBER:
            raise _malformed(span, "the largest type holds 64 bits")
        try:
            return int(digits, base)
        except ValueError:
            raise _malformed(span, f"a digit does not belong to base {base}") from None
    if "#" in text and not text.startswith(("2#", "8#", "16#")):
        raise _malformed(span, "the base of a number is 2, 8 or 16")
    if "__" in text or text.endswith("_"):
        raise _malformed(span, "'_' must be between two digits")
    if _PART.fullmatch(text):
        raise _malformed(span, f"a time is written T#{text}")
    raise _malformed(span, "write for instance 12, 1_000, 16#FF or 2#1010")


def _decimal(text: str, span: Span) -> int:
    digits = text.replace("_", "").lstrip("0") or "0"
    if len(digits) > LONGEST_NUMBER:
        raise _malformed(span, "the largest type holds 20 digits")
    return int(digits)


def _malformed(span: Span, help_text: str) -> InputError:
    return wrong("malformed-number", f"'{_shown(span)}' is no number", span, help_text)


def _shown(span: Span) -> str:
    """The beginning of a text that is too long to be read."""
    text = span.text
    return text if len(text) <= LONGEST_DURATION else f"{text[:20]}..."


def _enumeration_value(prefix: str, rest: str, span: Span) -> tree.EnumerationValue:
    if not re.fullmatch(r"[^\W\d]\w*", rest):
        way = "a type comes before # and a value after it, for instance INT#5 or Mode#Run"
        raise wrong("malformed-literal", f"'{span.text}' is no literal", span, way)
    first = last = span
    if span.source.text[span.start : span.end] == span.text:  # as structured text writes it
        middle = span.start + len(prefix)
        first = Span(span.source, span.start, middle)
        last = Span(span.source, middle + 1, span.end)
    return tree.EnumerationValue(tree.Identifier(prefix, first), tree.Identifier(rest, last), span)


def boolean_literal(text: str, span: Span) -> tree.Literal:
    """TRUE or FALSE."""
    return tree.Literal(text.upper() == "TRUE", BOOL, span)
