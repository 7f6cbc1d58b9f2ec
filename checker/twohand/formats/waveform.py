"""Value change dump (IEEE 1364-2005, clause 18; from memory): a run for a viewer of waveforms."""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from vcd import VCDWriter

from twohand.analyses.check.record import CheckedSpec
from twohand.files.free_names import FreeNames
from twohand.formats.items import harmless, items_of
from twohand.record.run import PlainValue, Run, Signal
from twohand.report.drawing.readings import reading_clauses

_OTHER = re.compile(r"[^A-Za-z0-9_]")
_BITS = 64
"""Of a number: durations are in nanoseconds."""
_OWN = "run"
"""The scope of what is said of the run itself."""


@dataclass(frozen=True)
class _Wave:
    """A signal under its path of plain names; ``words`` are the names that its numbers mean."""

    signal: Signal
    path: tuple[str, ...]
    words: tuple[str, ...]

    @property
    def is_bit(self) -> bool:
        return self.signal.type == "BOOL"

    def number(self, value: PlainValue) -> int:
        return self.words.index(value) if isinstance(value, str) else int(value)


def waveforms(specs: Iterable[CheckedSpec]) -> Iterator[tuple[str, str]]:
    """A file name and its text for each run of what fails; a run that several fall to is there
    once, under the first."""
    names = FreeNames()
    for checked in specs:
        shown: list[Run] = []
        for item in items_of(checked):
            if item.run is not None and item.run not in shown:
                shown.append(item.run)
                name = names.free(f"{checked.spec.name}_{item.rule}")
                yield f"{name}.vcd", waveform_text(item.run, item.text)


def waveform_text(run: Run, title: str) -> str:
    """The run in nanoseconds; its first scan, before power-up or not, is at time 0. ``title`` says
    what it shows. Signals have their value from the scan on in which they have it: inputs as they
    are sampled, all others as at its end."""
    waves = {wave.signal.name: wave for wave in _waves(run)}
    output = io.StringIO()
    comment = "\n".join(_plain(line) for line in _comment(run, title, waves.values()))
    with VCDWriter(output, timescale="1 ns", date="", comment=comment, version="twohand") as writer:
        scan = writer.register_var(_OWN, "scan", "integer", size=_BITS)
        wrong = writer.register_var(_OWN, "wrong", "wire", size=1)
        variables = {
            name: writer.register_var(
                ".".join(wave.path[:-1]),
                wave.path[-1],
                "wire" if wave.is_bit else "integer",
                size=1 if wave.is_bit else _BITS,
            )
            for name, wave in waves.items()
        }
        for number, step in enumerate(run.steps, 1):
            time = step.time - run.steps[0].time
            writer.change(scan, time, number)
            writer.change(wrong, time, int(number == len(run.steps)))
            for name, value in step.changes:
                writer.change(variables[name], time, waves[name].number(value))
    return output.getvalue()


def _waves(run: Run) -> Iterator[_Wave]:
    """A scope for the block, and in it one for each instance; names that would be equal, or those
    of a scope, are numbered."""
    words: dict[str, dict[str, None]] = {}
    for step in run.steps:
        for name, value in step.changes:
            if isinstance(value, str):
                words.setdefault(name, {})[value] = None
    paths = [("block", *map(_plain_name, each.name.split("."))) for each in run.signals]
    taken = {_folded(path[:length]) for path in paths for length in range(1, len(path))}
    for signal, path in zip(run.signals, paths, strict=True):
        free, number = path, 1
        while _folded(free) in taken:
            number += 1
            free = (*path[:-1], f"{path[-1]}_{number}")
        taken.add(_folded(free))
        yield _Wave(signal, free, tuple(words.get(signal.name, ())))


def _plain_name(part: str) -> str:
    return _OTHER.sub("_", part) or "_"


def _folded(path: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(part.casefold() for part in path)


def _comment(run: Run, title: str, waves: Iterable[_Wave]) -> Iterator[str]:
    yield title
    yield "run.scan is the number of the scan; run.wrong is 1 in the one that the run is shown for"
    before = sum(step.before_power_up for step in run.steps)
    if before:
        yield f"the first {before} scans are before power-up: nothing but inputs is sampled"
    for clause in reading_clauses(dict(run.readings)):
        yield f"the platform: {clause}"
    for wave in waves:
        path = ".".join(wave.path)
        if path != f"block.{wave.signal.name}":
            yield f"{path} is {wave.signal.name}"
        if wave.words:
            numbers = ", ".join(f"{number} = {word}" for number, word in enumerate(wave.words))
            yield f"{path}: {numbers}"


def _plain(line: str) -> str:
    """Without what would end a comment."""
    return harmless(line).replace("$", "?")
