"""Text that is not what it looks like: signs that nobody sees, names that look alike.

Both follow Unicode UTS #39 (confusables).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from pathlib import PurePosixPath

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


def look_alikes(
    names: Iterable[tuple[str, Span]],
    known: Iterable[tuple[str, Span]] = (),
    words: Iterable[str] = (),
) -> list[Diagnostic]:
    """A warning of each of the ``names`` (paths with '.') that looks like another one of its scope
    and is not it. Those ``known`` and the ``words`` of the language are of the same scopes; between
    them nothing is looked for."""
    looks = _Looks()
    for word in words:
        list(looks.alike([word], None))
    for path, span in known:
        list(looks.alike(_variables(path), span))
    return [told for path, span in names for told in looks.alike(_variables(path), span)]


def look_alike_files(
    names: Iterable[tuple[str, Span]], known: Iterable[tuple[str, Span]] = ()
) -> list[Diagnostic]:
    """The same of names of files, each part of a path within its folder."""
    looks = _Looks()
    for path, span in known:
        list(looks.alike(_parts(path), span))
    return [told for path, span in names for told in looks.alike(_parts(path), span)]


def _parts(path: str) -> tuple[str, ...]:
    return PurePosixPath(path.replace("\\", "/")).parts


def _variables(path: str) -> list[str]:
    return [name.partition("[")[0] for name in path.split(".")]


class _Looks:
    """The names so far by scope and by what they look like."""

    def __init__(self) -> None:
        self.seen: dict[tuple[str, ...], dict[str, tuple[str, Span | None]]] = {}

    def alike(self, path: Sequence[str], span: Span | None) -> Iterator[Diagnostic]:
        """A warning where a name of the path is new and looks like one that was before."""
        around: tuple[str, ...] = ()
        for name in path:
            others = self.seen.setdefault((*around, _skeleton(name)), {})
            around = (*around, name.casefold())
            if name.casefold() in others:
                continue
            for other, place in list(others.values())[:1]:
                yield Diagnostic(
                    "look-alike-names",
                    f"'{other}' and '{name}' look alike, and are two names",
                    span,
                    "give one of them another name",
                    () if place is None else ((place, f"'{other}'"),),
                    Severity.WARNING,
                )
            others[name.casefold()] = (name, span)


def _skeleton(name: str) -> str:
    """What a name looks like, written with letters of A to Z where it can be (UTS #39, 4)."""
    plain = unicodedata.normalize("NFKC", name).translate(_LOOKS)
    return plain.replace("0", "O").replace("1", "l").replace("I", "l").replace("m", "rn")


def strange_letter(name: str) -> str:
    """A sentence on the first sign in a name that is no letter or digit, is written in another way
    than Unicode's composed form, or looks like one of A to Z beside such; '' without one."""
    for character in name:
        if not (character.isascii() or character.isalpha()):
            return f"'{character}' is {_sign(character)}"
        composed = unicodedata.normalize("NFC", character)
        if composed != character:
            return f"'{character}' is {_sign(character)}, which is '{composed}' in composed form"
    mixed = any(character.isascii() and character.isalpha() for character in name)
    for character in name if mixed else "":
        plain = unicodedata.normalize("NFKC", character).translate(_LOOKS)
        if not character.isascii() and plain.isascii() and plain.isalnum():
            return f"'{character}' is {_sign(character)}, which looks like '{plain}'"
    return ""
