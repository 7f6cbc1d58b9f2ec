"""The program around a copy of the block: what it reports when it is read again and executed."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from pathlib import Path

import pytest
from twohand.analyses.audit.changes.subject import load_changeable_specs
from twohand.analyses.sheet.bench.bench import bench_program, reports
from twohand.analyses.sheet.bench.copied_block import copied_block, refusals
from twohand.analyses.sheet.bench.playing import Bench
from twohand.analyses.sheet.bench.reading_back import ReadBack, Reported
from twohand.analyses.sheet.bench.writing import PROGRAM
from twohand.program.durations import Units
from twohand.program.types import BOOL
from twohand.scan.clocking import Clocking
from twohand.scan.concrete.execute import Machine
from twohand.scenarios.timing import Timing, timings

from tests.analyses.sheet.bench.samples import (
    BLOCK,
    BOTH,
    LATE,
    ONE,
    SPEC,
    read_back,
    spec_of,
    text_of,
    trials_of,
)


def test_the_block_as_it_is_shows_no_difference_under_any_reading(tmp_path: Path) -> None:
    spec = spec_of(tmp_path)
    program = read_back(spec, trials_of(spec, LATE))
    found = [r for t in timings(program.clocking, None, 1, 3) for r in program.reports(t)]
    assert len(found) > 6
    assert {(r.completes, r.differences, r.not_judged) for r in found} == {(True, 0, 0)}


@pytest.mark.parametrize(
    ("old", "new", "trial"),
    [
        ("stroke := leftPalm AND rightPalm AND", "stroke := leftPalm AND", 2),
        pytest.param("PT := T#3s", "PT := T#6s", 3, marks=pytest.mark.long),
        pytest.param("NOT window.Q", "window.Q", 1, marks=pytest.mark.long),
    ],
)
def test_another_block_is_reported_with_the_first_trial_that_shows_it(
    tmp_path: Path, old: str, new: str, trial: int
) -> None:
    trials = trials_of(spec_of(tmp_path), BOTH, ONE, LATE)
    other = spec_of(tmp_path, BLOCK.replace(old, new))
    assert other.program.sources[0].text != BLOCK
    program = read_back(other, trials)
    for found in program.reports(_longest(program.clocking)):
        assert found.completes
        assert found.differences > 0
        assert found.first_difference_in == trial
    assert reports(Bench(other), trials)
    assert not reports(Bench(spec_of(tmp_path)), trials)


def test_a_trial_with_a_scan_outside_of_scan_is_not_judged_whatever_it_shows(
    tmp_path: Path,
) -> None:
    """One tick of the controller's clock more than SCAN is within."""
    trials = trials_of(spec_of(tmp_path), BOTH)
    other = spec_of(tmp_path, BLOCK.replace("leftPalm AND rightPalm", "leftPalm OR rightPalm"))
    for shown, counted in ((201, 0), (202, 1), (98, 1)):
        program = read_back(other, trials)
        program.clocking = Clocking(program.clocking.unit, Units(shown), Units(shown))
        for found in program.reports(_longest(program.clocking)):
            assert (found.completes, found.not_judged, found.first_not_judged) == (
                True, counted, counted,
            )  # fmt: skip
            assert found.differences == 0 or not counted


def test_a_part_ends_with_the_first_scan_that_is_late_enough(tmp_path: Path) -> None:
    """The hands go after exactly 1 s: five scans of 200 ms."""
    spec = spec_of(tmp_path)
    program = read_back(spec, trials_of(spec, BOTH))
    readings = replace(spec.readings, **dict.fromkeys(spec.readings.open, False))
    machine = Machine(program.program, program.clocking, readings)
    scans = [machine.scan({}, Units(200)).values for _ in range(18)]
    assert [n for n, each in enumerate(scans) if each["seen_stroke"]] == [6, 7, 8, 9, 10]
    assert [n for n, each in enumerate(scans) if each["finished"]] == [16, 17]


