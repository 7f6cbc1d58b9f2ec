"""What a spec states of the platform: its readings of the standard, and the bound of loops."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

from twohand.scan.clocking import Readings
from twohand.specification.problems import REMOVE_ONE, Problems
from twohand.specification.reading.statements import StatementTable
from twohand.specification.syntax import nodes as spec
from twohand.text.source_text import Span
from twohand.text.suggestions import nearest

Observed = tuple[tuple[str, str], ...]
"""Names of readings, with what somebody observed them by."""

LOOP_BOUND = 100
"""Iterations after which a loop counts as beyond its bound, where the spec states none."""
HIGHEST_LOOP_BOUND = 1_000_000


@dataclass(frozen=True)
class Platform:
    """What is stated; ``observed``: what somebody observed fixed readings by."""

    readings: Readings
    observed: Observed
    loop_bound: int


def stated_platform(parts: StatementTable, problems: Problems) -> Platform:
    """Problems are those of all three, in this order."""
    readings = stated_readings(parts, problems)
    observed = observed_readings(parts, problems)
    return Platform(readings, observed, _loop_bound(parts, problems))


def stated_readings(parts: StatementTable, problems: Problems) -> Readings:
    """The readings that READING and INTEGERS fix; all others stay open."""
    known = [field.name for field in fields(Readings) if field.name != "integers_wrap"]
    readings = Readings(integers_wrap=parts.only(spec.IntegersStatement) is not None)
    seen: dict[str, Span] = {}
    for statement in parts.all(spec.ReadingStatement):
        name = statement.name.text.casefold()
        if name == "integers_wrap":
            message = "INTEGERS has a statement of its own"
            problems.error("unknown-name", message, statement.name.span, "write INTEGERS WRAP;")
        elif name not in known:
            close = nearest(name, known)
            help_text = f"did you mean '{close}'?" if close else f"there is {', '.join(known)}"
            message = f"unknown reading '{statement.name.text}'"
            problems.error("unknown-name", message, statement.name.span, help_text)
        else:
            message, code = f"the reading '{name}' is fixed already", "repeated-statement"
            if problems.is_new(seen, name, statement.span, message, REMOVE_ONE, code):
                readings = replace(readings, **{name: statement.value})
    return readings


def observed_readings(parts: StatementTable, problems: Problems) -> Observed:
    """By the names of readings, in the order of the statements, what they were observed by; a
    problem where that was not filled in."""
    observed = []
    for statement in parts.all(spec.ReadingStatement):
        shown = statement.shown_by
        if shown is None:
            continue
        text = shown.text.strip()
        if not text or "?" in text:
            message = "it is not filled in what this reading was observed by"
            way = (
                "write the controller, its firmware, task and compiler options, who and when in "
                "place of the question marks"
            )
            problems.error("observation-not-filled-in", message, shown.span, way)
        observed.append((statement.name.text.casefold(), text))
    return tuple(observed)


def _loop_bound(parts: StatementTable, problems: Problems) -> int:
    """The bound of LOOPS."""
    statement = parts.only(spec.LoopsStatement)
    if statement is None:
        return LOOP_BOUND
    bound = statement.bound
    if not 1 <= bound.value <= HIGHEST_LOOP_BOUND:
        message = f"the bound of loops is 1 to {HIGHEST_LOOP_BOUND}"
        problems.error("bound-out-of-range", message, bound.span, "write for instance LOOPS 100;")
    return bound.value
