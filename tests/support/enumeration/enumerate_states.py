"""The verdict on a small block by visiting every reachable state, with the executor alone.

A node is a snapshot of the machine and a summary of the run that reached it; breadth first, so
that the first refutation is a shortest one.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

from twohand.program import Program
from twohand.program.types import BOOL, Value
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.concrete.execute import Machine
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic.evaluate import refuted_at
from twohand.specification.logic.formula import Formula, Property
from twohand.specification.surroundings.power import POWER_ON

from tests.support.enumeration.trace_summary import Run, Summary


class TooManyStatesError(Exception):
    """The enumeration was given up; there is no verdict."""


@dataclass(frozen=True)
class Enumerated:
    """``refutation`` is a shortest run that refutes the property (None: there is none)."""

    refutation: tuple[ScanRecord, ...] | None
    readings: Readings
    states: int


def boolean_inputs(program: Program) -> list[dict[str, Value]]:
    """Every choice of inputs that are all Boolean, the clock apart."""
    names = [variable.name for variable in program.inputs if variable.type == BOOL]
    assert len(names) == len(program.inputs) - (program.clock is not None)
    choices = product((False, True), repeat=len(names))
    return [dict(zip(names, values, strict=True)) for values in choices]


def enumerate_runs(
    program: Program,
    clocking: Clocking,
    readings: Readings,
    asked: Property,
    assumptions: Sequence[Formula] = (),
    most_states: int = 20_000,
    ask_evaluator_always: bool = False,
) -> Enumerated:
    """Under one choice of readings. The evaluator confirms every refutation and every new state
    (with ``ask_evaluator_always`` every step). A scan with a finding ends its run."""
    machine = Machine(program, clocking, readings)
    summary = Summary(asked, clocking, assumptions)
    seen: set[Hashable] = set()
    waiting: deque[tuple[Hashable, Run]] = deque([(machine.snapshot(), Run())])
    while waiting:
        snapshot, run = waiting.popleft()
        for longer in longer_runs(machine, summary, snapshot, run):
            refuted = summary.refuted(longer)
            if refuted or ask_evaluator_always:
                _confirm(asked, longer, clocking, refuted)
            if refuted:
                return Enumerated(longer.records, readings, len(seen))
            if longer.records[-1].finding is not None:
                continue
            after = machine.snapshot()
            node = (after, summary.of(longer))
            if node not in seen:
                _confirm(asked, longer, clocking, refuted)
                seen.add(node)
                if len(seen) > most_states:
                    raise TooManyStatesError
                waiting.append((after, longer))
    return Enumerated(None, readings, len(seen))


def longer_runs(machine: Machine, summary: Summary, snapshot: Hashable, run: Run) -> Iterator[Run]:
    """The run with one scan more that the assumptions allow, in every way; the machine, which was
    in ``snapshot`` at its end, is then at the end of that one. A run that has not begun may have
    one sample more before power-up, where what was before it can matter."""
    program, clocking = machine.program, machine.clocking
    lengths = range(clocking.shortest, clocking.longest + 1)
    if not run.powered and summary.looks_back(frozenset(v.name for v in program.older)):
        machine.restore(snapshot)
        for values, elapsed in product(_older_inputs(program), lengths):
            record = ScanRecord(-1, elapsed, values, older=frozenset(values))
            yield from _extended(summary, run.ending(-1 - elapsed), record)
    every = product(boolean_inputs(program), lengths)
    for sampled, elapsed in every:
        for inputs in _with_clock(sampled, machine, run):
            yield from _scanned(machine, summary, (snapshot, run), inputs, elapsed)


def _with_clock(inputs: dict[str, Value], machine: Machine, run: Run) -> Iterator[dict[str, Value]]:
    """With everything that the clock can begin with, where it begins: in the first scan, and in one
    without supply."""
    clock = machine.program.clock
    if clock is None or (run.powered and inputs.get(POWER_ON, True)):
        yield inputs
        return
    for shown in range(machine.clocking.clock_range):
        yield {**inputs, clock.name: shown}


def _scanned(
    machine: Machine,
    summary: Summary,
    before: tuple[Hashable, Run],
    inputs: dict[str, Value],
    elapsed: int,
) -> Iterator[Run]:
    snapshot, run = before
    machine.restore(snapshot)
    time = run.records[-1].time + elapsed if run.powered else 0
    record = replace(machine.scan(inputs, elapsed), time=time)
    yield from _extended(summary, run if run.powered else run.ending(-elapsed), record)


def _extended(summary: Summary, run: Run, record: ScanRecord) -> Iterator[Run]:
    longer = summary.extended(run, record)
    if longer is not None:
        yield longer


def _older_inputs(program: Program) -> list[dict[str, Value]]:
    names = [variable.name for variable in program.older]
    choices = product((False, True), repeat=len(names))
    return [dict(zip(names, values, strict=True)) for values in choices]


def _confirm(asked: Property, run: Run, clocking: Clocking, refuted: bool) -> None:
    expected = len(run.records) - 1 if refuted else None
    assert refuted_at(asked, run.records, clocking) == expected


def enumerate_readings(
    program: Program,
    clocking: Clocking,
    choices: Sequence[Readings],
    asked: Property,
    assumptions: Sequence[Formula] = (),
    most_states: int = 20_000,
    ask_evaluator_always: bool = False,
) -> Enumerated:
    """Under every one of ``choices``: the shortest refutation of all, or none under any."""
    results = [
        enumerate_runs(
            program, clocking, choice, asked, assumptions, most_states, ask_evaluator_always
        )
        for choice in choices
    ]
    states = sum(result.states for result in results)
    refuted = [result for result in results if result.refutation is not None]
    if not refuted:
        return Enumerated(None, choices[0], states)
    shortest = min(refuted, key=lambda result: len(result.refutation or ()))
    return replace(shortest, states=states)
