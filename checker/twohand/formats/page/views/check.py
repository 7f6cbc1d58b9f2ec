"""The page of a check: each requirement with its answer, and what that rests on."""

from __future__ import annotations

from twohand.analyses.check.record import (
    AnotherWay,
    CheckedSpec,
    LagResult,
    RequirementResult,
    WrappedResult,
)
from twohand.evidence.verdict import Outcome, Vacuity
from twohand.formats.page.view import (
    Answer,
    Evidence,
    PageItem,
    PageSubject,
    ShownEvidence,
    Tone,
    invariant_of,
)
from twohand.formats.page.views.common import (
    NO_REQUIREMENT,
    Facts,
    finding_item,
    names_in,
    not_asked_texts,
    spec_facts,
    under,
)
from twohand.program.durations import Nanoseconds
from twohand.record.message import FilePlace
from twohand.record.plain import relative_path
from twohand.report.beyond_findings import IfWrapped
from twohand.specification.model.specification import Aim
from twohand.specification.phrases import NO_FINDING, count, duration_of, listing

_TONES = {
    Outcome.PROVED: Tone.GOOD,
    Outcome.VIOLATED: Tone.BAD,
    Outcome.VACUOUS: Tone.BAD,
    Outcome.UNDECIDED: Tone.OPEN,
}
VIOLATING = "The run that violates it, replayed"
_OF_REACHABLE = {Outcome.PROVED: "REACHABLE", Outcome.VACUOUS: "UNREACHABLE"}


def check_subject(checked: CheckedSpec, evidence: Evidence, command: str) -> PageSubject:
    spec = checked.spec
    items = [_requirement(each, checked, evidence, command) for each in checked.requirements]
    items += [finding_item(each, spec, evidence, command) for each in checked.findings]
    for off in checked.never_on:
        sentence = f"output {off.output} can never turn on{under(off.readings)}"
        items.append(PageItem(off.output, Answer("NEVER ON", Tone.BAD), sentence, command=command))
    items += [_wrapped(each, checked, evidence, command) for each in checked.if_it_wraps]
    return PageSubject(
        spec.name,
        spec.path,
        check_facts(checked),
        spec.sources,
        "Requirement",
        tuple(items),
        not_asked=not_asked_texts(checked.not_asked, checked.subjects_not_asked),
        not_asked_lead=NO_REQUIREMENT,
        warnings=checked.warnings,
        command=command,
    )


def check_facts(checked: CheckedSpec) -> Facts:
    branches = checked.branches
    executed = branches.total - len(branches.missed)
    missed = tuple(
        f"{relative_path(e.place.path)}:{e.place.line}: {e.words}: {e.why.value}"
        for e in branches.missed
    )
    text = (
        f"{executed} of {count(branches.total, 'branch', 'branches')} of a scan, from any state: "
        "the text and its model agree"
    )
    excluded = f"{NO_FINDING} at {count(checked.findings_excluded, 'place')}"
    found = [
        ("Widest lag", tuple(lag_text(each) for each in checked.lags)),
        ("Excluded", (excluded,) if checked.findings_excluded else ()),
        ("Executed", (text, *missed) if branches.total else ()),
    ]
    return (*spec_facts(checked.spec), *((term, texts) for term, texts in found if texts))


def lag_text(lag: LagResult) -> str:
    if lag.reached is None:
        known = "no bound is proved" if lag.bound is None else f"none above {_time(lag.bound)}"
        return f"{lag.station}: no start was seen; {known}"
    if lag.bound is None or lag.true_bound is None:
        return f"{lag.station}: {_time(lag.reached)} starts; no bound is proved"
    true = f"true lags below {_time(lag.true_bound)}"
    if lag.bound == lag.reached:
        reached = _time(lag.reached)
        return f"{lag.station}: {reached} as sampled still starts, no wider one does; {true}"
    reached, bound = _time(lag.reached), _time(lag.bound)
    return f"{lag.station}: {reached} as sampled starts, none above {bound} does; {true}"


def answer_of(result: RequirementResult) -> Answer:
    word = result.outcome.value
    if result.asked.aim is Aim.REACHABLE:
        word = _OF_REACHABLE.get(result.outcome, word)
    unsure = result.outcome is Outcome.PROVED and result.reason
    return Answer(word, Tone.OPEN if unsure else _TONES[result.outcome])


def _requirement(
    result: RequirementResult, checked: CheckedSpec, evidence: Evidence, command: str
) -> PageItem:
    asked = result.asked
    drawn, undrawn = _runs(result, checked, evidence)
    places: list[tuple[FilePlace | None, str]] = []
    late, left = result.call_too_late, result.call_left_out
    if late is not None:
        places.append((late.place, f"the call of {late.name} comes too late"))
        places.append((late.read, f"{late.name} is read here"))
    if left is not None:
        places.append((left.place, f"the call of {left.name} is left out"))
    return PageItem(
        asked.name,
        answer_of(result),
        asked.sentence,
        asked.source,
        asked.leaves_out,
        said=tuple(_said(result, checked)),
        formula=asked.formula,
        evidence=drawn,
        undrawn=undrawn,
        invariant=invariant_of(result.certificate),
        excerpts=evidence.causes(result.run, *places),
        command=command,
    )


