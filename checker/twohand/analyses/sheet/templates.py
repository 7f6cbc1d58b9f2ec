"""Sequences of steps for hands: which are tried for which requirement. Whether one is true of the
block is not said here: each is played first (``rehearsal``)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from twohand.analyses.sheet.trial import Aimed, Device, InputMove, OutputSeen, Trial, TrialStep
from twohand.program import Variable
from twohand.program.types import BOOL
from twohand.specification.model.specification import Specification

ALONE, RUNNING, AGAIN, AT_POWER_UP, LATE = "alone", "running", "again", "power_up", "late"
SERVED = {
    ALONE: ("both_hands",),
    RUNNING: ("both_hands",),
    AGAIN: ("release_both",),
    AT_POWER_UP: ("power_up",),
    LATE: ("start_window", "window_missed"),
}
"""By the kind of a provoking sequence: the requirements of REQUIRE TWO_HAND that it is built for
(of a station: ``start_window_front``). ISO 13851:2019, 5.2, 5.4, 5.7 and 6.1, as the catalogue has
them."""


@dataclass(frozen=True)
class Setup:
    """What the inputs beside the hands are while a trial begins, and what is done to them before
    the hands; with it both hands start the output."""

    at_first: tuple[InputMove, ...] = ()
    prelude: tuple[TrialStep, ...] = ()


def other_inputs(specification: Specification, hand_inputs: frozenset[str]) -> list[Variable]:
    """The BOOL inputs that somebody at the machine can bring to a value, beside the hands."""
    return [
        variable
        for variable in specification.program.inputs
        if variable.type == BOOL
        and not variable.surroundings
        and variable.name not in hand_inputs
        and variable is not specification.power
    ]


def setups(inputs: list[Variable], most: int) -> Iterator[Setup]:
    """At most so many: those in which nothing is done before the hands first."""
    count = min(1 << len(inputs), most)
    plain = [
        tuple(
            InputMove(Device.INPUT, v.name, bool(number >> at & 1)) for at, v in enumerate(inputs)
        )
        for number in range(count)
    ]
    yield from (Setup(each) for each in plain)
    tapped = [
        Setup(moves, (_step(turned, OutputSeen.STAYS_OFF), _step(move, OutputSeen.STAYS_OFF)))
        for moves in plain
        for move in moves
        if (turned := replace(move, on=not move.on)).on
    ]
    yield from tapped[:most]


def _step(*args: object) -> TrialStep:
    *moves, seen = args
    assert isinstance(seen, OutputSeen)
    return TrialStep(tuple(each for each in moves if isinstance(each, InputMove)), seen)


class Templates:
    """The sequences over one spec's hands, in one setup; ``late`` seconds are beyond its window
    (None: it has none)."""

    def __init__(self, hands: tuple[str, ...], setup: Setup, late: int | None) -> None:
        self.hands = hands
        self.setup = setup
        self.late = late

    def starts(self) -> Trial:
        """The sequence that must pass before anything else says something."""
        return self._trial(
            "all hands together, then all off", Aimed.PASSES, (self._start(), self._all_off())
        )

    def starts_again(self) -> Trial:
        steps = (self._start(), self._all_off(), self._start(), self._all_off())
        return self._trial("two starts, with a release of all hands between", Aimed.PASSES, steps)

    def provoking(self) -> Iterator[tuple[str, Trial]]:
        """Each with its kind."""
        for hand in self.hands:
            yield ALONE, self._provoking(f"all but '{hand}'", self._all_but(hand))
        for hand in self.hands:
            yield RUNNING, self._provoking(f"'{hand}' is let go while the output is on", (
                self._start(), self._hand(hand, False, OutputSeen.GOES_OFF),
            ))  # fmt: skip
        for hand in self.hands:
            yield AGAIN, self._provoking(f"'{hand}' alone is let go and pressed again", (
                self._start(),
                self._hand(hand, False, OutputSeen.GOES_OFF),
                self._hand(hand, True, OutputSeen.STAYS_OFF),
            ))  # fmt: skip
        yield from ((AT_POWER_UP, each) for each in self._at_power_up())
        if self.late is not None:
            for hand in self.hands:
                title = f"'{hand}' comes {self.late} s after the others"
                late = replace(self._hand(hand, True, OutputSeen.STAYS_OFF), extra=self.late)
                yield LATE, self._provoking(title, (*self._all_but(hand), late))

    def with_input(self, move: InputMove) -> Iterator[tuple[Trial, ...]]:
        """What may come of turning an input that the setup has as ``move``: of each tuple the first
        trial that is true of the block is meant."""
        turned, name = replace(move, on=not move.on), move.name
        shown = "TRUE" if turned.on else "FALSE"
        back = self._others(move, OutputSeen.STAYS_OFF)
        yield (
            self._provoking(
                f"'{name}' becomes {shown} while the output is on, and goes back",
                (self._start(), self._others(turned, OutputSeen.GOES_OFF), back),
            ),
            self._provoking(
                f"'{name}' becomes {shown} while the output is on",
                (self._start(), self._others(turned, OutputSeen.GOES_OFF)),
            ),
            self._provoking(
                f"'{name}' becomes {shown} while the output is on",
                (self._start(), self._others(turned, OutputSeen.STAYS_ON)),
            ),
        )
        yield (
            self._provoking(
                f"'{name}' is {shown} as all hands come on, and goes back",
                (
                    self._others(turned, OutputSeen.STAYS_OFF),
                    replace(self._start(), seen=OutputSeen.STAYS_OFF),
                    back,
                ),
            ),
            self._provoking(
                f"'{name}' is {shown} as all hands come on",
                (
                    self._others(turned, OutputSeen.STAYS_OFF),
                    replace(self._start(), seen=OutputSeen.STAYS_OFF),
                ),
            ),
        )

    def without_contact(self, name: str) -> Trial:
        """Everything that starts the output, and it does not."""
        start = replace(self._start(), seen=OutputSeen.STAYS_OFF)
        end = replace(self._all_off(), seen=OutputSeen.STAYS_OFF)
        trial = self._trial(f"the contact at '{name}' is off", Aimed.CONTACT, (start, end))
        return replace(trial, wire_off=name)

    # --- parts ------------------------------------------------------------------------------

    def _at_power_up(self) -> Iterator[Trial]:
        for hand in self.hands:
            others = tuple(InputMove(Device.HAND, h, True) for h in self.hands if h != hand)
            yield self._held_at_power_up(
                f"'{hand}' is held while the control comes on, the others come later",
                (InputMove(Device.HAND, hand, True),),
                (TrialStep(others, OutputSeen.STAYS_OFF),),
            )
        held = tuple(InputMove(Device.HAND, hand, True) for hand in self.hands)
        yield self._held_at_power_up("all hands are held while the control comes on", held, ())

    def _held_at_power_up(
        self, title: str, held: tuple[InputMove, ...], steps: tuple[TrialStep, ...]
    ) -> Trial:
        """After a release of all it starts, so that the trial is of the hands and nothing else."""
        end = replace(self._all_off(), seen=OutputSeen.STAYS_OFF)
        return Trial(
            title, Aimed.PROVOKES, (*self.setup.at_first, *held),
            (*self.setup.prelude, *steps, end, self._start(), self._all_off()),
        )  # fmt: skip

    def _provoking(self, title: str, steps: tuple[TrialStep, ...]) -> Trial:
        """Ended by a release of all, after which it starts."""
        off = OutputSeen.GOES_OFF if steps[-1].seen.on else OutputSeen.STAYS_OFF
        end = replace(self._all_off(), seen=off)
        return self._trial(title, Aimed.PROVOKES, (*steps, end))

    def _trial(self, title: str, aim: Aimed, steps: tuple[TrialStep, ...]) -> Trial:
        return Trial(title, aim, self.setup.at_first, (*self.setup.prelude, *steps))

    def _start(self) -> TrialStep:
        return TrialStep(
            tuple(InputMove(Device.HAND, hand, True) for hand in self.hands), OutputSeen.COMES_ON
        )

    def _all_off(self) -> TrialStep:
        return TrialStep(
            tuple(InputMove(Device.HAND, hand, False) for hand in self.hands), OutputSeen.GOES_OFF
        )

    def _all_but(self, hand: str) -> tuple[TrialStep, ...]:
        others = tuple(InputMove(Device.HAND, h, True) for h in self.hands if h != hand)
        return (TrialStep(others, OutputSeen.STAYS_OFF),) if others else ()

    def _hand(self, hand: str, on: bool, seen: OutputSeen) -> TrialStep:
        return TrialStep((InputMove(Device.HAND, hand, on),), seen)

    def _others(self, move: InputMove, seen: OutputSeen) -> TrialStep:
        return TrialStep((move,), seen)
