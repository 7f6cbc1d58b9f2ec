"""Whether a spec is still that of its lesson, by content: comments, line ends, spaces, letter case
and the order of its statements mean nothing."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass

from twohand.text.comments import STRING, blank_comments
from twohand.text.source_text import SourceText

_WORD = re.compile(rf"{STRING}|\w+|\S")


@dataclass(frozen=True)
class SpecChanges:
    """Statements of the lesson's spec that are not in the learner's (``left_out``), and those that
    are only there (``added``), as they are written."""

    left_out: tuple[str, ...]
    added: tuple[str, ...]

    def __bool__(self) -> bool:
        return bool(self.left_out or self.added)


def spec_changes(ours: str, theirs: SourceText) -> SpecChanges:
    """InputError where the learner's text has a comment without an end."""
    lessons = _statements(SourceText("lesson", ours))
    learners = _statements(theirs)
    return SpecChanges(_only_in(lessons, learners), _only_in(learners, lessons))


def _only_in(one: list[list[str]], other: list[list[str]]) -> tuple[str, ...]:
    left = Counter(_key(each) for each in other)
    found = []
    for each in one:
        if left[_key(each)]:
            left[_key(each)] -= 1
        else:
            found.append(_written(each))
    return tuple(found)


def _statements(source: SourceText) -> list[list[str]]:
    """The words of each statement; SPEC with its name, and END_SPEC, are ones."""
    found: list[list[str]] = [[]]
    for word in _WORD.findall(blank_comments(source)):
        found[-1].append(word)
        begins = [each.casefold() for each in found[-1]]
        if word == ";" or begins == ["end_spec"] or (begins[0] == "spec" and len(begins) == 2):
            found.append([])
    return [each for each in found if each and each != [";"]]


def _key(words: list[str]) -> tuple[str, ...]:
    return tuple(word if word[0] in "'\"" else word.casefold() for word in words)


def _written(words: list[str]) -> str:
    """The words with spaces where they are usual."""
    text = " ".join(words)
    for sign in (" ;", " ,", " )", " #", "# ", " .", ". ", "( "):
        text = text.replace(sign, sign.strip())
    return re.sub(r": =", ":=", re.sub(r"- >", "->", text))
