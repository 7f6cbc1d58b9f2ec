"""What several kinds of pages have in common: facts on a spec, findings, what was not asked."""

from __future__ import annotations

import re
from collections.abc import Iterable

from twohand.evidence.verdict import Outcome
from twohand.formats.page.view import Answer, Evidence, PageItem, Tone
from twohand.program.durations import Nanoseconds
from twohand.record.finding import FindingResult
from twohand.record.plain import relative_path
from twohand.record.run import Choices
from twohand.record.spec import LoadedSpec
from twohand.report.coverage import NotAsked
from twohand.report.drawing.readings import reading_words
from twohand.specification.phrases import duration_of, listing

Facts = tuple[tuple[str, tuple[str, ...]], ...]
_NAME = re.compile(r"[^\W\d][\w.]*")
NO_REQUIREMENT = (
    "No requirement of the catalogue asks for this here (a PROPERTY may, in its own way), and "
    "nothing on this page says anything of it:"
)
ONLY_UNTIL = "Everything else holds only until this happens."


def scan_text(shortest: int, longest: int) -> str:
    low, high = duration_of(Nanoseconds(shortest)), duration_of(Nanoseconds(longest))
    return low if low == high else f"{low} to {high}"


def spec_facts(spec: LoadedSpec) -> Facts:
    """What was checked, and what that rests on."""
    hands = tuple(_hand(name, read) for name, read in spec.hand_inputs)
    observed = {name: f" (observed: {text})" for name, text in spec.observed_readings}
    stated = tuple(
        reading_text(name, choice) + observed.get(name, "") for name, choice in spec.stated_readings
    )
    found = [
        ("Block", (spec.block,)),
        ("Scan time", (scan_text(spec.shortest_scan, spec.longest_scan),)),
        ("Hands", hands),
        ("Outputs", spec.outputs),
        ("Assumptions", spec.assumptions or ("none",)),
        ("Readings stated", stated),
        ("Readings left open", _open_readings(spec)),
        ("Accepted", tuple(f"{e.warning.text}: {e.reason}" for e in spec.accepted)),
    ]
    return tuple((term, texts) for term, texts in found if texts)


def reading_text(name: str, choice: bool) -> str:
    if name == "integers_wrap":
        return "integers wrap around" if choice else "an integer that leaves its range is a finding"
    return reading_words({name: choice})


def not_asked_texts(found: NotAsked, subjects: Iterable[str]) -> tuple[str, ...]:
    """What no requirement speaks of: subjects, then names of the block."""
    kinds = (("input", found.inputs), ("output", found.outputs), ("variable", found.variables))
    names = [
        f"{noun if len(each) == 1 else f'{noun}s'} that no requirement speaks of or depends on: "
        f"{listing(each)}"
        for noun, each in kinds
        if each
    ]
    return (*subjects, *names)


def finding_item(
    found: FindingResult, spec: LoadedSpec, evidence: Evidence, command: str
) -> PageItem:
    can = found.outcome is Outcome.VIOLATED
    answer = Answer("FINDING", Tone.BAD) if can else Answer("UNDECIDED", Tone.OPEN)
    how = "can happen" if can else "is not excluded"
    sentence = f"{found.kind.value} {how} at {relative_path(found.place.path)}:{found.place.line}"
    drawn, undrawn = evidence.of(found.run, f"The run to it: {sentence}", "here", spec.hand_inputs)
    reason = (f"stopped by: {found.reason}",) if found.reason else ()
    return PageItem(
        found.kind.value,
        answer,
        sentence,
        said=(*reason, ONLY_UNTIL),
        evidence=drawn,
        undrawn=undrawn,
        excerpts=evidence.causes(found.run, (found.place, f"{found.kind.value} here")),
        command=command,
    )


def under(readings: Choices) -> str:
    return f" where {reading_words(dict(readings))}" if readings else ""


def names_in(formula: str) -> frozenset[str]:
    """The names that a formula reads, among its words."""
    return frozenset(_NAME.findall(formula))


def _hand(name: str, read: tuple[str, ...]) -> str:
    return name if read in ((), (name,)) else f"{name}: {listing(read)}"


def _open_readings(spec: LoadedSpec) -> tuple[str, ...]:
    if not spec.open_readings:
        return ()
    return (f"every choice is checked of {listing([*spec.open_readings])}",)
