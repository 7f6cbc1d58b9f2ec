"""What the analyses make of the checks' answers: reports, lags and figures."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "evidence"
VERDICTS = "analyses/check/test_check_verdicts.py"
BEYOND = ("analyses/check/test_beyond_findings.py",)
MEASURED = (
    "analyses/measure/test_measure.py::test_what_came_before_power_up_did_so_for_as_long_as_nobody_knows",
    "analyses/measure/test_measure.py::test_a_stop_condition_of_the_block_is_as_old_as_the_run",
)
DOUBT = ("evidence/test_doubted_assumptions.py",)
KINDS = ("analyses/check/test_another_kind.py",)
LATE = ("analyses/check/test_late_calls.py",)
EFFORT = "analyses/inspect/test_inspect_effort.py"
CAUSES = "analyses/inspect/test_unset_causes.py"
CALLS = ("analyses/check/test_left_out_calls.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "analyses/check/check.py",
        DOUBT,
        Change(
            "doubted proofs count",
            "        findings_excluded=0,\n        never_on=(),",
            "        never_on=(),",
            (
                "evidence/test_doubted_assumptions.py",
                f"{VERDICTS}::"
                "test_nothing_is_proved_where_the_assumptions_may_contradict_each_other",
            ),
        ),
        Change(
            "a doubted bound of a lag counts",
            "lags=tuple(replace(lag, bound=None) for lag in report.lags),\n        warnings=(*report.warnings, assumptions.warning),",
            "lags=report.lags,\n        warnings=(*report.warnings, assumptions.warning),",
            (
                "evidence/test_doubted_assumptions.py",
                f"{VERDICTS}::"
                "test_nothing_is_proved_where_the_assumptions_may_contradict_each_other",
            ),
        ),
        Change(
            "what is proved under a doubt is proved",
            "return replace(verdict, outcome=Outcome.UNDECIDED, certificate=None, reason=doubt)",
            "return verdict",
            (
                f"{VERDICTS}::"
                "test_nothing_is_proved_where_the_assumptions_may_contradict_each_other",
                *DOUBT,
            ),
        ),
        Change(
            "a reading decides under a doubt",
            "    if run is not None and run.reading_decides:",
            "    if run is not None and run.causes is None:",
        ),
        Change(
            "the block itself is asked as if it wrapped",
            "replace(spec.readings, integers_wrap=True)",
            "replace(spec.readings, integers_wrap=False)",
            BEYOND,
        ),
        Change(
            "what would wrap is asked of any block",
            "if options.beyond and not report.doubt and _may_overflow(report):",
            "if options.beyond and not report.doubt:",
            BEYOND,
        ),
        Change(
            "the doubt is not in the report",
            "        doubt=assumptions.doubt,\n    )",
            "    )",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/check/lag.py",
        (
            f"{VERDICTS}::test_the_widest_lag_is_reached_and_proved",
            "analyses/check/test_lag_until_a_finding.py",
            f"{VERDICTS}::test_a_lag_beyond_the_window_has_a_run_and_no_bound",
            "evidence/test_lying_engine.py::test_a_wrong_widest_lag_is_noticed_or_no_bound",
        ),
        Change(
            "a true lag is no longer than the sampled one",
            "true = Units(self._bound + self._case.specification.clocking.longest)",
            "true = self._bound",
        ),
        Change(
            "a true lag is below what was seen, proved or not",
            "        if self._reached is not None and self._bound is not None:\n            true = Units(self._bound",
            "        if self._reached is not None:\n            true = Units(self._reached",
        ),
        Change(
            "a lag that does not replay counts",
            "if result.widest is None or lag != ticks_in_units(result.widest, tick):",
            "if result.widest is None:",
        ),
        Change(
            "a lag after a finding counts",
            "if whole and any(self._cut_by_finding(run) for run in runs):",
            "if whole and not runs and self._reached:",
        ),
        Change(
            "a bound is in ticks",
            "self._bound = ticks_in_units(result.bound or Ticks(0), tick)",
            "self._bound = Units(result.bound or 0)",
        ),
    ),
    *mutants(
        "analyses/measure",
        "analyses/measure/figures.py",
        MEASURED,
        Change(
            "what came before power-up came in the first scan",
            "if self._older(cause):",
            "if False and self._older(cause):",
        ),
        Change(
            "what the block sets may have come before power-up",
            "if self._older(cause):",
            "if True or self._older(cause):",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/check/left_out_calls.py",
        CALLS,
        Change(
            "calls are made in one way only",
            "in further_calls(self._spec.program, instance):",
            "in further_calls(self._spec.program, instance)[:1]:",
        ),
        Change(
            "scans that call it are counted",
            "sum(bool(record.values.get(marked.name)) for record in records)",
            "len(records)",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/calls/further_calls.py",
        CALLS,
        Change(
            "a call is added in every scan",
            "yield when(self.skipped(self._instance), call)",
            "yield call",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/check/another_kind.py",
        KINDS,
        Change(
            "the other values of a run are not asked for",
            "for number in range(2):",
            "for number in range(1):",
        ),
        Change(
            "a place is a place of another variable",
            "if marked is not None:",
            "if marked is None and not records:",
        ),
        Change(
            "what was before is no trait",
            "_both(_as(atom, now), _as(asking.Previous(atom), before))",
            "_as(atom, now)",
        ),
        Change(
            "an unanswered trigger of another kind is asked for behind its bound",
            "position = missing.begin",
            "position = len(records) - 1",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/check/late_calls.py",
        LATE,
        Change(
            "an instance that is called twice is moved",
            "times[_instance(call)] == 1",
            "times[_instance(call)] >= 1",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/check/variant_proof.py",
        (*LATE, *CALLS),
        Change(
            "a call is a cause where with it nothing happens",
            "return answer.outcome is Outcome.PROVED and",
            "return answer.outcome in (Outcome.PROVED, Outcome.VACUOUS) and",
        ),
        Change(
            "a call is a cause where one run is mended",
            "return answer.outcome is Outcome.PROVED and",
            "return",
        ),
        Change(
            "what is proved until a finding is proved",
            " and not case.seen_findings",
            "",
        ),
    ),
    *mutants(
        "analyses/measure",
        "analyses/measure/safety_distance.py",
        ("analyses/measure/test_distance.py",),
        Change(
            "the smaller distance of two editions is the result",
            "chosen = edition or max(found",
            "chosen = edition or min(found",
        ),
        Change(
            "the edition that is stated is not chosen",
            "chosen = edition or max(found",
            "chosen = max(found",
        ),
        Change(
            "where encroachment is prevented there is no least distance",
            "return (_iso_13855(years, seconds, 0, reach, LEAST_DISTANCE_MM),)",
            "return (_iso_13855(years, seconds, 0, reach),)",
        ),
        Change(
            "a factor is rounded",
            "if (value * NANOSECONDS_PER_SECOND).denominator != 1:",
            "if value < 0:",
        ),
        Change(
            "the least distance is the result",
            "max(self.calculated, Fraction(self.least))",
            "Fraction(self.least)",
        ),
        Change(
            "rounded down",
            "divmod(-(-value.numerator * scale // value.denominator), scale)",
            "divmod(value.numerator * scale // value.denominator, scale)",
        ),
        Change(
            "the step from one engaging point to the next is left out",
            "(Fraction(1, 2) + Fraction(1, clutch.points))",
            "(Fraction(1, 2) + Fraction(0, clutch.points))",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/inspect/answers.py",
        (f"{EFFORT}::test_all_questions_together_keep_to_the_effort_of_a_unit",),
        Change(
            "each question takes what it may by itself",
            "share = min(self.each, self.left / questions)",
            "share = self.each",
        ),
        Change(
            "what was searched is not counted",
            "        self._ledger.spend(asked.effort)\n",
            "",
            (f"{EFFORT}::test_what_one_question_took_is_not_there_for_the_next",),
        ),
        Change(
            "a run may be as long as it is",
            "affordable = scans * SCAN <= self.left",
            "affordable = True",
            (
                f"{EFFORT}::"
                "test_a_run_that_is_too_long_for_the_effort_leaves_its_point_undecided_with_its_length",
            ),
        ),
        Change(
            "a run that is not drawn is believed",
            "            if self._holds(question, last):",
            "            if not self._holds(question, last) or True:",
            (
                f"{EFFORT}::"
                "test_a_run_of_an_engine_counts_only_where_it_reaches_what_was_asked_by_execution",
            ),
        ),
    ),
    *mutants(
        ROOM,
        "analyses/inspect/units.py",
        (
            "report/test_exit_code_table.py::"
            "test_a_folder_answers_by_its_units_and_a_refused_one_is_open_unless_it_was_named",
        ),
        Change(
            "a refused unit is no matter",
            "return worst([*codes, *(ExitCode.UNDECIDED for _ in refused)])",
            "return worst(codes)",
        ),
        Change(
            "a unit that was named may be refused",
            "if not codes or any(each.named for each in refused):",
            "if not codes:",
        ),
        Change(
            "nothing was inspected and all is well",
            "if not codes or any(each.named for each in refused):",
            "if any(each.named for each in refused):",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/inspect/subject.py",
        (
            "analyses/inspect/test_inspect_units.py::"
            "test_every_unit_is_listed_once_and_what_only_refused_units_have_is_inspected",
        ),
        Change(
            "what only a refused unit has is left out",
            "away = {unit.name for unit in refused}",
            "away: set[str] = set()",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/inspect/check.py",
        (f"{CAUSES}::test_what_stays_without_those_values_is_not_said_to_hang_on_them",),
        Change(
            "whatever is a fault hangs on what nothing writes",
            "if place_of(each.point.span) not in left)",
            "if place_of(each.point.span) not in ())",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/inspect/kinds/unset_variables.py",
        (f"{CAUSES}::test_faults_that_hang_on_what_nothing_writes_have_one_cause",),
        Change(
            "what is read anywhere is a cause",
            "return [variable for variable in variables if variable in reached]",
            "return [*variables]",
        ),
        Change(
            "what is read before a place leaves is none",
            "                self._leaving |= read\n",
            "                pass\n",
            (f"{CAUSES}::test_what_decides_whether_the_block_is_left_acts_on_all_behind_it",),
        ),
    ),
    *mutants(
        ROOM,
        "analyses/inspect/kinds/unused_variables.py",
        (f"{CAUSES}::test_faults_that_hang_on_what_nothing_writes_have_one_cause",),
        Change(
            "a constant that somebody chose is a cause",
            "if found.read and not found.written and not any(v.initial for v in found.variables):",
            "if found.read and not found.written:",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/checks/finding.py",
        (f"{EFFORT}::test_all_places_of_findings_together_keep_to_the_effort_of_a_unit",),
        Change(
            "each place takes what it may by itself",
            "effort = min(effort, self._single / len(self._all))",
            "effort = min(effort, self._single)",
        ),
    ),
)
