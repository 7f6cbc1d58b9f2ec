"""A measured figure in a few lines: what it is, its value, the true bound, and what shows it."""

from __future__ import annotations

from pathlib import PurePath

from twohand.analyses.measure.figures import Figure, FigureKind
from twohand.analyses.measure.results import Decision, FigureResult, Measurement, MeasureReport
from twohand.program.durations import NO_TIME, Units
from twohand.report.drawing.readings import reading_words
from twohand.report.drawing.terminal import Paint, Terminal
from twohand.report.verdict_line import WORD, basis, worded
from twohand.specification.model.specification import Specification
from twohand.specification.phrases import count, duration, listing, wall_time

WORDS = {
    Decision.EXACT: ("EXACT", Paint.GOOD),
    Decision.NO_LIMIT: ("NO LIMIT", Paint.STRONG),
    Decision.NEVER: ("NEVER", Paint.STRONG),
    Decision.UNDECIDED: ("UNDECIDED", Paint.OPEN),
}
FAULTY = (FigureKind.REACTION, FigureKind.STOP)
"""What must have a limit."""
STEPS = (
    "try more effort (--effort), more memory (--memory) or the readings of your platform (READING)"
)


def figure_lines(result: FigureResult, report: MeasureReport, terminal: Terminal) -> list[str]:
    """One figure; its place in the spec follows its name."""
    measured = result.time
    word, paint = WORDS[measured.decision]
    if measured.decision is Decision.NO_LIMIT and result.figure.kind in FAULTY:
        paint = Paint.BAD
    place = f"{PurePath(result.figure.span.source.path).name}:{result.figure.span.line}"
    name = title(result.figure, report.specification)
    text = f"{name} ({place}): {value_text(result, report.specification)}"
    sentences = terminal.paragraphs(_sentences(result, report), WORD + 2)
    return [*worded(word, paint, text, terminal), *sentences]


def title(figure: Figure, specification: Specification) -> str:
    """What the figure is, in the user's names."""
    subject, outputs = figure.subject, listing([v.name for v in specification.outputs], "or")
    match figure.kind:
        case FigureKind.LAG:
            return f"widest lag{f' of {subject}' if subject else ''} that still starts"
        case FigureKind.REACTION:
            where = "" if specification.hazard is None else " where the hazard is"
            return f"longest time from the release of {subject} to {outputs} off{where}"
        case FigureKind.STOP:
            return f"longest on-time of {outputs} after {subject}"
        case FigureKind.BETWEEN_STARTS:
            return "shortest time between two starts"
    return f"longest on-time of {outputs}"


def value_text(result: FigureResult, specification: Specification) -> str:
    """The value as sampled, and what is known of the true one."""
    measured = result.time
    match measured.decision:
        case Decision.NO_LIMIT:
            return "no limit"
        case Decision.NEVER:
            return _never(result.figure)
        case Decision.EXACT:
            return (
                f"{_amount(result, specification)} as sampled; {true_text(result, specification)}"
            )
    clocking = specification.clocking
    least = result.figure.time.least
    parts = ["none was seen"]
    if measured.reached is not None:
        reached = duration(measured.reached, clocking)
        parts = [f"{'at most' if least else 'at least'} {reached} as sampled"]
    if measured.bound is None:
        return f"{parts[0]}; no bound is proved"
    bound = duration(measured.bound, clocking)
    proved = f"proved never {'below' if least else 'above'} {bound}"
    return f"{parts[0]}; {proved}; {true_text(result, specification)}"


def true_text(result: FigureResult, specification: Specification) -> str:
    """The bound of the true time."""
    bound = result.true_bound(specification)
    if bound is None:
        return "no bound of the true time"
    side = "above" if result.figure.time.least else "below"
    return f"truly {side} {duration(bound, specification.clocking)}, not attained"


