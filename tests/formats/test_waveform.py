"""Value change dumps, read back by two readers: pyDigitalWaveTools
(https://pypi.org/project/pyDigitalWaveTools/) and the tokenizer of pyvcd
(https://pypi.org/project/pyvcd/)."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import pytest
from pyDigitalWaveTools.vcd.parser import VcdParser
from twohand.analyses.check.record import CheckedSpec, checked_spec
from twohand.formats.waveform import waveform_text, waveforms
from twohand.record.run import PlainValue, Run, RunStep, Signal, SignalRole
from vcd.reader import TokenKind, tokenize

from tests.support.samples.report_samples import report, violated
from tests.support.tiers import rows

SIGNALS = (
    Signal("a", "BOOL", "", SignalRole.INPUT),
    Signal("n", "INT", "", SignalRole.INTERNAL),
    Signal("t.ET", "TIME", "ns", SignalRole.INTERNAL),
    Signal("mode", "Mode", "", SignalRole.INTERNAL),
    Signal("in put", "BOOL", "", SignalRole.INPUT),
    Signal("in_put", "BOOL", "", SignalRole.INPUT),
    Signal("$end", "BOOL", "", SignalRole.OUTPUT),
    Signal("T", "BOOL", "", SignalRole.OUTPUT),
)
RUN = Run(
    SIGNALS,
    (
        RunStep(-10_000_000, (("a", True),)),
        RunStep(0, (("n", -5), ("t.ET", 0), ("mode", "Rest"), ("in put", False), ("in_put", True))),
        RunStep(20_000_000, (("a", False), ("n", 32767), ("mode", "Run"), ("$end", True))),
        RunStep(40_000_000, (("t.ET", 20_000_000), ("mode", "Rest"))),
    ),
    (("edge_call_counts", False),),
)
PATHS = {
    "a": "block.a", "n": "block.n", "t.ET": "block.t.ET", "mode": "block.mode",
    "in put": "block.in_put", "in_put": "block.in_put_2", "$end": "block._end",
    "T": "block.T_2",
}  # fmt: skip
MODES = ("Rest", "Run")


def signed(bits: str) -> int:
    number = int(bits, 2)
    return number - (1 << len(bits)) if len(bits) == 64 and bits[0] == "1" else number


def expected(value: PlainValue) -> int:
    return MODES.index(value) if isinstance(value, str) else int(value)


def by_tree(text: str, _: Path) -> dict[str, dict[int, int]]:
    parser = VcdParser()
    parser.parse(io.StringIO(text))
    found: dict[str, dict[int, int]] = {}
    waiting = [("", parser.scope.toJson())]
    while waiting:
        path, node = waiting.pop()
        waiting += [(f"{path}.{each['name']}", each) for each in node.get("children", ())]
        values = [(time, str(value).lstrip("b")) for time, value in node.get("data", ())]
        found[path[1:]] = {time: signed(bits) for time, bits in values if "x" not in bits}
    return found


def by_tokens(text: str, folder: Path) -> dict[str, dict[int, int]]:
    scopes: list[str] = []
    names: dict[str, str] = {}
    found: dict[str, dict[int, int]] = {}
    time = 0
    for token in tokenize(io.BytesIO(text.encode())):
        match token.kind:
            case TokenKind.SCOPE:
                scopes.append(token.scope.ident)
            case TokenKind.UPSCOPE:
                scopes.pop()
            case TokenKind.VAR:
                names[token.var.id_code] = ".".join((*scopes, token.var.reference))
                found[names[token.var.id_code]] = {}
            case TokenKind.CHANGE_TIME:
                time = token.time_change
            case TokenKind.CHANGE_SCALAR:
                change = token.scalar_change
                if change.value != "x":
                    found[names[change.id_code]][time] = int(change.value)
            case TokenKind.CHANGE_VECTOR:
                vector = token.vector_change
                if not isinstance(vector.value, str):
                    found[names[vector.id_code]][time] = signed(f"{vector.value:b}")
    return found


READERS = pytest.mark.parametrize("read", [by_tree, by_tokens])


def at(changes: dict[int, int], time: int) -> int | None:
    return next((changes[t] for t in sorted(changes, reverse=True) if t <= time), None)


def agrees(run: Run, read: dict[str, dict[int, int]], paths: dict[str, str]) -> None:
    """With every value of every scan."""
    first = run.steps[0].time
    for number, step in enumerate(run.steps):
        values = run.values(number)
        for name, path in paths.items():
            value = at(read[path], step.time - first)
            assert value == (expected(values[name]) if name in values else None), (name, number)
        assert at(read["run.scan"], step.time - first) == number + 1
        assert at(read["run.wrong"], step.time - first) == int(step is run.steps[-1])


@READERS
def test_a_reader_finds_every_value_of_every_scan(
    read: Callable[[str, Path], dict[str, dict[int, int]]], tmp_path: Path
) -> None:
    agrees(RUN, read(waveform_text(RUN, "what it shows"), tmp_path), PATHS)


@pytest.mark.long
@READERS
@pytest.mark.parametrize(
    "name",
    rows(["tied_down_ladder", "bounce_counted", "lid_press_locks_out"], lambda n: "count" not in n),
)
def test_the_runs_of_the_gallery_are_read_as_they_were_executed(
    name: str,
    read: Callable[[str, Path], dict[str, dict[int, int]]],
    gallery_answer: Callable[[str], CheckedSpec],
    tmp_path: Path,
) -> None:
    runs = [each.run for each in gallery_answer(name).requirements if each.run is not None]
    assert runs
    for run in runs:
        text = waveform_text(run, name)
        signals = [each.name for each in run.signals if each.type in ("BOOL", "TIME", "INT")]
        paths = {each: f"block.{each}" for each in signals if f" is {each}\n" not in text}
        assert len(paths) > 3
        agrees(run, read(text, tmp_path), paths)


def test_the_comment_says_what_the_names_and_numbers_mean() -> None:
    text = waveform_text(RUN, "VIOLATED: $end \u202e comes early")
    comment = text[: text.index("$end")]
    for line in (
        "VIOLATED: ?end ? comes early",
        "the first 1 scans are before power-up: nothing but inputs is sampled",
        "the platform: a timer's edge call counts no time",
        "block.mode: 0 = Rest, 1 = Run",
        "block.in_put_2 is in_put",
        "block._end is ?end",
    ):
        assert line in comment


def test_each_run_has_a_file_and_one_that_several_fall_to_has_one() -> None:
    checked = checked_spec(report(violated(), violated()))
    assert [name for name, _ in waveforms([checked, checked])] == [
        "Press_start_window.vcd",
        "Press_start_window_2.vcd",
    ]
