"""A fault that is there for a time, or again and again: what is asked, told and answered of it."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from pathlib import Path

import pytest
from twohand.analyses.check.check import check
from twohand.analyses.faults.cases import FaultAnalysis, load_fault_analyses
from twohand.analyses.faults.check import check_faults
from twohand.analyses.faults.exit_code import fault_code
from twohand.analyses.faults.judgement import answer_of
from twohand.analyses.faults.record import faults_result
from twohand.analyses.faults.side_by_side import comparison_lines
from twohand.analyses.faults.table import Cell, FaultRow, FaultTable, Standing
from twohand.analyses.faults.text import conclusion, fault_lines
from twohand.evidence.limits import Options, open_pool
from twohand.evidence.verdict import Outcome, Verdict
from twohand.record.plain import plain_fields
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode
from twohand.specification.model.fault import Fault, FaultCourse, FaultKind
from twohand.text.diagnostic import InputError

from tests.support.places import GALLERY
from tests.support.samples.fault_samples import PAIR_SPEC, SINGLE_SPEC, analysis
from tests.support.samples.report_samples import report

STAYS, ONCE, OFTEN = FaultCourse
PROVED, VIOLATED, UNDECIDED = Outcome.PROVED, Outcome.VIOLATED, Outcome.UNDECIDED
OPEN = Fault(FaultKind.STUCK_OPEN, ("leftNO",))


# --- what settles what ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "known"),
    [
        ({OFTEN: PROVED}, (PROVED, PROVED, PROVED)),
        ({OFTEN: VIOLATED}, (None, None, VIOLATED)),
        ({OFTEN: UNDECIDED, STAYS: VIOLATED}, (VIOLATED, VIOLATED, VIOLATED)),
        ({OFTEN: VIOLATED, STAYS: PROVED}, (PROVED, None, VIOLATED)),
        ({OFTEN: VIOLATED, STAYS: PROVED, ONCE: PROVED}, (PROVED, PROVED, VIOLATED)),
        ({OFTEN: UNDECIDED, STAYS: UNDECIDED, ONCE: PROVED}, (PROVED, PROVED, UNDECIDED)),
        ({OFTEN: UNDECIDED, STAYS: UNDECIDED, ONCE: VIOLATED}, (UNDECIDED, VIOLATED, VIOLATED)),
        ({OFTEN: UNDECIDED, STAYS: PROVED}, (PROVED, None, UNDECIDED)),
    ],
)
def test_a_proof_settles_what_is_narrower_and_a_run_what_is_wider(
    tmp_path: Path, asked: dict[FaultCourse, Outcome], known: tuple[Outcome | None, ...]
) -> None:
    requirement = analysis(tmp_path, SINGLE_SPEC).sound.requirements[0]
    verdicts = {course: Verdict(requirement, outcome) for course, outcome in asked.items()}
    found = [answer_of(course, verdicts) for course in FaultCourse]
    assert tuple(each and each.outcome for each in found) == known


def test_the_run_of_another_course_is_not_shown_as_its_own(tmp_path: Path) -> None:
    requirement = analysis(tmp_path, SINGLE_SPEC).sound.requirements[0]
    stays = Verdict(requirement, VIOLATED, seen="go becomes TRUE")
    assert answer_of(STAYS, {STAYS: stays}) is stays
    for course in (ONCE, OFTEN):
        found = answer_of(course, {STAYS: stays, OFTEN: Verdict(requirement, UNDECIDED)})
        assert found == Verdict(requirement, VIOLATED)


# --- the contacts' supply dips --------------------------------------------------------------------


def under(spec: str, fault: str, requirement: str) -> Outcome:
    (analysed,) = load_fault_analyses(GALLERY / f"{spec}.spec")
    asked = analysed.with_one_question(fault, requirement)
    return check(asked, Options(processes=1, needless=False)).verdicts[0].outcome


@pytest.mark.long
@pytest.mark.parametrize("requirement", ["release_both", "power_up"])
def test_single_contacts_lose_a_release_to_a_dip_of_their_supply(requirement: str) -> None:
    """Without voltage every contact reads as that of a hand that is off: it arms. While it stays
    lost nothing starts."""
    block = "lid_press_single_contacts"
    assert under(block, "supply-lost-for-a-time", requirement) is VIOLATED
    assert under(block, "supply-lost", requirement) is PROVED


@pytest.mark.long
@pytest.mark.parametrize("requirement", ["release_both", "power_up"])
def test_antivalent_contacts_do_not(requirement: str) -> None:
    """Neither contact of a hand conducts: it is seen neither on nor off."""
    assert under("lid_press_antivalent", "supply-lost-again-and-again", requirement) is PROVED


@pytest.mark.long
@pytest.mark.parametrize(
    ("block", "outcome"), [("single_contacts", VIOLATED), ("antivalent", PROVED)]
)
def test_an_output_that_feeds_a_single_contact_holds_itself(block: str, outcome: Outcome) -> None:
    """The opening contact of the hand that was let go conducts as well, and is believed."""
    fault = "leftNO-stroke-output-short"
    assert under(f"lid_press_{block}", fault, "both_hands") is outcome


@pytest.mark.long
def test_nothing_else_of_antivalent_contacts_is_lost_by_a_fault_that_ends() -> None:
    options = Options(processes=2)
    (single,), (pair,) = (
        load_fault_analyses(GALLERY / f"lid_press_{name}.spec")
        for name in ("single_contacts", "antivalent")
    )
    with open_pool(options) as pool:
        lost, kept = (
            check_faults(a, options, lambda *_: None, pool, False) for a in (single, pair)
        )
    assert [row.identifier for row in lost.rows if row.differing] == [
        "leftNO-stuck-open",
        "rightNO-stuck-open",
        "supply-lost",
    ]
    for row in kept.rows:
        assert row.differing == ()
        for ending in row.ending:
            assert {cell.standing for cell in ending.cells} == {Standing.PROVED}
            assert "available" not in {cell.requirement.identifier for cell in ending.cells}
    assert fault_code(kept) is ExitCode.ALL_PROVED
    read = {each.name: each for each in faults_result([lost]).specs[0].single}
    dip, often = read["supply-lost"].ending
    assert (dip.faults[0].course, often.faults[0].course) == (ONCE, OFTEN)
    runs = {each.requirement: each.run for each in dip.answers}
    assert runs["release_both"] is not None
    assert runs["both_hands"] is None


LATE = """
FUNCTION_BLOCK Late
VAR_INPUT leftNO, leftNC, rightNO : BOOL; END_VAR
VAR_OUTPUT go, alarm : BOOL; END_VAR
VAR was, told : BOOL; END_VAR
go := told AND leftNO AND rightNO;
told := alarm;
alarm := was;
was := was OR leftNO = leftNC;
END_FUNCTION_BLOCK
"""


@pytest.mark.long
@pytest.mark.parametrize("fault", ["leftNO-stuck-closed", "leftNO-stuck-closed-for-a-time"])
def test_an_alarm_notices_a_fault_that_is_over_by_then(tmp_path: Path, fault: str) -> None:
    """Nothing goes on before the alarm was told, a scan after the contacts disagreed."""
    (tmp_path / "late.st").write_text(LATE, encoding="utf-8")
    path = tmp_path / "late.spec"
    path.write_text(
        "SPEC Late SOURCE 'late.st'; SCAN T#10ms; HAND l = leftNO, NOT leftNC; HAND r = rightNO;"
        "OUTPUT go; NOTICE alarm; REQUIRE TWO_HAND LOGIC TYPE I; END_SPEC\n",
        encoding="utf-8",
    )
    asked = load_fault_analyses(path)[0].with_one_question(fault, "noticed")
    assert check(asked, Options(processes=1, needless=False)).verdicts[0].outcome is PROVED


DISAGREEING = """
FUNCTION_BLOCK Counts
VAR_INPUT leftNO, leftNC : BOOL; END_VAR
VAR_OUTPUT go : BOOL; END_VAR
VAR was : BOOL; n, zero : INT; END_VAR
go := leftNO AND NOT leftNC;
IF leftNO <> leftNC AND was THEN n := LIMIT(0, n + 1, 2); END_IF;
was := leftNO = leftNC;
IF n >= {} THEN n := n / zero; END_IF;
END_FUNCTION_BLOCK
"""


@pytest.mark.long
@pytest.mark.parametrize(
    ("times", "happens"), [(1, (False, True, True)), (2, (False, False, True))]
)
def test_a_finding_may_need_that_a_fault_ends_or_comes_back(
    tmp_path: Path, times: int, happens: tuple[bool, bool, bool]
) -> None:
    """It divides by zero once contacts that have disagreed without their supply agree again."""
    (tmp_path / "counts.st").write_text(DISAGREEING.format(times), encoding="utf-8")
    path = tmp_path / "counts.spec"
    path.write_text(
        "SPEC Counts SOURCE 'counts.st'; SCAN T#10ms; HAND l = leftNO, NOT leftNC; OUTPUT go;"
        "PROPERTY p : go -> l; END_SPEC\n",
        encoding="utf-8",
    )
    (of,) = load_fault_analyses(path)
    lost = tuple(each for each in of.faults if each.kind is not FaultKind.SUPPLY_LOST)
    options = Options(processes=1)
    with open_pool(options) as pool:
        found = check_faults(replace(of, excluded=lost), options, lambda *_: None, pool, False)
    (row,) = found.rows
    assert tuple(bool(each.findings) for each in (row, *row.ending)) == happens
    assert fault_code(found) is ExitCode.VIOLATED
    course = row.ending[happens.index(True) - 1].title
    assert f"{course}: division by zero can happen" in " ".join(text_of(found).split())


# --- what is told ---------------------------------------------------------------------------------


def row(
    of: FaultAnalysis,
    standings: tuple[Standing, Standing, Standing],
    noticed: tuple[Outcome, Outcome, Outcome] = (PROVED, PROVED, PROVED),
) -> FaultRow:
    """The row of a contact that is stuck open, with its first requirement's standings."""
    requirement = of.sound.requirements[0]
    rows = []
    for course, standing, seen in zip(FaultCourse, standings, noticed, strict=True):
        told = Verdict(requirement, PROVED, seen=f"seen {course.value}")
        after = Verdict(requirement, seen)
        cells = (Cell(requirement, standing, told),)
        rows.append(FaultRow((OPEN.as_it(course),), of.sound, cells, None, after, after))
    return replace(rows[0], ending=tuple(rows[1:]))


