"""The wiring between physical hands and the block's inputs, with the faults that are in it.

Hands are free inputs (``hand.left``); each scan the block's contact inputs are assigned from them,
before the plants run, and feedback that a fault changes is changed after them. What an affected
input would read without the fault stays readable as ``sound.<input>`` (of every contact where
contacts bounce, ``twohand.specification.surroundings.bounce``). A fault that stays begins with the
free input ``fault.begins`` and is ``fault.present`` from that scan on; the second one of a pair is
called ``second``. One that ends is present while the free input ``fault.there`` is TRUE, the first
time only or each time (``twohand.specification.model.fault.FaultCourse``).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from twohand.program import (
    Assign,
    Expression,
    Literal,
    Operator,
    Program,
    Read,
    Role,
    Statement,
    Variable,
)
from twohand.program.types import BOOL, Type
from twohand.specification.logic.formula import Atom, Formula, Once
from twohand.specification.model.fault import SHORTS, Fault, FaultCourse, FaultKind
from twohand.specification.model.specification import AssumedFaults, Contact, Hand, Lines
from twohand.specification.model.station_formulas import any_of, none_of
from twohand.specification.resolving.names import SpecificationScope
from twohand.specification.surroundings.bounce import Bounce, Bouncing, logic
from twohand.specification.surroundings.composition import Wiring
from twohand.syntax import tree
from twohand.text.diagnostic import wrong
from twohand.text.source_text import Span

HAND = "hand."
SOUND = "sound."
FAULTS = ("fault.", "second.")
MOST_FAULTS = len(FAULTS)

Values = dict[Variable, Expression]


@dataclass(frozen=True, eq=False)
class Wired:
    """``hands`` read the physical hands; ``healthy`` is what each wired input reads in a world
    without faults (and without bounce), by the block's input. ``settling`` and ``undisturbed``
    are those of ``Tolerance`` where contacts bounce (else {} and None)."""

    wiring: Wiring
    hands: tuple[Hand, ...]
    healthy: Mapping[Variable, Expression]
    assumed_faults: AssumedFaults | None
    settling: Mapping[str, Formula]
    undisturbed: Formula | None

    def scope(self, program: Program, named: Sequence[Variable]) -> SpecificationScope:
        """Names of the spec: ``named`` of the program's variables, and the hands."""
        scope = SpecificationScope(program, named)
        self._add_hands(scope)
        return scope

    def healthy_scope(self, program: Program, named: Sequence[Variable]) -> SpecificationScope:
        """The same for assumptions, which speak of the world without faults."""
        scope = _HealthyScope(program, named)
        scope.healthy = self.healthy
        self._add_hands(scope)
        return scope

    def _add_hands(self, scope: SpecificationScope) -> None:
        for hand in self.hands:
            scope.hands[hand.name.casefold()] = (hand.name, hand.pressed)


class _HealthyScope(SpecificationScope):
    healthy: Mapping[Variable, Expression]

    def resolve_name(self, name: tree.Name, expected: Type | None) -> Expression:
        found = super().resolve_name(name, expected)
        return self.healthy.get(found.variable, found) if isinstance(found, Read) else found


