"""What a verdict rests on, and what it does not say, stands beside it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from twohand.analyses.check.exit_code import report_code
from twohand.analyses.check.gallery_text import counts, showcase_lines, table_row, unexpected
from twohand.evidence.verdict import FindingVerdict, LagMeasure, Outcome, Report, Verdict
from twohand.report import cautions
from twohand.report.cautions import (
    below_heading,
    brief_caution,
    caution_lines,
    caution_texts,
    gallery_caution,
)
from twohand.report.concise import concise_lines
from twohand.report.drawing.terminal import Terminal
from twohand.report.exit_code import ExitCode, worst
from twohand.report.summary import lag_sentence, report_lines, specification_lines, total_line
from twohand.report.verdict_line import verdict_lines
from twohand.scan.clocking import Readings
from twohand.scan.finding import Finding, FindingKind
from twohand.specification.model.specification import Aim, Expectation
from twohand.text.diagnostic import Diagnostic, Severity
from twohand.text.manual import manual_pages

from tests.support.samples.report_samples import (
    CERTIFICATE,
    GUARD,
    PROGRAM_SOURCE,
    STROKE_LINE,
    late_start,
    place,
    proved,
    report,
    requirement,
    specification,
    undecided,
    violated,
)

WIDE = Terminal(100)
NORMAL = Terminal(80)
POWER = replace(GUARD, name="power.on")
OVERFLOW = Finding(FindingKind.OVERFLOW, place(PROGRAM_SOURCE, "window.ET <= T#500ms"))


def lines_of(verdict: Verdict, **changes: object) -> list[str]:
    return verdict_lines(verdict, report(verdict, **changes), NORMAL)


def text_of(verdict: Verdict, **changes: object) -> str:
    return " ".join(" ".join(lines_of(verdict, **changes)).split())


def reachable(outcome: Outcome) -> Verdict:
    asked = requirement("can_run", "the output can turn on", aim=Aim.REACHABLE)
    witness = late_start() if outcome is Outcome.PROVED else None
    return Verdict(asked, outcome, None if witness else CERTIFICATE, witness=witness)


def test_a_proof_that_needs_no_invariant_has_no_heading_for_one() -> None:
    needless = replace(CERTIFICATE, clauses=())
    for certificate, headed in ((CERTIFICATE, True), (needless, False)):
        found = report(proved(certificate=certificate))
        shown = "\n".join(report_lines(found, WIDE, details=True))
        assert ("invariant, in every scan:" in shown) is headed


def test_a_proof_names_its_method_and_who_accepted_it() -> None:
    assert lines_of(proved()) == [
        "  PROVED       the output is on only while both hands are on (both_hands)",
        "               for all time: invariant of 2 clauses found by clauses over clock",
        "               predicates, accepted by cvc5 1.4.2 (0.15 s)",
    ]


def test_a_violation_that_was_not_expected_says_what_was() -> None:
    assert lines_of(violated()) == [
        "  VIOLATED     the output starts only if both hands came on within 490 ms",
        "               (start_window); NOT as expected (expected PROVED)",
        "               at 510 ms the output started, 500 ms after the first hand; at",
        "               most 490 ms is asked (0.02 s)",
    ]


def test_a_violation_of_which_no_expect_speaks_says_nothing_of_what_was_expected() -> None:
    verdict = violated()
    silent = replace(verdict, requirement=replace(verdict.requirement, stated=False))
    assert "expected" not in text_of(silent)
    assert "NOT as expected" not in total_line([report(silent)], 0, 1.0)
    assert "NOT as expected" in total_line([report(verdict)], 0, 1.0)


def test_what_is_reached_or_not_is_counted_by_its_own_word() -> None:
    found = report(*(reachable(each) for each in (Outcome.PROVED, Outcome.VACUOUS)), proved())
    assert "1 PROVED, 1 REACHABLE, 1 UNREACHABLE, " in total_line([found], 0, 1.0)
    (row, *_) = table_row("block", found, "", WIDE)
    assert "1 PROVED, 1 REACHABLE" in row


def test_an_expected_violation_says_so() -> None:
    assert "(start_window); as expected" in text_of(violated(Expectation.VIOLATED))


def test_a_proof_that_was_not_expected_says_so() -> None:
    verdict = proved()
    asked = replace(verdict.requirement, expected=Expectation.VIOLATED)
    text = text_of(replace(verdict, requirement=asked))
    assert "NOT as expected (expected VIOLATED)" in text


def test_an_undecided_verdict_says_how_far_what_stopped_it_and_what_to_try() -> None:
    assert lines_of(undecided())[2:] == [
        "               no violation in any run of up to 7 events nor in the first 40",
        "               scans (400 ms), and no proof",
        "               stopped by: the time limit of 60 s for one requirement",
        "               try more effort (--effort), more memory (--memory) or the",
        "               readings of your platform (READING in the spec)",
    ]


def test_an_undecided_verdict_without_any_depth_says_that() -> None:
    verdict = replace(undecided(), events=0, scans=0)
    assert "no violation found, no depth completed" in text_of(verdict)


def test_a_scan_range_bounds_the_time_that_was_searched() -> None:
    text = text_of(undecided(), specification=specification(5, 20))
    assert "the first 40 scans (200 ms to 800 ms)" in text
    assert "one fixed SCAN time" in text


def test_a_vacuous_verdict_says_that_it_says_nothing() -> None:
    text = text_of(replace(proved(), outcome=Outcome.VACUOUS))
    assert "VACUOUS" in text
    assert "says nothing: what it speaks of can never happen" in text


def test_a_reachable_requirement_has_words_of_its_own() -> None:
    assert text_of(reachable(Outcome.PROVED)) == (
        "REACHABLE the output can turn on (can_run) a replayed run reaches it in 52 scans"
    )
    assert "UNREACHABLE the output can turn on" in text_of(reachable(Outcome.VACUOUS))


def test_a_proof_beside_a_possible_finding_holds_only_until_then() -> None:
    found = FindingVerdict(OVERFLOW, Outcome.VIOLATED, late_start())
    text = text_of(proved(), findings=(found,))
    assert "only until one of the findings below happens" in text
    assert "only until" not in text_of(proved())


def test_the_reading_that_decides_stands_at_the_verdict() -> None:
    run = replace(late_start(), readings={"preset_latched": False}, reading_decides=True)
    text = text_of(violated(counterexample=run))
    assert "only where a timer reads PT at every call; proved under another reading" in text


def test_a_report_has_dead_outputs_findings_lags_and_warnings() -> None:
    found = FindingVerdict(OVERFLOW, Outcome.VIOLATED, late_start())
    warning = Diagnostic(
        "unused", "armed is never read", path="press.st", severity=Severity.WARNING
    )
    whole = report(
        proved(),
        findings=(found,),
        findings_excluded=1,
        never_on=("stroke",),
        lags=(LagMeasure("station", 490, 490, 500),),
        warnings=(warning,),
    )
    text = "\n".join(report_lines(whole, WIDE))
    assert "  NEVER ON     output stroke can never turn on" in text
    assert "  FINDING      overflow can happen at press.st:6" in text
    assert (
        "  EXCLUDED     no overflow, division by zero, index or loop beyond its bound at 1 place"
        in text
    )
    assert "press.st: warning: armed is never read [unused]" in text
    assert "press.st:6:34: overflow: can happen" in text
    assert "▲ here" in text
    assert "  LAG          widest lag that starts: 490 ms as sampled" in text


@pytest.mark.parametrize(
    ("measure", "sentence"),
    [
        (
            LagMeasure("s", 490, 490, 500),
            "widest lag that starts: 490 ms as sampled (replayed), true lags below 500 ms; "
            "proved that no wider one starts",
        ),
        (
            LagMeasure("s", 480, 490, 500),
            "a lag of 480 ms as sampled (replayed) starts; proved that none above 490 ms does, "
            "true lags below 500 ms",
        ),
        (
            LagMeasure("s", 480, None, None),
            "a lag of 480 ms as sampled (replayed) starts; no bound is proved, "
            "a wider one may start",
        ),
        (LagMeasure("s", None, None, None), "no start was seen, and no bound is proved"),
        (
            LagMeasure("s", None, 490, 500),
            "no start was seen; none has a lag above 490 ms (proved)",
        ),
    ],
)
def test_a_lag_says_what_is_replayed_and_what_is_proved(measure: LagMeasure, sentence: str) -> None:
    assert lag_sentence(measure, report()) == sentence


def test_a_brief_report_has_verdict_lines_only() -> None:
    lines = report_lines(report(proved(), violated()), NORMAL, brief=True)
    assert lines == [
        "Press  press.spec",
        "  block Press of press.st; scan 10 ms; time in units of 1 ms; hands left and",
        "  right; output stroke",
        "  PROVED       the output is on only while both hands are on (both_hands)",
        "  VIOLATED     the output starts only if both hands came on within 490 ms",
        "               (start_window); NOT as expected (expected PROVED)",
    ]


def test_details_have_the_clauses_of_the_invariant() -> None:
    text = "\n".join(report_lines(report(proved()), WIDE, details=True))
    assert "                 NOT armed OR age(window) <= 490 ms" in text
    assert "age(window)" not in "\n".join(report_lines(report(proved()), WIDE))


def test_a_report_that_asked_nothing_says_so() -> None:
    assert "  nothing to check: the spec states no requirement" in report_lines(report(), WIDE)


def test_the_cautions_name_all_that_the_model_leaves_out() -> None:
    text = " ".join(" ".join(caution_lines([specification(5, 20)], WIDE)).split())
    for words in (
        "input filters",
        "bus time",
        "output delay",
        "other tasks and interrupts",
        "forcing and online change",
        "overflow after 24.8 or 49.7 days",
        "wiring",
        "wear",
        "the compiler and the PLC execute the text as modelled",
        "surely seen only if it lasts longer than 20 ms",
        "truly takes less than k + 2 greatest scan times",
        "no performance level and no category",
        "does not replace validation at the machine",
        "Local codes and licensed practice decide",
    ):
        assert words in text


def test_the_cautions_tell_specs_of_different_scan_times_apart() -> None:
    slow = specification(5, 20, name="Slow")
    text = " ".join(" ".join(caution_lines([specification(), slow], WIDE)).split())
    assert "longer than the greatest scan time (10 ms: Press; 20 ms: Slow); what happens" in text
    assert text.count("surely seen") == 1
    assert "presses up to 20 ms may be missed" in brief_caution([specification(), slow])


def test_the_short_cautions_have_one_line_and_five() -> None:
    specifications = [specification(5, 20)] * 60
    assert len(WIDE.wrap(brief_caution(specifications))) == 1
    assert len(below_heading([gallery_caution(specifications)], WIDE)) == 5


def test_the_cautions_say_what_a_plant_is_taken_for() -> None:
    fed = specification(name="Fed", plants=("rod", "slide"))
    assert "taken for the machine" not in " ".join(caution_texts([specification()]))
    alone = " ".join(caution_texts([fed]))
    assert "Each of the plants rod and slide is taken for the machine" in alone
    both = " ".join(caution_texts([specification(), fed]))
    assert "Fed: Each of the plants rod and slide" in both


def test_every_caution_is_on_its_page_of_the_manual() -> None:
    page = " ".join(manual_pages()["cautions"].text.replace("\n> ", " ").split())
    texts = [
        *(cautions.LEFT_OUT, cautions.STEADY_POWER, cautions.POWER_CYCLES, cautions.REACTION),
        *(cautions.SOUND_CONTACTS, cautions.STILL_CONTACTS, cautions.ONLY_LOGIC),
        *(cautions.RIGHT_NAMES, cautions.BOUNCING.format(time="20 ms")),
        cautions.PLANTS.format(plants="The plant rod"),
        cautions.SEEN.format(longest="20 ms, the greatest scan time"),
    ]
    assert [text for text in texts if text not in page] == []


def test_the_cautions_say_what_contacts_are_taken_to_do() -> None:
    sound = " ".join(caution_texts([specification()]))
    assert "no fault of contacts, feedback or supply" in sound
    bouncing = " ".join(caution_texts([replace(specification(), bounce=15)]))
    assert "Contacts bounce for at most 15 ms" in bouncing
    assert "no fault of contacts" not in bouncing


def test_the_cautions_say_whether_a_loss_of_power_is_modelled_and_for_which_spec() -> None:
    cycled = specification(name="Cycled", power=POWER)
    steady = " ".join(" ".join(caution_lines([specification()], WIDE)).split())
    assert "A loss of power is not modelled" in steady
    assert "comes back between two scans" not in steady
    alone = " ".join(" ".join(caution_lines([cycled], WIDE)).split())
    assert "A loss of power is not modelled" not in alone
    assert "Power goes and comes back between two scans" in alone
    both = " ".join(" ".join(caution_lines([specification(), cycled], WIDE)).split())
    assert "Press: A loss of power is not modelled" in both
    assert "Cycled: Power goes and comes back between two scans" in both


def test_the_heading_says_where_power_cycles() -> None:
    whole = Report(specification(power=POWER), ())
    assert (
        specification_lines(whole.specification, WIDE)[-1].split("; ")[-1].strip() == "power cycles"
    )
    assert "power" not in " ".join(specification_lines(report().specification, WIDE))


def test_concise_lines_have_place_verdict_and_message() -> None:
    found = FindingVerdict(OVERFLOW, Outcome.UNDECIDED)
    whole = report(
        proved(),
        violated(Expectation.VIOLATED),
        undecided(),
        findings=(found,),
        never_on=("stroke",),
    )
    assert concise_lines(whole, WIDE) == [
        "press.spec:4:3: proved: the output is on only while both hands are on (both_hands)",
        "press.spec:4:3: violated: at 510 ms the output started, 500 ms after the first hand; "
        "at most 490 ms is asked (start_window); as expected",
        "press.spec:4:3: undecided: after a missed window nothing starts; stopped by: the time "
        "limit of 60 s for one requirement (window_missed); NOT as expected (expected PROVED)",
        "press.st:6:34: undecided: overflow is not excluded",
        "press.st:3:12: never-on: output stroke can never turn on",
    ]


def test_the_total_counts_outcomes_and_what_was_not_expected() -> None:
    whole = report(proved(), violated(), never_on=("stroke",))
    assert total_line([whole], 1, 1.2) == (
        "1 spec, 2 requirements: 1 PROVED, 1 VIOLATED, 1 output never on, 1 NOT as expected, "
        "1 input that cannot be used, 1.20 s"
    )


POSSIBLE = FindingVerdict(OVERFLOW, Outcome.VIOLATED, late_start())


@pytest.mark.parametrize(
    ("whole", "code"),
    [
        (report(proved()), ExitCode.ALL_PROVED),
        (report(proved(), violated()), ExitCode.VIOLATED),
        (report(proved(), violated(Expectation.VIOLATED)), ExitCode.VIOLATED),
        (report(undecided(), violated()), ExitCode.VIOLATED),
        (report(undecided(), proved()), ExitCode.UNDECIDED),
        (report(replace(proved(), outcome=Outcome.VACUOUS)), ExitCode.VIOLATED),
        (report(reachable(Outcome.VACUOUS)), ExitCode.VIOLATED),
        (report(reachable(Outcome.PROVED)), ExitCode.ALL_PROVED),
        (report(proved(), never_on=("stroke",)), ExitCode.VIOLATED),
        (report(proved(), findings=(POSSIBLE,)), ExitCode.VIOLATED),
        (
            report(proved(), findings=(replace(POSSIBLE, outcome=Outcome.UNDECIDED),)),
            ExitCode.UNDECIDED,
        ),
        (report(), ExitCode.UNUSABLE),
    ],
)
def test_a_report_has_the_code_of_its_worst_part(whole: Report, code: ExitCode) -> None:
    assert report_code(whole) is code


def test_exit_codes_have_their_order_of_weight() -> None:
    order = [130, 4, 2, 1, 3, 0]
    for place_in_order, code in enumerate(order):
        lighter = [ExitCode(other) for other in order[place_in_order:]]
        assert worst(reversed(lighter)) == code
    assert worst([]) == 2


def test_a_gallery_row_says_what_came_out_and_whether_it_was_expected() -> None:
    good = report(proved(), violated(Expectation.VIOLATED), seconds=0.85)
    assert table_row("late_press", good, "a window that never closes", WIDE) == [
        "late_press                          2  1 PROVED, 1 VIOLATED            yes        0.85 s",
        "    a window that never closes",
    ]
    bad = table_row("late_press", report(violated()), "", WIDE)
    assert "NO" in bad[0]
    assert bad[1] == "    not as expected: start_window"


def test_a_finding_is_a_surprise_in_a_spec_that_expects_only_proofs() -> None:
    assert unexpected(report(proved(), findings=(POSSIBLE,))) == ["overflow"]
    assert unexpected(report(proved(), never_on=("stroke",))) == ["stroke never on"]
    expected = violated(Expectation.VIOLATED)
    assert unexpected(report(expected, findings=(POSSIBLE,), never_on=("stroke",))) == []


def test_the_counts_of_a_row_leave_nothing_out() -> None:
    whole = report(proved(), undecided(), findings=(POSSIBLE,), never_on=("stroke",))
    assert counts(whole) == "1 PROVED, 1 UNDECIDED, 1 finding, never on"


def test_the_showcase_is_one_proof_with_clauses_and_one_counterexample() -> None:
    reports = [report(proved(), violated()), report(violated(Expectation.VIOLATED), violated())]
    text = "\n".join(showcase_lines(reports, WIDE))
    assert text.count("one proof in full") == text.count("one counterexample in full") == 1
    assert "NOT armed OR age(window) <= 490 ms" in text
    assert "▲ wrong" in text
    assert showcase_lines([report(undecided())], WIDE) == []


def test_every_line_of_a_report_fits_a_narrow_terminal() -> None:
    whole = report(proved(), violated(), undecided(), lags=(LagMeasure("s", 490, 490, 500),))
    narrow = Terminal(40, lines=False, encoding="ascii")
    lines = report_lines(whole, narrow) + caution_lines([whole.specification], narrow)
    pictures = [line for line in lines if not line.startswith("  6 |")]
    assert max(len(line) for line in pictures) <= 40
    assert "\n".join(lines).isascii()


def test_a_report_without_colour_has_no_escape_sequences() -> None:
    whole = report(proved(), violated(), undecided())
    assert "\x1b" not in "\n".join(report_lines(whole, WIDE))
    assert "\x1b" in "\n".join(report_lines(whole, replace(WIDE, color=True)))


def test_every_open_reading_has_words() -> None:
    from twohand.report.drawing.readings import WORDS

    assert {name for name, _ in WORDS} == set(Readings().open)
    assert len(WORDS) == 2 * len(Readings().open)


def test_the_samples_point_at_the_statement_that_acted() -> None:
    assert STROKE_LINE.line == 6
