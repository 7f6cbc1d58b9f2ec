"""One requirement of a spec (REQUIRE with a word of the catalogue), its parameters resolved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from twohand.program.durations import NO_TIME, Scans, Units
from twohand.specification.logic.formula import (
    And,
    Bound,
    FirstScan,
    Formula,
    Not,
    Or,
    Property,
    Rose,
)
from twohand.specification.model.control import TwoHand
from twohand.specification.model.specification import Requirement
from twohand.text.source_text import Span


@dataclass(frozen=True, eq=False)
class Clause:
    """What a rule needs to know.

    ``identifier`` is the label, else the word. ``control`` has the stations, the outputs and the
    HAZARD of the spec. ``conditions`` and their ``texts``, ``times`` and ``counts`` are the
    parameters that were given. Under a fault ``conditions`` speak of what people do and what is
    so; ``seen`` has the same parameters as the logic sees them.
    """

    identifier: str
    control: TwoHand
    conditions: Mapping[str, Formula]
    texts: Mapping[str, str]
    times: Mapping[str, Units]
    span: Span = field(repr=False)
    counts: Mapping[str, Scans] = field(default_factory=dict)
    seen: Mapping[str, Formula] = field(default_factory=dict)

    @property
    def output(self) -> Formula:
        """The parameter ``output``, else any output of the spec."""
        given = self.conditions.get("output")
        return self.control.output if given is None else self.control.counted(given)

    @property
    def output_name(self) -> str:
        return self.texts.get("output") or self.control.output_name

    def within(self, time: str) -> Bound:
        return Bound(NO_TIME, self.times[time])

    def time(self, time: str) -> str:
        return self.control.time(self.times[time])

    def requirement(
        self,
        part: str,
        sentence: str,
        asked: Property,
        authority: str = "common practice",
        stops: bool = False,
    ) -> Requirement:
        """``part`` is '' where the word is one requirement."""
        identifier = f"{self.identifier}_{part}" if part else self.identifier
        sentence = self.control.while_asked(sentence)
        return Requirement(identifier, sentence, asked, self.span, authority=authority, stops=stops)

    def began(self) -> Formula:
        """The first scan, and the first after the supply came back."""
        power = self.control.power
        if power is None:
            return FirstScan()
        return And((Or((FirstScan(), Rose(power))), power))


def started(output: Formula) -> Formula:
    """The output goes on, or is on in the first scan."""
    return Or((Rose(output), And((FirstScan(), output))))


def differ(first: Formula, second: Formula) -> Formula:
    return Or((And((first, Not(second))), And((Not(first), second))))
