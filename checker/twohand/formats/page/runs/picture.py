"""A run drawn: a lane for each signal above a true time axis, as the coordinates of its lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from twohand.formats.page.runs.axis import TAIL, Axis, axis_of
from twohand.formats.page.runs.events import (
    ShownRun,
    ShownScan,
    changing,
    in_order,
    shown_run,
    value_text,
)
from twohand.program.durations import Nanoseconds
from twohand.record.run import PlainValue, Run, Signal, SignalRole
from twohand.record.spans import TimeSpan
from twohand.specification.phrases import count, duration_of

LABELS = 190.0
"""Pixels for the names of the lanes."""
CHARACTER = 7.0
"""Pixels of a character, at most."""
LANE, WAVE = 30.0, 14.0
"""Pixels of a lane, and of a wave in it."""
SPAN = 22.0
MOST_LANES = 14
MOST_TEXT = 24
MOST_SAID = 12
"""Events that the description says one by one."""


@dataclass(frozen=True)
class DrawnLane:
    """``wave`` is the path of a BOOL's line, ``area`` that of where it is TRUE; other values are
    ``texts`` with their places. ``y`` is the base line."""

    label: str
    whole: str
    hand: bool
    y: float
    wave: str
    area: str
    texts: tuple[tuple[float, str], ...]


@dataclass(frozen=True)
class DrawnSpan:
    """A bound of time; ``opens`` where it begins before what is drawn."""

    words: str
    left: float
    right: float
    y: float
    opens: bool
    text: float
    anchor: str


@dataclass(frozen=True)
class Mark:
    """Something written below the axis."""

    x: float
    words: str


@dataclass(frozen=True)
class RunPicture:
    """``words`` name what the last scan is marked as; ``power_up`` is where the supply comes, if
    there is something before that."""

    width: float
    height: float
    top: float
    base: float
    left: float
    lanes: tuple[DrawnLane, ...]
    spans: tuple[DrawnSpan, ...]
    cuts: tuple[tuple[float, float, str], ...]
    ticks: tuple[Mark, ...]
    events: tuple[float, ...]
    power_up: float | None
    last: float
    end: float
    words: str
    described: str
    wrong: bool


def picture_of(
    run: Run,
    words: str,
    hands: Sequence[tuple[str, tuple[str, ...]]] = (),
    spans: Iterable[TimeSpan] = (),
    subjects: Iterable[str] = (),
) -> RunPicture:
    """``words`` say what its last scan is: 'wrong', 'reached'; where an answer was due, that there
    was none by then. ``hands`` with the signals that they
    are read from have the first lanes; ``subjects`` are signals that are drawn in any case."""
    shown = shown_run(run)
    bounds = tuple(spans)
    axis = axis_of(_times(shown, bounds), LABELS)
    places = tuple(axis.place(event.time) for event in shown.events)
    due = next((each.end for each in bounds if each.due), None)
    if due is not None:
        words = f"no answer by {duration_of(Nanoseconds(due))}"
    drawn_spans = tuple(_span(each, axis, number) for number, each in enumerate(bounds))
    top = 8.0 + SPAN * len(drawn_spans)
    names = {signal: hand for hand, read in hands for signal in read}
    lanes = tuple(
        _lane(signal, names.get(signal.name, ""), shown, places, top + LANE * (number + 1))
        for number, signal in enumerate(_lanes(shown, names, {*subjects}))
    )
    base = top + LANE * len(lanes) + 10
    return RunPicture(
        width=axis.end + 60,
        height=base + 42,
        top=top,
        base=base,
        left=LABELS,
        lanes=lanes,
        spans=drawn_spans,
        cuts=tuple(_cuts(shown, axis)),
        ticks=tuple(_ticks(shown, places)),
        events=places,
        power_up=_power_up(shown, axis),
        last=places[-1] if due is None else axis.place(due),
        end=axis.end,
        words=words,
        described=_described(shown, words, names, {*subjects}),
        wrong=words != "reached",
    )


def _times(shown: ShownRun, spans: Iterable[TimeSpan]) -> list[int]:
    """Those of the events, and where bounds begin and end apart from them."""
    times = [event.time for event in shown.events]
    nearest = min((later - earlier for earlier, later in pairwise(times)), default=0)
    for each in (time for span in spans for time in (span.begin, span.end)):
        if times[0] < each < times[-1] and min(abs(each - time) for time in times) * 2 > nearest:
            times.append(each)
    return sorted(times)


def _lanes(shown: ShownRun, hands: dict[str, str], subjects: set[str]) -> list[Signal]:
    moved = {signal.name for signal in changing(shown)}
    wanted = [
        signal
        for signal in shown.run.signals
        if signal.name in hands
        or signal.name in subjects
        or signal.role is SignalRole.OUTPUT
        or (signal.name in moved and signal.role is SignalRole.INPUT)
    ]
    return in_order(wanted, hands)[:MOST_LANES]


def _lane(
    signal: Signal, hand: str, shown: ShownRun, places: Sequence[float], y: float
) -> DrawnLane:
    whole = signal.name if hand in ("", signal.name) else f"{hand} ({signal.name})"
    values = [event.values.get(signal.name) for event in shown.events]
    wave = area = ""
    texts: tuple[tuple[float, str], ...] = ()
    if signal.type == "BOOL":
        wave, area = _wave(values, places, y)
    else:
        texts = tuple(_texts(signal, values, places))
    label = whole if len(whole) <= MOST_TEXT else f"…{whole[1 - MOST_TEXT :]}"
    return DrawnLane(label, whole, bool(hand), y, wave, area, texts)


def _wave(
    values: Sequence[PlainValue | None], places: Sequence[float], y: float
) -> tuple[str, str]:
    """A line that changes where the value does; nothing where there is none yet."""
    end = places[-1] + TAIL
    ends = [*places[1:], end]
    wave = area = ""
    before: PlainValue | None = None
    for value, left, right in zip(values, places, ends, strict=True):
        if value is None:
            continue
        level = y - WAVE if value else y
        if before is None:
            wave += f"M{_number(left)} {_number(level)}"
        elif value != before:
            wave += f"H{_number(left)}V{_number(level)}"
        if value:
            area += (
                f"M{_number(left)} {_number(y)}V{_number(y - WAVE)}H{_number(right)}V{_number(y)}z"
            )
        before = value
    return (f"{wave}H{_number(end)}" if wave else ""), area


def _texts(
    signal: Signal, values: Sequence[PlainValue | None], places: Sequence[float]
) -> Iterator[tuple[float, str]]:
    free = 0.0
    for number, (value, left) in enumerate(zip(values, places, strict=True)):
        fresh = number == 0 or value != values[number - 1]
        text = value_text(value, signal)
        if text and fresh and left >= free:
            yield left + 3, text
            free = left + 8 + CHARACTER * len(text)


def _span(span: TimeSpan, axis: Axis, number: int) -> DrawnSpan:
    left, right = axis.place(span.begin), axis.place(span.end)
    inside = right - left > CHARACTER * len(span.words) + 16
    text, anchor = ((left + right) / 2, "middle") if inside else (left - 6, "end")
    return DrawnSpan(
        span.words, left, right, 8 + SPAN * number + 14, span.begin < axis.times[0], text, anchor
    )


def _cuts(shown: ShownRun, axis: Axis) -> Iterator[tuple[float, float, str]]:
    """What is not drawn to scale, or not at all, with the time that all of the stretch takes."""
    gap = shown.events[shown.gap - 1].time if shown.gap else None
    for each in axis.stretches:
        words = duration_of(Nanoseconds(each.end - each.begin))
        if each.cut is not None:
            yield (*each.cut, words)
        elif each.begin == gap:
            yield each.left, each.right, words


def _ticks(shown: ShownRun, places: Sequence[float]) -> Iterator[Mark]:
    """The times that can be written without touching each other; the last one always is."""
    texts = [duration_of(Nanoseconds(event.time)) for event in shown.events]
    widths = [CHARACTER * len(text) + 6 for text in texts]
    last, free = places[-1] - widths[-1] / 2, 0.0
    for number, (place, text, width) in enumerate(zip(places, texts, widths, strict=True)):
        is_last = number == len(texts) - 1
        if is_last or (place - width / 2 >= free and place + width / 2 <= last):
            yield Mark(place, text)
            free = place + width / 2


def _power_up(shown: ShownRun, axis: Axis) -> float | None:
    return axis.place(0) if shown.past else None


def _described(shown: ShownRun, words: str, hands: dict[str, str], subjects: set[str]) -> str:
    """The run in words, for those who do not see it."""
    signals = _lanes(shown, hands, subjects)
    first = ", ".join(_said(shown.events[0], each) for each in signals) or "nothing"
    parts = [f"At {_time(shown.events[0])}: {first}."]
    news = [pair for pair in pairwise(shown.events) if _news(pair, signals)]
    for before, event in news[:MOST_SAID]:
        said = ", ".join(
            _said(event, each)
            for each in signals
            if before.values.get(each.name) != event.values.get(each.name)
        )
        parts.append(f"At {_time(event)}: {said}.")
    if len(news) > MOST_SAID:
        parts.append(f"{count(len(news) - MOST_SAID, 'further change')}, all in the table.")
    when = "" if words.startswith("no answer") else f" at {_time(shown.events[-1])}"
    parts.append(f"{words.capitalize()}{when}.")
    return " ".join(parts)


def _news(pair: tuple[ShownScan, ShownScan], signals: Iterable[Signal]) -> bool:
    before, event = pair
    return any(before.values.get(s.name) != event.values.get(s.name) for s in signals)


def _said(event: ShownScan, signal: Signal) -> str:
    return f"{signal.name} {value_text(event.values.get(signal.name), signal) or 'unknown'}"


def _time(event: ShownScan) -> str:
    return duration_of(Nanoseconds(event.time))


def _number(pixels: float) -> str:
    return f"{pixels:.1f}".removesuffix(".0")
