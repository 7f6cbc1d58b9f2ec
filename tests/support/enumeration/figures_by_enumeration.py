"""Figures of small blocks by visiting every reachable state with the executor alone.

Each figure is defined here anew, from what it means, with neither formulas nor clocks of the tool.
A distance of ``FAR`` units or more counts as without limit.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass
from itertools import product

from twohand.program.types import Value
from twohand.scan.clocking import Readings
from twohand.scan.concrete.execute import Machine
from twohand.specification.model.specification import Specification

FAR = 16
MOST_NODES = 3000
Values = Mapping[str, Value]
Predicate = Callable[[Values], bool]


class TooManyStatesError(Exception):
    """The enumeration was given up."""


@dataclass(frozen=True)
class Memory:
    """What a figure remembers between two scans; ages are None where nothing has been yet."""

    first: bool = True
    before: tuple[bool, ...] = ()
    ages: tuple[int | None, ...] = ()


Watch = Callable[[Memory, Values, int], tuple[Memory, int | None]]
"""The memory after a scan (of so many units), and the figure where the scan is read."""


def until_off(cause: Predicate, running: Predicate, older: bool) -> Watch:
    """From the coming of ``cause`` to the first scan in which ``running`` is over. A cause that is
    ``older`` than the run, and there in the first scan, may have come any time before."""

    def watch(memory: Memory, values: Values, elapsed: int) -> tuple[Memory, int | None]:
        caused, runs = cause(values), running(values)
        was_caused, did_run = memory.before if memory.before else (False, False)
        age = _aged(memory.ages[0] if memory.ages else None, elapsed)
        came = caused and (memory.first or not was_caused)
        if came:
            age = FAR if memory.first and older else 0
        late_before = was_caused and did_run
        stopped_now = came and not memory.first and did_run
        read = age if late_before or stopped_now or (memory.first and caused and runs) else None
        return Memory(False, (caused, runs), (age,)), read

    return watch


def on_time(running: Predicate) -> Watch:
    """From the output's going on to the scan in which it is off again (or, still on, to now)."""

    def watch(memory: Memory, values: Values, elapsed: int) -> tuple[Memory, int | None]:
        runs = running(values)
        (did_run,) = memory.before or (False,)
        age = _aged(memory.ages[0] if memory.ages else None, elapsed)
        if runs and not did_run:
            age = 0
        read = age if did_run or (memory.first and runs) else None
        return Memory(False, (runs,), (age if runs else None,)), read

    return watch


def between_starts(running: Predicate) -> Watch:
    """From one going on to the next."""

    def watch(memory: Memory, values: Values, elapsed: int) -> tuple[Memory, int | None]:
        runs = running(values)
        (did_run,) = memory.before or (False,)
        age = _aged(memory.ages[0] if memory.ages else None, elapsed)
        read = age if runs and not did_run else None
        return Memory(False, (runs,), (0 if runs and not did_run else age,)), read

    return watch


def lag(one: Predicate, other: Predicate, running: Predicate) -> Watch:
    """Between the last presses of two hands, where the output goes on; ``FAR`` where one of them
    has none."""

    def watch(memory: Memory, values: Values, elapsed: int) -> tuple[Memory, int | None]:
        runs = running(values)
        now = (one(values), other(values))
        before = memory.before or (*now, False)
        ages = [None if age is None else age + elapsed for age in memory.ages or (None, None)]
        for hand in (0, 1):
            if now[hand] and not before[hand]:
                ages[hand] = 0
        first, second = ages
        read = None
        if runs and not before[2]:
            read = FAR
            if first is not None and second is not None:
                read = min(FAR, abs(first - second))
        return Memory(False, (*now, runs), _near(first, second)), read

    return watch


def _aged(age: int | None, elapsed: int) -> int | None:
    return None if age is None else min(FAR, age + elapsed)


def _near(first: int | None, second: int | None) -> tuple[int | None, int | None]:
    """Two ages, the younger at most ``FAR`` and the older at most so much more; their distance is
    kept."""
    if first is None or second is None:
        return tuple(None if age is None else min(FAR, age) for age in (first, second))  # type: ignore[return-value]
    younger = min(FAR, first, second)
    more = min(FAR, abs(first - second))
    return (younger, younger + more) if first <= second else (younger + more, younger)


def extreme(specification: Specification, watch: Watch, least: bool) -> int | None:
    """The greatest (or the least) value that is read, over all runs and all readings; None where
    none is. TooManyStatesError where there are too many states."""
    best = min if least else max
    found = [_extreme(specification, watch, choice, best) for choice in _choices(specification)]
    return best((each for each in found if each is not None), default=None)


def _choices(specification: Specification) -> list[Readings]:
    return specification.readings.choices()


def _extreme(
    specification: Specification, watch: Watch, choice: Readings, best: Callable[..., int]
) -> int | None:
    clocking = specification.clocking
    machine = Machine(specification.program, clocking, choice)
    names = [variable.name for variable in specification.program.inputs]
    inputs = [
        dict(zip(names, values, strict=True))
        for values in product((False, True), repeat=len(names))
    ]
    steps = list(product(inputs, range(clocking.shortest, clocking.longest + 1)))
    start: tuple[Hashable, Memory] = (machine.snapshot(), Memory())
    seen, waiting = {start}, deque([start])
    found: int | None = None
    while waiting:
        snapshot, memory = waiting.popleft()
        for given, elapsed in steps:
            machine.restore(snapshot)
            record = machine.scan(given, elapsed)
            assert record.finding is None
            after, read = watch(memory, record.values, 0 if memory.first else elapsed)
            if read is not None:
                found = read if found is None else best(found, read)
                if found >= FAR and best is max:
                    return FAR
            node = (machine.snapshot(), after)
            if node not in seen:
                if len(seen) >= MOST_NODES:
                    raise TooManyStatesError
                seen.add(node)
                waiting.append(node)
    return found