def table(of: FaultAnalysis, *rows: FaultRow) -> FaultTable:
    verdicts = tuple(Verdict(r, PROVED) for r in of.sound.requirements)
    sound = replace(report(), specification=of.sound, verdicts=verdicts)
    return FaultTable(of, sound, rows)


def text_of(shown: FaultTable) -> str:
    return "\n".join(fault_lines(shown, Terminal()))


def test_a_row_for_a_fault_that_ends_is_there_where_it_says_something_else(
    tmp_path: Path,
) -> None:
    of = analysis(tmp_path, PAIR_SPEC)
    kept, lost = Standing.PROVED, Standing.VIOLATED
    for standings in product((kept, lost), repeat=3):
        shown = text_of(table(of, row(of, standings))).splitlines()
        stays, once, often = standings
        assert any(line.strip().startswith("for a time  ") for line in shown) is (stays != once)
        again = any(line.strip().startswith("again and again  ") for line in shown)
        assert again is (once != often)
        assert any("Such a row is there" in line for line in shown) is (len(set(standings)) > 1)
    told = " ".join(text_of(table(of, row(of, (kept, lost, lost)))).split())
    assert "leftNO stuck open for a time: seen for a time" in told
    assert "--trace leftNO-stuck-open-for-a-time both_hands" in told
    assert "a fault prevents the stop (both_hands): 1 of 1: leftNO stuck open for a time" in told
    assert "leftNO stuck open again and again: seen" not in told, "what it costs was told"


