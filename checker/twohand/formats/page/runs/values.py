"""The table of a run's values: a column for each event, and only what changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from twohand.formats.page.runs.events import changing, in_order, shown_run, value_text
from twohand.program.durations import Nanoseconds
from twohand.record.run import Run
from twohand.specification.phrases import count, duration_of

MOST_ROWS = 40


@dataclass(frozen=True)
class ValueTable:
    """``columns`` are the times and scans of the events; of each row only what is other than in the
    column before is written. ``unchanged`` are the signals without change, with their value;
    ``notes`` say what is left out."""

    columns: tuple[tuple[str, str], ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]
    unchanged: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]


def values_of(run: Run, hands: Sequence[tuple[str, tuple[str, ...]]] = ()) -> ValueTable:
    shown = shown_run(run)
    read = [name for _, names in hands for name in names]
    moved = in_order(changing(shown), read)
    names = {signal.name for signal in moved}
    columns = tuple(
        (duration_of(Nanoseconds(each.time)), shown.scan_name(each.scan)) for each in shown.events
    )
    rows = []
    for signal in moved[:MOST_ROWS]:
        texts = [value_text(event.values.get(signal.name), signal) for event in shown.events]
        fresh = [
            text if number == 0 or text != texts[number - 1] else ""
            for number, text in enumerate(texts)
        ]
        rows.append((signal.name, tuple(fresh)))
    last = shown.events[-1].values
    unchanged = [
        (signal.name, value_text(last[signal.name], signal))
        for signal in in_order(run.signals, read)
        if signal.name not in names and signal.name in last
    ]
    notes = []
    if shown.left_out is not None:
        first, until = shown.left_out
        number = count(until - first + 1, "scan")
        notes.append(
            f"{number} between {shown.events[(shown.gap or 1) - 1].scan + 1 - shown.past} and "
            f"{until + 2 - shown.past} are left out here; the document of --json has them all."
        )
    more = len(moved) - MOST_ROWS
    if more > 0 or len(unchanged) > MOST_ROWS:
        number = count(max(more, 0) + max(len(unchanged) - MOST_ROWS, 0), "signal")
        notes.append(f"{number} more: the document of --json has them all.")
    return ValueTable(columns, tuple(rows), tuple(unchanged[:MOST_ROWS]), tuple(notes))
