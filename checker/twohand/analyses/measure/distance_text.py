"""Safety distances of a measured spec: every term shown, and the cautions beside it."""

from __future__ import annotations

from fractions import Fraction

from twohand.analyses.measure.figures import FigureKind
from twohand.analyses.measure.results import Decision, FigureResult, MeasureReport
from twohand.analyses.measure.safety_distance import (
    Distance,
    StoppingTime,
    distance_control,
    distance_trip,
    distances_iso_13855,
    exact_text,
    rounded_up,
    seconds_of,
    stopping_time,
)
from twohand.program.durations import Nanoseconds, Units
from twohand.report.drawing.terminal import Terminal
from twohand.specification.phrases import NANOSECONDS_PER_SECOND, duration, duration_of

TITLE = "Safety distance"
FROM_RELEASE = "T, from the release of a hand to the end of the hazard"
CAUTIONS = (
    "Computed from the times that the spec gives: they have to be measured at the machine, the "
    "greatest of many stops, with what wear adds to them.",
    "Where a stop is measured: where the slide closes fastest, at about 90 degrees of crank "
    "(29 CFR 1910.217(c)(3)(vii)(c), from a secondary source); of another machine where it takes "
    "longest. When: before the first use, whenever brake, clutch, tools, stroke or speed are "
    "changed, and as often as wear asks for it (common practice).",
    "The distance is from the actuators to the nearest point of the hazard that can be reached. "
    "It protects the operator's hands only, not other persons.",
    "Local codes and licensed practice decide.",
)
_OF_EDITIONS = (
    "The 2024 edition of ISO 13855 supersedes that of 2010, and what is said of its C was not seen "
    "in it: compare with it, and with your machine's standard."
)
CAUTION_GREATER = (
    f"Of the editions of ISO 13855 that are known here the greater distance is the result. "
    f"{_OF_EDITIONS}"
)
CAUTION_EDITION = (
    f"The edition of ISO 13855 is the one that EDITION chooses: with {{}} mm the other one's "
    f"distance is {{}}. {_OF_EDITIONS}"
)
CAUTION_PREVENTED = (
    "C = 0 stands on the word of the one who is named: that hands cannot reach past the actuators "
    "while these are on. The editions agree on that case (of 2024 from a secondary source)."
)
CAUTION_LOGIC_INCLUDED = (
    "A stop that is measured with the logic in the loop depends on where in a scan the release "
    "falls: single measurements can be up to two longest scans ({}) too short."
)
CAUTION_TRIP = (
    "Tm counts from the trip on. What passes from the hands' leaving to the clutch's engaging is "
    "not in it, nor is anything that the logic does."
)
CAUTION_FINDINGS = "The reaction of the logic holds only until one of the findings above happens."


def distance_lines(report: MeasureReport, terminal: Terminal) -> list[str]:
    """The whole section."""
    specification = report.specification
    lines = [terminal.heading(TITLE)]
    distances = stopping_distances(report)
    if isinstance(distances, str):
        lines += terminal.wrap(f"No distance by the stopping time: {distances}.", 2)
    else:
        time, found = distances
        lines += _time_lines(time, report, terminal)
        for distance in found:
            lines += ["", *_distance_lines(distance, terminal)]
    if specification.clutch is not None:
        lines += ["", *_distance_lines(distance_trip(specification.clutch), terminal)]
    if isinstance(distances, str) and specification.clutch is None:
        return lines
    return [*lines, "", *terminal.paragraphs(cautions(report), 2)]


def stopping_distances(report: MeasureReport) -> tuple[StoppingTime, tuple[Distance, ...]] | str:
    """The stopping time with its distances, or why there are none."""
    specification = report.specification
    stopping = specification.stopping
    if stopping is None or stopping.machine is None:
        return (
            "the spec states no stopping time of the machine; add for instance "
            "STOPPING INPUT T#3ms, OUTPUT T#15ms, MACHINE T#120ms"
        )
    worst = worst_reaction(report)
    if isinstance(worst, str):
        return worst
    bound = worst.true_bound(specification)
    assert bound is not None
    seconds = seconds_of(specification.clocking.nanoseconds(bound))
    time = stopping_time(stopping, None if stopping.logic_included else seconds)
    total = time.seconds
    iso = distances_iso_13855(total, specification.encroachment_shown_by, specification.edition)
    return time, (*iso, distance_control(total))


