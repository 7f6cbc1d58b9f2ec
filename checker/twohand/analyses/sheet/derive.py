"""The sheet of one spec: sequences are built, played, and only what plays as printed is written."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from twohand.analyses.sheet.rehearsal import IN_ONE_SCAN, TEMPI, Rehearsal, Rehearsed
from twohand.analyses.sheet.templates import SERVED, Setup, Templates, other_inputs, setups
from twohand.analyses.sheet.trial import Aimed, NoTrial, Trial
from twohand.evidence.branches.ways import Way, with_ways
from twohand.program.durations import NO_TIME, Nanoseconds
from twohand.program.types import BOOL
from twohand.scenarios.inputs import contact_inputs, writes_in_turn
from twohand.specification.model.specification import Aim, Requirement, Specification
from twohand.text.diagnostic import InputError

MOST_SETUPS = 64
_SHORTEST = Nanoseconds(1_000_000)
DEPENDS = (
    "what is seen depends on the platform, on the times of scans or on how fast hands are, so "
    "there is no line"
)
OTHERWISE = "the block does something else in it than was tried here, so nothing is said of it"
NO_START = (
    "all hands together, and then none, do not switch the output on and off under every reading, "
    "with none of the values of other inputs that were tried"
)
NOT_OFF = "with it off, the output does not stay OFF while all hands are pressed and let go"
NO_SEQUENCE = "no sequence of these steps brings about what it speaks of"
REACHABLE = "it asks for one run, which no sequence for hands has to be"

Tell = Callable[[str], None]


@dataclass(frozen=True)
class Derived:
    """``trials`` are in the order of the sheet, those that must pass first; ``uncovered`` are the
    branches that none of them goes along in every run."""

    trials: tuple[Trial, ...]
    contacts: tuple[Trial, ...]
    without: tuple[NoTrial, ...]
    ways: tuple[Way, ...]
    uncovered: tuple[Way, ...]


def why_none(specification: Specification) -> str:
    """Why no sheet can be derived for this spec; '' where one can."""
    program = specification.program
    if specification.plants:
        return "its PLANT moves with the outputs, and a machine without energy does not"
    if not specification.hands:
        return "it has no HAND"
    if any(station.condition is not None for station in specification.stations):
        return "its stations are selected, and each selection would need lines of its own"
    if any(variable.retain for variable in program.variables):
        return "its block keeps retained values, with which each trial would begin otherwise"
    if program.clock is not None:
        return "its block reads TIME(), which begins with a value that nobody sets by hand"
    for variable in program.inputs:
        if variable is specification.power:
            continue
        if variable.surroundings or writes_in_turn(variable, specification):
            return f"'{variable.name}' is no input that stays as somebody sets it"
        if variable.type != BOOL:
            return f"the input '{variable.name}' is {variable.type.name}, which no step here sets"
    if specification.clocking.shortest * specification.clocking.unit < _SHORTEST:
        return "its scans may be shorter than 1 ms, and a line of seconds has too many of them"
    if specification.assumed_faults is not None:
        return "it assumes faults"
    if specification.bounce != NO_TIME:
        return "its contacts bounce, and the lines are played with contacts that do not"
    try:
        for hand in specification.hands:
            contact_inputs(hand)
    except InputError:
        return "a contact of a hand is no plain input"
    return ""


def derive(
    specification: Specification, proved: Sequence[Requirement], tell: Tell = lambda _: None
) -> Derived:
    """The trials of the requirements that are ``proved``; ``why_none`` is ''."""
    return _Derivation(specification, proved, tell).derived()


@dataclass
class _Derivation:
    specification: Specification
    proved: Sequence[Requirement]
    tell: Tell
    trials: list[Trial] = field(default_factory=list)
    contacts: list[Trial] = field(default_factory=list)
    without: list[NoTrial] = field(default_factory=list)
    covered: set[Way] = field(default_factory=set)
    provoked: set[str] = field(default_factory=set)

    def derived(self) -> Derived:
        spec = self.specification
        marked, every = with_ways(spec.program)
        ways = tuple(way for way in every if way.span.source is not spec.source)  # not around it
        self.rehearsal = Rehearsal(replace(spec, program=marked), ways)
        found = self._setup()
        if found is None:
            self.without.append(NoTrial("the whole sheet", NO_START))
        else:
            templates = Templates(_names(spec), found, _late(spec))
            self._passing(templates)
            self._provoking(templates)
            self._contacts(templates)
        self.without += self._requirements_left(found is not None)
        uncovered = tuple(way for way in ways if way not in self.covered)
        return Derived(
            tuple(self.trials), tuple(self.contacts), tuple(self.without), ways, uncovered
        )

    def _setup(self) -> Setup | None:
        """The first in which all hands together start the output, in every run."""
        spec = self.specification
        hands = frozenset(v.name for hand in spec.hands for v, _ in contact_inputs(hand))
        inputs = other_inputs(spec, hands)
        for setup in setups(inputs, MOST_SETUPS):
            trial = Templates(_names(spec), setup, None).starts()
            if self.rehearsal.plays_once(trial) and self._played(trial)[0] is not None:
                return setup
        return None

    # --- trials -----------------------------------------------------------------------------

    def _passing(self, templates: Templates) -> None:
        every = tuple(each.identifier for each in self.proved if each.aim is Aim.HOLDS)
        for trial in (templates.starts(), templates.starts_again()):
            self._take((trial,), lambda _: every)

    def _provoking(self, templates: Templates) -> None:
        """A sequence that nobody asks for is left out where the block answers it otherwise."""
        names = [each.identifier for each in self.proved if each.word != "AVAILABLE"]
        built = [word for words in SERVED.values() for word in words]
        two_hand = {each.identifier for each in self.proved if each.word == "TWO_HAND"}
        mine = [n for n in names if n in two_hand and any(_is_of(n, word) for word in built)]
        others = [n for n in names if n not in mine]
        for kind, trial in templates.provoking():
            meant = [n for n in mine if any(_is_of(n, word) for word in SERVED[kind])]
            self._take((trial,), partial(_served, meant, others), bool(meant))
        for move in templates.setup.at_first:
            for alternatives in templates.with_input(move):
                self._take(alternatives, lambda r: _among(others, r))

    def _contacts(self, templates: Templates) -> None:
        for hand in self.specification.hands:
            for variable, _ in contact_inputs(hand):
                trial = templates.without_contact(variable.name)
                what = f"the contact of '{hand.name}' at '{variable.name}' taken off"
                played, rehearsed = self._played(trial)
                if played is None:
                    why = DEPENDS if rehearsed.depends else NOT_OFF
                    self.without.append(NoTrial(what, why))
                else:
                    self.contacts.append(played)
                    self.covered |= rehearsed.ways

    def _take(
        self,
        alternatives: Iterable[Trial],
        served: Callable[[Rehearsed], tuple[str, ...]],
        asked: bool = True,
    ) -> None:
        """The first that plays as printed; else the first one's reason."""
        reason: NoTrial | None = None
        for trial in alternatives:
            self.tell(trial.title)
            played, rehearsed = self._played(trial)
            if played is not None:
                names = served(rehearsed)
                self.trials.append(replace(played, requirements=names))
                self.covered |= rehearsed.ways
                self.provoked |= set(names) if trial.aim is Aimed.PROVOKES else set()
                return
            why = DEPENDS if rehearsed.depends else OTHERWISE
            reason = reason or NoTrial(trial.title, why)
        if reason is not None and asked:
            self.without.append(reason)

    def _played(self, trial: Trial) -> tuple[Trial | None, Rehearsed]:
        """The trial as it may be printed."""
        rehearsed = self.rehearsal.rehearsed(trial, TEMPI)
        if rehearsed.plays or not any(len(step.moves) > 1 for step in trial.steps):
            return (trial if rehearsed.plays else None), rehearsed
        exact = self.rehearsal.rehearsed(trial, IN_ONE_SCAN)
        if exact.plays:
            return replace(trial, needs_generator=True), exact
        return None, rehearsed

    def _requirements_left(self, started: bool) -> Iterator[NoTrial]:
        for each in self.proved:
            if each.aim is Aim.REACHABLE:
                yield NoTrial(each.identifier, REACHABLE)
            elif each.word == "AVAILABLE" and started:
                continue  # what must pass is all that it asks
            elif each.identifier not in self.provoked:
                yield NoTrial(f"provoking {each.identifier}", NO_SEQUENCE if started else NO_START)


def _names(specification: Specification) -> tuple[str, ...]:
    return tuple(hand.name for hand in specification.hands)


def _is_of(identifier: str, word: str) -> bool:
    """Whether it is the requirement of this name, or that of one station."""
    return identifier == word or identifier.startswith(f"{word}_")


def _late(specification: Specification) -> int | None:
    """Whole seconds that are at least one longer than every window of the spec; None: no window."""
    limits = [
        limit
        for lag in specification.lags
        for limit in (lag.window, lag.true_lag)
        if limit is not None
    ]
    if not limits:
        return None
    return 1 + -(-max(limits) * specification.clocking.unit // 1_000_000_000)


def _served(meant: Sequence[str], others: Sequence[str], rehearsed: Rehearsed) -> tuple[str, ...]:
    return (*meant, *_among(others, rehearsed))


def _among(identifiers: Sequence[str], rehearsed: Rehearsed) -> tuple[str, ...]:
    """Those of which the trial brings about what they speak of."""
    return tuple(each for each in identifiers if each in rehearsed.triggers)