def test_what_the_trials_show_and_the_program_does_not_is_not_reported(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    trials = trials_of(spec_of(tmp_path), BOTH)
    other = spec_of(tmp_path, BLOCK.replace("NOT window.Q", "window.Q"))
    monkeypatch.setattr(ReadBack, "report", lambda *_, **__: Reported(True))
    assert not reports(Bench(other), trials)


def _longest(clocking: Clocking) -> Timing:
    return Timing("longest", clocking.longest, clocking.longest)


# --- its text -------------------------------------------------------------------------------------


def test_its_first_lines_say_what_it_is_and_to_remove_it(tmp_path: Path) -> None:
    spec = spec_of(tmp_path)
    first, *_ = text_of(spec, trials_of(spec, BOTH)).text.splitlines()
    assert first == "(* TRIALS OF A BLOCK ON THE BENCH. REMOVE THIS BEFORE THE MACHINE RUNS."


def test_the_copy_is_that_of_the_file_and_its_hash_is_told(tmp_path: Path) -> None:
    spec = spec_of(tmp_path)
    text = text_of(spec, trials_of(spec, BOTH)).text
    assert copied_block(spec).text == BLOCK
    assert text.split("*)\n\n", 1)[1].startswith(BLOCK)
    assert hashlib.sha256(BLOCK.encode()).hexdigest() in text.split("*)", 1)[0]


def test_it_touches_nothing_but_itself_and_uses_what_every_controller_takes(
    tmp_path: Path,
) -> None:
    """Sections, statements and blocks of IEC 61131-3, 2nd edition (from memory)."""
    spec = spec_of(tmp_path)
    own = text_of(spec, trials_of(spec, BOTH, LATE)).text.split(f"PROGRAM {PROGRAM}", 1)[1]
    assert own.isascii()
    for word in ("%", "RETAIN", "VAR_", "FOR ", "WHILE", "REPEAT", "RETURN", "/", "[", "#16", "__"):
        assert word not in own.replace("END_VAR", "")
    program = read_back(spec, trials_of(spec, BOTH)).program
    outside = (program.inputs, program.outputs, program.left_out, program.addresses)
    assert not any(outside)
    assert {v.type.name for v in program.variables} == {"BOOL", "INT", "DINT", "TIME"}


def test_its_names_are_none_of_the_block(tmp_path: Path) -> None:
    block = BLOCK.replace("armed", "finished").replace("Press", "TwohandTrials")
    spec = spec_of(tmp_path, block.replace("window", "tried_1"))
    trials = trials_of(spec, BOTH)
    written = text_of(spec, trials)
    assert written.program != "TwohandTrials"
    assert written.names["finished"] != "finished"
    program = ReadBack(written, spec)
    assert {r.differences for r in program.reports(_longest(program.clocking))} == {0}


# --- what is refused ------------------------------------------------------------------------------

GLOBAL = "VAR_GLOBAL shared : BOOL; END_VAR\n"
EXTERNAL = BLOCK.replace("VAR window", "VAR_EXTERNAL shared : BOOL; END_VAR VAR window")


@pytest.mark.parametrize(
    ("block", "words", "line"),
    [
        (BLOCK.replace("armed : BOOL;", "armed AT %MX0.0 : BOOL;"), "at the address %MX0.0", 4),
        (GLOBAL + EXTERNAL.replace("TRUE;", "shared;"), "needs VAR_GLOBAL", 1),
        (
            BLOCK.replace("FUNCTION_BLOCK", "PROGRAM"),
            "a PROGRAM cannot be copied into another one",
            1,
        ),
    ],
)
def test_what_reaches_outside_of_the_block_is_refused_by_name_and_place(
    tmp_path: Path, block: str, words: str, line: int
) -> None:
    found = list(refusals(spec_of(tmp_path, block)))
    assert any(words in each.message for each in found), found
    assert {each.code for each in found} == {"no-program"}
    assert line in {each.span.line for each in found if each.span is not None}
    assert list(refusals(spec_of(tmp_path))) == []


# --- the whole ------------------------------------------------------------------------------------


@pytest.mark.long
def test_small_changes_of_a_block_are_reported_but_for_those_within_a_scan(tmp_path: Path) -> None:
    """What is left is the same to whoever looks at the output, or a time moved by a scan."""
    spec_of(tmp_path, spec=SPEC.replace("T#100ms..T#200ms", "T#200ms"))
    (subject,) = load_changeable_specs(tmp_path / "press.spec")
    found = bench_program(subject)
    assert found is not None
    assert found.left_out == ()
    assert found.of_sheet > 8
    left = {(each.span.line, each.words.split(" ")[-1]) for each in found.unreported}
    assert len(found.reported) >= 58
    assert {line for line, _ in left} <= {3, 5, 8}
    program = ReadBack(found.written, subject.specification)
    assert all(v.type == BOOL for v in program.program.variables if v.name.startswith("to_"))
    wrong = replace(subject.specification.clocking, longest=Units(230))
    program.clocking = wrong
    report = next(program.reports(Timing("longest", Units(230), Units(230))))
    assert report.not_judged == found.of_sheet + found.finer
