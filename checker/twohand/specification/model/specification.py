"""The resolved specification: what is checked, of which block, and what is expected."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from twohand.program import Expression, Program, Variable
from twohand.program.durations import NO_TIME, Nanoseconds, Units
from twohand.scan.clocking import Clocking, Readings
from twohand.specification.logic.formula import Formula, Named, Property
from twohand.specification.model.fault import Fault, possible_faults
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_text import SourceText, Span


class Expectation(Enum):
    """The verdict that a spec expects; words of the spec language."""

    PROVED = "PROVED"
    VIOLATED = "VIOLATED"
    VACUOUS = "VACUOUS"
    UNDECIDED = "UNDECIDED"


class Aim(Enum):
    """What a requirement asks of the runs."""

    HOLDS = "holds"
    """The property must hold in every run."""
    REACHABLE = "reachable"
    """Some run must reach a scan with the formula; the property is Always(NOT formula)."""


@dataclass(frozen=True, eq=False)
class Requirement:
    """One thing to decide.

    ``identifier`` is unique in its spec (``both_hands``, a PROPERTY's own name). ``sentence`` says
    plainly what is asked, in the user's names (no final full stop): 'the output is on only while
    both hands are on'. ``authority`` is the standard and clause it comes from, or ''. ``stated``:
    EXPECT says what is expected. ``leaves_out`` says in a clause what is not asked, and what is our
    own reading. ``stops``: it asks that the output is off, not only that it does not go on.
    ``word`` is that of REQUIRE which it comes from, or AVAILABLE; '' of PROPERTY and REACHABLE.
    """

    identifier: str
    sentence: str
    property: Property
    span: Span = field(repr=False)
    aim: Aim = Aim.HOLDS
    expected: Expectation = Expectation.PROVED
    authority: str = ""
    stated: bool = False
    leaves_out: str = ""
    stops: bool = False
    word: str = ""


@dataclass(frozen=True, eq=False)
class Hand:
    """``pressed`` is the Boolean expression over program inputs that says the hand is on, which is
    the first of its ``contacts``."""

    name: str
    pressed: Expression
    span: Span = field(repr=False)
    contacts: tuple[Expression, ...] = ()


@dataclass(frozen=True, eq=False)
class Station:
    """``condition`` is the Boolean expression over inputs that says that the station is in use
    (None: always), ``condition_text`` as written."""

    name: str
    hands: tuple[Hand, ...]
    span: Span = field(repr=False)
    condition: Expression | None = None
    condition_text: str = ""


@dataclass(frozen=True, eq=False)
class Lag:
    """The question 'how far apart may the presses be and still start?', asked per type III spec.

    ``start`` is the formula that is TRUE in a scan in which the output starts; ``hands`` are those
    of one station; the lag is the distance between the first and the last rise of its hands.
    ``window`` and ``true_lag`` are None where the spec does not state them.
    """

    start: Formula
    hands: tuple[Formula, ...]
    window: Units | None
    true_lag: Units | None


@dataclass(frozen=True, eq=False)
class Stop:
    """A condition that has to stop the output, besides a hand's release; ``text`` as written."""

    condition: Formula
    text: str
    span: Span = field(repr=False)


@dataclass(frozen=True)
class Stopping:
    """What a stop takes outside the logic (None: not stated).

    ``machine`` is from the output's going off to the end of the hazard; where ``logic_included``
    it was measured from the hand's release on, so that the reaction of the logic is in it.
    """

    input_filter: Nanoseconds | None = None
    output_device: Nanoseconds | None = None
    machine: Nanoseconds | None = None
    logic_included: bool = False


@dataclass(frozen=True)
class Clutch:
    """A full-revolution clutch: engaging points, and the time of one revolution."""

    points: int
    revolution: Nanoseconds


@dataclass(frozen=True, eq=False)
class Supply:
    """The program inputs (contacts, feedback) that lose their voltage together."""

    name: str
    inputs: tuple[Variable, ...]
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Contact:
    """One contact of the hand of that name; ``opens`` says that it opens as the hand comes on."""

    hand: str
    input: Variable
    opens: bool
    span: Span = field(repr=False)


@dataclass(frozen=True, eq=False)
class Lines:
    """What is between the world and the block: the contacts of all hands, the BOOL inputs
    that a plant drives or a SUPPLY names (``feedback``), the supplies, and the block's variables
    that are ``outputs`` of the spec.

    ``apart`` are the block's other inputs, at which no fault is assumed; ``unsupplied`` what no
    SUPPLY names although there are some.
    """

    contacts: tuple[Contact, ...]
    feedback: tuple[Variable, ...]
    supplies: tuple[Supply, ...]
    apart: tuple[Variable, ...] = ()
    unsupplied: tuple[Variable, ...] = ()
    outputs: tuple[Variable, ...] = ()

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Every single fault."""
        names = [contact.input.name for contact in self.contacts]
        outputs = [variable.name for variable in self.outputs]
        fed = [variable.name for variable in self.feedback]
        return possible_faults(names, outputs, fed, [supply.name for supply in self.supplies])


@dataclass(frozen=True, eq=False)
class AssumedFaults:
    """``begun``: the (first) fault has begun; ``present``: it is there in this scan. ``shows``: in
    this scan some input reads otherwise than it would without what is assumed to fail."""

    faults: tuple[Fault, ...]
    begun: Formula
    present: Formula
    shows: Formula


@dataclass(frozen=True)
class Accepted:
    """A warning that the spec accepts, and why."""

    warning: Diagnostic
    reason: str


class Arrangement(Enum):
    """The letters of type III in ISO 13851:2019, 4.2: what is asked of it under faults."""

    A = "A"
    B = "B"
    C = "C"


@dataclass(frozen=True, eq=False)
class Specification:
    """A spec file, resolved against its block (and plant).

    ``outputs`` are the program variables that count as one output signal. ``assumptions`` are
    formulas over inputs, their past, and time. ``power`` is the input that says that the controller
    has its supply, where the spec allows power cycles. ``notice`` is how the logic shows that it
    noticed a fault. ``lines`` are what is between physical hands and the block (None: contacts
    are read directly), ``assumed_faults`` what of it is assumed to fail.
    """

    name: str
    source: SourceText
    program: Program
    clocking: Clocking
    readings: Readings
    loop_bound: int
    stations: tuple[Station, ...]
    outputs: tuple[Variable, ...]
    assumptions: tuple[Named, ...]
    requirements: tuple[Requirement, ...]
    lags: tuple[Lag, ...] = ()
    warnings: tuple[Diagnostic, ...] = ()
    wide: tuple[Diagnostic, ...] = ()
    """Those of the warnings that fail the check: tolerances that leave little of what is asked."""
    accepted: tuple[Accepted, ...] = ()
    """Warnings of that kind that do not, for a reason that every report repeats."""
    power: Variable | None = None
    stops: tuple[Stop, ...] = ()
    stopping: Stopping | None = None
    clutch: Clutch | None = None
    encroachment_shown_by: str | None = None
    """Who showed that encroachment is prevented; None: nobody."""
    observed_readings: tuple[tuple[str, str], ...] = ()
    """Names of readings that are fixed, with what somebody observed them by."""
    edition: int | None = None
    """The edition of ISO 13855 whose distance is the result; None: the greatest one's."""
    hazard: Named | None = None
    """Where a release has to stop the output (None: always)."""
    supplies: tuple[Supply, ...] = ()
    arrangement: Arrangement | None = None
    notice: Named | None = None
    lines: Lines | None = None
    assumed_faults: AssumedFaults | None = None
    bounce: Units = NO_TIME
    """How long a contact may bounce after its hand moved; 0: contacts do not bounce."""
    plants: tuple[str, ...] = ()
    """The names of what is taken for the machine."""
    equivalent: tuple[str, str] | None = None
    """Prefixes of two programs side by side: what differs in name by them alone may always be
    equal. It helps proofs; no verdict depends on it."""

    @property
    def hands(self) -> tuple[Hand, ...]:
        return tuple(hand for station in self.stations for hand in station.hands)
