"""Automatic findings: what must never happen in a scan, whatever the requirements are."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from twohand.text.source_text import Span


class FindingKind(Enum):
    """What can go wrong in a scan; the values are the words of reports."""

    OVERFLOW = "overflow"
    DIVISION_BY_ZERO = "division by zero"
    INDEX_OUT_OF_RANGE = "index out of range"
    LOOP_BOUND = "loop beyond its bound"
    BELOW_ZERO = "duration below zero"
    READ_UNSET = "read before assignment"


@dataclass(frozen=True)
class Finding:
    """One kind of finding at one place (the span of the expression or loop)."""

    kind: FindingKind
    span: Span


def same(first: Finding, second: Finding) -> bool:
    """Whether the two are the same kind at the same place."""
    spans = first.span, second.span
    return (
        first.kind is second.kind
        and (spans[0].start, spans[0].end) == (spans[1].start, spans[1].end)
        and spans[0].source.path == spans[1].source.path
    )
