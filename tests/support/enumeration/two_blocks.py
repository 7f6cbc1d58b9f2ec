"""Two blocks stepped side by side through every state, with the executor and the evaluator alone:
no program of both, no monitors and no engine have a part in it."""

from __future__ import annotations

from collections import deque
from collections.abc import Hashable, Sequence
from dataclasses import dataclass

from twohand.evidence.encoding import Encoding
from twohand.scan.clocking import Readings
from twohand.scan.concrete.execute import Machine
from twohand.specification.logic.formula import Always, And, Formula, Property
from twohand.specification.model.specification import Specification

from tests.support.decided import open_readings
from tests.support.enumeration.enumerate_states import TooManyStatesError, longer_runs
from tests.support.enumeration.trace_summary import Run, Summary


@dataclass
class Stepped:
    """``same``: no scan shows a difference. ``lets_on``: some scan has an output on in the second
    that is off in the first."""

    same: bool = True
    lets_on: bool = False


@dataclass(frozen=True)
class Sides:
    """Two specs with the same inputs and assumptions; ``names`` are compared, as long as a run of
    the first has refuted none of what is ``asked`` and neither has a finding."""

    first: Specification
    second: Specification
    names: Sequence[str]
    asked: Sequence[Property] = ()


def stepped(sides: Sides, most_states: int) -> Stepped:
    """TooManyStatesError where that cannot be said."""
    found = Stepped()
    open_ = {
        readings: None
        for spec in (sides.first, sides.second)
        for readings in open_readings(Encoding(spec).system, spec.readings)  # for names alone
    }
    for readings in open_:
        _step(sides, readings, found, most_states)
    return found


def _step(sides: Sides, readings: Readings, found: Stepped, most_states: int) -> None:
    first, second = sides.first, sides.second
    one, other = (
        Machine(each.program, each.clocking, readings, each.loop_bound) for each in (first, second)
    )
    assumed = [named.formula for named in first.assumptions]
    summary = Summary(Always(And(tuple(map(_formula, sides.asked)))), first.clocking, assumed)
    inputs = [variable.name for variable in first.program.inputs]
    outputs = {variable.name for variable in first.outputs}
    begin: tuple[Hashable, Hashable, Run] = (one.snapshot(), other.snapshot(), Run())
    seen: set[Hashable] = set()
    waiting = deque([begin])
    while waiting:
        before, before_other, run = waiting.popleft()
        for longer in longer_runs(one, summary, before, run):
            record, after = longer.records[-1], one.snapshot()
            other.restore(before_other)
            if longer.powered:
                beside = other.scan({name: record.values[name] for name in inputs}, record.elapsed)
                if record.finding or beside.finding or summary.refuted(longer):
                    continue
                for name in sides.names:
                    values = record.values[name], beside.values[name]
                    found.same &= values[0] == values[1]
                    found.lets_on |= name in outputs and values == (False, True)
            node = (after, other.snapshot(), summary.of(longer))
            if node not in seen:
                seen.add(node)
                if len(seen) > most_states:
                    raise TooManyStatesError
                waiting.append((after, node[1], longer))


def _formula(asked: Property) -> Formula:
    assert isinstance(asked, Always)
    return asked.formula
