"""What monitors remember from scan to scan: values of the scan before, flags, clocks.

Equal memories are kept once. A clock without meaning is 0, so that equal pasts are equal
states. What is ``older`` than the run is kept apart: it has seen what was before the first scan
(``twohand.specification.logic.before_power_up``).
"""

from __future__ import annotations

from collections.abc import Callable

import z3

from twohand.scan.sorts import Sorted, boolean, of_sort
from twohand.scan.transition_system import StateKind, StateVariable, TransitionSystem


class MonitorMemory:
    """State variables beside those of ``base``."""

    def __init__(self, base: TransitionSystem) -> None:
        self.base = base
        self.states: list[StateVariable] = []
        self._context = base.elapsed.ctx
        self._names = {state.name for state in base.states}
        self._names |= {symbol.decl().name() for symbol in base.inputs}
        self._names |= {symbol.decl().name() for symbol in (base.elapsed, base.scans)}
        self._shared: dict[tuple[object, ...], z3.ExprRef] = {}
        self._kept: list[z3.ExprRef] = []
        self.older: set[str] = set()
        """The names of the states that are older than the run."""
        self.lasting: set[str] = set()
        """Those of them that remember more than the scan before."""

    def first_scan(self) -> z3.BoolRef:
        true, false = z3.BoolVal(True, self._context), z3.BoolVal(False, self._context)
        return self._state(("first scan",), "first scan", true, lambda _: false)

    @property
    def first_scan_symbol(self) -> z3.BoolRef | None:
        """The state that ``first_scan`` gives; None where nothing has asked for it."""
        symbol = self._shared.get(("first scan",))
        return None if symbol is None else boolean(symbol)

    def last(self, now: Sorted, words: str, older: bool = False) -> Sorted:
        """What ``now`` was in the scan before; without meaning in the first scan."""
        key = self._key("last", older, now)
        last = self._state(key, f"last({words})", _zero(now), lambda _: now)
        if older:
            self.older.add(last.decl().name())
        return last

    def flag(
        self,
        starts: z3.BoolRef,
        holds: z3.BoolRef | None,
        ends: z3.BoolRef | None,
        name: str,
        older: bool = False,
    ) -> z3.BoolRef:
        """TRUE after a scan with ``starts``, and on while ``holds``; FALSE after one with
        ``ends``, whatever else it has (None: always holds, never ends)."""

        def update(symbol: z3.BoolRef) -> z3.BoolRef:
            kept = symbol if holds is None else z3.And(holds, symbol)
            on = z3.Or(starts, kept)
            return on if ends is None else z3.And(on, z3.Not(ends))

        true, false = z3.BoolVal(True, self._context), z3.BoolVal(False, self._context)
        terms = (starts, true if holds is None else holds, false if ends is None else ends)
        flag = self._state(self._key("flag", older, *terms), name, false, update)
        return self._lasting(flag, older)

    def clock(
        self,
        restarts: z3.BoolRef,
        name: str,
        in_scans: bool,
        stopped: z3.BoolRef | None = None,
        older: bool = False,
    ) -> tuple[z3.ArithRef, z3.ArithRef]:
        """How far the last scan with ``restarts`` lies back, in ticks or scans: at the end of
        this scan, and what it is at the end of this scan if this scan restarts nothing. Where all
        scans are as long, and a tick is shorter, it counts scans.

        ``stopped`` says, where given, that the scan before restarted it.
        """
        zero: z3.ArithRef = z3.IntVal(0, self._context)
        in_scans = in_scans or self.base.whole_scan > 1
        pace = self.base.scans if in_scans else self.base.elapsed

        def advanced(clock: z3.ArithRef) -> z3.ArithRef:
            return (clock if stopped is None else z3.If(stopped, zero, clock)) + pace

        clock = self._state(
            self._key("scans" if in_scans else "time", older, restarts),
            f"{'scans' if in_scans else 'time'} {name}",
            zero,
            lambda symbol: z3.If(restarts, zero, advanced(symbol)),
            StateKind.CLOCK,
        )
        self._lasting(clock, older)
        return z3.If(restarts, zero, advanced(clock)), advanced(clock)

    def _lasting(self, symbol: Sorted, older: bool) -> Sorted:
        if older:
            self.older.add(symbol.decl().name())
            self.lasting.add(symbol.decl().name())
        return symbol

    def stop(self, stops: z3.BoolRef, words: str, older: bool = False) -> z3.BoolRef | None:
        """Whether ``stops`` kept a clock at 0 in the scan before; None where a step of many scans
        cannot miss that.

        Such a step takes it that nothing discrete changed inside it. Where ``stops`` can change
        by time alone, the clock begins to run with no input changed, and only this shows it.
        """
        return self.last(stops, words, older) if self.timed(stops) else None

    def timed(self, term: z3.ExprRef) -> bool:
        """Whether the term reads how long this scan took."""
        return _mentions(term, (self.base.elapsed, self.base.scans))

    def first_apart(self, term: z3.BoolRef) -> tuple[z3.BoolRef, z3.BoolRef]:
        """An equal term that says apart what it is in the first scan, where all monitors are in
        their initial state: what no clock has to do with is then seen to be so. Beside it the same
        for runs with a past, in whose first scan they are not."""
        first = self.first_scan()
        initial = [(s.symbol, s.initial) for s in self.states if s.initial is not None]
        false = z3.BoolVal(False, self._context)
        in_first = z3.simplify(z3.substitute(term, *initial))
        later = z3.simplify(z3.substitute(term, (first, false)))
        true = z3.BoolVal(True, self._context)
        at_power_up = z3.simplify(z3.substitute(term, (first, true)))
        return z3.If(first, in_first, later), z3.If(first, at_power_up, later)

    def _state(
        self,
        key: tuple[object, ...],
        name: str,
        initial: Sorted,
        update: Callable[[Sorted], Sorted],
        kind: StateKind = StateKind.DISCRETE,
    ) -> Sorted:
        """The state with this key; a new one gets a name that nothing else has."""
        if key not in self._shared:
            unique, number = name, 1
            while unique in self._names:
                number += 1
                unique = f"{name} #{number}"
            self._names.add(unique)
            symbol = z3.Const(unique, initial.sort())
            self.states.append(StateVariable(unique, symbol, initial, update(symbol), kind))
            self._shared[key] = symbol
        return of_sort(self._shared[key], initial)

    def _key(self, purpose: str, older: bool, *terms: z3.ExprRef) -> tuple[object, ...]:
        """Terms are shared within a context, so a term's number identifies its structure; the
        terms are kept, else a number could be given to another."""
        self._kept.extend(terms)
        return (purpose, older, *(term.get_id() for term in terms))


def opposite(term: z3.BoolRef) -> z3.BoolRef:
    """NOT, without doubling it."""
    return boolean(term.arg(0)) if z3.is_not(term) else z3.Not(term)


def _zero(like: Sorted) -> Sorted:
    """A value that is never read, the same in every state."""
    zero: z3.ExprRef = z3.IntVal(0, like.ctx)
    if z3.is_bool(like):
        zero = z3.BoolVal(False, like.ctx)
    elif z3.is_bv(like):
        zero = z3.BitVecVal(0, like.size(), like.ctx)
    return of_sort(zero, like)


def _mentions(term: z3.ExprRef, symbols: tuple[z3.ExprRef, ...]) -> bool:
    wanted = {symbol.get_id() for symbol in symbols}
    seen: set[int] = set()
    stack = [term]
    while stack:
        current = stack.pop()
        number = current.get_id()
        if number in wanted:
            return True
        if number not in seen:
            seen.add(number)
            stack.extend(current.children())
    return False
