"""The transition system: one scan as z3 terms.

A step reads the state before the scan and the step's inputs, and gives the signals (the values
of the program's variables at the end of the scan) and the next state. A *bad* term may use state
before the scan and inputs; signals are terms over those.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import Enum
from functools import cached_property

import z3

from twohand.program.durations import Ticks, Units
from twohand.scan.finding import Finding


class StateKind(Enum):
    DISCRETE = "discrete"
    """Booleans, numbers and bit strings that change by events."""
    CLOCK = "clock"
    """Integers that grow by ``elapsed`` (or by ``scans``) unless a scan resets them."""
    WRAPPING_CLOCK = "wrapping clock"
    """Clocks that a scan takes back by a fixed range where they get to its end. They are never
    negative, but after a step of several scans that gets there, which is none of a run."""


@dataclass(frozen=True)
class StateVariable:
    """``initial`` None: arbitrary at the start. ``update`` is the value after the scan, a term
    over state symbols, inputs, ``elapsed`` and ``scans``."""

    name: str
    symbol: z3.ExprRef
    initial: z3.ExprRef | None
    update: z3.ExprRef
    kind: StateKind = StateKind.DISCRETE


@dataclass(frozen=True)
class TransitionSystem:
    """All terms live in one z3 context.

    ``elapsed`` (Int) is the time since the scan before; in a scan it lies between
    ``shortest`` and ``longest``; ``scans`` (Int) is 1. With a fixed period a tick is the scan
    itself (``shortest == longest == 1`` and ``tick`` units long); with a range a tick is one
    unit, and so it is where the program reads the clock. A step of n > 1 scans
    (``engine.search.jumps``) has ``scans == n`` and ``n * shortest <=
    elapsed <= n * longest``. ``constraints`` hold in every scan, over state and inputs, never
    over ``elapsed`` or ``scans``; they are the assumptions. ``ranges`` bounds single inputs. A
    finding's term says that it is the first one of its scan. ``initial_constraints`` restrict
    the arbitrary initial values. Parameters (open readings) are state variables without initial
    value whose update is themselves.
    """

    states: tuple[StateVariable, ...]
    inputs: tuple[z3.ExprRef, ...]
    elapsed: z3.ArithRef
    scans: z3.ArithRef
    shortest: Ticks
    longest: Ticks
    tick: Units
    ranges: tuple[z3.BoolRef, ...] = ()
    constraints: tuple[z3.BoolRef, ...] = ()
    initial_constraints: tuple[z3.BoolRef, ...] = ()
    signals: Mapping[str, z3.ExprRef] = field(default_factory=dict)
    findings: tuple[tuple[Finding, z3.BoolRef], ...] = ()

    def extended(
        self,
        states: tuple[StateVariable, ...] = (),
        constraints: tuple[z3.BoolRef, ...] = (),
    ) -> TransitionSystem:
        """This system with more state (monitors) and more assumptions."""
        return replace(
            self,
            states=self.states + states,
            constraints=self.constraints + constraints,
        )

    @cached_property
    def initial(self) -> z3.BoolRef:
        """The states in which the first scan begins."""
        equalities = [s.symbol == s.initial for s in self.states if s.initial is not None]
        true = z3.BoolVal(True, self.elapsed.ctx)
        return z3.And([*equalities, *self.initial_constraints, true])

    @property
    def whole_scan(self) -> Ticks:
        """Ticks of a scan where all are as long, so that times between scans are whole multiples of
        it; else 1. A proof that is asked for such times need not exclude others."""
        return self.shortest if self.shortest == self.longest else Ticks(1)

    @property
    def scan_constraint(self) -> z3.BoolRef:
        """What holds of the state and inputs of every single scan."""
        return z3.And(
            [
                self.scans == 1,
                self.elapsed >= self.shortest,
                self.elapsed <= self.longest,
                *self.ranges,
                *self.constraints,
            ]
        )
