"""Random formulas, properties and traces over a few free inputs, from a seed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from random import Random

from twohand.program import (
    Expression,
    Literal,
    Operation,
    Operator,
    Program,
    Read,
    Role,
    Routine,
    Variable,
)
from twohand.program.types import BOOL, INT, Type, Value
from twohand.scan.clocking import NANOSECONDS_PER_MILLISECOND, Clocking
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic.formula import (
    Always,
    And,
    AnyScan,
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
from twohand.text.source_text import SourceText, Span

FIXED = Clocking(NANOSECONDS_PER_MILLISECOND, 3, 3)
RANGE = Clocking(NANOSECONDS_PER_MILLISECOND, 1, 4)
CLOCKINGS = (FIXED, RANGE, Clocking(NANOSECONDS_PER_MILLISECOND, 1, 1))

LARGEST = 3
"""Integer inputs take values from 0 to this."""

COMPARISONS = (
    Operator.EQUAL,
    Operator.UNEQUAL,
    Operator.LESS,
    Operator.LESS_EQUAL,
    Operator.GREATER,
    Operator.GREATER_EQUAL,
)


def span_of(text: str) -> Span:
    return Span(SourceText("random", text), 0, len(text))


def input_variable(name: str, kind: Type) -> Variable:
    initial: Value = False if kind == BOOL else 0
    young = name in ("stop", "count")
    return Variable(name, kind, Role.INPUT, initial, span_of(name), surroundings=young)


BOOLEANS = tuple(input_variable(name, BOOL) for name in ("left", "right", "stop"))
INTEGERS = tuple(input_variable(name, INT) for name in ("mode", "count"))
"""The last of each is as old as the run, all others are older."""

PROGRAM = Program(
    name="Inputs",
    inputs=BOOLEANS + INTEGERS,
    outputs=(),
    variables=BOOLEANS + INTEGERS,
    instances=(),
    routine=Routine((), ()),
)
"""A block that does nothing: its requirements speak of its free inputs."""
OLDER = frozenset(variable.name for variable in PROGRAM.older)


def read(variable: Variable) -> Read:
    return Read(variable, span_of(variable.name))


class FormulaSource:
    """Draws formulas; small depths make small formulas, ``longest`` bounds the bounds."""

    def __init__(
        self,
        random: Random,
        booleans: tuple[Variable, ...] = BOOLEANS,
        integers: tuple[Variable, ...] = INTEGERS,
        longest: int = 12,
        deepest_past: int = 3,
    ) -> None:
        self.random = random
        self.booleans = booleans
        self.integers = integers
        self.longest = longest
        self.deepest_past = deepest_past
        self._drawn: list[Formula] = []

    def property(self, depth: int) -> Property:
        draw = self.formula
        match self.random.randrange(6):
            case 0:
                return Always(draw(depth))
            case 1:
                return Always(Implies(draw(depth - 1), draw(depth - 1)))
            case 2 | 3:
                return Response(draw(depth - 1), draw(depth - 1), self.bound(one_sided=False))
            case 4:
                return Until(draw(depth - 1), draw(depth - 1), draw(depth - 1))
            case _:
                return Before(draw(depth - 1), draw(depth - 1), draw(depth - 1))

    def formula(self, depth: int) -> Formula:
        if self._drawn and self.random.random() < 0.08:
            return self.random.choice(self._drawn)  # one object in several places
        formula = self.leaf() if depth <= 0 else self._compound(depth - 1)
        self._drawn.append(formula)
        return formula

    def leaf(self) -> Formula:
        chance = self.random.random()
        if chance < 0.08:
            return FirstScan() if chance < 0.06 else AnyScan()
        if chance < 0.3 and self.integers:
            return self.comparison()
        return Atom(read(self.random.choice(self.booleans)))

    def comparison(self) -> Formula:
        """An integer against a literal, another one, or what it was some scans before."""
        left = read(self.random.choice(self.integers))
        operator = self.random.choice(COMPARISONS)
        right: Expression
        histories: tuple[History, ...] = ()
        match self.random.randrange(3):
            case 0:
                right = Literal(self.random.randint(0, LARGEST), INT, span_of("literal"))
            case 1:
                right = read(self.random.choice(self.integers))
            case _:
                histories = self.histories(left)
                right = read(histories[-1].variable)
        return Atom(Operation(operator, (left, right), BOOL, span_of("comparison")), histories)

    def histories(self, expression: Expression) -> tuple[History, ...]:
        """prev(e, n), or prev(prev(e, n) + e', m), where the second reads the first."""
        first = self._history(expression)
        if self.random.random() < 0.6:
            return (first,)
        other = read(self.random.choice(self.integers))
        total = Operation(Operator.ADD, (read(first.variable), other), INT, span_of("sum"))
        return (first, self._history(total))

    def _history(self, expression: Expression) -> History:
        variable = Variable("prev(..)", INT, Role.TEMPORARY, 0, span_of("prev"))
        return History(variable, expression, self.random.randint(1, self.deepest_past))

    def bound(self, *, one_sided: bool = True) -> Bound:
        in_scans = self.random.random() < 0.4
        limit = self.random.randint(0, max(1, self.longest // 3 if in_scans else self.longest))
        if one_sided and self.random.random() < 0.4:
            return Bound(limit, None, in_scans)
        return Bound(0, limit, in_scans)

    def _maybe_bound(self) -> Bound | None:
        return None if self.random.random() < 0.25 else self.bound()

    def _compound(self, depth: int) -> Formula:
        draw = self.formula
        operands = [draw(depth) for _ in range(self.random.randint(2, 3))]
        one, two = operands[0], operands[1]
        choices: list[tuple[int, Callable[[], Formula]]] = [
            (2, lambda: Not(one)),
            (2, lambda: And(tuple(operands))),
            (2, lambda: Or(tuple(operands))),
            (1, lambda: Implies(one, two)),
            (1, lambda: Iff(one, two)),
            (2, lambda: Previous(one, self.random.randint(1, self.deepest_past))),
            (2, lambda: Rose(one)),
            (2, lambda: Fell(one)),
            (4, lambda: Once(one, self._maybe_bound())),
            (4, lambda: Historically(one, self._maybe_bound())),
            (5, lambda: Since(one, two, self._maybe_bound())),
        ]
        weights = [weight for weight, _ in choices]
        make = self.random.choices([make for _, make in choices], weights)[0]
        return make()


def random_trace(
    random: Random, clocking: Clocking, length: int, past: int = 0
) -> list[ScanRecord]:
    """Inputs that mostly stay as they were, so that spans of time matter. The first ``past``
    samples are before power-up."""
    records: list[ScanRecord] = []
    values: dict[str, Value] = {}
    time = 0
    liveliness = random.choice((0.1, 0.3, 0.6))
    for position in range(length):
        for variable in PROGRAM.inputs:
            if position == 0 or random.random() < liveliness:
                values[variable.name] = (
                    random.random() < 0.5 if variable.type == BOOL else random.randint(0, LARGEST)
                )
        elapsed = random.randint(clocking.shortest, clocking.longest)
        time += elapsed if position else 0
        records.append(ScanRecord(time, elapsed, dict(values), older=OLDER))
    begin = records[past].time
    return [
        replace(
            record,
            time=record.time - begin,
            values={n: v for n, v in record.values.items() if number >= past or n in OLDER},
        )
        for number, record in enumerate(records)
    ]
