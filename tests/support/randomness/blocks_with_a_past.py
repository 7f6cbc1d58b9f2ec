"""Random small blocks with a requirement for which it matters what was before power-up."""

from __future__ import annotations

from random import Random

from twohand.scan.clocking import Readings
from twohand.specification.logic.formula import (
    Always,
    And,
    AnyScan,
    Bound,
    Fell,
    FirstScan,
    Formula,
    Historically,
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
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.randomness.formulas import FormulaSource
from tests.support.randomness.small_blocks import CLOCKINGS, Case, Requirements, SmallBlock


class _Lookback(Requirements):
    """Requirements that look back over time at inputs, at the block, and at both."""

    def property(self) -> Property:
        output, second = self.literal(self.outputs), self.literal(self.outputs)
        past, other = self._past(), self._past()
        match self.random.randrange(12):
            case 0 | 1:
                return Always(Implies(output, past))
            case 2:
                return Always(Or((output, past)))
            case 3:
                return Always(Implies(self._held(output), second))
            case 4:
                return Always(Implies(And((output, past)), other))
            case 5:
                return Until(And((FirstScan(), past)), output, other)
            case 6:
                return Response(past, Or((output, other)), Bound(0, self.random.randint(0, 3)))
            case 7 | 8 | 9:
                return Always(Implies(*self._as_it_was()))
            case _:
                young = Once(And((self.literal(self.inputs), AnyScan())), self._bound())
                return Always(Implies(output, Or((young, self._held(second)))))

    def _bound(self) -> Bound | None:
        return None if self.random.random() < 0.2 else self.source.bound()

    def _held(self, formula: Formula) -> Formula:
        return Historically(formula, self.source.bound(one_sided=False))

    def _as_it_was(self) -> tuple[Formula, Formula]:
        """What is so in a scan, mostly the first one, and that it was so before: only the past can
        tell there."""
        one, two = self.literal(self.inputs), self.literal(self.inputs)
        moment = FirstScan() if self.random.random() < 0.8 else self.literal(self.outputs)
        before: tuple[Formula, ...] = (
            self._held(one),
            Not(Once(Not(one), self._bound())),
            Not(Once(Rose(one), self._bound())),
            Not(Since(one, Rose(two), self._bound())),
            Or((Not(two), self._held(Or((one, two))))),
        )
        return And((moment, one)), self.random.choice(before)

    def _past(self) -> Formula:
        """Older than the run."""
        one, two = self.literal(self.inputs), self.literal(self.inputs)
        match self.random.randrange(6):
            case 0:
                return self._held(one)
            case 1:
                return Not(self._held(one))
            case 2:
                return Once(Rose(one), self._bound())
            case 3:
                return Once(And((one, Previous(two))), self._bound())
            case 4:
                return Since(one, two, self._bound())
            case _:
                return Not(Since(one, Fell(two), self._bound()))

    def assumptions(self) -> tuple[Formula, ...]:
        if self.random.random() < 0.6:
            return ()
        one, two = self.literal(self.inputs), self.literal(self.inputs)
        assumed: tuple[Formula, ...] = (
            Implies(one, Previous(self._held(two))),
            Implies(Rose(one), Not(Previous(Once(two, Bound(0, 3))))),
            Or((Not(one), Once(one))),
            Implies(And((one, FirstScan())), Historically(Or((one, two)))),
            Implies(Fell(one), Since(Or((one, Not(two))), Or((two, Not(one))))),
        )
        return (self.random.choice(assumed),)


def past_case(seed: int) -> Case:
    """The inputs ``a`` and ``b``, or one of them, are older than the run."""
    random = Random(seed)
    text = SmallBlock(random).text()
    program = load_program([SourceText("small.st", text)])
    asked = _Lookback(random, program)
    clocking = random.choice(CLOCKINGS)
    asked.source = FormulaSource(random, asked.inputs, integers=(), longest=4, deepest_past=2)
    readings = Readings(edge_call_counts=random.choice((None, False, True)))
    return Case(text, program, clocking, readings, asked.property(), asked.assumptions())
