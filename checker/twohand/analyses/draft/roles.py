"""What a draft guesses of a block: roles of its variables, each with the reasons for it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from twohand.program import Variable
from twohand.specification.syntax.formulas import start_name


class Purpose(Enum):
    """What a variable is for; the values are the names of the lists of words."""

    HAND = "hand"
    OUTPUT = "output"
    GUARD = "guard"
    STOP = "stop"
    MODE = "mode"
    STROKE_END = "stroke_end"
    HARMLESS = "harmless"
    """A part of the movement in which nobody can be hurt: the way back."""
    RESET = "reset"
    READY = "ready"
    START = "start"
    OUTSIDE = "outside"
    """Written by somebody else between scans; no names hint at it."""


def own_name(variable: Variable) -> str:
    """The name that the block's text has of it."""
    before = start_name("").removesuffix(")")
    name = variable.name
    return name.removeprefix(before).removesuffix(")") if name.startswith(before) else name


@dataclass(frozen=True)
class Signed:
    """A Boolean variable, or (``value`` FALSE) its negation."""

    variable: Variable
    value: bool = True

    @property
    def name(self) -> str:
        """The user's own name, also of what somebody else writes between scans."""
        return own_name(self.variable)

    @property
    def text(self) -> str:
        return self.name if self.value else f"NOT {self.name}"

    @property
    def negated(self) -> Signed:
        return Signed(self.variable, not self.value)


@dataclass(frozen=True)
class Guess:
    """``signals`` are TRUE where what the role says is so: the hand is on (its contacts), the
    guard is shut, the button is pressed, the stroke is at its end."""

    role: Purpose
    signals: tuple[Signed, ...]
    reasons: tuple[str, ...]

    @property
    def text(self) -> str:
        """All of it as one condition."""
        return " AND ".join(each.text for each in self.signals)


@dataclass(frozen=True)
class Hands:
    """The hands of one operator, two of them, each with its contacts."""

    left: tuple[Signed, ...]
    right: tuple[Signed, ...]

    @property
    def variables(self) -> frozenset[Variable]:
        return frozenset(each.variable for each in (*self.left, *self.right))


@dataclass(frozen=True)
class Roles:
    """All that was guessed. ``hands`` is () where the logic does not show which inputs they are,
    and ``why_no_hands`` says then what it shows. ``outside`` are variables that somebody else must
    write, ``notes`` what else was seen and is no role."""

    outputs: Guess | None = None
    hands: tuple[Hands, ...] = ()
    hand_reasons: tuple[str, ...] = ()
    in_use: tuple[Signed, ...] = ()
    """What says of each of several hands that their station is in use."""
    where: Signed | None = None
    """The mode in which the hands start anything."""
    why_no_hands: str = ""
    outside: tuple[Guess, ...] = ()
    others: tuple[Guess, ...] = ()
    notes: tuple[str, ...] = ()

    def of(self, role: Purpose) -> tuple[Guess, ...]:
        return tuple(each for each in self.others if each.role is role)
