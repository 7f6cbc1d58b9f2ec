"""What a sheet is made of: trials of steps that hands can do, and what it says beside them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from twohand.record.sources import HashedFile


class Device(Enum):
    """What a step moves."""

    HAND = "hand"
    INPUT = "input"
    """By the device that is wired there."""


@dataclass(frozen=True)
class InputMove:
    """``name`` is that of a hand, or of another input of the block; ``on`` is what it becomes."""

    device: Device
    name: str
    on: bool


class OutputSeen(Enum):
    """What the output does after a step; what comes or goes may take half a second."""

    COMES_ON = "comes ON"
    GOES_OFF = "goes OFF"
    STAYS_ON = "stays ON"
    STAYS_OFF = "stays OFF"

    @property
    def on(self) -> bool:
        return self in (OutputSeen.COMES_ON, OutputSeen.STAYS_ON)

    @property
    def stays(self) -> bool:
        """Whether it is to be seen from the first scan of the step on."""
        return self in (OutputSeen.STAYS_ON, OutputSeen.STAYS_OFF)


@dataclass(frozen=True)
class TrialStep:
    """Several ``moves`` are done together; ``extra`` seconds pass before them, beside the usual
    pause."""

    moves: tuple[InputMove, ...]
    seen: OutputSeen
    extra: int = 0


class Aimed(Enum):
    """What a trial is there for."""

    PASSES = "must pass"
    PROVOKES = "provokes"
    CONTACT = "contact taken off"


@dataclass(frozen=True)
class Trial:
    """``at_first`` is what is on while the control is switched on; everything else is off then.
    ``seen_first`` is what the output does until the first step. ``requirements`` are identifiers.
    ``wire_off`` is the input whose contact is taken off for the whole trial; '' for none.
    ``needs_generator``: it holds only where what is done together is done in one scan.
    """

    title: str
    aim: Aimed
    at_first: tuple[InputMove, ...]
    steps: tuple[TrialStep, ...]
    requirements: tuple[str, ...] = ()
    wire_off: str = ""
    needs_generator: bool = False
    seen_first: OutputSeen = OutputSeen.STAYS_OFF


@dataclass(frozen=True)
class NoTrial:
    """``what`` has no line, and why."""

    what: str
    why: str


@dataclass(frozen=True)
class Sheet:
    """``not_before`` is what has to be settled before the machine runs; where there is any there is
    no ``moving`` part. ``still`` is Part 1, ``contacts`` belong to it. ``branches`` says how many
    branches there are and ``uncovered`` what is known of those that no trial goes along.
    ``to_measure`` are times, with what the spec states of them.
    """

    name: str
    outputs: tuple[str, ...]
    hands: tuple[str, ...]
    not_before: tuple[NoTrial, ...]
    still: tuple[Trial, ...]
    contacts: tuple[Trial, ...]
    moving: tuple[Trial, ...]
    without: tuple[NoTrial, ...]
    asked: tuple[tuple[str, str], ...]
    """The identifier and the sentence of each requirement that is proved."""
    branches: int
    uncovered: tuple[NoTrial, ...]
    to_measure: tuple[str, ...]
    files: tuple[HashedFile, ...]
    version: str
