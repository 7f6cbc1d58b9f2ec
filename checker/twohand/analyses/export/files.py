"""The files of an export: proofs as questions for any solver, runs as text, and what they are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from twohand import __version__
from twohand.analyses.check.record import CheckedSpec, RequirementResult, checked_spec
from twohand.analyses.export.bit_level.bounds import NotInBits
from twohand.analyses.export.bit_level.text import aiger_text
from twohand.analyses.export.proof_texts import proof_texts
from twohand.evidence.checks.requirement import ProvedRequirement
from twohand.evidence.verdict import Outcome, Report
from twohand.files.free_names import FreeNames
from twohand.record.run import Run, step_text
from twohand.report.cautions import brief_caution
from twohand.report.drawing.readings import reading_clauses
from twohand.scan.sorts import boolean

README = "README.txt"
_WHAT_IT_IS = """\
Each requirement that is proved has two questions in SMT-LIB 2 (smt-lib.org). NAME.begin.smt2: can
a state at the beginning lie outside of the invariant? NAME.scan.smt2: can a scan leave the
invariant, or violate the requirement? A solver that answers unsat to both says: no scan ever
violates it, in the model that the texts describe. For example:

    cvc5 NAME.begin.smt2          z3 NAME.scan.smt2

Where the scan time is one value and every number has bounds, NAME.aag asks in bits, in the ASCII
form of AIGER 1.9: is the bad state reachable? A checker of circuits needs no invariant to answer
no. Times that run on are held above the largest constant, which was shown to change no answer.

That the texts are the model of the block, and what they ask is the requirement, is twohand's part.
Readings of the platform that are open are constants in the texts: the proof is one for each choice.
NAME.run.txt is a run that violates a requirement, or reaches what it asks to be reachable, scan by
scan: inputs as sampled, all others as they are at its end; durations are in nanoseconds."""


@dataclass(frozen=True)
class Exported:
    """A ``report`` and the proofs behind it."""

    report: Report
    proofs: tuple[ProvedRequirement, ...]


def files_of(exported: Sequence[Exported]) -> Iterator[tuple[str, str]]:
    """Name and text of each file, the description last."""
    names, rows = FreeNames(), list[str]()
    for each in exported:
        checked = checked_spec(each.report)
        proofs = {proved.name: proved for proved in each.proofs}
        rows += ["", *_head(checked)]
        for result in checked.requirements:
            base = names.free(f"{checked.spec.name}_{result.name}")
            proved = proofs.get(result.name) if result.outcome is Outcome.PROVED else None
            about = f"{checked.spec.path}: {result.asked.sentence} ({result.name})"
            in_bits, why_not = ([], "") if proved is None else _in_bits(base, proved, about)
            files = [*_evidence(base, result, proved, about), *in_bits]
            yield from files
            said = (", ".join(name for name, _ in files) or "no file") + why_not
            rows.append(f"{result.outcome.value:<10} {result.name}: {said}")
    yield (
        README,
        "\n".join(
            [
                f"Proofs and runs, by twohand {__version__}",
                "",
                _WHAT_IT_IS,
                *rows,
                "",
                brief_caution([each.report.specification for each in exported]),
            ]
        )
        + "\n",
    )


def _head(checked: CheckedSpec) -> Iterator[str]:
    spec = checked.spec
    scan = " to ".join(
        f"{each / 1_000_000:g} ms" for each in (spec.shortest_scan, spec.longest_scan)
    )
    yield f"{spec.name}: block {spec.block}, scan {scan}"
    yield from (f"    {each.path} (SHA-256 {each.sha256})" for each in spec.sources)
    yield from (f"    assumed: {each}" for each in spec.assumptions)
    if spec.open_readings:
        yield f"    open: {', '.join(spec.open_readings)}"
    for clause in reading_clauses(dict(spec.stated_readings)):
        yield f"    the platform: {clause}"
    for found in checked.findings:
        yield f"    {found.outcome.value} {found.kind.value}: what is proved holds until it happens"


def _evidence(
    base: str, result: RequirementResult, proved: ProvedRequirement | None, about: str
) -> Iterator[tuple[str, str]]:
    if proved is not None:
        begin, scan = proof_texts(proved, about)
        yield f"{base}.begin.smt2", begin
        yield f"{base}.scan.smt2", scan
    run = result.witness if result.run is None and result.certificate is None else result.run
    if run is not None:
        yield f"{base}.run.txt", _run_text(run, f"{result.outcome.value}: {about}")


def _in_bits(base: str, proved: ProvedRequirement, about: str) -> tuple[list[tuple[str, str]], str]:
    """The question in bits; or why there is none, as words behind the other files."""
    system, terms = proved.problem.loaded()
    try:
        text = aiger_text(system, boolean(terms[proved.index]), about)
    except NotInBits as reason:
        return [], f" (not in bits: {reason})"
    return [(f"{base}.aag", text)], ""


def _run_text(run: Run, about: str) -> str:
    readings = [f"the platform: {clause}" for clause in reading_clauses(dict(run.readings))]
    steps = [step_text(number, step) for number, step in enumerate(run.steps, 1)]
    return "\n".join([about, *readings, *steps]) + "\n"