def worst_reaction(report: MeasureReport) -> FigureResult | str:
    """The longest reaction to the release of any hand; why there is none where that is so."""
    reactions = [each for each in report.figures if each.figure.kind is FigureKind.REACTION]
    worst: FigureResult | None = None
    greatest = -1
    for result in reactions:
        hand = result.figure.subject
        if result.time.decision is Decision.NO_LIMIT:
            return f"after the release of {hand} the output can stay on without limit"
        if result.time.decision is Decision.NEVER:
            continue
        bound = result.true_bound(report.specification)
        if bound is None:
            return f"no bound is proved for the reaction to the release of {hand}"
        if bound > greatest:
            worst, greatest = result, bound
    if worst is None:
        return "no hand is ever released while the output is on"
    return worst


def cautions(report: MeasureReport) -> list[str]:
    """What has to be read with the distances."""
    specification = report.specification
    stopping = specification.stopping
    found = [*CAUTIONS, *_of_editions(report)]
    if stopping is not None and stopping.logic_included:
        longest = duration(Units(2 * specification.clocking.longest), specification.clocking)
        found.append(CAUTION_LOGIC_INCLUDED.format(longest))
    if specification.clutch is not None:
        found.append(CAUTION_TRIP)
    if report.findings:
        found.append(CAUTION_FINDINGS)
    return found


def _of_editions(report: MeasureReport) -> list[str]:
    """What is said of the editions of ISO 13855, where there is a distance by it."""
    specification, distances = report.specification, stopping_distances(report)
    if isinstance(distances, str):
        return []
    if specification.encroachment_shown_by is not None:
        return [CAUTION_PREVENTED]
    if specification.edition is None:
        return [CAUTION_GREATER]
    result, other, *_ = distances[1]
    less = "less" if other.value < result.value else "greater"
    return [CAUTION_EDITION.format(rounded_up(other.millimetres, 0), less)]


def _time_lines(time: StoppingTime, report: MeasureReport, terminal: Terminal) -> list[str]:
    """The addends in columns."""
    rows = []
    for term in time.terms:
        amount = "-" if term.seconds is None else _amount(term.seconds, term.below)
        rows.append((term.name, amount, term.origin))
    worst = worst_reaction(report)
    if not isinstance(worst, str) and len(rows) > 1 and time.below:
        name, amount, origin = rows[1]
        rows[1] = (name, amount, f"{origin} ({worst.figure.subject})")
    rows.append(("T", _amount(time.seconds, time.below), ""))
    names = max(len(name) for name, _, _ in rows)
    amounts = max(len(amount) for _, amount, _ in rows)
    lines = terminal.wrap(f"{FROM_RELEASE}:", 2)
    for name, amount, origin in rows:
        text = f"{name.ljust(names)}  {amount.rjust(amounts)}  {origin}".rstrip()
        lines.append(terminal.shown(f"    {text}"))
    return lines


def _amount(seconds: Fraction, below: bool) -> str:
    """Exactly; times of a spec are whole nanoseconds."""
    amount = duration_of(Nanoseconds(int(seconds * NANOSECONDS_PER_SECOND)))
    return f"below {amount}" if below else amount


def _distance_lines(distance: Distance, terminal: Terminal) -> list[str]:
    """The rule, its terms, and the result rounded up in both units."""
    beside = f" ({distance.beside}, not the result)" if distance.beside else ""
    lines = terminal.wrap(f"{distance.rule}{beside}: {distance.formula}", 2, 4)
    terms = ", ".join(f"{name} = {text}" for name, text in distance.terms)
    lines += terminal.wrap(terms, 4)
    result = f"{distance.symbol} {'>' if distance.more_than else '='}"
    inches = f"{rounded_up(distance.inches, 2)} in"
    millimetres = f"{rounded_up(distance.millimetres, 0)} mm"
    first, second = (millimetres, inches) if distance.unit == "mm" else (inches, millimetres)
    calculated = f"{exact_text(distance.calculated)} {distance.unit}"
    if distance.least is not None:
        calculated += f", at least {distance.least} mm"
    text = f"{result} {distance.calculation} = {calculated}; rounded up {first} ({second})"
    return [*lines, *terminal.wrap(text, 4, 6)]
