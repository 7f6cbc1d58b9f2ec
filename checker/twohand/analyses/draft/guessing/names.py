"""What names hint at, by words of several languages."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Mapping
from functools import cache
from importlib.resources import files

_PART = re.compile(r"[A-Z]+(?![a-z])|[A-Z]?[a-z]+|\d+")
_INSIDE = 5
"""Letters from which on a word counts inside of a longer one: 'linkehand', 'schutztuer'."""


@cache
def words() -> Mapping[str, frozenset[str]]:
    """The lists of ``words.toml`` by their names."""
    text = (
        files("twohand.analyses.draft.guessing").joinpath("words.toml").read_text(encoding="utf-8")
    )
    return {name: frozenset(each) for name, each in tomllib.loads(text).items()}


def hints(name: str, role: str) -> bool:
    """Whether a name has a word of this list."""
    parts = _parts(name)
    listed = words()[role]
    long = [word for word in listed if len(word) >= _INSIDE]
    return any(part in listed or any(word in part for word in long) for part in parts)


@cache
def _parts(name: str) -> tuple[str, ...]:
    """The words that a name is made of: ``b_LeftPalm2`` has b, left, palm and 2."""
    plain = unicodedata.normalize("NFKD", name.replace("ß", "ss"))
    letters = "".join(each for each in plain if not unicodedata.combining(each))
    return tuple(part.lower() for part in _PART.findall(letters))


def share_a_word(one: str, other: str) -> bool:
    """Whether two names have a word of three letters or more in common."""
    return any(len(word) > 2 for word in set(_parts(one)) & set(_parts(other)))


def same_stem(one: str, other: str) -> bool:
    """Whether two names are those of one device but for its contact: ``leftNO`` and ``leftNC``."""
    stems = {"".join(p for p in _parts(name) if p not in ("no", "nc")) for name in (one, other)}
    return len(stems) == 1 and len(*stems) > 2
