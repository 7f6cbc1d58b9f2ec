"""Hands as formulas, by station; the hands of a station that is not in use count for nothing.

A station with a condition is in use in the scans in which the condition holds, inputs as sampled.
With no station in use the hands are neither all on nor all off: nothing may run then, and nothing
counts as released.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

from twohand.specification.logic.formula import (
    And,
    AnyScan,
    Atom,
    Fell,
    Formula,
    Iff,
    Implies,
    Not,
    Or,
    Previous,
    Rose,
)
from twohand.specification.model.specification import Station

StationFormulas: TypeAlias = tuple[tuple[Formula, ...], ...]
"""One formula a hand, by station."""


def all_of(formulas: Iterable[Formula]) -> Formula:
    operands = tuple(formulas)
    return operands[0] if len(operands) == 1 else And(operands)


def any_of(formulas: Iterable[Formula]) -> Formula:
    operands = tuple(formulas)
    return operands[0] if len(operands) == 1 else Or(operands)


def in_run(formula: Formula) -> Formula:
    """``formula`` in a scan of the run: what the hands did before power-up does not count."""
    return And((formula, AnyScan()))


def none_of(formulas: Iterable[Formula]) -> Formula:
    return all_of(Not(formula) for formula in formulas)


@dataclass(frozen=True, eq=False)
class StationHands:
    """The hands of ``stations``; one object of each formula, so that monitors share it."""

    stations: tuple[Station, ...]

    @cached_property
    def each(self) -> StationFormulas:
        """One formula a hand ("it is on"), by station, in use or not."""
        return tuple(
            tuple(Atom(hand.pressed) for hand in station.hands) for station in self.stations
        )

    @cached_property
    def in_use(self) -> tuple[Formula | None, ...]:
        """By station: when it is in use; None: always."""
        return tuple(
            None if station.condition is None else Atom(station.condition)
            for station in self.stations
        )

    @property
    def by_station(self) -> Iterator[tuple[Formula | None, tuple[Formula, ...]]]:
        """When each station is in use, and its hands."""
        return zip(self.in_use, self.each, strict=True)

    @property
    def selectable(self) -> bool:
        """Whether some station can be taken out of use."""
        return any(condition is not None for condition in self.in_use)

    @cached_property
    def all_on(self) -> Formula:
        """Every hand of every station in use is on, and some station is in use."""
        if not self.selectable:
            return all_of(hand for hands in self.each for hand in hands)
        return And((*self._some_in_use, *self._of_each(all_of)))

    @cached_property
    def none_on(self) -> Formula:
        """No hand of a station in use is on, and some station is in use."""
        if not self.selectable:
            return none_of(hand for hands in self.each for hand in hands)
        return And((*self._some_in_use, *self._of_each(none_of)))

    @cached_property
    def any_on(self) -> Formula:
        """Some hand of a station in use is on."""
        if not self.selectable:
            return any_of(hand for hands in self.each for hand in hands)
        return any_of(while_used(condition, any_of(hands)) for condition, hands in self.by_station)

    @cached_property
    def none_released(self) -> tuple[Formula, ...]:
        """Conditions that together say that no hand of a station in use goes off in this scan."""
        return tuple(
            Not(while_used(condition, Fell(hand)))
            for condition, hands in self.by_station
            for hand in hands
        )

    @cached_property
    def selection_changed(self) -> Formula:
        """Some station is taken into use or out of it in this scan; FALSE in the first."""
        chosen = [condition for condition in self.in_use if condition is not None]
        return any_of(Not(Iff(condition, Previous(condition))) for condition in chosen)

    @cached_property
    def joined_with_hand_on(self) -> Formula:
        """Some station is taken into use in this scan with one of its hands on."""
        return any_of(
            And((Rose(condition), any_of(hands)))
            for condition, hands in self.by_station
            if condition is not None
        )

    @property
    def _some_in_use(self) -> tuple[Formula, ...]:
        conditions = [condition for condition in self.in_use if condition is not None]
        return (any_of(conditions),) if len(conditions) == len(self.in_use) else ()

    def _of_each(self, combined: Callable[[Iterable[Formula]], Formula]) -> tuple[Formula, ...]:
        return tuple(where_used(condition, combined(hands)) for condition, hands in self.by_station)


@dataclass(frozen=True, eq=False)
class BouncingHands(StationHands):
    """Hands whose contacts may show anything while they settle; ``settling`` is TRUE of a hand,
    by its name, in the scans in which they may."""

    settling: Mapping[str, Formula]

    def _with_settling(self, combined: Callable[[Formula, Formula], Formula]) -> StationFormulas:
        return tuple(
            tuple(combined(Atom(hand.pressed), self.settling[hand.name]) for hand in station.hands)
            for station in self.stations
        )


@dataclass(frozen=True, eq=False)
class HandsSeenOn(BouncingHands):
    """A hand counts as on where a contact of it may show that."""

    @cached_property
    def each(self) -> StationFormulas:
        return self._with_settling(lambda hand, settling: Or((hand, settling)))


@dataclass(frozen=True, eq=False)
class HandsSurelyOn(BouncingHands):
    """A hand counts as on where every contact of it shows that; ``none_on`` therefore says that
    all of them may be seen off."""

    @cached_property
    def each(self) -> StationFormulas:
        return self._with_settling(lambda hand, settling: And((hand, Not(settling))))


def while_used(condition: Formula | None, formula: Formula) -> Formula:
    """``formula``, where the station with this condition is in use."""
    return formula if condition is None else And((condition, formula))


def where_used(condition: Formula | None, formula: Formula) -> Formula:
    """``formula``, or the station with this condition is not in use."""
    return formula if condition is None else Implies(condition, formula)
