"""A drafted spec as the text of a file, and what is told of it."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from twohand.analyses.draft.lines import Line
from twohand.specification.phrases import count

WIDTH = 98
HEADER = (
    "A first spec, drafted by twohand: what the inputs and outputs are for is guessed, from runs "
    "that were tried, from the text and from names. While a line has GUESSED, or begins with "
    "MISSING, nothing is asked of this spec: hold each against the machine, correct it, and take "
    "the mark away."
)
ASKED = "asked as it was drafted, as if every guess were right"
REQUIRED = (
    "What is required of {what}. What does not hold is no mistake of the draft: weaken nothing."
)


def spec_text(name: str, lines: Sequence[Line], what: str = "") -> str:
    """The whole file; ``what`` is the kind of machine, '' where none was named."""
    text = [*_comment(HEADER, 0), f"SPEC {name}"]
    told = not what
    for line in lines:
        if line.demand and not told:
            text += ["", *_comment(REQUIRED.format(what=what), 4)]
            told = True
        asked = [f"{ASKED}: {line.asked}"] if line.asked else []
        for comment in (*line.comments, *asked):
            text += _comment(comment, 4)
        if line.text:
            mark = " GUESSED" if line.guessed and not line.missing else ""
            text.append(f"    {line.text}{mark};")
    return "\n".join([*text, "END_SPEC", ""])


def unmarked_text(name: str, lines: Sequence[Line]) -> str:
    """The same with one statement in each line, as if every guess were right: what can be asked."""
    return "\n".join([f"SPEC {name}", *(f"{each.text};" for each in lines), "END_SPEC", ""])


def _comment(text: str, indent: int) -> list[str]:
    before = f"{' ' * indent}// "
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=before,
        subsequent_indent=before,
        break_long_words=False,
        break_on_hyphens=False,
    )


def marks_line(lines: Sequence[Line]) -> str:
    """How much is left to do."""
    guessed = sum(line.guessed and not line.missing for line in lines)
    lacking = sum(line.missing for line in lines)
    parts = [count(guessed, "guess", "guesses")] if guessed else []
    parts += [f"{count(lacking, 'thing')} to fill in"] if lacking else []
    return " and ".join(parts)


def asked_lines(lines: Sequence[Line]) -> Iterator[tuple[str, str]]:
    """Each requirement with what came out of it."""
    for line in lines:
        if line.demand:
            yield line.text, line.asked or "not asked: the hands are missing"
