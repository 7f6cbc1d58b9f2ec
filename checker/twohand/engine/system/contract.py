"""What an engine takes and what it answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

import z3

from twohand.program.durations import NO_SCANS, Scans, Ticks
from twohand.program.types import Value


@dataclass(frozen=True)
class Proved:
    """``clauses`` over state symbols; their conjunction is an inductive invariant that excludes
    the bad term: initial => I; I and scan_constraint => I'; I and scan_constraint => not bad."""

    clauses: tuple[z3.BoolRef, ...]
    method: str


@dataclass(frozen=True)
class Step:
    """One single scan of a counterexample: input values by symbol name, and the time
    before it."""

    inputs: Mapping[str, Value]
    elapsed: Ticks


@dataclass(frozen=True)
class Violated:
    """A run of single scans whose last one is bad; ``initial`` gives the values chosen for states
    without a given initial value (parameters), by name. Inputs not mentioned do not matter."""

    steps: tuple[Step, ...]
    initial: Mapping[str, Value]
    method: str


@dataclass(frozen=True)
class Unknown:
    """No answer. ``events`` is the number of events searched completely without a violation where
    the jump is exact (0 otherwise), ``scans`` the same in single scans; ``reason`` a plain
    sentence saying what stopped it. ``candidate`` is a run that may be none: it needs ``hangs_on``,
    what nobody computes, to come out as it does there."""

    reason: str
    events: int = 0
    scans: Scans = NO_SCANS
    candidate: Violated | None = None
    hangs_on: tuple[str, ...] = ()


class EngineContradiction(Exception):  # noqa: N818 - the name that callers know
    """Two engines disagree, or an invariant does not hold: an internal error, stops the run."""


Answer: TypeAlias = Proved | Violated | Unknown