def _amount(result: FigureResult, specification: Specification) -> str:
    """``2 scans, 20 ms``; with a range of scan times each is an extreme of its own."""
    time = duration(result.time.reached or NO_TIME, specification.clocking)
    bounds = result.scan_bounds(specification)
    if bounds is None:
        return time
    low, high = bounds
    return f"{count(low, 'scan') if low == high else f'{low} to {high} scans'}, {time}"


def _never(figure: Figure) -> str:
    words = {
        FigureKind.LAG: "nothing ever starts",
        FigureKind.REACTION: "the hand is never released while the output is on",
        FigureKind.STOP: "the condition never comes while the output is on",
        FigureKind.BETWEEN_STARTS: "there is no second start",
        FigureKind.ON_TIME: "the output is never on",
    }
    return words[figure.kind]


def _sentences(result: FigureResult, report: MeasureReport) -> list[str]:
    """What the value rests on."""
    measured = result.time
    match measured.decision:
        case Decision.NO_LIMIT:
            sentences = [_endless(result, report.specification)]
        case Decision.NEVER:
            sentences = [f"for all time: {basis(measured.certificate)}"]
        case Decision.EXACT:
            exceeds = "comes sooner" if result.figure.time.least else "exceeds it"
            sentences = [
                f"{_replayed(measured, report.specification)}; nothing {exceeds}: "
                f"{basis(measured.certificate)}"
            ]
        case _:
            sentences = _open(measured, report.specification)
    bounds = result.scan_bounds(report.specification)
    if bounds is not None and bounds[0] != bounds[1]:
        sentences.append("the number of scans was not settled; the time and its bounds are")
    sentences += _reading_sentences(measured, report.specification)
    if sentences and measured.seconds:
        sentences[-1] += f" ({wall_time(measured.seconds)})"
    return sentences


def _replayed(measured: Measurement[Units], specification: Specification) -> str:
    assert measured.run is not None
    run = measured.run
    end = duration(run.records[-1].time, specification.clocking)
    return f"reached in a replayed run of {count(run.scans, 'scan')} ({end})"


_BEFORE_POWER_UP = "in it: that was before power-up, for as long as nobody knows"
_NEVER_SEEN = {
    FigureKind.LAG: (
        "starts with a hand that is not pressed in it (on from the first scan on, or not at all)"
    ),
    FigureKind.REACTION: (
        f"has the output on without the hand, which is not released {_BEFORE_POWER_UP}"
    ),
    FigureKind.STOP: (
        f"has the output on in spite of the condition, which does not come {_BEFORE_POWER_UP}"
    ),
}
"""Why a run counts as without limit by itself."""


def _endless(result: FigureResult, specification: Specification) -> str:
    """How the run shows that there is no limit."""
    measured = result.time
    assert measured.run is not None
    length = count(measured.run.scans, "scan")
    if measured.stay is None:
        return f"a replayed run of {length} {_NEVER_SEEN[result.figure.kind]}"
    reached = duration(measured.reached or NO_TIME, specification.clocking)
    added = listing([str(number) for number in measured.stay.added])
    return (
        f"{reached} in a replayed run of {length}, whose scan {measured.stay.scan + 1} can be "
        f"repeated at will: proved for every number of repetitions, executed with "
        f"{f'{added} more' if added else 'none'}"
    )


def _open(measured: Measurement[Units], specification: Specification) -> list[str]:
    found = [] if measured.run is None else [_replayed(measured, specification)]
    if measured.bound is not None:
        found.append(f"bound: {basis(measured.certificate)}")
    if measured.reason:
        found.append(f"stopped by: {measured.reason}")
    return [*found, STEPS]


def _reading_sentences(measured: Measurement[Units], specification: Specification) -> list[str]:
    """Which reading of the platform makes it so."""
    readings = {} if measured.run is None else measured.run.readings
    if not readings or measured.otherwise == measured.reached:
        return []
    sentence = f"the worst of all readings, on a platform where {reading_words(readings)}"
    if measured.otherwise is not None:
        sentence += f"; otherwise {duration(measured.otherwise, specification.clocking)}"
    return [sentence]
