"""What is to be asked of one specification: one system with all monitors, and numbered terms."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import z3

from twohand.engine.jobs import Problem
from twohand.engine.system.cone import cone
from twohand.engine.system.terms import name as name_of
from twohand.program import Read
from twohand.scan import serialisation as exchange
from twohand.scan.clocking import PARAMETER_PREFIX
from twohand.scan.finding import Finding
from twohand.scan.symbolic.encode import EncodedProgram, encode
from twohand.scan.transition_system import StateVariable, TransitionSystem
from twohand.specification.logic.formula import And, Atom, FirstScan, Formula, Once, Property
from twohand.specification.logic.monitor import Monitors
from twohand.specification.logic.monitor_quantity import QuantityTerms, quantity_terms
from twohand.specification.logic.quantity import Quantity
from twohand.specification.model.specification import Specification

_FOUND = "#a finding happened"
_WRONG = "#it was wrong before"


class Encoding:
    """Builds the system and its terms; equal terms have one number.

    Add everything first, then take ``problem``: all questions travel as the same text, but for
    those for which it matters how long the inputs have been as they are when a run begins. They
    are asked of runs with scans before power-up, which take longer to look at.
    InputError where an assumption is not one, or a duration is no whole number of units.
    """

    def __init__(self, specification: Specification, encoded: EncodedProgram | None = None) -> None:
        """``encoded`` (None: the specification's program) is what the questions are about."""
        spec = specification
        self.specification = spec
        encoding = encoded or encode(spec.program, spec.clocking, spec.readings, spec.loop_bound)
        self.encoded = encoding
        self._monitors = Monitors(encoding)
        for named in spec.assumptions:
            self._monitors.assume(named.formula)
        self._terms: list[z3.ExprRef] = []
        self._numbers: dict[int, int] = {}
        self._quantities: set[int] = set()
        self._clocks: list[StateVariable] = []
        self.findings = encoding.system.findings
        self.tick = encoding.system.tick

    def bad(self, property: Property) -> int:
        return self._number(self._monitors.bad(property))

    def formula(self, formula: Formula) -> int:
        return self._number(self._monitors.formula(formula))

    def quantity(self, quantity: Quantity) -> int:
        """The number of the first of the quantity's terms, which follow one another."""
        states, terms = quantity_terms(self._monitors, quantity)
        known = {state.name for state in self._clocks}
        self._clocks += [state for state in states if state.name not in known]
        first = len(self._terms)
        self._quantities.add(first)
        self._terms += terms.all
        return first

    def _number(self, term: z3.BoolRef) -> int:
        key = term.get_id()
        if key not in self._numbers:
            self._numbers[key] = len(self._terms)
            self._terms.append(term)
        return self._numbers[key]

    @property
    def system(self) -> TransitionSystem:
        return self._monitors.system.extended(tuple(self._clocks))

    @property
    def open_readings(self) -> list[str]:
        """The readings that the spec leaves open and the program depends on."""
        names = [state.name for state in self.system.states]
        return [n.removeprefix(PARAMETER_PREFIX) for n in names if n.startswith(PARAMETER_PREFIX)]

    @property
    def widest_system(self) -> TransitionSystem:
        """The system with everything that any question adds to it."""
        system = _after(self.system, z3.BoolVal(False))[0]
        return self._monitors.with_past(system, [])[0] if self._monitors.lasting else system

    def hangs_on_the_past(self, number: int | None) -> bool:
        """Whether it matters to this question (a quantity by its first number; None: to the
        assumptions) what the inputs were before the first scan."""
        if number is None:
            return self._hangs(self.system, [])
        count = QuantityTerms.COUNT if number in self._quantities else 1
        return self._hangs(self.system, self._terms[number : number + count])

    def _hangs(self, system: TransitionSystem, terms: Sequence[z3.ExprRef]) -> bool:
        lasting = self._monitors.lasting
        return bool(lasting) and any(s.name in lasting for s in cone(system, *terms).states)

    def problem(self, past: bool | None = None) -> Problem:
        """All questions, of runs with a ``past`` or without (None: with one where it matters)."""
        return self._problem(self.system, self._terms, past)

    def until_then(self, past: bool | None = None) -> Problem:
        """The same questions, asked of the scans up to the first finding; that one excluded."""
        happened = _any([term for _, term in self.findings])
        system, before = _after(self.system, happened)
        guard = z3.And(z3.Not(before), z3.Not(happened))
        terms = [z3.And(term, guard) if z3.is_bool(term) else term for term in self._terms]
        return self._problem(system, terms, past)

    def finding(self, wanted: Sequence[Finding], reported: Sequence[Finding]) -> Problem:
        """One question: whether one of ``wanted`` can happen before any of ``reported`` has."""
        terms = dict(self.findings)
        system, before = _after(self.system, _any([terms[finding] for finding in reported]))
        now = _any([terms[finding] for finding in wanted])
        earlier = _any([before, *(terms[finding] for finding in reported)])
        return self._problem(system, [z3.And(now, z3.Not(earlier))])

    def completed_scan(self) -> Problem:
        """One question: whether some scan (under power) has no finding and none before it."""
        happened = _any([term for _, term in self.findings])
        power = self.specification.power
        works = [] if power is None else [self._monitors.formula(Atom(Read(power, power.span)))]
        system, before = _after(self.system, happened)
        return self._problem(system, [z3.And(z3.Not(before), z3.Not(happened), *works)])

    def first_finding(self, term: z3.BoolRef) -> Problem:
        """One question: whether ``term`` can hold in a scan with no finding before that scan."""
        system, before = _after(self.system, _any([found for _, found in self.findings]))
        return self._problem(system, [z3.And(term, z3.Not(before))])

    def from_rest(self, property: Property, rest: Formula) -> Problem:
        """One question: whether the property can be refuted by a run without a finding, whose first
        scan is one of ``rest``."""
        rested = self._monitors.formula(Once(And((FirstScan(), rest))))
        now = _any([found for _, found in self.findings])
        return self.first_finding(z3.And(self._monitors.bad(property), rested, z3.Not(now)))

    def first_of_another_kind(
        self, asked: Property, other: Property, rest: Formula | None = None
    ) -> Problem:
        """One question: whether a run without a finding is wrong for the first time (refutes
        ``asked``) in a scan that refutes ``other`` as well, and begins with a scan of ``rest``,
        where that is given."""
        terms = [self._monitors.bad(asked), self._monitors.bad(other)]
        if rest is not None:
            terms.append(self._monitors.formula(Once(And((FirstScan(), rest)))))
        system, wrong = _after(self.system, terms[0], _WRONG)
        now = _any([term for _, term in self.findings])
        system, found = _after(system, now)
        return self._problem(system, [z3.And(*terms, z3.Not(z3.Or(wrong, found, now)))])

    def before_any(self, asked: Property, others: Sequence[Property]) -> Problem:
        """One question: whether a run without a finding refutes ``asked`` in a scan up to which it
        has refuted none of the ``others``."""
        term = self._monitors.bad(asked)
        wrong = _any([self._monitors.bad(other) for other in others])
        system, before = _after(self.system, wrong, _WRONG)
        now = _any([found for _, found in self.findings])
        system, found = _after(system, now)
        return self._problem(system, [z3.And(term, z3.Not(z3.Or(wrong, before, found, now)))])

    def _problem(
        self, system: TransitionSystem, terms: Sequence[z3.ExprRef], past: bool | None = None
    ) -> Problem:
        if self._hangs(system, terms) if past is None else past:
            system, terms = self._monitors.with_past(system, terms)
        text = exchange.dump(system, terms)
        hanging = tuple(self._hanging(system, terms))
        return Problem(text, equivalent=self.specification.equivalent, hanging=hanging)

    def _hanging(
        self, system: TransitionSystem, terms: Sequence[z3.ExprRef]
    ) -> Iterator[tuple[int, tuple[str, ...]]]:
        """The terms that depend on what nobody computes, and so do those with which a finding may
        come first that does."""
        uncomputed = {v.name: v.uncomputed for v in self.specification.program.uncomputed}
        if not uncomputed:
            return
        findings = [term for _, term in system.findings]
        for number, term in enumerate(terms):
            inputs = cone(system, term, *findings).inputs
            names = [uncomputed[n] for n in map(name_of, inputs) if n in uncomputed]
            if names:
                yield number, tuple(dict.fromkeys(names))


def _after(
    system: TransitionSystem, event: z3.BoolRef, name: str = _FOUND
) -> tuple[TransitionSystem, z3.BoolRef]:
    """The system with a flag of this name that says that ``event`` was in a scan before."""
    flag = z3.Bool(name)
    state = StateVariable(name, flag, z3.BoolVal(False), z3.Or(flag, event))
    return replace(system, states=(*system.states, state)), flag


def _any(terms: Sequence[z3.BoolRef]) -> z3.BoolRef:
    return z3.Or([*terms, z3.BoolVal(False)])
