"""The variables of the typed program, and its instances of standard blocks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

from twohand.program.types import CLOCK_TIME, TIME, ClockTime, Type, Value
from twohand.text.source_text import SourceText, Span


class Role(Enum):
    """The declaration section of a variable in the block that declares it."""

    INPUT = "VAR_INPUT"
    OUTPUT = "VAR_OUTPUT"
    IN_OUT = "VAR_IN_OUT"
    LOCAL = "VAR"
    TEMPORARY = "VAR_TEMP"
    GLOBAL = "VAR_GLOBAL"
    """Global, or of the memory area: others may read and write it between scans."""


@dataclass(frozen=True, eq=False)
class Variable:
    """One flattened elementary variable; ``name`` is its path (``press.window.ET``), unique."""

    name: str
    type: Type
    role: Role
    initial: Value
    span: Span = field(repr=False)
    retain: bool = False
    surroundings: bool = False
    """An input that chooses what happens around the program (the supply, the onset of a fault, what
    a bouncing contact shows), in the scans of a run only."""
    unset_at_call: bool = False
    """Begins anew at each call of its routine, and its declaration says with no value what it is
    then."""

    uncomputed: str = ""
    """Of an input that stands for what nobody computes, a comparison of REALs: its text."""
    shared_text: bool = False
    """Whether it is the same for every program in which an input stands for the same text."""

    @property
    def keeps_clock(self) -> bool:
        """Whether its values are readings of the scan's clock."""
        return isinstance(self.type, ClockTime)


def _clock(kind: Type) -> Variable:
    place = Span(SourceText("TIME()", "TIME()"), 0, len("TIME()"))
    return Variable("TIME()", kind, Role.INPUT, 0, place, surroundings=True)


CLOCK = _clock(CLOCK_TIME)
"""The one clock of all programs, which nobody declares. It is an input in which a run chooses what
it shows in the first scan, and in a scan in which the program restarts."""
UNSETTLED_CLOCK = _clock(TIME)
"""The same while it is not known yet which variables keep its readings."""


class StandardBlock(Enum):
    TON = "TON"  # IN, PT -> Q, ET
    TOF = "TOF"
    TP = "TP"
    R_TRIG = "R_TRIG"  # CLK -> Q
    F_TRIG = "F_TRIG"
    SR = "SR"  # S1, R -> Q1
    RS = "RS"  # S, R1 -> Q1
    CTU = "CTU"  # CU, R, PV -> Q, CV
    CTD = "CTD"  # CD, LD, PV -> Q, CV
    CTUD = "CTUD"  # CU, CD, R, LD, PV -> QU, QD, CV


@dataclass(frozen=True, eq=False)
class StandardInstance:
    """An instance of a standard block.

    ``pins`` maps each pin's name (upper case) to its variable; pins keep their value between
    scans and can be read and (inputs) assigned without a call. What a block remembers besides its
    pins (last IN, age ...) belongs to the rooms that give it meaning.
    """

    name: str
    block: StandardBlock
    pins: Mapping[str, Variable]
    span: Span = field(repr=False)
    retain: bool = False
    surroundings: bool = False
    """Part of the surroundings, not of the user's program: its edge call contributes no time,
    whatever the platform does."""
