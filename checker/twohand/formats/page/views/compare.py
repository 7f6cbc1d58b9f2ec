"""The page of a comparison: each output of two versions of a block."""

from __future__ import annotations

from collections.abc import Iterator

from twohand.analyses.compare.record import (
    ComparedBlock,
    ComparedOutput,
    CompareResult,
    FindingInOne,
)
from twohand.evidence.verdict import Outcome
from twohand.formats.page.view import (
    Answer,
    Evidence,
    PageItem,
    PageSubject,
    Tone,
    invariant_of,
)
from twohand.formats.page.views.common import Facts, names_in, scan_text, under
from twohand.record.plain import relative_path
from twohand.record.run import PlainValue
from twohand.specification.phrases import listing

_ANSWERS = {
    Outcome.PROVED: Answer("SAME", Tone.GOOD),
    Outcome.VACUOUS: Answer("SAME", Tone.GOOD),
    Outcome.VIOLATED: Answer("DIFFERS", Tone.BAD),
    Outcome.UNDECIDED: Answer("UNDECIDED", Tone.OPEN),
}
NOT_ASKED = "whether either of the two is right (twohand check)"
LEAD = "This page compares what two versions show; it says nothing of:"


def comparison_subject(found: CompareResult, evidence: Evidence, command: str) -> PageSubject:
    items = [_output(each, evidence, command) for each in found.outputs]
    if found.finding_in_one is not None:
        items.append(_alone(found.finding_in_one, evidence, command))
    left = [f"{name}, of another type in the two" for name in found.unlike]
    for side in (found.first, found.second):
        path = relative_path(side.path)
        left += [
            f"{name}, which only {path} has" for name in (*side.inputs_alone, *side.outputs_alone)
        ]
    return PageSubject(
        f"{found.first.block} and {found.second.block}",
        f"{relative_path(found.first.path)}, {relative_path(found.second.path)}",
        _facts(found),
        tuple(dict.fromkeys((*found.first.sources, *found.second.sources))),
        "Output",
        tuple(items),
        beside="",
        not_asked=(NOT_ASKED, *left),
        not_asked_lead=LEAD,
        warnings=found.warnings,
        command=command,
    )


def _facts(found: CompareResult) -> Facts:
    scan = scan_text(found.shortest_scan, found.longest_scan)
    facts = [
        ("First", (_side(found.first),)),
        ("Second", (_side(found.second),)),
        ("Scan time", (f"{scan} ({found.scan_origin})",)),
        ("Same inputs", (listing(found.same_inputs),) if found.same_inputs else ()),
        ("Both can have", tuple(_findings(found))),
    ]
    return tuple((term, texts) for term, texts in facts if texts)


def _side(side: ComparedBlock) -> str:
    return f"{side.block} of {relative_path(side.path)}"


def _findings(found: CompareResult) -> Iterator[str]:
    for each in found.findings:
        can = "" if each.outcome is Outcome.VIOLATED else " (not excluded)"
        where = f"{relative_path(each.place.path)}:{each.place.line}"
        yield f"{each.kind.value} at {where}{can}: they are compared only until then"


def _output(output: ComparedOutput, evidence: Evidence, command: str) -> PageItem:
    said = []
    if output.run is not None:
        first, second = _value(output.first), _value(output.second)
        said.append(f"in the last scan of the run the first has {first}, the second {second}")
    if output.reason:
        said.append(f"open: {output.reason}")
    if output.outcome is Outcome.VACUOUS and not output.no_scan:
        said.append(f"it never changes in either{under(output.readings)}")
    if output.same_run_as:
        said.append(f"the same run as for {output.same_run_as}")
    unsure = output.outcome is Outcome.PROVED and output.reason
    answer = Answer("NO SCAN", Tone.BAD) if output.no_scan else _ANSWERS[output.outcome]
    drawn, undrawn = evidence.of(
        None if output.same_run_as else output.run,
        "The run to the first difference, replayed",
        "differs",
        (),
        (),
        names_in(output.formula),
    )
    return PageItem(
        output.name,
        Answer(answer.word, Tone.OPEN) if unsure else answer,
        "the same in every scan of every run",
        said=tuple(said),
        formula=output.formula,
        evidence=drawn,
        undrawn=undrawn,
        invariant=invariant_of(output.certificate),
        excerpts=evidence.causes(output.run),
        command=command,
    )


def _alone(found: FindingInOne, evidence: Evidence, command: str) -> PageItem:
    said = [f"stopped by: {found.reason}"] if found.reason else []
    for side, kind in (("first", found.first), ("second", found.second)):
        if found.run is not None:
            said.append(f"in the last scan of the run the {side}: {kind.value if kind else 'none'}")
    words = {
        Outcome.PROVED: Answer("NEVER", Tone.GOOD),
        Outcome.VIOLATED: Answer("FINDING", Tone.BAD),
    }
    drawn, undrawn = evidence.of(found.run, "The run to it, replayed", "here")
    return PageItem(
        "finding in one",
        words.get(found.outcome, Answer("UNDECIDED", Tone.OPEN)),
        "one of the two has a finding in a scan in which the other one has none of that kind",
        said=tuple(said),
        evidence=drawn,
        undrawn=undrawn,
        invariant=invariant_of(found.certificate),
        command=command,
    )


def _value(value: PlainValue | None) -> str:
    return str(value).upper() if isinstance(value, bool) else str(value)