@pytest.mark.parametrize(
    ("noticed", "word"),
    [
        ((PROVED, PROVED, PROVED), "yes"),
        ((PROVED, VIOLATED, VIOLATED), "till it ends"),
        ((PROVED, PROVED, VIOLATED), "till it ends"),
        ((PROVED, UNDECIDED, UNDECIDED), "yes, end undecided"),
        ((VIOLATED, VIOLATED, VIOLATED), "no"),
    ],
)
def test_whether_the_end_clears_what_was_noticed(
    tmp_path: Path, noticed: tuple[Outcome, Outcome, Outcome], word: str
) -> None:
    of = analysis(tmp_path, PAIR_SPEC)
    text = text_of(table(of, row(of, (Standing.PROVED,) * 3, noticed)))
    (line,) = (each for each in text.splitlines() if each.startswith("  leftNO stuck open  "))
    assert line.split("  ")[-1].strip() == word
    assert ("till it ends: yes while the fault stays" in text) is (word == "till it ends")


@pytest.mark.parametrize(
    ("standings", "code"),
    [
        ((Standing.PROVED,) * 3, ExitCode.ALL_PROVED),
        ((Standing.PROVED, Standing.VIOLATED, Standing.VIOLATED), ExitCode.VIOLATED),
        ((Standing.PROVED, Standing.PROVED, Standing.VIOLATED), ExitCode.VIOLATED),
        ((Standing.PROVED, Standing.PROVED, Standing.UNDECIDED), ExitCode.UNDECIDED),
        ((Standing.PROVED, Standing.LOST_ALLOWED, Standing.LOST_ALLOWED), ExitCode.ALL_PROVED),
    ],
)
def test_what_a_fault_costs_only_where_it_ends_counts(
    tmp_path: Path, standings: tuple[Standing, Standing, Standing], code: ExitCode
) -> None:
    of = analysis(tmp_path, PAIR_SPEC)
    shown = table(of, row(of, standings))
    assert fault_code(shown) is code
    more = {Standing.VIOLATED, Standing.LOST_ALLOWED} & set(standings)
    assert ("1 cost more if they end" in conclusion(shown)) is bool(more)
    assert ("something is undecided" in conclusion(shown)) is (Standing.UNDECIDED in standings)
    beside = "\n".join(comparison_lines([shown, shown], Terminal()))
    assert f"costs more if it ends  {'1' if more else 'none'} of 1" in beside


