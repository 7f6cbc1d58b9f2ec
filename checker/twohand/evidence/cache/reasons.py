"""Why the answer to a question is not there."""

from __future__ import annotations

import json
from collections.abc import Sequence
from contextlib import suppress

from twohand.evidence.cache.entry import read_entry
from twohand.evidence.cache.folder import CacheFolder
from twohand.evidence.cache.question import Plain, Unbelieved

_VERSIONS = ("format", "code", "solvers")
NEW_TEXT = (
    "nothing is kept of such a text: the block, the spec or what is around them changed, or it was "
    "never asked"
)
OTHER_VERSION = "kept by another version of twohand or of a solver"
OTHER_EFFORT = "kept with another effort, or another window"
UNDECIDED = "others about this text are kept: this one was never asked, or not decided"


def kept_questions(folder: CacheFolder) -> list[Plain]:
    """What the entries say that they are answers to; of one that cannot be read nothing."""
    found: list[Plain] = []
    for path in folder.entries():
        with suppress(OSError, ValueError, LookupError, TypeError, Unbelieved, RecursionError):
            question = json.loads(read_entry(path).partition(b"\n")[0])["question"]
            if isinstance(question, dict):
                found.append(question)
    return found


def why_missed(parts: Plain, kept: Sequence[Plain]) -> str:
    """What is different from all that was ``kept``, in words."""
    same_text = [each for each in kept if each.get("text") == parts["text"]]
    if not same_text:
        return NEW_TEXT
    if any(_equal(parts, each, _VERSIONS) for each in same_text):
        return OTHER_VERSION
    own = _without_limits(parts)
    if any(_without_limits(each) == own for each in same_text):
        return OTHER_EFFORT
    return UNDECIDED


def _equal(one: Plain, other: Plain, but_for: Sequence[str]) -> bool:
    return all(one[name] == other.get(name) for name in one if name not in but_for)


def _without_limits(parts: Plain) -> Plain:
    asked = parts.get("asked")
    own = {} if not isinstance(asked, dict) else asked
    limits = ("effort", "window")
    return {**parts, "asked": {n: own[n] for n in own if n not in limits}}
