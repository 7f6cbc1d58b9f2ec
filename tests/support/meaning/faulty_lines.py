"""What a fault makes of the lines between hands and inputs, told as current in wires.

It knows the contacts, the supplies and the fault as data; the program text that the checker puts
around a block has no part in it.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum, auto

from twohand.specification.model.fault import Fault, FaultCourse, FaultKind
from twohand.specification.model.specification import Lines


class Stage(Enum):
    BEFORE = auto()
    THERE = auto()
    OVER = auto()


class FaultyLines:
    """The lines of one run, scan by scan."""

    def __init__(self, lines: Lines, fault: Fault) -> None:
        self.lines = lines
        self.fault = fault
        self.stage = Stage.BEFORE

    def scan(
        self,
        hands: Mapping[str, bool],
        fed: Mapping[str, bool],
        written: Mapping[str, object],
        chosen: bool,
    ) -> dict[str, bool]:
        """What the inputs read. ``hands`` and ``fed`` (inputs that no hand moves) are as they are
        in the world, ``written`` the outputs of the scan before (none before the first); ``chosen``
        is what the run chooses for the fault in this scan."""
        self._go_on(chosen)
        closed = dict(fed)
        for contact in self.lines.contacts:
            closed[contact.input.name] = hands[contact.hand] is not contact.opens
        if self.stage is not Stage.THERE:
            return closed
        names = self.fault.names
        match self.fault.kind:
            case FaultKind.STUCK_CLOSED | FaultKind.STUCK_TRUE:
                return {**closed, names[0]: True}
            case FaultKind.STUCK_OPEN | FaultKind.STUCK_FALSE:
                return {**closed, names[0]: False}
            case FaultKind.SUPPLY_LOST:
                (dead,) = (s.inputs for s in self.lines.supplies if s.name == names[0])
                return {**closed, **dict.fromkeys((v.name for v in dead), False)}
            case FaultKind.OUTPUT_SHORT:
                return {**closed, names[0]: closed[names[0]] or written.get(names[1]) is True}
            case FaultKind.SHORT:
                return {**closed, **dict.fromkeys(names, any(closed[name] for name in names))}

    def _go_on(self, chosen: bool) -> None:
        match self.fault.course, self.stage, chosen:
            case FaultCourse.ONCE, Stage.THERE, False:
                self.stage = Stage.OVER
            case FaultCourse.OFTEN, _, False:
                self.stage = Stage.BEFORE
            case _, Stage.BEFORE, True:
                self.stage = Stage.THERE