def _runs(
    result: RequirementResult, checked: CheckedSpec, evidence: Evidence
) -> tuple[tuple[ShownEvidence, ...], tuple[str, ...]]:
    """The run that violates it, unless it is that of another one, and what reaches it."""
    hands, subjects = checked.spec.hand_inputs, names_in(result.asked.formula)
    run = None if result.same_run_as else result.run
    other = None if result.another is None else result.another.run
    found = (
        evidence.of(run, VIOLATING, "wrong", hands, result.spans, subjects),
        evidence.of(result.witness, _witness_words(result), "reached", hands, (), subjects),
        evidence.of(other, "Another run that violates it", "wrong", hands, (), subjects),
    )
    drawn = tuple(each for shown, _ in found for each in shown)
    return drawn, tuple(each for _, names in found for each in names)


def _witness_words(result: RequirementResult) -> str:
    if result.asked.aim is Aim.REACHABLE:
        return "The run that reaches it, replayed"
    return "A run that reaches what it speaks of, replayed"


def _said(result: RequirementResult, checked: CheckedSpec) -> list[str]:
    said = [result.seen] if result.seen else []
    match result.outcome:
        case Outcome.VACUOUS:
            said.append(_vacuous(result))
        case Outcome.UNDECIDED:
            said.append(_undecided(result))
        case _ if result.reason:
            said.append(f"open: {result.reason}")
    if result.same_run_as:
        said.append(f"the same run as for {result.same_run_as}")
    call, late = result.call_left_out, result.call_too_late
    if call is not None:
        scans = count(call.scans, "scan")
        said.append(
            f"{scans} of the run leave out the call of {call.name}; with it made at their end "
            f"({call.how}) this is proved"
        )
    if late is not None:
        said.append(
            f"with the call of {late.name} before the statement that reads it, this is proved"
        )
    if result.another is not None:
        said.append(_another(result.another))
    if checked.doubt and result.outcome is Outcome.PROVED:
        said.append(f"but this is open: {checked.doubt}")
    if result.as_expected and result.outcome is not Outcome.PROVED:
        said.append("as EXPECT names it: this is no pass for a machine")
    if checked.findings and result.outcome is Outcome.PROVED:
        said.append("only until one of the findings happens")
    return said


def _vacuous(result: RequirementResult) -> str:
    vacuity = result.vacuity or Vacuity.NEVER_HAPPENS
    never = [f"never TRUE in it: {listing(result.never_true)}"] if result.never_true else []
    if result.asked.aim is Aim.REACHABLE and vacuity is Vacuity.NEVER_HAPPENS:
        return "; ".join((f"no run ever reaches it{under(result.readings)}", *never))
    lead = f"it holds, but says nothing: {vacuity.value}{under(result.readings)}"
    return "; ".join((lead, *never))


def _undecided(result: RequirementResult) -> str:
    parts = []
    if result.searched_events:
        parts.append(f"in any run of up to {count(result.searched_events, 'event')}")
    if result.searched_scans:
        parts.append(f"in the first {count(result.searched_scans, 'scan')}")
    looked = f"none found {' nor '.join(parts)}" if parts else "no depth was completed"
    return f"{looked}, and no proof; stopped by: {result.reason or 'nothing known'}"


def _another(another: AnotherWay) -> str:
    words = listing(another.words)
    if another.run is not None:
        return f"another run violates it otherwise: {words}"
    if not another.reason:
        return f"no other kind of violation: in every run, {words} (proved)"
    return f"whether another kind of run violates it was not decided ({another.reason})"


def _wrapped(
    wrapped: WrappedResult, checked: CheckedSpec, evidence: Evidence, command: str
) -> PageItem:
    caption = f"{wrapped.name}, if it wraps around"
    drawn, undrawn = evidence.of(wrapped.run, caption, "wrong", checked.spec.hand_inputs)
    tone = Tone.BAD if wrapped.word is IfWrapped.FALLS else Tone.OPEN
    return PageItem(
        wrapped.name,
        Answer(wrapped.word.value, tone),
        f"{wrapped.name} {wrapped.word.value} if an overflow wraps around; this is no proof",
        said=(wrapped.seen,) if wrapped.seen else (),
        evidence=drawn,
        undrawn=undrawn,
        command=command,
    )


def _time(nanoseconds: int) -> str:
    return duration_of(Nanoseconds(nanoseconds))
