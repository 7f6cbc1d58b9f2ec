"""What a sheet prints is what the block does, and nothing on it leads a hand into danger."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from html import unescape
from pathlib import Path

import pytest
from twohand.analyses.sheet.derive import NO_START, Derived, derive, why_none
from twohand.analyses.sheet.rehearsal import Rehearsal
from twohand.analyses.sheet.sheet import sheet_code, sheet_from, unsettled
from twohand.analyses.sheet.templates import Setup, Templates
from twohand.analyses.sheet.text import WIDTH, sheet_text
from twohand.analyses.sheet.trial import Aimed, NoTrial, OutputSeen, Sheet
from twohand.evidence.verdict import Outcome, Report, Verdict
from twohand.formats.page.sheet import sheet_page
from twohand.program.durations import Units
from twohand.record.sources import HashedFile
from twohand.report.exit_code import ExitCode
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Specification

from tests.analyses.sheet.printed import played_line, printed_lines
from tests.support.places import GALLERY

QUICK = ("lid_press_type3", "stations_joined_by_or_mended")
"""With scans of 100 ms, which are fewer."""
LONG = (
    "hoop_press_guard",
    "hoop_press_reset",
    "muted_upstroke_mended",
    "stroke_without_end_mended",
)


def spec_of(name: str) -> Specification:
    spec = load_specification(GALLERY / f"{name}.spec")
    slow = replace(spec.clocking, shortest=Units(100), longest=Units(100))
    return replace(spec, clocking=slow) if name in QUICK else spec


@cache
def derived_of(name: str) -> tuple[Specification, Derived]:
    spec = spec_of(name)
    return spec, derive(spec, spec.requirements)


def report_of(spec: Specification, outcome: Outcome = Outcome.PROVED) -> Report:
    """As if every requirement had come out so."""
    return Report(spec, tuple(Verdict(each, outcome) for each in spec.requirements))


def sheet_named(name: str) -> tuple[Specification, Sheet]:
    spec, derived = derived_of(name)
    report = report_of(spec)
    return spec, sheet_from(report, tuple(unsettled(report)), derived, ())


def check_lines(name: str) -> None:
    """Every printed line, read again as a person would, plays as printed."""
    spec, sheet = sheet_named(name)
    lines = list(printed_lines(sheet_page(sheet)))
    assert len(lines) == len(sheet.still) + len(sheet.contacts) + len(sheet.moving) > 0
    marked = {each.title for each in sheet.still if each.needs_generator}
    for line in lines:
        if not any(line.title.endswith(title) for title in marked):
            played = played_line(line, spec, f"{name}.spec")
            assert played.all_played
            assert (played.failures, played.outside) == ((), ()), line


@pytest.mark.parametrize("name", QUICK)
def test_every_printed_line_plays_as_printed(name: str) -> None:
    check_lines(name)


@pytest.mark.long
@pytest.mark.parametrize("name", LONG)
def test_every_printed_line_of_further_sheets_plays_as_printed(name: str) -> None:
    check_lines(name)


# --- what is never printed ----------------------------------------------------------------------


def _turned(seen: OutputSeen) -> OutputSeen:
    others = {
        OutputSeen.COMES_ON: OutputSeen.STAYS_OFF,
        OutputSeen.STAYS_OFF: OutputSeen.COMES_ON,
        OutputSeen.GOES_OFF: OutputSeen.STAYS_ON,
        OutputSeen.STAYS_ON: OutputSeen.GOES_OFF,
    }
    return others[seen]


def test_a_trial_whose_expectation_is_turned_round_does_not_play() -> None:
    spec, derived = derived_of(QUICK[0])
    rehearsal = Rehearsal(spec, ())
    assert len(derived.trials) > 10
    for trial in derived.trials[:2]:
        assert rehearsal.rehearsed(trial).plays
        for at, step in enumerate(trial.steps):
            steps = list(trial.steps)
            steps[at] = replace(step, seen=_turned(step.seen))
            assert not rehearsal.rehearsed(replace(trial, steps=tuple(steps))).plays


def test_what_holds_in_one_order_of_hands_alone_needs_a_generator_or_is_not_printed(
    tmp_path: Path,
) -> None:
    """An output that starts only where both hands come in one scan."""
    spec = _spec(
        tmp_path,
        "stroke := leftPalm AND rightPalm AND (stroke OR (NOT wasLeft AND NOT wasRight));\n"
        "wasLeft := leftPalm; wasRight := rightPalm;",
    )
    starts = [t for t in derive(spec, spec.requirements).trials if t.aim is Aimed.PASSES]
    assert starts
    assert all(trial.needs_generator for trial in starts)
    report = report_of(spec)
    sheet = sheet_from(report, (), derive(spec, spec.requirements), ())
    assert sheet.moving == ()
    assert "needs a signal generator" in sheet_text(sheet)
    assert "There is no Part 2" in sheet_text(sheet)


def test_what_depends_on_the_platform_is_not_printed(tmp_path: Path) -> None:
    """What is kept of the first scan is whether a preset of 0 is over at once."""
    spec = _spec(
        tmp_path,
        "delay(IN := TRUE, PT := T#0ms);\nIF NOT wasLeft THEN kept := delay.Q; END_IF;\n"
        "wasLeft := TRUE;\nstroke := leftPalm AND rightPalm AND kept;",
    )
    trial = Templates(("left", "right"), Setup(), None).starts()
    rehearsed = Rehearsal(spec, ()).rehearsed(trial)
    assert (rehearsed.plays, rehearsed.depends) == (False, True)
    derived = derive(spec, spec.requirements)
    assert derived.trials == ()
    assert derived.without[0].why == NO_START


def test_what_is_seen_is_asked_up_to_the_next_step(tmp_path: Path) -> None:
    """An output that goes off by itself after 0.8 s is not seen to stay."""
    body = (
        "delay(IN := leftPalm AND rightPalm, PT := T#800ms);\n"
        "stroke := leftPalm AND rightPalm AND NOT delay.Q;"
    )
    trial = Templates(("left", "right"), Setup(), None).starts()
    assert not Rehearsal(_spec(tmp_path, body), ()).rehearsed(trial).plays


def test_what_the_spec_assumes_away_is_not_printed(tmp_path: Path) -> None:
    more = "ASSUME NOT (leftPalm AND rightPalm);\n"
    spec = _spec(tmp_path, "stroke := leftPalm AND rightPalm;", more)
    assert derive(spec, spec.requirements).trials == ()


def _spec(folder: Path, body: str, more: str = "") -> Specification:
    block = (
        "FUNCTION_BLOCK Press\nVAR_INPUT leftPalm, rightPalm : BOOL; END_VAR\n"
        "VAR_OUTPUT stroke : BOOL; END_VAR\n"
        "VAR wasLeft, wasRight, kept : BOOL; delay : TON; END_VAR\n"
        f"{body}\nEND_FUNCTION_BLOCK\n"
    )
    text = (
        "SPEC Press\nSOURCE 'press.st';\nSCAN T#100ms;\nHAND left = leftPalm;\n"
        "HAND right = rightPalm;\nOUTPUT stroke;\n"
        f"{more}REQUIRE TWO_HAND LOGIC TYPE I;\nEND_SPEC\n"
    )
    (folder / "press.st").write_text(block, encoding="utf-8")
    (folder / "press.spec").write_text(text, encoding="utf-8")
    return load_specification(folder / "press.spec")


# --- what stands first, and what leads nobody into danger ---------------------------------------


@pytest.mark.parametrize("outcome", [Outcome.VIOLATED, Outcome.UNDECIDED, Outcome.VACUOUS])
def test_what_is_not_proved_stands_first_has_no_line_and_nothing_moves(outcome: Outcome) -> None:
    spec = spec_of(QUICK[1])
    report = report_of(spec)
    first, *others = report.verdicts
    report = replace(report, verdicts=(replace(first, outcome=outcome), *others))
    proved = tuple(each.requirement for each in others)
    sheet = sheet_from(report, tuple(unsettled(report)), derive(spec, proved), ())
    name = first.requirement.identifier
    text = sheet_text(sheet)
    before, rest = text.split("Part 1: without motion", 1)
    assert f"- {name} (" in before.split("Do not run the machine before this is settled")[1]
    assert all(name not in each.requirements for each in (*sheet.still, *sheet.contacts))
    assert sheet.moving == ()
    assert "2.1" not in rest
    assert sheet_code(report, sheet) is not ExitCode.ALL_PROVED


def test_with_motion_there_is_only_what_must_pass() -> None:
    for name in QUICK:
        _, sheet = sheet_named(name)
        assert sheet.moving
        assert {each.aim for each in sheet.moving} == {Aimed.PASSES}
        assert all(each.wire_off == "" for each in sheet.moving)


def test_no_step_names_the_hazard_zone_and_the_sheet_names_it_to_forbid_it() -> None:
    for name in QUICK:
        _, sheet = sheet_named(name)
        text = " ".join(sheet_text(sheet).split())
        found = [m.start() for m in re.finditer("hazard", text, re.IGNORECASE)]
        assert len(found) == 1
        said = "Nobody puts a hand, or anything held in one, into the hazard zone"
        assert text.index(said) + said.index("hazard") == found[0]
        for line in printed_lines(sheet_page(sheet)):
            for do, _ in line.rows:
                assert re.search(r"hazard|reach|insert|zone|die|tool", do, re.IGNORECASE) is None


def test_a_wire_is_touched_only_with_the_control_circuit_dead() -> None:
    _, sheet = sheet_named(QUICK[0])
    text = unescape(sheet_page(sheet))
    assert sheet.contacts
    for word in ("take the contact's wire off", "put the wire at"):
        places = [m.start() for m in re.finditer(re.escape(word), text)]
        assert places
        for at in places:
            assert text[:at].rstrip().endswith("Control circuit dead:")


def test_what_was_taken_off_is_counted_before_anything_moves() -> None:
    _, sheet = sheet_named(QUICK[0])
    for text in (sheet_text(sheet), unescape(sheet_page(sheet))):
        still, moving = text.split("Part 2: with motion", 1)
        counted = still.index("Wires taken off: ____  put back: ____")
        assert counted < still.index("After that line 1.1 was repeated")
        assert still.index("After that line 1.1") < still.index("Part 1 passed, every line")
        assert "Wires taken off" in moving
        assert "Nobody is within reach of what moves" in " ".join(moving.split())


def test_the_page_asks_for_nothing_and_runs_nothing() -> None:
    _, sheet = sheet_named(QUICK[0])
    strange = replace(sheet, without=(NoTrial("<script>x</script>", "a & b"),))
    page = sheet_page(strange)
    assert "<script" not in page
    assert "&lt;script&gt;" in page
    assert re.search(r"https?:|src=|href=|@import|url\(", page) is None
    assert sheet_page(strange) == page


def test_every_printed_page_tells_of_which_spec_and_version_it_is() -> None:
    _, sheet = sheet_named(QUICK[0])
    named = replace(sheet, files=(HashedFile("press.spec", "0123456789abcdef" * 4),))
    page = sheet_page(named)
    assert f'content: "twohand {sheet.version}, spec 0123456789abcdef"' in page
    assert 'content: counter(page) " of " counter(pages)' in page


def test_plain_text_keeps_the_width_of_the_paper() -> None:
    for name in QUICK:
        _, sheet = sheet_named(name)
        lines = sheet_text(sheet).splitlines()
        hashes = {each.sha256 for each in sheet.files}
        assert all(len(line) <= WIDTH or line.split()[0] in hashes for line in lines)


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("relay_armed", "PLANT"),
        ("clutch_press_bouncing_mended", "bounce"),
        ("both_solenoids", "HAND"),
        ("selector_table", "selected"),
        ("retained_run_bit_mended", "retained"),
        ("window_by_clock", "TIME()"),
        ("press_modes_mended", "setting"),
    ],
)
def test_a_spec_with_which_a_line_would_not_be_true_has_no_sheet(name: str, why: str) -> None:
    assert why in why_none(spec_of(name))
