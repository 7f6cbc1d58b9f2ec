"""Requirements as formulas over a run of scans; the meaning is pointwise at scans.

Position 0 is the first scan of the run. The inputs were there before it: for as long as nobody
knows, and as they were. Positions before the first scan are samples of them, spaced like scans, of
any number. A formula is *older than the run* where all that it reads are such inputs
(``Program.older``); it has a value at these positions too, and an operator over the past looks back
to them. ``FirstScan``, ``AnyScan`` and whatever reads anything else are as old as the run.

Atoms are expressions over the values at the end of a scan (inputs as
sampled). Bounds are inclusive. ``Formula`` speaks of now and the past; a ``Property`` holds of a
whole run and may ask for something later, but is always refuted by a finite run.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypeAlias

from twohand.program import Expression, Variable
from twohand.program.durations import ONE_SCAN, Scans, Units
from twohand.text.source_text import Span


@dataclass(frozen=True)
class Bound:
    """``low`` to ``high`` inclusive, both in the same measure; ``high`` None: no limit.

    Either ``low`` is 0 or ``high`` is None: one clock is exact for these. Distances are between
    the time stamps of scans (or their numbers).
    """

    low: Units | Scans
    high: Units | Scans | None
    in_scans: bool = False


@dataclass(frozen=True, eq=False)
class History:
    """``variable`` (not the program's) is what ``expression`` was ``count`` scans before;
    at earlier positions than that, what it was in the first scan. See ``Previous``."""

    variable: Variable
    expression: Expression
    count: Scans = ONE_SCAN


@dataclass(frozen=True, eq=False)
class Atom:
    """A Boolean expression; it may read program variables and the variables of ``histories``,
    each of which may read those before it."""

    expression: Expression
    histories: tuple[History, ...] = ()


@dataclass(frozen=True, eq=False)
class FirstScan:
    """TRUE in the first scan only."""


@dataclass(frozen=True, eq=False)
class AnyScan:
    """TRUE in every scan of the run: what is joined with it is as old as the run."""


@dataclass(frozen=True, eq=False)
class Not:
    operand: Formula


@dataclass(frozen=True, eq=False)
class And:
    operands: tuple[Formula, ...]


@dataclass(frozen=True, eq=False)
class Or:
    operands: tuple[Formula, ...]


@dataclass(frozen=True, eq=False)
class Implies:
    left: Formula
    right: Formula


@dataclass(frozen=True, eq=False)
class Iff:
    left: Formula
    right: Formula


@dataclass(frozen=True, eq=False)
class Previous:
    """``operand`` ``count`` scans before; at earlier positions its value in the first scan. No scan
    of the run looks back to before it; before it, what is earlier than the first sample is as
    that."""

    operand: Formula
    count: Scans = ONE_SCAN


@dataclass(frozen=True, eq=False)
class Rose:
    """TRUE now and FALSE in the scan before; FALSE in the first scan, and in the first sample."""

    operand: Formula


@dataclass(frozen=True, eq=False)
class Fell:
    """FALSE now and TRUE in the scan before; FALSE in the first scan, and in the first sample."""

    operand: Formula


@dataclass(frozen=True, eq=False)
class Once:
    """``operand`` at some scan j <= now whose distance from now is within ``bound``."""

    operand: Formula
    bound: Bound | None = None


@dataclass(frozen=True, eq=False)
class Historically:
    """``operand`` at every scan j <= now whose distance from now is within ``bound``. Where it is
    as old as the run and ``bound.high`` is given, FALSE until the first scan is so far away."""

    operand: Formula
    bound: Bound | None = None


@dataclass(frozen=True, eq=False)
class Since:
    """``release`` at some scan j <= now within ``bound``, and ``hold`` at all scans after j up to
    and including now."""

    hold: Formula
    release: Formula
    bound: Bound | None = None


Formula: TypeAlias = (
    Atom
    | FirstScan
    | AnyScan
    | Not
    | And
    | Or
    | Implies
    | Iff
    | Previous
    | Rose
    | Fell
    | Once
    | Historically
    | Since
)


@dataclass(frozen=True, eq=False)
class Always:
    """``formula`` in every scan of the run: of what was before it no property asks anything.
    ``trigger`` is the part that has to happen for the formula to say anything (the left side of an
    implication), None where there is none."""

    formula: Formula
    trigger: Formula | None = None


@dataclass(frozen=True, eq=False)
class Response:
    """Each scan with ``trigger`` has ``answer`` in it or in a later scan at most ``bound.high``
    away (``bound.low`` is 0). Refuted at the first scan that lies beyond the bound of an
    unanswered trigger."""

    trigger: Formula
    answer: Formula
    bound: Bound


@dataclass(frozen=True, eq=False)
class Until:
    """From each scan with ``trigger`` on (that scan included), ``hold`` in every scan before the
    first one with ``release``; weak: ``release`` may never come. Refuted at a scan with neither
    ``hold`` nor ``release``."""

    trigger: Formula
    hold: Formula
    release: Formula


@dataclass(frozen=True, eq=False)
class Before:
    """From each scan with ``trigger`` on (that scan included), ``second`` does not hold until a
    scan with ``first`` has passed: strictly before; weak: neither may ever come. It is
    Until(trigger, NOT second, first AND NOT second)."""

    trigger: Formula
    first: Formula
    second: Formula


Property: TypeAlias = Always | Response | Until | Before


@dataclass(frozen=True, eq=False)
class Named:
    """A formula with the place where the user wrote it. ``stated`` is FALSE for an assumption that
    follows from another statement (the contacts of one hand agree)."""

    formula: Formula
    span: Span = field(repr=False)
    stated: bool = True
