"""Hands, stations and outputs: what the spec's names mean in the program."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from twohand.program import Expression, Literal, Operation, Operator, Program, Read, Variable
from twohand.program.types import BOOL
from twohand.program.walks import variables_read
from twohand.specification.logic.formula import Atom, Iff, Named
from twohand.specification.model.specification import Hand, Station
from twohand.specification.phrases import written
from twohand.specification.problems import REMOVE_ONE, Problems
from twohand.specification.resolving.defined_values import refuse_partial
from twohand.specification.resolving.formula_builder import plain_expression
from twohand.specification.resolving.names import SpecificationScope, boolean, unknown
from twohand.specification.syntax.formulas import FormulaNode
from twohand.specification.syntax.nodes import HandStatement, OutputStatement, StationStatement
from twohand.syntax import tree
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import Span
from twohand.typecheck.expressions.expressions import resolve_expression

OTHER_HAND = "choose another name; further contacts of one hand follow a comma"
OWN_CONTACT = "name the input of this hand's own actuator"
ONLY_STATION = "station"
"""The name of the station where the spec states none."""
ONE_STATION = "a hand belongs to one station; remove it here or there"


def determined_by_inputs(
    node: FormulaNode,
    what: str,
    program: Program,
    scope: SpecificationScope,
    constant: InputError,
    way: str,
) -> Expression:
    """The Boolean expression of ``what``, which inputs alone determine; ``constant`` is raised
    where it reads none, ``way`` is the way out where it reads something else."""
    plain = plain_expression(node, what)
    expression = boolean(resolve_expression(plain, scope, BOOL), node.span)
    refuse_partial(expression)
    reads = list(variables_read(expression))
    if not reads:
        raise constant
    for read in reads:
        if read.variable not in program.sampled:
            message = f"'{read.variable.name}' is no input that is read from outside"
            raise wrong("not-an-input", message, read.span, way)
    return expression


class HandReader:
    """Resolves HAND statements; ``assumptions`` say that further contacts agree with the first,
    ``contacts`` are the expressions of all contacts by hand."""

    def __init__(self, program: Program, scope: SpecificationScope, problems: Problems) -> None:
        self.program = program
        self.scope = scope
        self.problems = problems
        self.assumptions: list[Named] = []
        self.contacts: dict[str, tuple[Expression, ...]] = {}

    def hands(self, statements: Sequence[HandStatement]) -> list[Hand]:
        """The hands that could be resolved, each with its name in the scope.

        The name of a hand with problems is known as well, so that its uses are not reported.
        """
        known: list[tree.Identifier] = []
        spans: dict[str, Span] = {}
        hands: list[Hand] = []
        for statement in statements:
            name = statement.name
            message = f"there is a hand '{name.text}' already"
            if not self.problems.is_new(spans, name.key, name.span, message, OTHER_HAND):
                continue
            known.append(name)
            with self.problems.collected():
                hands.append(self._hand(statement))
        self._contacts_apart(hands)
        for name in known:
            pressed: Expression = Literal(False, BOOL, name.span)
            for hand in hands:
                pressed = hand.pressed if hand.name.upper() == name.key else pressed
            self.scope.add_hand(name, pressed)
        return hands

    def _contacts_apart(self, hands: Sequence[Hand]) -> None:
        """No input is a contact of two hands: one of them would move both."""
        taken: dict[Variable, tuple[Hand, Expression]] = {}
        for hand in hands:
            for contact in self.contacts[hand.name]:
                variable = _plain_input(contact)
                if variable is None:
                    continue
                owner, first = taken.setdefault(variable, (hand, contact))
                if owner is not hand:
                    message = f"'{variable.name}' is a contact of the hand '{owner.name}' already"
                    self.problems.repeated(
                        "shared-contact", message, contact.span, first.span, OWN_CONTACT
                    )

    def _hand(self, statement: HandStatement) -> Hand:
        first, *others = [self._contact(contact) for contact in statement.contacts]
        self._check_name(statement.name, first)
        self.contacts[statement.name.text] = (first, *others)
        for node, other in zip(statement.contacts[1:], others, strict=True):
            agree = Iff(Atom(first), Atom(other))
            self.assumptions.append(Named(agree, node.span, stated=False))
        return Hand(statement.name.text, first, statement.name.span, (first, *others))

    def _contact(self, node: FormulaNode) -> Expression:
        constant = wrong(
            "constant-hand",
            "this contact reads no input",
            node.span,
            "name the input that is on while the hand is on its actuator",
        )
        way = "a hand is determined by inputs alone: name a VAR_INPUT of the block"
        return determined_by_inputs(node, "a hand", self.program, self.scope, constant, way)

    def _check_name(self, name: tree.Identifier, pressed: Expression) -> None:
        """A hand may bear a name of the program only where it is that very variable."""
        if name.text.casefold() not in {known.casefold() for known in self.scope.names()}:
            return
        if isinstance(pressed, Read) and pressed.variable is self.scope.variable(name):
            return
        message = f"the program has a '{name.text}' that is not this hand"
        raise wrong("ambiguous-name", message, name.span, "give the hand another name")


def _plain_input(contact: Expression) -> Variable | None:
    """The input that a contact is, negated or not; None for any other expression."""
    while isinstance(contact, Operation) and contact.operator is Operator.NOT:
        (contact,) = contact.operands
    return contact.variable if isinstance(contact, Read) else None


def resolve_stations(
    statements: Sequence[StationStatement], hands: Sequence[Hand], problems: Problems
) -> tuple[Station, ...]:
    """Every hand in exactly one station; without STATION all in one."""
    if not statements:
        if not hands:
            return ()
        span = hands[0].span.through(hands[-1].span)
        return (Station(ONLY_STATION, tuple(hands), span),)
    by_name = {hand.name.upper(): hand for hand in hands}
    taken: dict[str, Span] = {}
    names: dict[str, Span] = {}
    stations = []
    for statement in statements:
        name = statement.name
        problems.is_new(names, name.key, name.span, f"there is a station '{name.text}' already")
        members = _members(statement, by_name, taken, problems)
        stations.append(Station(name.text, tuple(members), name.span))
    for key, hand in by_name.items():
        if key not in taken:
            message = f"the hand '{hand.name}' belongs to no station"
            problems.error("hand-without-station", message, hand.span, "name it in a STATION")
    return tuple(stations)


def _members(
    statement: StationStatement,
    by_name: dict[str, Hand],
    taken: dict[str, Span],
    problems: Problems,
) -> list[Hand]:
    members = []
    for name in statement.hands:
        with problems.collected():
            if name.key not in by_name:
                raise unknown(name, (hand.name for hand in by_name.values()), "hand")
            message = f"the hand '{name.text}' has a station already"
            if problems.is_new(taken, name.key, name.span, message, ONE_STATION):
                members.append(by_name[name.key])
    return members


def with_conditions(
    stations: Sequence[Station],
    statements: Sequence[StationStatement],
    program: Program,
    scope: SpecificationScope,
    problems: Problems,
) -> tuple[Station, ...]:
    """``stations`` with the conditions that their statements state; a condition that is no
    Boolean expression over inputs as sampled is a problem. ``scope`` is that of assumptions: under
    a fault a station is in use where the healthy input would say so."""
    conditions = {
        statement.name.span: statement.condition
        for statement in statements
        if statement.condition is not None
    }
    found = []
    for station in stations:
        node = conditions.get(station.span)
        if node is not None:
            with problems.collected():
                condition = _condition(node, program, scope)
                text = written(node.span)
                found.append(replace(station, condition=condition, condition_text=text))
                continue
        found.append(station)
    return tuple(found)


def _condition(node: FormulaNode, program: Program, scope: SpecificationScope) -> Expression:
    constant = wrong(
        "constant-condition",
        "this condition reads no input",
        node.span,
        "name the selector's input, or leave the condition out",
    )
    way = "whether a station is in use is determined by inputs alone: name a VAR_INPUT"
    return determined_by_inputs(node, "the condition of a station", program, scope, constant, way)


def resolve_outputs(
    statements: Sequence[OutputStatement],
    program: Program,
    scope: SpecificationScope,
    problems: Problems,
) -> tuple[Variable, ...]:
    """The BOOL variables that count as one output signal (ISO 13851, 5.3; from memory)."""
    outputs: dict[Variable, Span] = {}
    for name in (name for statement in statements for name in statement.names):
        with problems.collected():
            variable = _output(name, program, scope)
            message = f"'{name.text}' is an output already"
            problems.is_new(outputs, variable, name.span, message, REMOVE_ONE)
    return tuple(outputs)


def _output(name: tree.Name, program: Program, scope: SpecificationScope) -> Variable:
    variable = scope.variable(name)
    if variable is None:
        decided = [v for v in program.variables if v.type == BOOL and v not in program.sampled]
        candidates = [v.name for v in sorted(decided, key=lambda v: v not in program.outputs)]
        raise unknown(name, candidates, "variable")
    if variable.type != BOOL:
        message = f"'{name.text}' is {variable.type.name}, not BOOL"
        way = "name the BOOL variable that drives the valve or contactor"
        raise wrong("not-boolean", message, name.span, way)
    if variable in program.sampled:
        message = f"'{name.text}' is an input; the program does not decide it"
        way = "name a VAR_OUTPUT that the program sets"
        raise wrong("output-is-input", message, name.span, way)
    return variable
