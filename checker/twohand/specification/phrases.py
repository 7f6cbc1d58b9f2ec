"""Small parts of sentences: lists, quoted names, durations, ways out."""

from __future__ import annotations

from collections.abc import Sequence

from twohand.program.durations import Nanoseconds, Units
from twohand.scan.clocking import NANOSECONDS_PER_MILLISECOND
from twohand.scan.finding import FindingKind
from twohand.text.comments import blank_comments
from twohand.text.source_text import SourceText, Span


def quoted(name: str) -> str:
    return f"'{name}'"


def listed(words: Sequence[str], last: str) -> str:
    """``a``, ``a and b``, ``a, b and c`` for ``last`` 'and'."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def milliseconds_of(nanoseconds: Nanoseconds) -> str:
    """A duration in milliseconds, with no more decimals than it needs: ``499.7 ms``."""
    sign = "-" if nanoseconds < 0 else ""
    whole, rest = divmod(abs(nanoseconds), NANOSECONDS_PER_MILLISECOND)
    decimals = f".{rest:06d}".rstrip("0") if rest else ""
    return f"{sign}{whole}{decimals} ms"


def milliseconds(units: Units, unit: Nanoseconds) -> str:
    """So many units of a clocking in milliseconds."""
    return milliseconds_of(Nanoseconds(units * unit))


def one_line(text: str) -> str:
    """The user's text with its line ends and runs of blanks made single blanks."""
    return " ".join(text.split())


def written(span: Span) -> str:
    """The user's text in one line, without comments."""
    return one_line(blank_comments(SourceText(span.source.path, span.text)))


def way_out(kind: FindingKind) -> str:
    """What helps where it is open whether a finding can happen; '' where only more time does."""
    if kind is not FindingKind.OVERFLOW:
        return ""
    return (
        "a number that only ever grows leaves its type in the end, if only after years: bound it "
        "(IF n < ...), or say INTEGERS WRAP in a spec where the platform's integers wrap around"
    )
