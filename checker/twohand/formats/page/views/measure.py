"""The page of a measuring: figures with their runs, and the distances that follow."""

from __future__ import annotations

from collections.abc import Iterator

from twohand.analyses.measure.figures import FigureKind
from twohand.analyses.measure.record import (
    MeasuredFigure,
    MeasuredSpec,
    SafetyDistance,
    SafetyDistances,
)
from twohand.analyses.measure.results import Decision
from twohand.formats.page.view import (
    Answer,
    Evidence,
    PageItem,
    PageSubject,
    Table,
    Tone,
    invariant_of,
)
from twohand.formats.page.views.common import finding_item, names_in, spec_facts
from twohand.program.durations import Nanoseconds
from twohand.specification.phrases import count, duration_of

_TONES = {
    Decision.EXACT: Tone.GOOD,
    Decision.NO_LIMIT: Tone.PLAIN,
    Decision.NEVER: Tone.PLAIN,
    Decision.UNDECIDED: Tone.OPEN,
}
_FAULTY = (FigureKind.REACTION, FigureKind.STOP)
NOT_ASKED = (
    "any requirement: whether the output may be on at all, and when (twohand check)",
    "faults of contacts, feedback and supply (twohand faults)",
)
LEAD = "This page has times and distances; of other things it says nothing:"


def measure_subject(measured: MeasuredSpec, evidence: Evidence, command: str) -> PageSubject:
    spec = measured.spec
    items = [_figure(each, measured, evidence, command) for each in measured.figures]
    items += [finding_item(each, spec, evidence, command) for each in measured.findings]
    return PageSubject(
        spec.name,
        spec.path,
        spec_facts(spec),
        spec.sources,
        "Figure",
        tuple(items),
        beside="Value",
        said="What is measured",
        not_asked=NOT_ASKED,
        not_asked_lead=LEAD,
        tables=tuple(_tables(measured.distances)),
        warnings=measured.warnings,
        command=command,
    )


def _figure(
    figure: MeasuredFigure, measured: MeasuredSpec, evidence: Evidence, command: str
) -> PageItem:
    tone = _TONES[figure.decision]
    if figure.decision is Decision.NO_LIMIT and figure.kind in _FAULTY:
        tone = Tone.BAD
    drawn, undrawn = evidence.of(
        figure.run,
        "The run that reaches it, replayed",
        "reached",
        measured.spec.hand_inputs,
        (),
        names_in(figure.formula),
    )
    said = [f"stopped by: {figure.reason}"] if figure.reason else []
    if figure.repeatable_scan is not None:
        said.append(f"scan {figure.repeatable_scan + 1} of the run can be repeated at will")
    if figure.other_reading is not None:
        other = _time(figure.other_reading)
        said.append(f"the worst of all readings; under the other choice of this one {other}")
    return PageItem(
        f"{figure.kind.value} of {figure.of}" if figure.of else figure.kind.value,
        Answer(figure.decision.value.upper(), tone),
        figure.title,
        value_text(figure),
        said=tuple(said),
        formula=figure.asked,
        evidence=drawn,
        undrawn=undrawn,
        invariant=invariant_of(figure.certificate),
        excerpts=evidence.causes(figure.run, (figure.place, "asked here")),
        command=command,
    )


def value_text(figure: MeasuredFigure) -> str:
    """As sampled, and what is known of the true time."""
    match figure.decision:
        case Decision.NO_LIMIT:
            return "no limit"
        case Decision.NEVER:
            return "proved: there is nothing to measure"
        case Decision.EXACT if figure.reached is not None:
            parts = [f"{_scans(figure)}{_time(figure.reached)} as sampled"]
        case _:
            parts = [] if figure.reached is None else [f"{_time(figure.reached)} was reached"]
            parts.append(
                "no bound is proved"
                if figure.bound is None
                else f"proved never {'below' if figure.least else 'above'} {_time(figure.bound)}"
            )
    if figure.true_bound is not None:
        side = "above" if figure.least else "below"
        parts.append(f"truly {side} {_time(figure.true_bound)}, not attained")
    return "; ".join(parts)


def _scans(figure: MeasuredFigure) -> str:
    if figure.scans is None:
        return ""
    low, high = figure.scans
    return f"{count(low, 'scan') if low == high else f'{low} to {high} scans'}, "


def _tables(distances: SafetyDistances) -> Iterator[Table]:
    notes = (
        (f"No distance by the stopping time: {distances.missing}.",) if distances.missing else ()
    )
    if distances.times:
        rows = [
            (
                each.name,
                (
                    Answer(_seconds(each.seconds, each.below)),
                    Answer(each.origin),
                ),
            )
            for each in distances.times
        ]
        rows.append(("sum", (Answer(_seconds(distances.seconds, False)), Answer(""))))
        yield Table("Stopping time", ("Time", "Seconds", "From"), tuple(rows))
    found = [*distances.by_stopping_time, *filter(None, [distances.by_clutch])]
    if found or notes:
        yield Table(
            "Safety distance",
            ("Rule", "Formula", "Calculation", "Distance"),
            tuple(_distance(each) for each in found),
            (*notes, *(distances.cautions if found else ())),
        )


def _distance(distance: SafetyDistance) -> tuple[str, tuple[Answer, ...]]:
    least = "more than " if distance.more_than else ""
    result = f"{least}{distance.millimetres:g} mm ({distance.inches:.4g} in)"
    terms = "; ".join(f"{name}: {text}" for name, text in distance.terms)
    rule = f"{distance.rule} ({distance.beside})" if distance.beside else distance.rule
    formula = f"{distance.formula}, with {terms}" if terms else distance.formula
    return rule, (Answer(formula), Answer(distance.calculation), Answer(result))


def _seconds(seconds: float | None, below: bool) -> str:
    if seconds is None:
        return "contained"
    return f"{'less than ' if below else ''}{seconds:g}"


def _time(nanoseconds: int) -> str:
    return duration_of(Nanoseconds(nanoseconds))
