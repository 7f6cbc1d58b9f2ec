"""Reports built by hand: a small two-hand block, runs of it, and verdicts about them."""

from __future__ import annotations

from twohand.evidence.verdict import Certificate, Counterexample, Outcome, Report, Verdict
from twohand.program import Program, Read, Role, Routine, Variable
from twohand.program.types import BOOL, TIME, Type, Value
from twohand.report.drawing.terminal import Terminal
from twohand.scan.clocking import Clocking, Readings
from twohand.scan.finding import Finding, FindingKind
from twohand.scan.scan_record import ScanRecord
from twohand.specification.logic.formula import Always, Atom, Implies
from twohand.specification.model.specification import (
    Aim,
    Expectation,
    Hand,
    Requirement,
    Specification,
    Station,
)
from twohand.text.source_text import SourceText, Span

PROGRAM_TEXT = """FUNCTION_BLOCK Press
VAR_INPUT leftPalm, right, guardShut : BOOL; END_VAR
VAR_OUTPUT stroke : BOOL; END_VAR
VAR armed : BOOL; window : TON; END_VAR
window(IN := leftPalm OR right, PT := T#500ms);
stroke := leftPalm AND right AND window.ET <= T#500ms;
END_FUNCTION_BLOCK
"""
SPEC_TEXT = """SPEC Press
  SOURCE 'press.st';
  SCAN T#10ms;
  REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#490ms;
END_SPEC
"""
PROGRAM_SOURCE = SourceText("press.st", PROGRAM_TEXT)
SPEC_SOURCE = SourceText("press.spec", SPEC_TEXT)
UNIT = 1_000_000


def place(source: SourceText, text: str) -> Span:
    start = source.text.index(text)
    return Span(source, start, start + len(text))


def variable(name: str, role: Role, kind: Type = BOOL) -> Variable:
    word = name.split(".")[0]
    return Variable(name, kind, role, kind is not BOOL and 0, place(PROGRAM_SOURCE, word))


LEFT = variable("leftPalm", Role.INPUT)
RIGHT = variable("right", Role.INPUT)
GUARD = variable("guardShut", Role.INPUT)
STROKE = variable("stroke", Role.OUTPUT)
ARMED = variable("armed", Role.LOCAL)
ELAPSED = variable("window.ET", Role.LOCAL, TIME)
PROGRAM = Program(
    "Press",
    inputs=(LEFT, RIGHT, GUARD),
    outputs=(STROKE,),
    variables=(LEFT, RIGHT, GUARD, STROKE, ARMED, ELAPSED),
    instances=(),
    routine=Routine((), ()),
    sources=(PROGRAM_SOURCE,),
)
REQUIRE = place(SPEC_SOURCE, "REQUIRE TWO_HAND")
STROKE_LINE = place(PROGRAM_SOURCE, "stroke := leftPalm AND right AND window.ET <= T#500ms")


def atom(item: Variable) -> Atom:
    return Atom(Read(item, item.span))


def hand(name: str, item: Variable) -> Hand:
    return Hand(name, Read(item, item.span), item.span)


def specification(
    shortest: int = 10, longest: int = 10, unit: int = UNIT, **changes: object
) -> Specification:
    hands = (hand("left", LEFT), hand("right", RIGHT))
    values: dict[str, object] = {
        "name": "Press",
        "source": SPEC_SOURCE,
        "program": PROGRAM,
        "clocking": Clocking(unit, shortest, longest),
        "readings": Readings(),
        "loop_bound": 100,
        "stations": (Station("station", hands, REQUIRE),),
        "outputs": (STROKE,),
        "assumptions": (),
        "requirements": (),
    }
    return Specification(**(values | changes))  # type: ignore[arg-type]


def requirement(
    identifier: str = "start_window",
    sentence: str = "the output starts only if both hands came on within 490 ms",
    expected: Expectation = Expectation.PROVED,
    aim: Aim = Aim.HOLDS,
    authority: str = "ISO 13851:2019, 5.8",
) -> Requirement:
    """As if EXPECT stated what is expected."""
    asked = Always(Implies(atom(STROKE), atom(LEFT)))
    return Requirement(identifier, sentence, asked, REQUIRE, aim, expected, authority, True)


def record(scan: int, elapsed: int, period: int = 10, **values: Value) -> ScanRecord:
    """``elapsed`` is the timer's; names not given are FALSE (the guard: TRUE)."""
    state: dict[str, Value] = {
        "leftPalm": False,
        "right": False,
        "guardShut": True,
        "stroke": False,
        "armed": False,
        "window.ET": elapsed,
    }
    writers = {"stroke": STROKE_LINE}
    return ScanRecord(scan * period, period, state | values, writers)


def late_start() -> Counterexample:
    """Both hands off, left on, right 500 ms later: the output starts all the same."""
    records = [record(0, 0)]
    records += [record(scan, (scan - 1) * 10, leftPalm=True) for scan in range(1, 51)]
    records.append(record(51, 500, leftPalm=True, right=True, stroke=True))
    return Counterexample(tuple(records), causes={"stroke": STROKE_LINE})


CERTIFICATE = Certificate(
    ("NOT stroke OR leftPalm", "NOT armed OR age(window) <= 490 ms"),
    "cvc5 1.4.2",
    "clauses over clock predicates",
)
SEEN = "at 510 ms the output started, 500 ms after the first hand; at most 490 ms is asked"

WIDE = Terminal(100)
NORMAL = Terminal(80)
OVERFLOW = Finding(FindingKind.OVERFLOW, place(PROGRAM_SOURCE, "window.ET <= T#500ms"))


def proved(identifier: str = "both_hands", **changes: object) -> Verdict:
    asked = requirement(identifier, "the output is on only while both hands are on")
    values: dict[str, object] = {"certificate": CERTIFICATE, "seconds": 0.15}
    return Verdict(asked, Outcome.PROVED, **(values | changes))  # type: ignore[arg-type]


def violated(expected: Expectation = Expectation.PROVED, **changes: object) -> Verdict:
    values: dict[str, object] = {"counterexample": late_start(), "seen": SEEN, "seconds": 0.02}
    asked = requirement(expected=expected)
    return Verdict(asked, Outcome.VIOLATED, **(values | changes))  # type: ignore[arg-type]


def undecided() -> Verdict:
    asked = requirement("window_missed", "after a missed window nothing starts")
    reason = "the time limit of 60 s for one requirement"
    return Verdict(asked, Outcome.UNDECIDED, reason=reason, events=7, scans=40)


def reachable(outcome: Outcome) -> Verdict:
    asked = requirement("can_run", "the output can turn on", aim=Aim.REACHABLE)
    witness = late_start() if outcome is Outcome.PROVED else None
    return Verdict(asked, outcome, None if witness else CERTIFICATE, witness=witness)


def report(*verdicts: Verdict, **changes: object) -> Report:
    values: dict[str, object] = {"specification": specification(), "verdicts": verdicts}
    return Report(**(values | changes))  # type: ignore[arg-type]
