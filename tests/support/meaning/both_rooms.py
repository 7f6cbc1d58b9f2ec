"""The values of a program's variables, scan by scan, on which both rooms agree."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from twohand.program import Program
from twohand.program.types import Value
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.concrete.execute import Machine
from twohand.scan.symbolic.encode import encode

from tests.support.meaning.concrete_terms import ConcreteSystem
from tests.support.meaning.typed_programs import PLAIN

Row = Mapping[str, Value]
TEN = Clocking(1_000_000, 10, 10)


def both_rooms(
    tested: Program,
    rows: Sequence[Row],
    names: Sequence[str],
    readings: Readings = PLAIN,
    clocking: Clocking = TEN,
    loop_bound: int = 20,
) -> list[list[Value] | str]:
    """The values of ``names`` in each scan, or the kind of the finding that ends the run; the
    executor and the transition system (with every reading open) agree on them."""
    opened = Readings(integers_wrap=readings.integers_wrap)
    system = encode(tested, clocking, opened, loop_bound).system
    conditions = [condition for _, condition in system.findings]
    signals = list(system.signals)
    concrete = ConcreteSystem(system, [*system.signals.values(), *conditions])
    machine = Machine(tested, clocking, readings, loop_bound)
    state = {
        name: getattr(readings, name.partition(".")[2]) if value is None else value
        for name, value in concrete.initial.items()
    }
    shown: list[list[Value] | str] = []
    for row in rows:
        given = {v.name: row.get(v.name, 0) for v in tested.inputs}
        record = machine.scan(given, clocking.shortest)
        seen, state = concrete.step(state, given, clocking.shortest // system.tick)
        conditions_now = seen[len(signals) :]
        found = [f for (f, _), now in zip(system.findings, conditions_now, strict=True) if now]
        if record.finding is not None or found:
            assert found == [record.finding]
            return [*shown, record.finding.kind.value]
        assert dict(zip(signals, seen[: len(signals)], strict=True)) == record.values
        shown.append([record.values[name] for name in names])
    return shown
