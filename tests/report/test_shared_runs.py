"""A run to which several requirements fall is drawn once, with all that they speak of."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from twohand.analyses.check.record import checked_spec
from twohand.evidence.runs.same_runs import firsts_of_runs, is_same
from twohand.evidence.verdict import Counterexample, Verdict
from twohand.report.drawing.terminal import Terminal
from twohand.report.summary import report_lines
from twohand.specification.logic.formula import Always
from twohand.specification.model.specification import Requirement

from tests.support.samples.report_samples import (
    ARMED,
    REQUIRE,
    STROKE_LINE,
    atom,
    late_start,
    proved,
    report,
    violated,
)

WIDE = Terminal(100)
OTHER = Requirement("armed_first", "it starts only while armed", Always(atom(ARMED)), REQUIRE)


def second(run: Counterexample | None = None) -> Verdict:
    return replace(violated(), requirement=OTHER, counterexample=run or late_start())


def shown(*verdicts: Verdict, details: bool = False) -> str:
    return "\n".join(report_lines(report(*verdicts), WIDE, details=details))


def section(text: str, title: str) -> str:
    """What comes below a title that has a line of its own."""
    return text.split(f"\n{title}\n", 1)[1]


def later(run: Counterexample) -> Counterexample:
    last = run.records[-1]
    return replace(run, records=(*run.records[:-1], replace(last, time=last.time + 1)))


def with_other_value(run: Counterexample) -> Counterexample:
    last = replace(run.records[-1], values={**run.records[-1].values, "armed": True})
    return replace(run, records=(*run.records[:-1], last))


@pytest.mark.parametrize(
    "change",
    [
        later,
        with_other_value,
        lambda run: replace(run, records=run.records[1:]),
        lambda run: replace(run, due="510 ms"),
        lambda run: replace(run, readings={"edge_call_counts": True}),
        lambda run: replace(run, of_values={"edge_call_counts": True}),
    ],
)
def test_runs_with_another_scan_value_reading_or_end_are_two(
    change: Callable[[Counterexample], Counterexample],
) -> None:
    assert not is_same(late_start(), change(late_start()))
    assert firsts_of_runs([("one", late_start()), ("other", change(late_start()))]) == {}


def test_a_run_is_the_same_where_only_what_it_is_shown_for_differs() -> None:
    other = replace(late_start(), causes={}, reading_decides=True)
    assert is_same(late_start(), other)


def test_every_later_one_is_named_after_the_first() -> None:
    runs = [("a", late_start()), ("b", None), ("c", later(late_start())), ("d", late_start())]
    assert firsts_of_runs([*runs, ("e", later(late_start()))]) == {"d": "a", "e": "c"}


@pytest.mark.parametrize("details", [False, True])
def test_a_run_of_two_requirements_is_drawn_once(details: bool) -> None:
    text = shown(violated(), second(), details=details)
    assert text.count("wrong") == 1
    assert "the same run as for start_window" in section(text, "armed_first: VIOLATED")
    assert "the same run" not in section(text, "start_window: VIOLATED").split("armed_first")[0]


def test_the_run_that_is_drawn_shows_what_both_speak_of() -> None:
    alone = section(shown(violated()), "start_window: VIOLATED")
    assert not any(line.startswith("  armed  ") for line in alone.splitlines())
    causes = {"armed": STROKE_LINE}
    text = shown(violated(), second(replace(late_start(), causes=causes)))
    both = section(text, "start_window: VIOLATED").split("armed_first: VIOLATED")[0]
    assert any(line.startswith("  armed  ") for line in both.splitlines())
    assert "this set stroke TRUE, armed FALSE" in both


def test_two_runs_are_both_drawn() -> None:
    text = shown(violated(), second(later(late_start())))
    assert text.count("wrong") == 2
    assert "the same run" not in text


def test_what_decides_is_said_of_each_requirement() -> None:
    run = replace(late_start(), readings={"edge_call_counts": True})
    decided = replace(run, reading_decides=True)
    text = shown(replace(violated(), counterexample=run), second(decided))
    assert "only where a timer's edge call" in section(text, "armed_first: VIOLATED")


def test_runs_that_reach_what_is_spoken_of_are_drawn_once_in_details() -> None:
    verdicts = [proved(name, witness=late_start()) for name in ("one", "two")]
    text = shown(*verdicts, details=True)
    assert text.count("reached") == 1
    assert "the same run as for one" in section(text, "two: a run that reaches what it speaks of")


def test_a_witness_is_not_said_to_be_the_run_of_a_violation() -> None:
    text = shown(violated(), proved("one", witness=late_start()), details=True)
    assert "the same run" not in text


def test_answers_keep_every_run_and_name_the_first_one() -> None:
    found = checked_spec(report(violated(), second(), proved()))
    assert [each.same_run_as for each in found.requirements] == ["", "start_window", ""]
    first, other, _ = found.requirements
    assert first.run is not None
    assert other.run is not None
    assert first.run.steps == other.run.steps