def test_the_document_has_each_course_of_a_fault(tmp_path: Path) -> None:
    of = analysis(tmp_path, PAIR_SPEC)
    standings = (Standing.PROVED, Standing.PROVED, Standing.VIOLATED)
    found = faults_result([table(of, row(of, standings, (PROVED, VIOLATED, VIOLATED)))])
    (spec,) = plain_fields(found)["specs"]
    (written,) = spec["single"]
    (fault,) = written["faults"]
    assert (fault["kind"], fault["at"], fault["course"]) == ("stuck open", ["leftNO"], "stays")
    assert (written["off_after"], written["noticed"]) == ("PROVED", "PROVED"), "of one that stays"
    assert [
        (
            each["name"],
            each["faults"][0]["course"],
            {a["requirement"]: a["standing"] for a in each["answers"]}["both_hands"],
            each["noticed"],
        )
        for each in written["ending"]
    ] == [
        ("leftNO-stuck-open-for-a-time", "for a time", "proved", "VIOLATED"),
        ("leftNO-stuck-open-again-and-again", "again and again", "violated", "VIOLATED"),
    ]


# --- names ----------------------------------------------------------------------------------------


def test_the_course_is_part_of_a_faults_name(tmp_path: Path) -> None:
    of = analysis(tmp_path, SINGLE_SPEC)
    for course in FaultCourse:
        for fault in of.faults:
            asked = of.with_one_question(fault.as_it(course).identifier.upper(), "both_hands")
            assert asked.assumed_faults is not None
            assert asked.assumed_faults.faults == (fault.as_it(course),)
    names = {fault.as_it(course).identifier for fault in of.faults for course in FaultCourse}
    assert len(names) == 3 * len(of.faults)
    assert OPEN.as_it(ONCE).title == "leftNO stuck open for a time"


@pytest.mark.parametrize("name", ["supply-lost-for-a-time", "leftNO-stuck-open-again-and-again"])
def test_only_faults_that_stay_are_combined_or_left_out(tmp_path: Path, name: str) -> None:
    of = analysis(tmp_path, SINGLE_SPEC)
    with pytest.raises(InputError):
        of.with_one_question(f"rightNO-stuck-open+{name}", "both_hands")
    with pytest.raises(InputError):
        of.without([name])
