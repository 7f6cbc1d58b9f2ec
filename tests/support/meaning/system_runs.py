"""Runs of a block's transition system with plain values."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from twohand.program.types import Value
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.finding import FindingKind
from twohand.scan.symbolic.encode import EncodedProgram, encode
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.concrete_terms import ConcreteSystem

MILLISECOND = 1_000_000
STANDARD = Readings(False, True, False, False, False, False, True, False, durations_are_signed=True)
"""The choice that the published traces were made with; F_TRIG without an edge at first."""


def encoded(
    declarations: str,
    body: str,
    clocking: Clocking,
    readings: Readings = STANDARD,
    loop_bound: int = 100,
) -> EncodedProgram:
    text = f"FUNCTION_BLOCK Main\n{declarations}\n{body}\nEND_FUNCTION_BLOCK"
    program = load_program([SourceText("main.st", text)])
    return encode(program, clocking, readings, loop_bound)


class Run:
    """A system in some state; open readings are given as ``parameters``."""

    def __init__(self, encoding: EncodedProgram, **parameters: bool) -> None:
        system = encoding.system
        self.encoding = encoding
        self.names = list(system.signals)
        conditions = [condition for _, condition in system.findings]
        self.concrete = ConcreteSystem(system, [*system.signals.values(), *conditions])
        self.state: dict[str, Value] = {
            name: parameters[name.partition(".")[2]] if value is None else value
            for name, value in self.concrete.initial.items()
        }
        self.found: list[tuple[FindingKind, str]] = []

    def scan(self, inputs: Mapping[str, Value], ticks: int = 1) -> dict[str, Value]:
        """The values at the end of one scan; ``found`` then holds its findings."""
        seen, self.state = self.concrete.step(self.state, inputs, ticks)
        flags = seen[len(self.names) :]
        self.found = [
            (finding.kind, finding.span.text)
            for (finding, _), happens in zip(self.encoding.system.findings, flags, strict=True)
            if happens
        ]
        return dict(zip(self.names, seen[: len(self.names)], strict=True))

    def column(self, name: str, rows: Iterable[Mapping[str, Value]], ticks: int = 1) -> list[Value]:
        return [self.scan(row, ticks)[name] for row in rows]
