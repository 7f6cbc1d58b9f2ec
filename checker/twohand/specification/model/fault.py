"""Faults between the hands (and the plant) and the block's inputs: which there are.

A contact that conducts makes its input TRUE, whether it closes or opens with the hand: stuck
closed is TRUE, stuck open is FALSE. A short joins two lines, so that both read TRUE where either
does; one with the wire of an output reads TRUE where that is on as the inputs are sampled, which is
what the scan before wrote. Without its supply an input is FALSE. A fault begins in any scan;
``FaultCourse`` says what becomes of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from itertools import combinations, product


class FaultKind(Enum):
    """What is wrong; the values are the words that reports use."""

    STUCK_OPEN = "stuck open"
    STUCK_CLOSED = "stuck closed"
    SHORT = "short"
    OUTPUT_SHORT = "output short"
    SUPPLY_LOST = "lost"
    STUCK_FALSE = "stuck FALSE"
    STUCK_TRUE = "stuck TRUE"


class FaultCourse(Enum):
    """What becomes of a fault once it has begun; the values are the words that reports use. Each
    is a special case of the next, so that a proof of the last is one of all, and a run of the
    first."""

    STAYS = "stays"
    ONCE = "for a time"
    """One interval: it ends in any later scan, or never."""
    OFTEN = "again and again"
    """Any number of intervals."""


@dataclass(frozen=True)
class Fault:
    """``names`` are the input of a stuck contact or feedback, the two inputs of a short (or its
    input and its output), or the supply that is lost."""

    kind: FaultKind
    names: tuple[str, ...]
    course: FaultCourse = FaultCourse.STAYS

    def as_it(self, course: FaultCourse) -> Fault:
        """The same fault with another course."""
        return replace(self, course=course)

    @property
    def identifier(self) -> str:
        """Unique among the faults of one spec: ``leftNO-stuck-open``, ``leftNO-leftNC-short``,
        ``supply-lost-for-a-time``."""
        words = [self.kind.value.lower(), *self._course]
        return "-".join([*self.names, *" ".join(words).split()])

    @property
    def title(self) -> str:
        """As reports name it: 'leftNO stuck open', 'short leftNO - leftNC', 'supply lost for a
        time'."""
        short = self.kind in SHORTS
        name = f"short {' - '.join(self.names)}" if short else f"{self.names[0]} {self.kind.value}"
        return " ".join([name, *self._course])

    @property
    def _course(self) -> list[str]:
        return [] if self.course is FaultCourse.STAYS else [self.course.value]

    def excludes(self, other: Fault) -> bool:
        """Whether the two cannot be together: one thing is not stuck both ways."""
        stuck = {
            FaultKind.STUCK_OPEN,
            FaultKind.STUCK_CLOSED,
            FaultKind.STUCK_FALSE,
            FaultKind.STUCK_TRUE,
        }
        return self.names == other.names and {self.kind, other.kind} <= stuck


SHORTS = (FaultKind.SHORT, FaultKind.OUTPUT_SHORT)
"""Two wires that touch."""


def possible_faults(
    contacts: Sequence[str],
    outputs: Sequence[str],
    feedback: Iterable[str],
    supplies: Iterable[str],
) -> tuple[Fault, ...]:
    """Every single fault of these inputs, outputs and supplies."""
    stuck = [
        Fault(kind, (name,))
        for name in contacts
        for kind in (FaultKind.STUCK_OPEN, FaultKind.STUCK_CLOSED)
    ]
    shorts = [Fault(FaultKind.SHORT, pair) for pair in combinations(contacts, 2)]
    shorts += [Fault(FaultKind.OUTPUT_SHORT, pair) for pair in product(contacts, outputs)]
    lost = [Fault(FaultKind.SUPPLY_LOST, (name,)) for name in supplies]
    fed = [
        Fault(kind, (name,))
        for name in feedback
        for kind in (FaultKind.STUCK_FALSE, FaultKind.STUCK_TRUE)
    ]
    return (*stuck, *shorts, *lost, *fed)


class Kept(Enum):
    """What is asked under faults. ISO 13851:2019 with EN 574:1996, Table 1 (secondary source):
    type I and III A ask for category 1, II and III B for 3, III C for 4; what a category asks is
    ISO 13849-1, clause 6 (from memory)."""

    MAY_BE_LOST = "may be lost"
    """Category 1: a fault may cost the function."""
    KEPT = "kept"
    """Category 3: no single fault costs it."""
    KEPT_AND_NOTICED = "kept and noticed"
    """Category 4: a single fault is noticed at or before the next start as well, or else no second
    fault costs the function."""
    NOT_STATED = "not stated"
    """No two-hand control, or one of type III without its letter: the facts are reported."""
