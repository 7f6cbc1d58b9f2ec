"""A whole report: heading, verdicts, runs, findings, lags, warnings, totals."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from twohand.evidence.verdict import Certificate, LagMeasure, Outcome, Report, Verdict
from twohand.program.durations import Units
from twohand.report.beyond_findings import beyond_lines
from twohand.report.branches import branch_lines
from twohand.report.coverage import not_asked_lines
from twohand.report.drawing.diagnostics import diagnostic_lines, one_line
from twohand.report.drawing.readings import never_sentence, reading_words
from twohand.report.drawing.source_line import file_and_line
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.report.run import finding_lines, shared_runs, violation_lines, witness_lines
from twohand.report.verdict_line import (
    OUTCOME_WORDS,
    WORD,
    finding_line,
    outcome_word,
    verdict_lines,
    worded,
)
from twohand.specification.logic.property_text import property_text
from twohand.specification.model.specification import Specification
from twohand.specification.phrases import (
    NO_FINDING,
    count,
    duration,
    duration_range,
    listing,
    wall_time,
)
from twohand.text.diagnostic import Diagnostic


def report_lines(
    report: Report, terminal: Terminal, brief: bool = False, details: bool = False
) -> list[str]:
    """One spec's report without its cautions; ``brief`` has a line for each verdict and warning."""
    lines = specification_lines(report.specification, terminal)
    for verdict in report.verdicts:
        lines += verdict_lines(verdict, report, terminal, brief)
        if details and not brief:
            lines += _asked_lines(verdict, report.specification, terminal)
            lines += clause_lines(verdict, terminal)
    if not report.verdicts:
        lines += terminal.wrap("nothing to check: the spec states no requirement", 2)
    lines += outputs_and_findings(report, terminal)
    if brief:
        wide = report.specification.wide
        said = [one_line(each) for each in all_warnings(report) if each not in wide]
        return [*lines, *terminal.paragraphs(said, 2, 4)]
    lines += lag_lines(report, terminal)
    lines += branch_lines(report.branches, terminal, details)
    lines += not_asked_lines(report.specification, terminal, details)
    for warning in all_warnings(report):
        lines += ["", *diagnostic_lines(warning, terminal)]
    for section in _sections(report, terminal, details):
        lines += ["", *section]
    return lines


def _sections(report: Report, terminal: Terminal, details: bool) -> list[list[str]]:
    """Every run that is shown in full."""
    verdicts = report.verdicts
    shared = shared_runs(verdicts, lambda verdict: verdict.counterexample)
    sections = [
        violation_lines(verdict, report, terminal, details, with_whom)
        for verdict, with_whom in zip(verdicts, shared, strict=True)
    ]
    if details:
        shared = shared_runs(verdicts, lambda verdict: verdict.witness)
        sections += [
            witness_lines(verdict, report, terminal, details, with_whom)
            for verdict, with_whom in zip(verdicts, shared, strict=True)
        ]
    sections += [finding_lines(found, report, terminal, details) for found in report.findings]
    return [section for section in sections if section]


def all_warnings(report: Report) -> list[Diagnostic]:
    """What the spec and its check warn of, each once."""
    return list(dict.fromkeys(report.specification.warnings + report.warnings))


def specification_lines(specification: Specification, terminal: Terminal) -> list[str]:
    """Which spec, which block, what passes for a hand and for the output."""
    program = specification.program
    clocking = specification.clocking
    title = f"{specification.name}  {specification.source.path}"
    texts = [source.path for source in program.sources]
    block = f"block {program.name}" + (f" of {listing(texts)}" if texts else "")
    scan = f"scan {duration_range(clocking.shortest, clocking.longest, clocking)}"
    parts = [block, scan, f"time in units of {duration(Units(1), clocking)}"]
    if specification.hands:
        parts.append(f"hands {listing([hand.name for hand in specification.hands])}")
    if specification.outputs:
        parts.append(f"output {listing([item.name for item in specification.outputs])}")
    if specification.power is not None:
        parts.append("power cycles")
    lines = [terminal.heading(title), *terminal.wrap("; ".join(parts), 2)]
    for each in specification.accepted:
        text = f"{each.warning.message}: {each.reason}"
        lines += worded("ACCEPTED", Paint.OPEN, text, terminal)
    return lines


def _asked_lines(verdict: Verdict, specification: Specification, terminal: Terminal) -> list[str]:
    """The formula that is really asked, with all that the spec says of it."""
    text = property_text(verdict.requirement.property, specification.clocking)
    return terminal.wrap(f"asked: {text}", WORD + 2, WORD + 6)


def clause_lines(verdict: Verdict, terminal: Terminal) -> list[str]:
    """The clauses of a proof's invariant, one after the other."""
    certificate = verdict.certificate
    return [] if certificate is None else invariant_lines(certificate, terminal)