class HandWires:
    """The wiring of ``program``'s hands with at most two ``faults`` of ``lines`` in it;
    ``in_order``: the second does not begin before the first. ``bounce``: contacts bounce.

    InputError where the program's own names are in the way.
    """

    def __init__(
        self,
        lines: Lines,
        hands: Sequence[Hand],
        faults: Sequence[Fault],
        program: Program,
        in_order: bool = False,
        bounce: Bounce | None = None,
    ) -> None:
        if len(faults) > MOST_FAULTS:
            raise ValueError("at most two faults at once")
        if len(faults) > 1 and any(fault.course is not FaultCourse.STAYS for fault in faults):
            raise ValueError("each of two faults stays")
        self.lines = lines
        self.faults = faults
        self.program = program
        self.in_order = in_order
        self.inputs: list[Variable] = []
        self.others: list[Variable] = []
        self.first: list[Statement] = []
        self.then: list[Statement] = []
        self.driven: set[Variable] = set()
        self.hands = {hand.name: self._hand(hand) for hand in hands}
        self.physical = tuple(self._physical(hand) for hand in hands)
        self.healthy: Values = {}
        self.bouncing = None if bounce is None else Bouncing(bounce, self._choice, self._local)

    def wired(self) -> Wired:
        present = [self._present(number, each.course) for number, each in enumerate(self.faults)]
        active = list(zip(self.faults, present, strict=True))
        if self.bouncing is not None:
            self.bouncing.follow(list(self.hands.items()))
            self.first += self.bouncing.statements
        shown, sound = self._contacts(active)
        sound |= self._feedback(active)
        bouncing = self.bouncing
        wiring = Wiring(
            inputs=tuple(self.inputs),
            variables=(*self.inputs, *self.others, *(bouncing.pins if bouncing else ())),
            instances=() if bouncing is None else tuple(bouncing.instances),
            statements=tuple(self.then),
            driven=frozenset(self.driven),
            contacts=tuple(self.first),
        )
        disturbed = [Atom(logic(Operator.XOR, shown[v], self.healthy[v])) for v in shown]
        undisturbed = None if bouncing is None else none_of(disturbed)
        assumed = self._assumed(present, sound)
        moving = {} if bouncing is None else bouncing.settling
        settling = {name: Atom(Read(v, v.span)) for name, v in moving.items()}
        return Wired(wiring, self.physical, self.healthy, assumed, settling, undisturbed)

    def _assumed(self, present: Sequence[Variable], sound: Values) -> AssumedFaults | None:
        if not self.faults:
            return None
        changed = [
            Atom(logic(Operator.XOR, Read(variable, value.span), value))
            for variable, value in sound.items()
        ]
        there = Atom(Read(present[0], self._span))
        begun = there if self.faults[0].course is FaultCourse.STAYS else Once(there)
        return AssumedFaults(tuple(self.faults), begun, there, any_of(changed))

    # --- variables ----------------------------------------------------------------------------

    def _physical(self, hand: Hand) -> Hand:
        """The hand as it is read where its contacts are wired."""
        itself = Read(self.hands[hand.name], hand.span)
        return replace(hand, pressed=itself, contacts=(itself,))

    def _hand(self, hand: Hand) -> Variable:
        return self._input(f"{HAND}{hand.name}", hand.span)

    def _input(self, name: str, span: Span) -> Variable:
        return self._added(Variable(name, BOOL, Role.INPUT, False, span), self.inputs)

    def _choice(self, name: str, span: Span) -> Variable:
        """An input of the surroundings."""
        chosen = Variable(name, BOOL, Role.INPUT, False, span, surroundings=True)
        return self._added(chosen, self.inputs)

    def _local(self, name: str, span: Span) -> Variable:
        return self._added(Variable(name, BOOL, Role.LOCAL, False, span), self.others)

    def _added(self, variable: Variable, members: list[Variable]) -> Variable:
        name = variable.name
        prefix = name.partition(".")[0].casefold() + "."
        for other in self.program.variables:
            if other.name.casefold().startswith(prefix):
                raise wrong(
                    "ambiguous-name",
                    f"the program has a '{other.name}', and '{name}' is to be what the "
                    "spec adds around it",
                    other.span,
                    "rename it in the block, or name the plant otherwise",
                )
        members.append(variable)
        return variable

    def _present(self, number: int, course: FaultCourse) -> Variable:
        """The variable that says that this fault is there, as it is assigned in each scan."""
        prefix, span = FAULTS[number], self._span
        stays = course is FaultCourse.STAYS
        chosen = Read(self._choice(f"{prefix}{'begins' if stays else 'there'}", span), span)
        present = self._local(f"{prefix}present", span)
        there: Expression = chosen
        if stays:
            if number and self.in_order:
                there = logic(Operator.AND, there, Read(self.others[0], span))
            there = logic(Operator.OR, Read(present, span), there)
        elif course is FaultCourse.ONCE:
            over = self._local(f"{prefix}over", span)
            ends = logic(Operator.AND, Read(present, span), logic(Operator.NOT, chosen))
            self.first.append(Assign(over, logic(Operator.OR, Read(over, span), ends), span))
            there = logic(Operator.AND, chosen, logic(Operator.NOT, Read(over, span)))
        self.first.append(Assign(present, there, span))
        return present

    @property
    def _span(self) -> Span:
        """Where the wiring is stated: the first contact, else the first supply."""
        if self.lines.contacts:
            return self.lines.contacts[0].span
        return self.lines.supplies[0].span

    # --- contacts -----------------------------------------------------------------------------

    def _contacts(self, active: Sequence[tuple[Fault, Variable]]) -> tuple[Values, Values]:
        """Assigns every contact's input; gives what every contact shows without a fault, and that
        of those which one affects."""
        values: Values = {}
        shown: Values = {}
        sound: Values = {}
        for contact in self.lines.contacts:
            value = self.healthy[contact.input] = self._closed(contact)
            if self.bouncing is not None:
                value = self.bouncing.shown(contact, value)
            affected = any(self._affects(fault, contact.input) for fault, _ in active)
            if affected or self.bouncing is not None:
                value = self._kept(contact.input, value, self.first)
            if affected:
                sound[contact.input] = value
            shown[contact.input] = value
            values[contact.input] = self._conducting(contact.input, value, active)
        joined = {**values, **self._wires(active)}
        for _ in range(len(active)):  # a chain of two shorts joins three lines
            joined = self._shorted(joined, active)
        for variable in values:
            value = joined[variable]
            self.first.append(Assign(variable, value, value.span))
            self.driven.add(variable)
        return shown, sound

    def _wires(self, active: Sequence[tuple[Fault, Variable]]) -> Values:
        """What outputs show as the inputs are sampled: what the scan before wrote, and nothing
        before the first one."""
        if not any(fault.kind is FaultKind.OUTPUT_SHORT for fault, _ in active):
            return {}
        wires: Values = {v: Read(v, v.span) for v in self.lines.outputs}
        on = [v for v in wires if v.initial]
        if on:
            written = self._local(f"{FAULTS[0]}written", self._span)
            self.then.append(Assign(written, Literal(True, BOOL, self._span), self._span))
            for each in on:
                wires[each] = logic(Operator.AND, wires[each], Read(written, self._span))
        return wires

    def _closed(self, contact: Contact) -> Expression:
        """What the contact shows while it is healthy."""
        on = Read(self.hands[contact.hand], contact.span)
        return logic(Operator.NOT, on) if contact.opens else on

    def _affects(self, fault: Fault, variable: Variable) -> bool:
        if fault.kind is FaultKind.SUPPLY_LOST:
            return variable in self._supplied(fault)
        return variable.name in fault.names

    def _supplied(self, fault: Fault) -> Iterable[Variable]:
        for supply in self.lines.supplies:
            if supply.name == fault.names[0]:
                return supply.inputs
        raise ValueError(f"no supply '{fault.names[0]}'")

    def _kept(self, variable: Variable, value: Expression, into: list[Statement]) -> Expression:
        kept = self._local(f"{SOUND}{variable.name}", value.span)
        into.append(Assign(kept, value, value.span))
        return Read(kept, value.span)

    def _conducting(
        self, variable: Variable, value: Expression, active: Sequence[tuple[Fault, Variable]]
    ) -> Expression:
        """``value`` with what is stuck in the line or lacks its voltage; the supply counts most."""
        order = sorted(active, key=lambda item: item[0].kind is FaultKind.SUPPLY_LOST)
        for fault, present in order:
            if not self._affects(fault, variable):
                continue
            there = Read(present, value.span)
            match fault.kind:
                case FaultKind.STUCK_CLOSED | FaultKind.STUCK_TRUE:
                    value = logic(Operator.OR, value, there)
                case FaultKind.STUCK_OPEN | FaultKind.STUCK_FALSE | FaultKind.SUPPLY_LOST:
                    value = logic(Operator.AND, value, logic(Operator.NOT, there))
                case FaultKind.SHORT | FaultKind.OUTPUT_SHORT:
                    pass
        return value

    def _shorted(self, values: Values, active: Sequence[tuple[Fault, Variable]]) -> Values:
        joined = dict(values)
        for fault, present in active:
            if fault.kind not in SHORTS:
                continue
            one, other = (next(v for v in values if v.name == name) for name in fault.names)
            for here, there in ((one, other), (other, one)):
                value = values[there]
                from_there = logic(Operator.AND, Read(present, value.span), value)
                joined[here] = logic(Operator.OR, joined[here], from_there)
        return joined

    # --- feedback -----------------------------------------------------------------------------

    def _feedback(self, active: Sequence[tuple[Fault, Variable]]) -> Values:
        """Changes what a fault affects; what nothing drives becomes an input before the fault."""
        sound: Values = {}
        for variable in self.lines.feedback:
            if not any(self._affects(fault, variable) for fault, _ in active):
                continue
            if variable in self.program.inputs:
                free = self._input(f"{SOUND}{variable.name}", variable.span)
                value: Expression = Read(free, variable.span)
                self.healthy[variable] = value
                self.driven.add(variable)
                into = self.first
            else:
                into = self.then
                value = self._kept(variable, Read(variable, variable.span), into)
            sound[variable] = value
            changed = self._conducting(variable, value, active)
            into.append(Assign(variable, changed, variable.span))
        return sound
