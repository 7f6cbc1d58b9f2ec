"""Hands, stations and outputs: what the spec's names mean in the program."""

from __future__ import annotations

from collections.abc import Sequence

from twohand.program import Expression, Literal, Program, Read, Variable
from twohand.program.types import BOOL
from twohand.program.walks import variables_read
from twohand.specification.logic.formula import Atom, Iff, Named
from twohand.specification.model.specification import Hand, Station
from twohand.specification.problems import Problems
from twohand.specification.resolving.defined_values import refuse_partial
from twohand.specification.resolving.formula_builder import plain_expression
from twohand.specification.resolving.names import SpecificationScope, boolean, unknown
from twohand.specification.syntax.formulas import FormulaNode
from twohand.specification.syntax.nodes import HandStatement, OutputStatement, StationStatement
from twohand.syntax import tree
from twohand.text.diagnostic import InputError, wrong
from twohand.typecheck.expressions.expressions import resolve_expression

OTHER_HAND = "choose another name; further contacts of one hand follow a comma"
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
        known: dict[str, tree.Identifier] = {}
        hands: list[Hand] = []
        for statement in statements:
            name = statement.name
            if name.key in known:
                message = f"there is a hand '{name.text}' already"
                self.problems.repeated(
                    "repeated-name", message, name.span, known[name.key].span, OTHER_HAND
                )
                continue
            known[name.key] = name
            with self.problems.collected():
                hands.append(self._hand(statement))
        for name in known.values():
            pressed: Expression = Literal(False, BOOL, name.span)
            for hand in hands:
                pressed = hand.pressed if hand.name.upper() == name.key else pressed
            self.scope.add_hand(name, pressed)
        return hands

    def _hand(self, statement: HandStatement) -> Hand:
        first, *others = [self._contact(contact) for contact in statement.contacts]
        self._check_name(statement.name, first)
        self.contacts[statement.name.text] = (first, *others)
        for node, other in zip(statement.contacts[1:], others, strict=True):
            agree = Iff(Atom(first), Atom(other))
            self.assumptions.append(Named(agree, node.span, stated=False))
        return Hand(statement.name.text, first, statement.name.span)

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
        raise wrong(
            "ambiguous-name",
            f"the program has a '{name.text}' that is not this hand",
            name.span,
            "give the hand another name",
        )


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
    taken: dict[str, tree.Identifier] = {}
    names: dict[str, tree.Identifier] = {}
    stations = []
    for statement in statements:
        name = statement.name
        if name.key in names:
            message = f"there is a station '{name.text}' already"
            problems.repeated(
                "repeated-name", message, name.span, names[name.key].span, "choose another name"
            )
        names.setdefault(name.key, name)
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
    taken: dict[str, tree.Identifier],
    problems: Problems,
) -> list[Hand]:
    members = []
    for name in statement.hands:
        with problems.collected():
            if name.key not in by_name:
                raise unknown(name, (hand.name for hand in by_name.values()), "hand")
            if name.key in taken:
                message = f"the hand '{name.text}' has a station already"
                problems.repeated(
                    "repeated-name", message, name.span, taken[name.key].span, ONE_STATION
                )
                continue
            taken[name.key] = name
            members.append(by_name[name.key])
    return members


def resolve_outputs(
    statements: Sequence[OutputStatement],
    program: Program,
    scope: SpecificationScope,
    problems: Problems,
) -> tuple[Variable, ...]:
    """The BOOL variables that count as one output signal (ISO 13851, 5.3; from memory)."""
    outputs: dict[Variable, tree.Name] = {}
    for name in (name for statement in statements for name in statement.names):
        with problems.collected():
            variable = _output(name, program, scope)
            if variable in outputs:
                message = f"'{name.text}' is an output already"
                problems.repeated("repeated-name", message, name.span, outputs[variable].span)
            outputs.setdefault(variable, name)
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
        raise wrong(
            "output-is-input", message, name.span, "name a VAR_OUTPUT that the program sets"
        )
    return variable
