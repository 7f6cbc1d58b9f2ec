"""A verdict in a line or two: the word, what was asked, and what the word rests on."""

from __future__ import annotations

from twohand.evidence.verdict import (
    AnotherKind,
    Certificate,
    FindingVerdict,
    Outcome,
    Report,
    Vacuity,
    Verdict,
)
from twohand.program.durations import Units
from twohand.report.drawing.readings import never_sentence, reading_sentence
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.specification.logic.formula import Response
from twohand.specification.model.specification import Aim, Expectation
from twohand.specification.phrases import count, duration_range, listing, wall_time

WORD = 13
"""Columns kept for the outcome word."""
WITHOUT_REALS = (
    "compare inputs with constants only, or make the comparison's result a VAR_INPUT of BOOL"
)
SAYS_NOTHING = "says nothing of the block"
UNTIL_THEN = "only until one of the findings below happens"


OUTCOME_WORDS = ("PROVED", "REACHABLE", "VIOLATED", "VACUOUS", "UNREACHABLE", "UNDECIDED")
"""In the order in which they are counted."""


_REACHABLE = {"PROVED": "REACHABLE", "VACUOUS": "UNREACHABLE", "VIOLATED": "UNREACHABLE"}


def outcome_word(verdict: Verdict) -> str:
    """The outcome as shown; REACHABLE requirements have words of their own."""
    return _word(verdict, verdict.outcome.value)


def _word(verdict: Verdict, word: str) -> str:
    return _REACHABLE.get(word, word) if verdict.requirement.aim is Aim.REACHABLE else word


def outcome_paint(verdict: Verdict) -> Paint:
    if verdict.outcome is Outcome.PROVED:
        return Paint.GOOD
    return Paint.OPEN if verdict.outcome is Outcome.UNDECIDED else Paint.BAD


def expectation(verdict: Verdict) -> str:
    """'as expected' where something other than PROVED was; what was expected where it was not.
    Nothing where no EXPECT says what is."""
    expected = verdict.requirement.expected
    if not verdict.requirement.stated:
        return ""
    if not verdict.as_expected:
        return f"NOT as expected (expected {_word(verdict, expected.value)})"
    return "as expected" if expected is not Expectation.PROVED else ""


def under_faults(verdict: Verdict, faults: int) -> str:
    """What an assumed fault (or two) does to it. EXPECT speaks of the block without a fault."""
    which = "this fault" if faults == 1 else "these faults"
    expected = verdict.requirement.expected is Expectation.VIOLATED
    if verdict.requirement.aim is Aim.REACHABLE:
        return f"never under {which}" if verdict.outcome is Outcome.VACUOUS else ""
    if verdict.outcome is Outcome.VACUOUS:
        return f"speaks of nothing under {which}"
    if verdict.outcome is not Outcome.VIOLATED:
        return ""
    return f"falls under {which}" + (" (expected to fall without a fault, too)" if expected else "")


def emptiness(verdict: Verdict) -> str:
    """Why a vacuous verdict says nothing, in a few words; '' where what it speaks of never
    happens, or where it is not vacuous."""
    if verdict.outcome is not Outcome.VACUOUS:
        return ""
    return {Vacuity.ANY_BLOCK: SAYS_NOTHING, Vacuity.NO_SCAN: verdict.vacuity.value}.get(
        verdict.vacuity, ""
    )


def possibility(found: FindingVerdict) -> str:
    """``overflow can happen``."""
    how = "can happen" if found.outcome is Outcome.VIOLATED else "is not excluded"
    return f"{found.finding.kind.value} {how}"


def finding_line(
    found: FindingVerdict, where: str, terminal: Terminal, paint: Paint = Paint.BAD
) -> list[str]:
    """An automatic finding in a line; ``paint`` for one that can happen."""
    possible = found.outcome is Outcome.VIOLATED
    word, paint = ("FINDING", paint) if possible else ("UNDECIDED", Paint.OPEN)
    return worded(word, paint, f"{possibility(found)} at {where}", terminal)


def basis(certificate: Certificate | None) -> str:
    """How a proof was found and who accepted it."""
    if certificate is None:
        return "no certificate"
    number = len(certificate.clauses)
    if not number:
        return f"needs no invariant ({certificate.method}), accepted by {certificate.checker}"
    return (
        f"invariant of {count(number, 'clause')} found by {certificate.method}, "
        f"accepted by {certificate.checker}"
    )


def searched(verdict: Verdict, report: Report) -> str:
    """How far an undecided search has looked."""
    clocking = report.specification.clocking
    parts = []
    if verdict.events:
        parts.append(f"in any run of up to {count(verdict.events, 'event')}")
    if verdict.scans:
        low, high = verdict.scans * clocking.shortest, verdict.scans * clocking.longest
        time = duration_range(Units(low), Units(high), clocking)
        parts.append(f"in the first {count(verdict.scans, 'scan')} ({time})")
    what = "run that reaches it" if verdict.requirement.aim is Aim.REACHABLE else "violation"
    if not parts:
        return f"no {what} found, no depth completed"
    return f"no {what} {' nor '.join(parts)}, and no proof"


