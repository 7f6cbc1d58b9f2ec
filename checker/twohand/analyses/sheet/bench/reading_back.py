"""A program of trials, read again as text and executed: what it reports itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields

from twohand.analyses.sheet.bench.playing import UNASKED, bench_clocking
from twohand.analyses.sheet.bench.writing import BenchText
from twohand.program import Program
from twohand.program.types import Value
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.concrete.execute import Machine
from twohand.scenarios.noted_readings import under_every_choice
from twohand.scenarios.timing import Timing
from twohand.specification.model.specification import Specification
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program


@dataclass(frozen=True)
class Reported:
    """What the program shows when it has finished; ``completes`` is FALSE where a scan does not,
    or it does not finish."""

    completes: bool
    differences: int = 0
    first_difference_in: int = 0
    not_judged: int = 0
    first_not_judged: int = 0


class ReadBack:
    """The text of a program as the tool's own reader takes it."""

    def __init__(self, written: BenchText, specification: Specification) -> None:
        self.written = written
        self.specification = specification
        source = SourceText(f"{written.program}.st", written.text)
        self.program: Program = load_program([source], written.program)
        self.clocking: Clocking = bench_clocking(specification.clocking)

    def reports(self, timing: Timing, at_once: bool = False) -> Iterator[Reported]:
        """Under each choice of the open readings that it tells apart."""
        readings = self.specification.readings
        for _, found in under_every_choice(
            readings, UNASKED, lambda chosen: self.report(timing, chosen, at_once)
        ):
            yield found

    def report(self, timing: Timing, readings: Readings, at_once: bool = False) -> Reported:
        """Up to its end or, ``at_once``, up to the first trial with a difference."""
        spec, names = self.specification, self.written.names
        machine = Machine(self.program, self.clocking, readings, spec.loop_bound)
        most = 4 + 2 * self.written.duration // self.clocking.shortest
        values: Mapping[str, Value] = {}
        for _, elapsed in zip(range(most), timing.elapsed(), strict=False):
            record = machine.scan({}, elapsed)
            if record.finding is not None:
                break
            values = record.values
            if values[names["finished"]] or (at_once and values[names["differences"]]):
                return self._reported(True, values)
        return self._reported(False, values)

    def _reported(self, completes: bool, values: Mapping[str, Value]) -> Reported:
        names = self.written.names
        shown = [each.name for each in fields(Reported)[1:]]
        return Reported(completes, *(int(values.get(names[each], 0)) for each in shown))
