"""The kinds of machine that a user can name, and what is required of each: from standards and
rules, never from what a block does."""

from __future__ import annotations

from dataclasses import dataclass

from twohand.analyses.draft.roles import Purpose


@dataclass(frozen=True)
class Demand:
    """``text`` is a REQUIRE with roles in braces; ``source`` says where it comes from. It is
    drafted once for each guess of the role ``each``; what ``needs`` names must be known."""

    text: str
    source: str
    needs: tuple[Purpose, ...] = ()
    each: Purpose | None = None


@dataclass(frozen=True)
class MachineKind:
    """A kind of machine by the word of ``--machine``; ``hands``: two of them start it."""

    word: str
    what: str
    hands: bool
    demands: tuple[Demand, ...]


_NO_RESTART = Demand(
    "no_restart", "IEC 60204-1, 7.5 (from memory); 2006/42/EC, Annex I, 1.2.6", (Purpose.HAND,)
)
_STOP = "IEC 60204-1, ch. 9 (from a secondary source): a stop overrides a start"
_RESET = "ISO 13849-1:2015, 5.2.2 (from a secondary source)"
_TYPE_THREE = Demand(
    "TWO_HAND LOGIC TYPE III, TRUE_LAG T#500ms",
    "ISO 13851:2019, 4.2 and 5.2 to 5.8; which of A, B and C is one of the hardware: ARRANGEMENT",
    (Purpose.HAND,),
)
_END = "(complete := {stroke_end})"


def _safeguards(start: str = "") -> tuple[Demand, ...]:
    """What every kind asks of guards, stops and their reset, where there are such."""
    begun, needs = (f", start := {start}", (Purpose.START,)) if start else ("", (Purpose.HAND,))
    return (
        Demand(f"stop (condition := {{guard}}{begun})", _STOP, needs, Purpose.GUARD),
        Demand(f"stop (condition := {{stop}}{begun})", _STOP, needs, Purpose.STOP),
        Demand(
            f"manual_reset (reset := {{reset}}, ready := {{ready}}, safeguards := {{safe}}{begun})",
            _RESET,
            (*needs, Purpose.READY, Purpose.GUARD),
            Purpose.RESET,
        ),
    )


_STARTED = "{start}"
MACHINES = (
    MachineKind(
        "press",
        "a press whose stroke is stopped by a release: both hands, in time, single strokes",
        True,
        (
            _TYPE_THREE,
            Demand(
                f"single_stroke {_END}",
                "29 CFR 1910.217(b)(7)(v) (from memory), 1910.211",
                (Purpose.HAND, Purpose.STROKE_END),
            ),
            _NO_RESTART,
            *_safeguards(),
        ),
    ),
    MachineKind(
        "trip",
        "a press with a full-revolution clutch: two hands trip a stroke that nothing stops",
        True,
        (
            Demand(
                f"two_hand_trip {_END}",
                "29 CFR 1910.217(b)(6) (from a secondary source)",
                (Purpose.HAND, Purpose.STROKE_END),
            ),
            Demand(
                "anti_tie_down (window := T#500ms)",
                "Mich. Admin. Code R 408.10034; 500 ms from ANSI B11.19 (from a secondary source)",
                (Purpose.HAND,),
            ),
            _NO_RESTART,
            *_safeguards(),
        ),
    ),
    MachineKind(
        "clamp",
        "a clamp or a like device that moves only while both hands hold it",
        True,
        (
            Demand(
                "TWO_HAND LOGIC TYPE II",
                "ISO 13851:2019, 4.2 and 5.2 to 5.7; whether the machine may have type I, or must "
                "have III, is one of its risk assessment",
                (Purpose.HAND,),
            ),
            _NO_RESTART,
            *_safeguards(),
        ),
    ),
    MachineKind(
        "table",
        "an indexing table or a like machine that repeats: both hands in time, none tied down",
        True,
        (
            _TYPE_THREE,
            Demand(
                "anti_tie_down (window := T#500ms)",
                "Mich. Admin. Code R 408.10034; 500 ms from ISO 13851:2019, 5.8",
                (Purpose.HAND,),
            ),
            _NO_RESTART,
            *_safeguards(),
        ),
    ),
    MachineKind(
        "jog",
        "a drive that moves only while one button is held, by hold-to-run",
        False,
        (
            Demand(
                f"hold_to_run (control := {_STARTED})",
                "IEC 60204-1, 9.2 (from a secondary source)",
                (Purpose.START,),
            ),
            Demand(f"no_restart (start := {_STARTED})", _NO_RESTART.source, (Purpose.START,)),
            *_safeguards(_STARTED),
        ),
    ),
    MachineKind(
        "drive",
        "a drive that one button starts, outside of the reach of what it moves",
        False,
        (
            Demand(f"no_restart (start := {_STARTED})", _NO_RESTART.source, (Purpose.START,)),
            *_safeguards(_STARTED),
        ),
    ),
)
"""In the order in which they are listed."""
BY_WORD = {each.word: each for each in MACHINES}
