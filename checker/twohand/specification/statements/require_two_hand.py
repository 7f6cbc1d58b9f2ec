"""REQUIRE TWO_HAND, HAZARD and AVAILABLE: what the catalogue is asked for."""

from __future__ import annotations

from dataclasses import dataclass, replace

from twohand.program.durations import NO_SCANS, Scans, Units
from twohand.specification.logic.formula import Bound
from twohand.specification.model.control import Availability, LogicType, TwoHand
from twohand.specification.phrases import duration, written
from twohand.specification.problems import Problems
from twohand.specification.resolving.formula_builder import FormulaResolver
from twohand.specification.statements.tolerances import Tolerances
from twohand.specification.syntax.formulas import FormulaNode
from twohand.specification.syntax.nodes import AvailableStatement, HazardStatement, RequireStatement
from twohand.syntax import tree
from twohand.text.diagnostic import wrong
from twohand.text.source_text import Span

_BOUND_THE_LAG = "write TRUE_LAG T#500ms to bound the true lag"


def limited(control: TwoHand, condition: FormulaNode | None, healthy: FormulaResolver) -> TwoHand:
    """What is asked only WHEN something holds, with the words of the spec."""
    if condition is None:
        return control
    formula, text = healthy.formula(condition), written(condition.span)
    return replace(control, condition=formula, condition_text=text)


@dataclass(frozen=True)
class ControlReader:
    """Reads REQUIRE TWO_HAND and AVAILABLE; ``healthy`` builds formulas that speak of the world
    without faults: a faulty sensor does not end the hazard."""

    builder: FormulaResolver
    healthy: FormulaResolver
    problems: Problems

    def control(
        self, statement: RequireStatement, hazard: HazardStatement | None, bare: TwoHand
    ) -> TwoHand:
        """``bare`` (stations and outputs) with what the statement and HAZARD say."""
        logic_type = self._type(statement.type)
        window, true_lag = self._window(statement, logic_type)
        release = statement.release
        if release is not None:
            latest = Bound(NO_SCANS, Scans(release.value), in_scans=True)
            self._tolerances.release(latest, release.span)
        control = replace(
            bare,
            type=logic_type,
            span=statement.span,
            window=window,
            true_lag=true_lag,
            release_scans=NO_SCANS if release is None else Scans(release.value),
        )
        control = limited(control, statement.condition, self.healthy)
        if hazard is None:
            return control
        formula = self.healthy.formula(hazard.condition)
        text = written(hazard.condition.span)
        return replace(control, hazard=formula, hazard_text=text)

    def availability(self, statement: AvailableStatement) -> Availability:
        bound = self.builder.answer_bound(statement.bound)
        self._tolerances.answer(bound, statement.bound.span)
        lag = None if statement.lag is None else self.builder.units(statement.lag)
        if statement.condition is None:
            return Availability(bound, statement.span, lag=lag)
        condition = self.builder.formula(statement.condition)
        text = written(statement.condition.span)
        return Availability(bound, statement.span, condition, text, lag)

    @property
    def _tolerances(self) -> Tolerances:
        return Tolerances(self.builder.clocking, self.problems)

    def _type(self, name: tree.Identifier) -> LogicType:
        try:
            return LogicType(name.key)
        except ValueError:
            hint = "write I, II or III"
            if name.key.startswith("III"):
                hint = "A, B and C concern hardware; the logic is of type III"
            message = f"there is no type '{name.text}'"
            raise wrong("unknown-type", message, name.span, hint) from None

    def _window(
        self, statement: RequireStatement, logic_type: LogicType
    ) -> tuple[Units | None, Units | None]:
        """The window as sampled and the true lag."""
        stated = statement.window or statement.true_lag
        if logic_type is not LogicType.THREE:
            if stated is not None:
                message = f"type {logic_type.value} has no window"
                way = "write TYPE III, or leave the window out"
                raise wrong("window-not-asked", message, stated.span, way)
            return None, None
        if stated is None:
            way = "write TYPE III, WINDOW T#480ms or TYPE III, TRUE_LAG T#500ms"
            raise wrong("missing-window", "type III needs a window", statement.span, way)
        if statement.window is not None and statement.true_lag is not None:
            message = "WINDOW and TRUE_LAG say the same twice"
            raise wrong("repeated-option", message, statement.true_lag.span, "state one of them")
        if stated.nanoseconds <= 0:
            way = "write for instance WINDOW T#480ms"
            raise wrong("window-not-positive", "the window is longer than 0", stated.span, way)
        return self._sampled(statement, self.builder.units(stated), stated.span)

    def _sampled(
        self, statement: RequireStatement, units: Units, span: Span
    ) -> tuple[Units, Units | None]:
        """Two presses sampled d apart were truly less than d plus the longest scan apart."""
        longest = self.builder.clocking.longest
        if statement.window is not None:
            self._tolerances.window(units, span, _BOUND_THE_LAG)
            return units, None
        window = Units(units - longest)
        if window <= 0:
            sampled, slowest = (duration(u, self.builder.clocking) for u in (units, longest))
            message = f"a true lag of {sampled} leaves no window with scans of up to {slowest}"
            way = "state a longer one, or shorter scans"
            raise wrong("true-lag-too-short", message, span, way)
        self._tolerances.window(window, span, _BOUND_THE_LAG)
        return window, units
