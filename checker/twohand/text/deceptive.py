"""Text that is not what it looks like: signs that nobody sees, names that look alike.

Both follow Unicode UTS #39 (confusables), as far as names go: made of A to Z, digits and '_'.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from twohand.text.diagnostic import Diagnostic, Severity
from twohand.text.source_text import SourceText, Span

_INVISIBLE = re.compile(
    "[\u00ad\u0600-\u0605\u061c\u06dd\u070f\u0890\u0891\u08e2\u115f\u1160\u180e\u200b-\u200f"
    "\u202a-\u202e\u2060-\u2064\u2066-\u206f\u2800\u3164\ufeff\uffa0\ufff9-\ufffb\U000110bd"
    "\U000110cd\U00013430-\U0001343f\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0001"
    "\U000e0020-\U000e007f]"
)
"""Category Cf of Unicode 15.1, and letters and signs that are shown as nothing."""
_MOST_SHOWN = 3
_LOOKS = str.maketrans(
    "асеорухѕіјһԁԛԝАВЕКМНОРСТХЅІЈԚԜαγινορυχΑΒΕΖΗΙΚΜΝΟΡΤΥΧıℓ",
    "aceopyxsijhdqwABEKMHOPCTXSIJQWayivopuxABEZHIKMNOPTYXil",
)
"""Cyrillic, Greek and a few others, and the letter of A to Z that each looks like."""


def invisible_signs(source: SourceText) -> Diagnostic | None:
    """A warning of signs that are not shown, or change the order in which others are."""
    if source.text.isascii():
        return None
    found = [Span(source, each.start(), each.end()) for each in _INVISIBLE.finditer(source.text)]
    if not found:
        return None
    first, *others = found
    more = f"{len(found)} invisible signs, the first of them" if others else "an invisible sign"
    return Diagnostic(
        "invisible-sign",
        f"{more}: {_sign(first.text)}",
        first,
        "remove it: what is shown need not be what is read",
        tuple((span, _sign(span.text)) for span in others[:_MOST_SHOWN]),
        Severity.WARNING,
    )


def _sign(character: str) -> str:
    return f"U+{ord(character):04X} ({unicodedata.name(character, 'without a name').lower()})"


def look_alikes(names: Iterable[tuple[str, Span]]) -> list[Diagnostic]:
    """A warning for each two names (paths with '.') of one scope that look the same and are not."""
    seen: dict[tuple[str, str], tuple[str, Span]] = {}
    told: dict[tuple[str, str], Diagnostic] = {}
    for path, span in names:
        around = ""
        for name in path.split("."):
            name = name.partition("[")[0]
            key = (around, _skeleton(name))
            other, place = seen.setdefault(key, (name, span))
            if other.casefold() != name.casefold() and key not in told:
                told[key] = Diagnostic(
                    "look-alike-names",
                    f"'{other}' and '{name}' look alike, and are two names",
                    span,
                    "give one of them another name",
                    ((place, f"'{other}'"),),
                    Severity.WARNING,
                )
            around = f"{around}.{name.casefold()}"
    return list(told.values())


def _skeleton(name: str) -> str:
    """What a name of A to Z, digits and '_' looks like (UTS #39, 4)."""
    return name.replace("0", "O").replace("1", "l").replace("I", "l").replace("m", "rn")


def foreign_letter(name: str) -> str:
    """A sentence on the first letter of a name that looks like one of A to Z; '' without one."""
    for character in name:
        plain = unicodedata.normalize("NFKC", character).translate(_LOOKS)
        if not character.isascii() and plain.isascii() and plain.isalnum():
            return f"'{character}' is {_sign(character)}, which looks like '{plain}'"
    return ""