def invariant_lines(certificate: Certificate, terminal: Terminal) -> list[str]:
    """The clauses one after the other; nothing where one scan's logic alone is enough."""
    if not certificate.clauses:
        return []
    indent = WORD + 2
    clauses = terminal.paragraphs(certificate.clauses, indent + 2, indent + 6)
    return [f"{' ' * indent}invariant, in every scan:", *clauses]


def outputs_and_findings(report: Report, terminal: Terminal) -> list[str]:
    """What is too wide, dead outputs and automatic findings, in a line each."""
    lines = []
    for warning in report.specification.wide:
        lines += worded("TOLERANCE", Paint.BAD, f"{warning.message}; not accepted", terminal)
    for name in report.never_on:
        readings = report.never_on_where.get(name)
        where = f" {never_sentence(readings)}" if readings else ""
        text = f"output {name} can never turn on{where}, whatever else is proved"
        if name in report.never_on_why:
            text += f"; never TRUE in what it is assigned: {', '.join(report.never_on_why[name])}"
        lines += worded("NEVER ON", Paint.BAD, text, terminal)
    for name in report.on_after_finding:
        readings = report.never_on_where.get(name)
        where = f" where {reading_words(readings)}," if readings else ""
        text = f"output {name} stays off{where} until one of the findings below happens"
        lines += worded("OFF", Paint.BAD, text, terminal)
    for found in report.findings:
        lines += finding_line(found, file_and_line(found.finding.span), terminal)
    if report.findings_excluded:
        places = count(report.findings_excluded, "place")
        text = f"{NO_FINDING} at {places}"
        if any(found.outcome is Outcome.VIOLATED for found in report.findings):
            text += ", until a finding happens"
        lines += worded("EXCLUDED", Paint.GOOD, text, terminal)
    return [*lines, *beyond_lines(report, terminal)]


def lag_lines(report: Report, terminal: Terminal) -> list[str]:
    """How far apart the presses of each station may be and still start."""
    several = len(report.lags) > 1
    lines = []
    for lag in report.lags:
        where = f"{lag.station}: " if several else ""
        lines += worded("LAG", Paint.STRONG, where + lag_sentence(lag, report), terminal)
    return lines


def lag_sentence(lag: LagMeasure, report: Report) -> str:
    """The widest lag that starts, as sampled and as it truly is, and what is proved of it."""
    clocking = report.specification.clocking
    if lag.reached is None:
        if lag.bound is None:
            return "no start was seen, and no bound is proved"
        return f"no start was seen; none has a lag above {duration(lag.bound, clocking)} (proved)"
    reached = f"{duration(lag.reached, clocking)} as sampled (replayed)"
    if lag.bound is None or lag.true_bound is None:
        return f"a lag of {reached} starts; no bound is proved, a wider one may start"
    true = f"true lags below {duration(lag.true_bound, clocking)}"
    if lag.bound == lag.reached:
        return f"widest lag that starts: {reached}, {true}; proved that no wider one starts"
    bound = duration(lag.bound, clocking)
    return f"a lag of {reached} starts; proved that none above {bound} does, {true}"


def outcome_counts(verdicts: Sequence[Verdict]) -> list[str]:
    """``3 PROVED``, ``1 VIOLATED``."""
    numbers = Counter(outcome_word(verdict) for verdict in verdicts)
    return [f"{numbers[word]} {word}" for word in OUTCOME_WORDS if numbers[word]]


def meant_line(reports: Sequence[Report]) -> str:
    """What came out other than PROVED as EXPECT names it; '' where nothing did."""
    verdicts = [verdict for report in reports for verdict in report.verdicts]
    fallen = (Outcome.VIOLATED, Outcome.VACUOUS)
    counts = outcome_counts([v for v in verdicts if v.as_expected and v.outcome in fallen])
    if not counts:
        return ""
    return f"{', '.join(counts)}, as expected: this is no pass for a machine"


def total_line(reports: Sequence[Report], unusable: int, spent: float) -> str:
    """The last line of a run over specs: what came out how often."""
    verdicts = [verdict for report in reports for verdict in report.verdicts]
    counts = outcome_counts(verdicts)
    findings = sum(len(report.findings) for report in reports)
    dead = sum(len(report.never_on) for report in reports)
    unexpected = sum(v.requirement.stated and not v.as_expected for v in verdicts)
    wide = sum(len(report.specification.wide) for report in reports)
    for number, noun, nouns in (
        (findings, "finding", ""),
        (dead, "output never on", "outputs never on"),
        (wide, "tolerance not accepted", "tolerances not accepted"),
    ):
        if number:
            counts.append(count(number, noun, nouns))
    if unexpected:
        counts.append(f"{unexpected} NOT as expected")
    if unusable:
        counts.append(count(unusable, "input that cannot be used", "inputs that cannot be used"))
    head = f"{count(len(reports), 'spec')}, {count(len(verdicts), 'requirement')}"
    return f"{head}: {', '.join(counts) or 'nothing'}, {wall_time(spent)}"
