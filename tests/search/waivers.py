"""Random blocks, dressed and changed: a waiver fits what means the same, and nothing else."""

from __future__ import annotations

import re
from random import Random

from twohand.analyses.inspect.subject import subject_of_block
from twohand.gate.bound_content import bound_content
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.search.versions import changed
from tests.support.randomness.small_blocks import SmallBlock

_GAP = re.compile(r";|:=|\bTHEN\b|\bVAR\b")


def dressed(text: str, random: Random) -> str:
    """The same with comments, blanks and line ends between its words."""
    extras = ("", " ", "\n", " (* q := FALSE; *)", " // END_VAR\n")
    return _GAP.sub(lambda found: found[0] + random.choice(extras), text)


def content(text: str) -> str:
    source = SourceText("a.st", text)
    name = load_program([source]).name
    subject = subject_of_block([source], name, "T#1ms..T#2ms", (), False)
    return bound_content(subject.specification, None, "")


def fitting(seed: int) -> bool:
    """Whether the block could be changed; AssertionError where a waiver would fit another one, or
    would not fit the same."""
    random = Random(f"waivers {seed}")
    text = SmallBlock(random).text()
    own = content(text)
    assert content(dressed(text, random)) == own
    other = changed(text, random)
    assert (content(other) == own) is (other == text)
    return other != text
