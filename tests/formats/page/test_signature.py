"""A page may be signed only where nothing is open, accepted without a reason, or guessed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from twohand.analyses.check.record import CheckedSpec, NeverOn
from twohand.evidence.verdict import FindingVerdict, Outcome
from twohand.formats.page.signature import MEANING, reasons_against
from twohand.record.message import FilePlace, Message
from twohand.record.spec import AcceptedWarning
from twohand.report.exit_code import PRIORITY, ExitCode
from twohand.specification.model.specification import Expectation
from twohand.text.diagnostic import Severity

from tests.formats.page.pages import OPTIONS, answered, below, checked, page, text_of
from tests.support.samples.report_samples import (
    OVERFLOW,
    proved,
    reachable,
    report,
    undecided,
    violated,
)

WHOLE = checked(proved())
WIDE = Message("window-too-wide", "the window is 2 s", Severity.WARNING, place=FilePlace("p.spec"))


def wide(reason: str) -> CheckedSpec:
    spec = replace(WHOLE.spec, accepted=(AcceptedWarning(WIDE, reason),))
    return replace(WHOLE, spec=spec)


def warned(code: str) -> CheckedSpec:
    return replace(WHOLE, warnings=(Message(code, "said", Severity.WARNING),))


def test_a_page_on_which_everything_is_proved_has_lines_to_sign() -> None:
    found = page(answered(WHOLE))
    (signed,) = below(found, "table", class_="sign")
    assert [text_of(each) for each in below(signed, "th")] == ["Name", "Date", "Signature"]
    text = text_of(found)
    assert "NOT COMPLETE" not in text
    for meant in MEANING:
        assert meant in text


@pytest.mark.parametrize(
    ("specs", "reason"),
    [
        ((checked(proved(), violated()),), "Press: VIOLATED: start_window"),
        ((checked(violated(Expectation.VIOLATED)),), "Press: VIOLATED: start_window"),
        ((checked(reachable(Outcome.VACUOUS)),), "Press: VACUOUS: can_run"),
        ((WHOLE, checked(undecided())), "Press: UNDECIDED: window_missed"),
        ((checked(proved(reason="cut")),), "open whether what it speaks of can happen: both_hands"),
        ((checked(),), "Press: nothing was asked"),
        ((checked(proved(), doubt="they may contradict"),), "open: they may contradict"),
        (
            (checked(proved(), findings=(FindingVerdict(OVERFLOW, Outcome.UNDECIDED),)),),
            "overflow is not excluded (press.st:6)",
        ),
        ((replace(WHOLE, never_on=(NeverOn("stroke", ()),)),), "never on: stroke"),
        (
            (replace(WHOLE, spec=replace(WHOLE.spec, wide=(WIDE,))),),
            "not accepted: the window is 2 s",
        ),
        ((wide(" - "),), "accepted without a reason: the window is 2 s"),
        ((warned("output-undecided"),), "open: said"),
        ((warned("hands-undecided"),), "open: said"),
        ((warned("scan-not-of-task"),), "open: said"),
    ],
)  # fmt: skip
def test_a_page_with_something_open_has_no_lines_and_says_why(
    specs: tuple[CheckedSpec, ...], reason: str
) -> None:
    found = page(answered(*specs))
    assert not [*below(found, "table", class_="sign")]
    (box, *_) = below(found, "div", class_="box")
    assert text_of(box).startswith("NOT COMPLETE")
    assert reason in text_of(box)


def test_what_is_accepted_with_a_reason_and_what_is_only_said_can_be_signed() -> None:
    assert reasons_against(answered(wide("the press has a slow slide"))) == ()
    assert reasons_against(answered(warned("needless-assumption"))) == ()


def test_what_could_not_be_read_leaves_a_page_open() -> None:
    broken = Message("no-such-file", "there is no such file", Severity.ERROR, place=FilePlace("b"))
    reasons = reasons_against(answered(WHOLE, problems=[broken]))
    assert reasons == ("not usable: b: there is no such file",)


@pytest.mark.parametrize("code", [each for each in PRIORITY if each is not ExitCode.ALL_PROVED])
def test_a_command_that_does_not_pass_leaves_a_page_open(code: ExitCode) -> None:
    assert reasons_against(answered(WHOLE, code=code))
    assert reasons_against(answered(replace(WHOLE, exit_code=code), code=ExitCode.ALL_PROVED))


def test_a_violation_that_was_expected_can_not_be_signed() -> None:
    expected = answered(checked(violated(Expectation.VIOLATED)), code=ExitCode.ALL_PROVED)
    assert reasons_against(replace(expected, options=replace(OPTIONS, as_expected=True)))


def test_many_of_a_kind_are_counted() -> None:
    verdict = violated()
    many = [
        replace(verdict, requirement=replace(verdict.requirement, identifier=f"r{n}"))
        for n in range(12)
    ]
    (reason,) = reasons_against(answered(checked(*many)))
    assert reason == "Press: VIOLATED: r0, r1, r2, r3, r4, r5, r6, r7 and 4 more"
    assert report(*many).verdicts
