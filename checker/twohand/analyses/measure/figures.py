"""The figures that are measured of a two-hand control, as quantities over its hands and outputs.

Every figure counts scans as sampled; what that means for the true times is ``TRUE_BOUNDS``. The
hands of a station that is not in use count for nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from enum import Enum

from twohand.program import Read
from twohand.program.durations import ONE_SCAN, Scans
from twohand.program.walks import nodes_below
from twohand.specification.catalogue.two_hand import lag_quantity
from twohand.specification.logic.formula import (
    And,
    AnyScan,
    Atom,
    FirstScan,
    Formula,
    History,
    Not,
    Or,
    Previous,
    Rose,
)
from twohand.specification.logic.quantity import Event, Missing, Quantity
from twohand.specification.model.specification import Hand, Specification, Station, Stop
from twohand.specification.model.station_formulas import any_of, while_used
from twohand.specification.phrases import written
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_text import Span


class FigureKind(Enum):
    """What is measured; the values are the words of documents."""

    LAG = "lag"
    """How far apart the presses of a station may be and still start the output."""
    REACTION = "reaction"
    """How long the output can stay on after a hand's release, where the hazard is."""
    STOP = "stop"
    """How long the output can stay on after a stop condition came."""
    BETWEEN_STARTS = "between starts"
    """How soon one start can follow the other."""
    ON_TIME = "on-time"
    """How long the output can stay on."""


TRUE_BOUNDS = {
    FigureKind.LAG: ONE_SCAN,
    FigureKind.REACTION: Scans(2),
    FigureKind.STOP: Scans(2),
    FigureKind.BETWEEN_STARTS: Scans(-1),
    FigureKind.ON_TIME: ONE_SCAN,
}
"""How much longer (or, with a negative number, shorter) than as sampled the true time can be, in
longest scan times; the bound itself is never attained. A press, a release or a condition is up to
one scan older than its sampling; an output reaches its terminals up to one scan after the
sampling."""


@dataclass(frozen=True, eq=False)
class Figure:
    """``subject`` is the hand, the station or the stop condition that the figure is of, '' where
    there is no choice. ``span`` is the place in the spec that it comes from."""

    kind: FigureKind
    subject: str
    time: Quantity
    span: Span = field(repr=False)

    @property
    def scans(self) -> Quantity:
        """The same figure counted in scans."""
        return replace(self.time, in_scans=True)

    @property
    def identifier(self) -> str:
        """Unique within a spec, in plain words: 'reaction of left'."""
        return f"{self.kind.value} of {self.subject}" if self.subject else self.kind.value

    def name_in(self, specification: Specification) -> str:
        """Its identifier in documents: 'Press/reaction/left'."""
        return f"{specification.name}/{self.kind.value}/{self.subject}"


def check_measurable(specification: Specification) -> None:
    """InputError where there is nothing to measure."""
    if not specification.outputs:
        message = f"nothing to measure: spec '{specification.name}' names no output"
        path = specification.source.path
        raise InputError(
            Diagnostic("nothing-to-measure", message, path=path, help="write OUTPUT ...;")
        )


def figures_of(specification: Specification) -> tuple[Figure, ...]:
    """Everything that can be measured; () for a spec without outputs."""
    if not specification.outputs:
        return ()
    return tuple(_Figures(specification).all())


class _Figures:
    def __init__(self, specification: Specification) -> None:
        self.spec = specification
        self.output = any_of(Atom(Read(each, each.span)) for each in specification.outputs)
        hazard = specification.hazard
        self.exposed = self.output if hazard is None else And((self.output, hazard.formula))
        self.start = Event(_comes(self.output), "the output went on")

    def all(self) -> Iterator[Figure]:
        stations = self.spec.stations
        for station in stations:
            if len(station.hands) > 1:
                yield self.lag(station, station.name if len(stations) > 1 else "")
        for station in stations:
            for hand in station.hands:
                yield self.reaction(hand, station)
        for stop in self.spec.stops:
            yield self.stop(stop)
        span = self.spec.outputs[0].span
        between = Quantity(
            self.start.formula, (self.start,), until_now=True, strict=True, least=True
        )
        yield Figure(FigureKind.BETWEEN_STARTS, "", between, span)
        on = Quantity(Previous(self.output), (self.start,), until_now=True)
        yield Figure(FigureKind.ON_TIME, "", on, span)

    def lag(self, station: Station, subject: str) -> Figure:
        start = while_used(_condition(station), self.start.formula)
        hands = {hand.name: Atom(hand.pressed) for hand in station.hands}
        return Figure(FigureKind.LAG, subject, lag_quantity(start, hands), station.span)

    def reaction(self, hand: Hand, station: Station) -> Figure:
        """From the last release of the hand to the first scan in which the output is no longer on
        where the hazard is. The release counts whether or not the output was on then, so that a
        start without the hand counts as not having stopped."""
        off = while_used(_condition(station), Not(Atom(hand.pressed)))
        late = And((self.exposed, off))
        reaction = self._until_off(f"{hand.name} was released", off, late, self.exposed)
        return Figure(FigureKind.REACTION, hand.name, reaction, hand.span)

    def stop(self, stop: Stop) -> Figure:
        """The same from the condition's coming on; a HAZARD limits releases only."""
        words = f"{written(stop.span)} came"
        late = And((self.output, stop.condition))
        quantity = self._until_off(words, stop.condition, late, self.output)
        return Figure(FigureKind.STOP, stop.text, quantity, stop.span)

    def _until_off(self, came: str, cause: Formula, late: Formula, running: Formula) -> Quantity:
        """From the coming of the cause to the scan after the last one that is ``late``; 0 where the
        very scan in which the cause of the stop came is not late.

        Inputs that make up a cause in the first scan did so before it, for as long as nobody knows.
        What a cause reads of the block cannot be older than the run.
        """
        condition = Or((And((Rose(cause), Previous(running))), Previous(late)))
        if self._older(cause):
            event, missing = Event(Rose(cause), came), Missing.WITHOUT_LIMIT
        else:
            event, missing = Event(_comes(cause), came), Missing.NOT_READ
        return Quantity(condition, (event,), until_now=True, missing=missing)

    def _older(self, cause: Formula) -> bool:
        """Whether all that it reads are inputs that were there before the first scan."""
        nodes = list(nodes_below(cause))
        known = {node.variable for node in nodes if isinstance(node, History)}
        known.update(self.spec.program.older)
        young = any(isinstance(node, FirstScan | AnyScan) for node in nodes)
        return not young and all(n.variable in known for n in nodes if isinstance(n, Read))


def _condition(station: Station) -> Formula | None:
    return None if station.condition is None else Atom(station.condition)


def _comes(formula: Formula) -> Formula:
    """It is TRUE now and was not in the scan before; what is TRUE in the first scan comes there."""
    return Or((Rose(formula), And((FirstScan(), formula))))
