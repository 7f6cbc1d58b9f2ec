"""STOPPED_BY, STOPPING, CLUTCH: what a spec says for the figures that are measured of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from twohand.program.durations import Nanoseconds
from twohand.specification.model.specification import Clutch, Stop, Stopping
from twohand.specification.phrases import written
from twohand.specification.problems import Problems
from twohand.specification.reading.statements import StatementTable
from twohand.specification.resolving.formula_builder import FormulaResolver
from twohand.specification.syntax.formulas import Time
from twohand.specification.syntax.nodes import (
    ClutchStatement,
    EditionStatement,
    EncroachmentStatement,
    SpecificationTree,
    StoppingStatement,
    StopStatement,
)

KNOWN_EDITIONS = (2010, 2024)
"""Those of ISO 13855 whose terms are known here."""


def times_of_logic(tree: SpecificationTree) -> list[Time]:
    """The times that the logic or its requirements are measured by: those of stopping and clutch
    never meet the logic, and refine no unit."""
    outside = [
        statement.span
        for statement in tree.statements
        if isinstance(statement, StoppingStatement | ClutchStatement)
    ]
    return [
        time
        for time in tree.times
        if not any(span.start <= time.span.start < span.end for span in outside)
    ]


@dataclass(frozen=True)
class StatedStopping:
    """What a spec states of how the machine stops."""

    stops: tuple[Stop, ...]
    stopping: Stopping | None
    clutch: Clutch | None
    encroachment_shown_by: str | None
    edition: int | None


def resolve_stopping(
    parts: StatementTable, builder: FormulaResolver, problems: Problems
) -> StatedStopping:
    """What the statements say, each with its problems, in this order."""
    return StatedStopping(
        _stops(parts.all(StopStatement), builder, problems),
        _stopping(parts.only(StoppingStatement), problems),
        _clutch(parts.only(ClutchStatement), problems),
        _encroachment(parts.only(EncroachmentStatement), problems),
        _edition(parts.only(EditionStatement), problems),
    )


def _stops(
    statements: Sequence[StopStatement], builder: FormulaResolver, problems: Problems
) -> tuple[Stop, ...]:
    """The conditions of STOPPED_BY, in order, each once."""
    stops: list[Stop] = []
    first: dict[str, Stop] = {}
    for node in (node for statement in statements for node in statement.conditions):
        with problems.collected():
            stop = Stop(builder.formula(node), written(node.span), node.span)
            known = first.setdefault(stop.text.casefold(), stop)
            if known is not stop:
                message = f"'{stop.text}' is a stop condition already"
                problems.repeated("repeated-stop", message, node.span, known.span)
            stops.append(stop)
    return tuple(stops)


def _stopping(statement: StoppingStatement | None, problems: Problems) -> Stopping | None:
    """The times of STOPPING; an input filter or an output device of 0 says that there is none."""
    if statement is None:
        return None
    for time in (statement.input_filter, statement.output_device):
        if time is not None and time.nanoseconds < 0:
            way = "write the time without its sign"
            problems.error("negative-time", "a negative time makes no sense here", time.span, way)
    machine = statement.machine
    if machine is not None and machine.nanoseconds <= 0:
        message = "a machine takes longer than 0 to stop"
        way = "write the greatest stopping time that was measured at the machine"
        problems.error("time-not-positive", message, machine.span, way)
    if statement.logic_included and machine is None:
        message = "LOGIC INCLUDED says how MACHINE was measured, and no MACHINE time is stated"
        way = "write for instance STOPPING MACHINE T#120ms, LOGIC INCLUDED;"
        problems.error("missing-machine-time", message, statement.span, way)
    return Stopping(
        _nanoseconds(statement.input_filter),
        _nanoseconds(statement.output_device),
        _nanoseconds(machine),
        statement.logic_included,
    )


def _clutch(statement: ClutchStatement | None, problems: Problems) -> Clutch | None:
    """The clutch, with at least one engaging point and a time for its revolution."""
    if statement is None:
        return None
    points, revolution = statement.points, statement.revolution
    if points.value < 1:
        message = "a clutch has at least one engaging point"
        way = "write the number of engaging points on the flywheel, for instance CLUTCH POINTS 14"
        problems.error("too-few-points", message, points.span, way)
    if revolution.nanoseconds <= 0:
        message = "a revolution takes longer than 0"
        way = "write the time of one revolution: 60 strokes a minute are REVOLUTION T#1s"
        problems.error("time-not-positive", message, revolution.span, way)
    return Clutch(points.value, revolution.nanoseconds)


def _encroachment(statement: EncroachmentStatement | None, problems: Problems) -> str | None:
    """Who showed that hands cannot reach past the actuators; a problem where nobody is named."""
    if statement is None:
        return None
    shown = statement.shown_by
    if shown is None or not shown.text.strip():
        span = statement.span if shown is None else shown.span
        message = "nobody is named who showed that encroachment is prevented"
        way = "write ENCROACHMENT PREVENTED SHOWN BY 'who, how and when', or leave it out"
        problems.error("missing-evidence", message, span, way)
        return None
    return shown.text.strip()


def _edition(statement: EditionStatement | None, problems: Problems) -> int | None:
    """The year of an edition that is known here."""
    if statement is None:
        return None
    year = statement.year
    if year.value not in KNOWN_EDITIONS:
        known = " and ".join(str(each) for each in KNOWN_EDITIONS)
        message = f"of ISO 13855 the editions of {known} are known here, not that of {year.value}"
        way = f"write EDITION {KNOWN_EDITIONS[-1]};, or leave it out: the greater distance counts"
        problems.error("unknown-edition", message, year.span, way)
    return year.value


def _nanoseconds(time: Time | None) -> Nanoseconds | None:
    return None if time is None else time.nanoseconds
