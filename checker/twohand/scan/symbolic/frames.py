"""The work of one symbolic scan: values, path conditions, merges, findings.

A frame holds what a branch, a loop or a routine has written so far and the condition, relative to
the frame below it, under which control is still inside. Where control leaves a frame early (EXIT,
CONTINUE, RETURN) the values of that moment wait in the frame it jumps to until that one closes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import TypeAlias

import z3

from twohand.program import Routine, StandardInstance, Variable
from twohand.program.durations import Nanoseconds, Units
from twohand.program.types import Duration, Type, Value
from twohand.scan.clocking import PARAMETER_PREFIX, Clocking, Readings
from twohand.scan.finding import Finding, FindingKind
from twohand.scan.symbolic.nodes import cut, symbol
from twohand.scan.symbolic.terms import (
    Number,
    Term,
    Truth,
    all_of,
    any_of,
    both,
    choose,
    either,
    lifted,
    negation,
    number_of,
    sort_of,
    truth_of,
)
from twohand.text.diagnostic import wrong
from twohand.text.source_text import Span

Slot: TypeAlias = Variable | str
"""A variable, or the name of what a standard block remembers (``window#age``)."""

MOST_STATEMENTS = 200_000
"""Statements in one unrolled scan, beyond which the program is refused."""

_SHARED = 64
"""Frames whose condition is made once for all that are above them."""

PATH_EFFORT = 200_000
"""z3's resource units for one question whether something in a scan can be."""


class FrameKind(Enum):
    BRANCH = "branch"
    LOOP = "loop"
    ITERATION = "iteration"
    ROUTINE = "routine"


@dataclass
class PathState:
    kind: FrameKind
    path: Truth = True
    changes: dict[Slot, Term] = field(default_factory=dict)
    hidden: dict[Slot, Term | None] = field(default_factory=dict)
    """What the frames below have where this one wrote; None where they have nothing."""
    below: Truth | None = None
    """The condition of all frames below, once it was asked for."""
    jumps: list[tuple[Truth, Truth, dict[Slot, Term]]] = field(default_factory=list)
    """Exact condition, condition where no jump before was taken, changes; in program order."""
    left: bool = False
    """Whether some path left it for a frame further out."""


def set_slot(variable: Variable) -> str:
    """Where it is kept whether something was assigned to the variable since its routine began."""
    return f"{variable.name}#set"


def never(condition: z3.BoolRef, solver: z3.Solver) -> bool:
    """Whether z3 sees, with bounded effort, that the condition never holds."""
    solver.set("rlimit", PATH_EFFORT)
    solver.add(condition)
    return solver.check() == z3.unsat


class SymbolicScan:
    """One scan being encoded."""

    def __init__(
        self,
        clocking: Clocking,
        readings: Readings,
        loop_bound: int,
        run_routine: Callable[[SymbolicScan, Routine, Mapping[Variable, Term]], None],
    ) -> None:
        self.clocking = clocking
        self.readings = readings
        self.loop_bound = loop_bound
        self.run_routine = run_routine
        self.tick = clocking.shortest if clocking.fixed else Units(1)
        self.clock: Variable | None = None
        self.elapsed = symbol("#elapsed", z3.IntSort())
        self.scans = symbol("#scans", z3.IntSort())
        self.sorts: dict[str, z3.SortRef] = {}
        self.frames = [PathState(FrameKind.ROUTINE)]
        self._values: dict[Slot, Term] = {}
        """As the frames together have them."""
        self.found: dict[Finding, list[Truth]] = {}
        self._happened: Truth = False
        """Some finding so far in this scan."""
        self.parameters: dict[str, z3.BoolRef] = {}
        self.presets: dict[str, list[Number]] = {}
        self.latching: frozenset[str] = frozenset()
        """Instances whose preset is not one constant at every call."""
        self.begun: Mapping[StandardInstance, str] = {}
        """For each timer whose time may depend on that, the slot that says whether its program has
        begun; in a scan it holds what the next scan will read."""
        self.starts: dict[str, list[Truth]] = {}
        """For each such slot, when a timer starts in a first scan."""
        self.noted: dict[Variable, list[Truth]] = {}
        """For each variable of which only this is wanted, when it is assigned TRUE."""
        self._statements = 0

    # --- values

    def read(self, slot: Slot) -> Term:
        return self._values[slot]

    def truth(self, slot: Slot) -> Truth:
        return truth_of(self._values[slot])

    def number(self, slot: Slot) -> Number:
        return number_of(self._values[slot])

    def write(self, slot: Slot, value: Term) -> None:
        frame = self.frames[-1]
        frame.hidden.setdefault(slot, self._values.get(slot))
        frame.changes[slot] = self._values[slot] = value

    def assign(self, variable: Variable, value: Term, where: Truth = True) -> None:
        """A statement gives the variable its value; ``where`` it is it and no other element."""
        self.write(variable, value)
        if variable.unset_at_call:
            slot = set_slot(variable)
            self.write(slot, either(self.truth(slot), where))

    def unset(self, variable: Variable) -> Truth:
        """Whether nothing was assigned to it since its routine began; of all variables that do not
        begin unset, and in formulas, FALSE."""
        slot = set_slot(variable) if variable.unset_at_call else None
        return negation(self.truth(slot)) if slot in self._values else False

    def sort(self, slot: Slot) -> z3.SortRef:
        return self.sorts[slot] if isinstance(slot, str) else sort_of(slot.type)

    def converted(self, value: Value, kind: Type, span: Span) -> Term:
        """A value of the typed program: durations from nanoseconds to units.

        Raises InputError for a duration that is not a whole number of units."""
        if not isinstance(kind, Duration):
            return value
        try:
            return self.clocking.units(Nanoseconds(value))
        except ValueError as error:
            message = f"this duration is not a whole number of time units: {error}"
            way = "choose a finer UNIT in the spec"
            raise wrong("duration-finer-than-unit", message, span, way) from error

    def reading(self, name: str) -> Truth:
        """A fixed reading's value, else the parameter that represents it."""
        fixed: bool | None = getattr(self.readings, name)
        if fixed is not None:
            return fixed
        return self.parameters.setdefault(name, symbol(PARAMETER_PREFIX + name, z3.BoolSort()))

    # --- control

    @property
    def dead(self) -> bool:
        return self.frames[-1].path is False

    def here(self) -> Truth:
        """The condition under which control is here; of many frames the lower ones' is shared."""
        condition: Truth = True
        first = 0
        while first + _SHARED < len(self.frames):
            frame = self.frames[first + _SHARED]
            if frame.below is None:
                paths = (each.path for each in self.frames[first : first + _SHARED])
                frame.below = all_of((condition, *paths))
            condition = frame.below
            first += _SHARED
        return all_of((condition, *(frame.path for frame in self.frames[first:])))

    def impossible(self, near: int | None = None) -> bool:
        """Whether z3 sees, with bounded effort, that control can never be here; of ``near``
        terms, where it is given, everything below them being arbitrary."""
        here = lifted(self.here(), z3.BoolSort())
        if near is None:
            return never(here, z3.Solver())
        return never(cut(here, near), z3.SimpleSolver())

    def count(self, span: Span) -> None:
        """Counts one statement; raises InputError where unrolling never comes to an end."""
        self._statements += 1
        if self._statements > MOST_STATEMENTS:
            message = (
                f"one scan runs more than {MOST_STATEMENTS} statements when its loops are "
                "written out"
            )
            way = "lower LOOPS in the spec, or let the loops run fewer rounds"
            raise wrong("scan-too-long", message, span, way)

    def find(self, kind: FindingKind, span: Span, condition: Truth) -> None:
        """The finding happens where control is here, the condition holds, and no other finding
        came before it in this scan (which the executor would have ended there)."""
        if condition is False:
            return
        happens = both(self.here(), condition)
        first = both(happens, negation(self._happened))
        if first is not False:
            self.found.setdefault(Finding(kind, span), []).append(first)
            self._happened = either(self._happened, happens)

    def find_unset(self, span: Span, unset: Truth) -> None:
        """A finding where something unset is read, and the platform gives it no value."""
        if unset is not False:
            left_over = negation(self.reading("temporaries_begin_anew"))
            self.find(FindingKind.READ_UNSET, span, both(left_over, unset))

    def open(self, kind: FrameKind, path: Truth = True) -> PathState:
        frame = PathState(kind, path)
        self.frames.append(frame)
        return frame

    def restrict(self, condition: Truth) -> None:
        """Control stays in the innermost frame only where the condition holds."""
        frame = self.frames[-1]
        frame.path = both(frame.path, condition)

    def jump(self, kind: FrameKind, condition: Truth = True) -> None:
        """Control leaves for the end of the innermost frame of this kind where the condition
        holds; the caller restricts the rest."""
        target = next(
            index for index in reversed(range(len(self.frames))) if self.frames[index].kind is kind
        )
        inner = self.frames[target + 1 :]
        local = both(all_of(frame.path for frame in inner), condition)
        exact = both(self.frames[target].path, local)
        if exact is False:
            return
        changes: dict[Slot, Term] = {}
        for frame in self.frames[target:]:
            changes.update(frame.changes)
        self.frames[target].jumps.append((exact, local, changes))
        for frame in inner:
            frame.left = True

    def leave(self) -> PathState:
        """Takes the innermost frame away, with all that it wrote."""
        frame = self.frames.pop()
        for slot, value in frame.hidden.items():
            if value is None:
                del self._values[slot]
            else:
                self._values[slot] = value
        return frame

    def close(self) -> None:
        """Ends the innermost frame: what it wrote, on whichever way, goes to the frame below."""
        frame = self.leave()
        ways = list(frame.jumps)
        if frame.path is not False:
            ways.append((frame.path, True, frame.changes))
        parent = self.frames[-1]
        if frame.left:
            parent.path = both(parent.path, any_of(way[0] for way in ways))
        if ways:
            self._merge([(way[1], way[2]) for way in ways])

    def _merge(self, ways: list[tuple[Truth, dict[Slot, Term]]]) -> None:
        """Writes the first way's changes whose condition holds; the last one needs none."""
        slots = dict.fromkeys(slot for _, changes in ways for slot in changes)
        for slot in slots:
            base = self.read(slot)
            sort = self.sort(slot)
            value = ways[-1][1].get(slot, base)
            for condition, changes in reversed(ways[:-1]):
                value = choose(condition, changes.get(slot, base), value, sort)
            self.write(slot, value)

    def close_branches(self, condition: Truth, chosen: PathState, otherwise: PathState) -> None:
        """Joins the two popped branches of a condition into the innermost frame."""
        parent = self.frames[-1]
        if chosen.left or otherwise.left:
            parent.path = both(parent.path, any_of((chosen.path, otherwise.path)))
        alive = [
            (way, frame.changes)
            for way, frame in ((condition, chosen), (True, otherwise))
            if frame.path is not False
        ]
        if alive:
            self._merge(alive)

    def end(self) -> Mapping[Slot, Term]:
        """The values at the end of the scan."""
        (frame,) = self.frames
        return frame.changes

    def findings(self) -> Iterable[tuple[Finding, z3.BoolRef]]:
        for finding, conditions in self.found.items():
            condition = any_of(conditions)
            if condition is not False:
                yield finding, lifted(condition, z3.BoolSort())
