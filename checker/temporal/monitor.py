"""Requirements as monitors: a formula becomes a term over a little state of its own.

The term gives the formula's value at the end of the scan that a step takes; it reads the state
before the scan, the step's inputs, ``elapsed`` and ``scans``. Nothing is approximated: one clock
is exact for the bounds that ``Bound`` allows (the last occurrence decides about ``[0, b]``, the
first about ``[a, inf)``).

Distances count from the first scan on: its own ``elapsed`` never enters a clock, because no clock
runs before something has been seen. A clock without meaning stands at 0, so that equal pasts are
equal states.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import z3

from checker.scan.system import StateKind, StateVariable, TransitionSystem
from checker.source.diagnostic import Diagnostic, InputError
from checker.source.program import Variable
from checker.source.text import Span
from checker.temporal.formula import (
    Always,
    And,
    Atom,
    Before,
    Bound,
    Fell,
    FirstScan,
    Formula,
    Historically,
    History,
    Iff,
    Implies,
    Not,
    Once,
    Or,
    Previous,
    Property,
    Response,
    Rose,
    Since,
    Until,
)
from checker.temporal.formula_words import Wording, bottom_up, single, source_words

if TYPE_CHECKING:
    from checker.scan.encode import Encoding

FIRST = ("first scan",)


class Monitors:
    """Monitors beside one encoded program; equal subformulas share their state."""

    def __init__(self, encoding: Encoding) -> None:
        self._encoding = encoding
        self._base: TransitionSystem = encoding.system
        self._context = self._base.elapsed.ctx
        self._states: list[StateVariable] = []
        self._constraints: list[z3.BoolRef] = []
        self._names = {state.name for state in self._base.states}
        self._names |= {symbol.decl().name() for symbol in self._base.inputs}
        self._names |= {s.decl().name() for s in (self._base.elapsed, self._base.scans)}
        self._shared: dict[tuple[object, ...], z3.ExprRef] = {}
        self._kept: list[z3.ExprRef] = []
        self._formulas: dict[int, tuple[Formula, z3.BoolRef]] = {}
        self._histories: dict[Variable, z3.ExprRef] = {}
        self._wording = Wording()

    @property
    def system(self) -> TransitionSystem:
        """The encoding's system with the state and assumptions of all monitors so far."""
        return self._base.extended(tuple(self._states), tuple(self._constraints))

    def formula(self, formula: Formula) -> z3.BoolRef:
        """The value at the end of this scan. ValueError for a bound with two proper sides."""
        for part in bottom_up(formula, lambda f: id(f) in self._formulas):
            self._formulas[id(part)] = (part, self._term(part))
        return self._formulas[id(formula)][1]

    def assume(self, formula: Formula) -> None:
        """Every scan of every run is one in which ``formula`` holds.

        InputError where the formula depends on how long this very scan took: a run can choose its
        inputs, never its past, and an assumption about the elapsed time would stop time instead.
        """
        term = self.formula(formula)
        if _mentions(term, (self._base.elapsed, self._base.scans)):
            raise InputError(
                Diagnostic(
                    "timed-assumption",
                    f"the assumption {self._wording.of(formula)} depends on how long the last"
                    " scan took",
                    _first_span(formula),
                    "assume something of the inputs now and in earlier scans; a bound may stand"
                    " inside prev(..)",
                )
            )
        self._constraints.append(term)

    def bad(self, property: Property) -> z3.BoolRef:
        """TRUE in the scan in which the property is refuted (and maybe later)."""
        match property:
            case Always():
                return z3.Not(self.formula(property.formula))
            case Response():
                return self._late(property)
            case Until():
                hold, release = self.formula(property.hold), self.formula(property.release)
                waiting = self._waiting(property.trigger, property.release)
                return z3.And(
                    z3.Or(waiting, self.formula(property.trigger)), z3.Not(hold), z3.Not(release)
                )
            case Before():
                not_second = Not(property.second)
                first_alone = And((property.first, not_second))
                return self.bad(Until(property.trigger, not_second, first_alone))

    # --- terms --------------------------------------------------------------------------------

    def _term(self, formula: Formula) -> z3.BoolRef:
        """The term of a formula whose subformulas have theirs."""
        match formula:
            case Atom():
                return self._atom(formula)
            case FirstScan():
                return self._first_scan()
            case Not():
                return z3.Not(self.formula(formula.operand))
            case And():
                return self._joined(z3.And, formula.operands, empty=True)
            case Or():
                return self._joined(z3.Or, formula.operands, empty=False)
            case Implies():
                return z3.Implies(self.formula(formula.left), self.formula(formula.right))
            case Iff():
                return self.formula(formula.left) == self.formula(formula.right)
            case Previous():
                return self._previous(formula)
            case Rose():
                before, now = self._before(formula.operand), self.formula(formula.operand)
                return z3.And(z3.Not(self._first_scan()), z3.Not(before), now)
            case Fell():
                before, now = self._before(formula.operand), self.formula(formula.operand)
                return z3.And(z3.Not(self._first_scan()), before, z3.Not(now))
            case Once():
                term = self.formula(formula.operand)
                return self._since(None, term, self._wording.of(formula.operand), formula.bound)
            case Historically():
                term = z3.Not(self.formula(formula.operand))
                words = self._wording.negated(formula.operand)
                return z3.Not(self._since(None, term, words, formula.bound))
            case Since():
                release = self._wording.of(formula.release)
                words = f"{release} while {single(self._wording.of(formula.hold))}"
                hold_term = self.formula(formula.hold)
                return self._since(hold_term, self.formula(formula.release), words, formula.bound)

    def _joined(self, join: type, operands: tuple[Formula, ...], *, empty: bool) -> z3.BoolRef:
        if not operands:
            return z3.BoolVal(empty, self._context)
        terms = [self.formula(operand) for operand in operands]
        return terms[0] if len(terms) == 1 else join(terms)

    def _atom(self, atom: Atom) -> z3.BoolRef:
        overlay: dict[Variable, z3.ExprRef] = {}
        for history in atom.histories:
            if history.variable not in self._histories:
                self._histories[history.variable] = self._history(history, overlay)
            overlay[history.variable] = self._histories[history.variable]
        return self._encoding.expression(atom.expression, overlay)

    def _history(self, history: History, overlay: dict[Variable, z3.ExprRef]) -> z3.ExprRef:
        now = self._encoding.expression(history.expression, overlay)
        return self._back(now, source_words(history.expression.span), history.count)

    def _previous(self, formula: Previous) -> z3.BoolRef:
        now = self.formula(formula.operand)
        return self._back(now, self._wording.of(formula.operand), formula.count)

    def _back(self, now: z3.ExprRef, words: str, count: int) -> z3.ExprRef:
        """What ``now`` was ``count`` scans before, the first scan's value before that."""
        if count < 0:
            raise ValueError("a count of scans back is not negative")
        value = now
        for distance in range(1, count + 1):
            name = f"last({words})" if distance == 1 else f"last({words}, {distance})"
            value = z3.If(self._first_scan(), value, self._last(value, name))
        return value

    def _before(self, operand: Formula) -> z3.BoolRef:
        return self._last(self.formula(operand), f"last({self._wording.of(operand)})")

    # --- state --------------------------------------------------------------------------------

    def _first_scan(self) -> z3.BoolRef:
        if FIRST not in self._shared:
            true, false = z3.BoolVal(True, self._context), z3.BoolVal(False, self._context)
            self._shared[FIRST] = self._state("first scan", true, lambda _: false)
        return self._shared[FIRST]

    def _last(self, now: z3.ExprRef, name: str) -> z3.ExprRef:
        """What ``now`` was in the scan before; not to be used in the first scan."""
        key = self._key("last", now)
        if key not in self._shared:
            self._shared[key] = self._state(name, _zero(now.sort()), lambda _: now)
        return self._shared[key]

    def _since(
        self, hold: z3.BoolRef | None, release: z3.BoolRef, words: str, bound: Bound | None
    ) -> z3.BoolRef:
        """``release`` at a scan within ``bound``, ``hold`` ever since (None: nothing to hold)."""
        before = self._lasting(hold, release, words)
        kept = before if hold is None else z3.And(hold, before)
        lasting = z3.Or(release, kept)
        if bound is None or (bound.low == 0 and bound.high is None):
            return lasting
        if bound.low > 0 and bound.high is not None:
            raise ValueError("a bound with two proper sides needs more than one clock")
        first = bound.high is None
        restarts = z3.Not(kept) if first else z3.Or(release, z3.Not(kept))
        name = f"since {'first ' if first else ''}{words}"
        age = self._age(restarts, name, bound.in_scans)
        return z3.And(lasting, self._within(age, bound))

    def _lasting(self, hold: z3.BoolRef | None, release: z3.BoolRef, words: str) -> z3.BoolRef:
        """Whether ``release`` was seen before this scan and ``hold`` in every scan after it."""
        key = self._key("since", release, *(() if hold is None else (hold,)))
        if key not in self._shared:

            def update(symbol: z3.ExprRef) -> z3.ExprRef:
                return z3.Or(release, symbol if hold is None else z3.And(hold, symbol))

            self._shared[key] = self._state(
                f"once({words})" if hold is None else f"since({words})",
                z3.BoolVal(False, self._context),
                update,
            )
        return self._shared[key]

    def _waiting(self, trigger: Formula, answer: Formula) -> z3.BoolRef:
        """Whether a ``trigger`` before this scan has had no ``answer`` since."""
        asked, answered = self.formula(trigger), self.formula(answer)
        key = self._key("waiting", asked, answered)
        if key not in self._shared:
            self._shared[key] = self._state(
                f"waiting({self._waiting_words(trigger, answer)})",
                z3.BoolVal(False, self._context),
                lambda symbol: z3.And(z3.Or(symbol, asked), z3.Not(answered)),
            )
        return self._shared[key]

    def _late(self, response: Response) -> z3.BoolRef:
        """This scan lies beyond the bound of the oldest trigger that is unanswered so far."""
        bound = response.bound
        if bound.low != 0 or bound.high is None:
            raise ValueError("a response is asked for within 0 to a greatest distance")
        waiting = self._waiting(response.trigger, response.answer)
        restarts = z3.Or(z3.Not(waiting), self.formula(response.answer))
        words = self._waiting_words(response.trigger, response.answer)
        # The answer of this very scan comes too late where the scan lies beyond the bound, so
        # the age is that before any restart.
        clock = self._clock(restarts, f"waiting {words}", bound.in_scans)
        age = clock + self._pace(bound.in_scans)
        return z3.And(waiting, z3.Not(self._within(age, bound)))

    def _waiting_words(self, trigger: Formula, answer: Formula) -> str:
        return f"for {single(self._wording.of(answer))} after {single(self._wording.of(trigger))}"

    # --- clocks -------------------------------------------------------------------------------

    def _pace(self, in_scans: bool) -> z3.ArithRef:
        return self._base.scans if in_scans else self._base.elapsed

    def _clock(self, restarts: z3.BoolRef, name: str, in_scans: bool) -> z3.ArithRef:
        """Ticks (or scans) from the last scan with ``restarts`` to the last scan."""
        key = self._key("scans" if in_scans else "time", restarts)
        if key not in self._shared:
            zero, pace = z3.IntVal(0, self._context), self._pace(in_scans)
            self._shared[key] = self._state(
                f"{'scans' if in_scans else 'time'} {name}",
                zero,
                lambda symbol: z3.If(restarts, zero, symbol + pace),
                StateKind.CLOCK,
            )
        return self._shared[key]

    def _age(self, restarts: z3.BoolRef, name: str, in_scans: bool) -> z3.ArithRef:
        """What the clock shows at the end of this scan."""
        clock = self._clock(restarts, name, in_scans)
        return z3.If(restarts, z3.IntVal(0, self._context), clock + self._pace(in_scans))

    def _within(self, age: z3.ArithRef, bound: Bound) -> z3.BoolRef:
        """``bound`` in ticks: a whole number of ticks is at most b / tick rounded down, at least
        a / tick rounded up."""
        tick = 1 if bound.in_scans else self._base.tick
        if bound.high is None:
            return age >= -(-bound.low // tick)
        return age <= bound.high // tick

    def _state(
        self,
        name: str,
        initial: z3.ExprRef,
        update: Callable[[z3.ExprRef], z3.ExprRef],
        kind: StateKind = StateKind.DISCRETE,
    ) -> z3.ExprRef:
        """A new state variable with a name that nothing else has; ``update`` may read itself."""
        unique, number = name, 1
        while unique in self._names:
            number += 1
            unique = f"{name} #{number}"
        self._names.add(unique)
        symbol = z3.Const(unique, initial.sort())
        self._states.append(StateVariable(unique, symbol, initial, update(symbol), kind))
        return symbol

    def _key(self, purpose: str, *terms: z3.ExprRef) -> tuple[object, ...]:
        """Terms are shared within a context, so a term's number stands for its structure; the
        terms are kept, else a number could be given to another."""
        self._kept.extend(terms)
        return (purpose, *(term.get_id() for term in terms))


def _zero(sort: z3.SortRef) -> z3.ExprRef:
    """A value that is never read, the same in every state."""
    if sort.kind() == z3.Z3_BOOL_SORT:
        return z3.BoolVal(False, sort.ctx)
    if sort.kind() == z3.Z3_BV_SORT:
        return z3.BitVecVal(0, sort)
    return z3.IntVal(0, sort.ctx)


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


def _first_span(formula: Formula) -> Span | None:
    parts = bottom_up(formula, lambda _: False)
    return next((part.expression.span for part in parts if isinstance(part, Atom)), None)