def hanging(verdict: Verdict) -> str:
    """What is known of a requirement that hangs on what nobody computes."""
    if verdict.candidate is None:
        return "it may be that a finding comes first"
    does = "reaches it" if verdict.requirement.aim is Aim.REACHABLE else "violates it"
    return f"a run of {count(verdict.candidate.scans, 'scan')} {does} if REALs come out so"


def next_steps(report: Report) -> str:
    """What to try where a requirement stays undecided."""
    steps = ["more effort (--effort)", "more memory (--memory)"]
    if report.specification.readings.open:
        steps.append("the readings of your platform (READING in the spec)")
    if not report.specification.clocking.fixed:
        steps.append("one fixed SCAN time, to see whether a violation turns up")
    return f"try {listing(steps, 'or')}"


def explanations(verdict: Verdict, report: Report) -> list[str]:
    """The sentences below a verdict's line."""
    if verdict.hangs_on and verdict.outcome is Outcome.UNDECIDED:
        return [f"{hanging(verdict)}: {verdict.reason}", WITHOUT_REALS]
    if verdict.outcome is Outcome.UNDECIDED:
        stopped = f"stopped by: {verdict.reason}" if verdict.reason else ""
        return [text for text in (searched(verdict, report), stopped, next_steps(report)) if text]
    if verdict.outcome is Outcome.VIOLATED:
        run = verdict.counterexample
        sentence = reading_sentence(run.readings, True) if run and run.reading_decides else ""
        return [text for text in (verdict.seen, sentence) if text]
    if verdict.outcome is Outcome.VACUOUS:
        if verdict.vacuity is not Vacuity.NEVER_HAPPENS:
            words = f"{SAYS_NOTHING}: {verdict.vacuity.value}"
            return [words, basis(verdict.certificate)]
        where = f" {never_sentence(verdict.readings)}" if verdict.readings else ""
        never = [f"never TRUE in it: {words}" for words in verdict.never_true]
        if verdict.requirement.aim is Aim.REACHABLE:
            return [*never, f"no run ever reaches it{where}: {basis(verdict.certificate)}"]
        return [
            f"holds, but says nothing: what it speaks of can never happen{where}",
            *never,
            basis(verdict.certificate),
        ]
    if verdict.requirement.aim is Aim.REACHABLE:
        scans = verdict.witness.scans if verdict.witness else 0
        return [f"a replayed run reaches it in {count(scans, 'scan')}"] if scans else []
    proved = f"for all time: {basis(verdict.certificate)}"
    return [verdict.reason, proved] if verdict.reason else [proved]


def another_sentence(verdict: Verdict, another: AnotherKind) -> str:
    """In what another run differs; or that there is none, or that this is open."""
    words = listing(another.words)
    late = isinstance(verdict.requirement.property, Response)
    scan = "in the scan that asks" if late else "in the scan that is wrong"
    if another.run is not None:
        return f"another run violates it otherwise: {scan}, {words}"
    always = f"in every run that violates it, {scan} for the first time, {words} (proved)"
    if not another.reason:
        return f"no other kind of violation: {always}"
    known = f"; {always}" if words else ""
    return f"whether another kind of run violates it was not decided ({another.reason}){known}"


def verdict_lines(
    verdict: Verdict, report: Report, terminal: Terminal, brief: bool = False
) -> list[str]:
    """One verdict; ``brief`` leaves out what it rests on."""
    parts = [f"{verdict.requirement.sentence} ({verdict.requirement.identifier})"]
    why = emptiness(verdict)
    if why:
        parts += [why] if brief else []
    elif report.findings and verdict.outcome is not Outcome.VIOLATED:
        parts.append(UNTIL_THEN)
    assumed = report.specification.assumed_faults
    note = under_faults(verdict, len(assumed.faults)) if assumed else expectation(verdict)
    if note:
        parts.append(note)
    lines = worded(outcome_word(verdict), outcome_paint(verdict), "; ".join(parts), terminal)
    if brief:
        return lines
    left_out = verdict.requirement.leaves_out
    sentences = explanations(verdict, report)
    if sentences and verdict.seconds:
        sentences[-1] += f" ({wall_time(verdict.seconds)})"
    said = [*([left_out] if left_out else []), *sentences]
    return [*lines, *terminal.paragraphs(said, WORD + 2)]


def worded(
    word: str, paint: Paint, text: str, terminal: Terminal, columns: int = WORD
) -> list[str]:
    """``text`` behind a painted word that has its own ``columns``."""
    wrapped = terminal.wrap(text, columns + 2)
    first = wrapped[0].lstrip() if wrapped else ""
    gap = " " * (columns - len(word))
    return [f"  {terminal.paint(word, paint)}{gap}{first}", *wrapped[1:]]
