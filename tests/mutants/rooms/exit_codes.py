"""What is answered to the shell, and what became of a requirement under a fault."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "exit codes"
TABLE = "report/test_exit_code_table.py"
CODES = (
    "report/test_report_summary.py::test_a_report_has_the_code_of_its_worst_part",
    "report/test_report_summary.py::test_exit_codes_have_their_order_of_weight",
    TABLE,
)
COMPLETION = ("evidence/checks/test_completion.py",)
TOLERANCES = ("specification/test_tolerances.py",)
DEPENDENCIES = (
    "report/test_coverage.py",
    "agreement/test_dependencies_against_executor.py",
)
FAULTS = ("analyses/faults/test_fault_judgement.py", TABLE)
ENDING_FILE = "analyses/faults/test_faults_that_end.py"
COURSES = (
    f"{ENDING_FILE}::test_a_proof_settles_what_is_narrower_and_a_run_what_is_wider",
    f"{ENDING_FILE}::test_the_run_of_another_course_is_not_shown_as_its_own",
)
ENDING = (
    f"{ENDING_FILE}::test_what_a_fault_costs_only_where_it_ends_counts",
    f"{ENDING_FILE}::test_a_row_for_a_fault_that_ends_is_there_where_it_says_something_else",
)
JUDGEMENT = (
    "analyses/faults/test_standings.py",
    f"{TABLE}::test_one_question_under_a_fault_answers_for_itself",
)

MUTANTS = (
    *mutants(
        ROOM,
        "analyses/check/exit_code.py",
        (TABLE,),
        Change(
            "what is proved though it was to be violated is as expected",
            "if any(not each.as_expected and each.outcome is not Outcome.UNDECIDED for each in verdicts):",
            "if any(not each.as_expected and each.outcome is Outcome.VIOLATED for each in verdicts):",
        ),
        Change(
            "what is undecided is as expected",
            "meant = (Outcome.VIOLATED, Outcome.VACUOUS)",
            "meant = (Outcome.VIOLATED, Outcome.VACUOUS, Outcome.UNDECIDED)",
        ),
    ),
    *mutants(
        ROOM,
        "specification/statements/tolerances.py",
        TOLERANCES,
        Change(
            "what is as wide as it may be is too wide",
            "if self.clocking.nanoseconds(time) > most:",
            "if self.clocking.nanoseconds(time) >= most:",
        ),
        Change(
            "scans are as short as they can be",
            "bound.high * self.clocking.longest if bound.in_scans",
            "bound.high * self.clocking.shortest if bound.in_scans",
        ),
        Change(
            "what is accepted fails all the same",
            "[each for each in problems.warnings if each not in taken]",
            "list(problems.warnings)",
        ),
    ),
    *mutants(
        ROOM,
        "program/dependencies.py",
        DEPENDENCIES,
        Change(
            "what decides whether it is written is no dependency",
            "                around = self._decided(statement.selector, around)",
            "                self._decided(statement.selector, around)",
        ),
        Change(
            "leaving a routine decides nothing",
            "                self._leaving |= around",
            "                self._leaving |= set()",
        ),
        Change(
            "an output of a block does not depend on its inputs",
            "around | read)",
            "around)",
        ),
        Change(
            "only what is read in the last scan counts",
            "waiting += [*self._direct[variable], *self._leaving]",
            "found |= {*self._direct[variable], *self._leaving}",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/check/exit_code.py",
        CODES,
        Change(
            "a finding that can happen is open",
            "    outcomes |= {found.outcome for found in report.findings}",
            "    outcomes |= {Outcome.UNDECIDED for found in report.findings}",
        ),
        Change(
            "findings do not count",
            "    outcomes |= {found.outcome for found in report.findings}",
            "    outcomes |= {found.outcome for found in report.findings if found is None}",
        ),
        Change(
            "an output that is never on is a pass",
            "if report.never_on or outcomes & {Outcome.VIOLATED, Outcome.VACUOUS}:",
            "if outcomes & {Outcome.VIOLATED, Outcome.VACUOUS}:",
        ),
        Change(
            "a tolerance that nobody accepts is a pass",
            "    if report.specification.wide:",
            "    if report.specification.wide is None:",
            TOLERANCES,
        ),
        Change(
            "what speaks of nothing is a pass",
            "outcomes & {Outcome.VIOLATED, Outcome.VACUOUS}",
            "outcomes & {Outcome.VIOLATED}",
        ),
        Change(
            "what is open is a pass",
            "if Outcome.UNDECIDED in outcomes or _unsettled(report):",
            "if _unsettled(report):",
        ),
        Change(
            "what is doubted is a pass",
            "        report.doubt\n        or any(",
            "        any(",
        ),
        Change(
            "an output of which nothing is known is a pass",
            "each.code in (OUTPUT_UNDECIDED, HANDS_UNDECIDED) for each",
            "each.code in (HANDS_UNDECIDED,) for each",
        ),
        Change(
            "hands of which nothing is known are a pass",
            "each.code in (OUTPUT_UNDECIDED, HANDS_UNDECIDED) for each",
            "each.code in (OUTPUT_UNDECIDED,) for each",
        ),
        Change(
            "what may speak of nothing is a pass",
            "v.outcome is Outcome.PROVED and v.reason for v",
            "v.outcome is Outcome.VACUOUS and v.reason for v",
        ),
        Change(
            "a report that asked nothing is a pass",
            "return ExitCode.ALL_PROVED if report.verdicts else ExitCode.UNUSABLE",
            "return ExitCode.ALL_PROVED",
        ),
    ),
    *mutants(
        ROOM,
        "report/exit_code.py",
        CODES,
        Change(
            "what is open weighs more than a violation",
            "    ExitCode.VIOLATED,\n    ExitCode.UNDECIDED,\n    ExitCode.ALL_PROVED,",
            "    ExitCode.UNDECIDED,\n    ExitCode.VIOLATED,\n    ExitCode.ALL_PROVED,",
        ),
        Change(
            "nothing to check is a pass",
            "default=ExitCode.UNUSABLE)",
            "default=ExitCode.ALL_PROVED)",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/faults/text.py",
        ("analyses/faults/test_fault_judgement.py",),
        Change(
            "a stop that may be lost is not prevented",
            "if standings & {Standing.VIOLATED, Standing.LOST_ALLOWED, Standing.WITHOUT_FAULT}:",
            "if standings & {Standing.VIOLATED, Standing.WITHOUT_FAULT}:",
        ),
        Change(
            "an open stop is not prevented",
            "return row.title, Outcome.UNDECIDED if outcomes else Outcome.PROVED",
            "return row.title, Outcome.PROVED",
        ),
        Change(
            "only a fault that stays prevents a stop",
            "for each in (row, *row.ending):\n        standings",
            "for each in (row,):\n        standings",
            ENDING,
        ),
        Change(
            "a question that is open at the end of a fault is not told",
            "every = [each for row in (*rows, *table.pairs) for each in (row, *row.ending)]",
            "every = [*rows, *table.pairs]",
            ENDING,
        ),
    ),
    *mutants(
        ROOM,
        "analyses/faults/exit_code.py",
        FAULTS,
        Change(
            "second faults count in every category",
            "pairs = table.pairs if table.kept is Kept.KEPT_AND_NOTICED else ()",
            "pairs = table.pairs",
        ),
        Change(
            "second faults never count",
            "pairs = table.pairs if table.kept is Kept.KEPT_AND_NOTICED else ()",
            "pairs = ()",
        ),
        Change(
            "only faults that stay count",
            "for each in (row, *row.ending)]",
            "for each in (row,)]",
            ENDING,
        ),
        Change(
            "a finding under a fault does not violate",
            "if Standing.VIOLATED in standings or Outcome.VIOLATED in findings:",
            "if Standing.VIOLATED in standings:",
        ),
        Change(
            "what is open under a fault is a pass",
            "if Standing.UNDECIDED in standings or findings:",
            "if findings:",
        ),
        Change(
            "a finding that is open under a fault is a pass",
            "if Standing.UNDECIDED in standings or findings:",
            "if Standing.UNDECIDED in standings:",
        ),
        Change(
            "second faults that nobody asked for are none",
            "if left and not all(row.surely_noticed for row in table.rows):",
            "if left and not any(row.surely_noticed for row in table.rows) and not table.rows:",
        ),
        Change(
            "what speaks of nothing without a fault violates",
            "if v.outcome is not Outcome.VACUOUS or v.vacuity is not Vacuity.NEVER_HAPPENS",
            "if v.outcome",
        ),
        Change(
            "what every block does passes under faults",
            "if v.outcome is not Outcome.VACUOUS or v.vacuity is not Vacuity.NEVER_HAPPENS",
            "if v.outcome is not Outcome.VACUOUS",
        ),
        Change(
            "a traced violation is open",
            "if standing is Standing.VIOLATED or Outcome.VIOLATED in findings:\n"
            "        return ExitCode.VIOLATED\n    if standing is",
            "if standing is Standing.VIOLATED or Outcome.VIOLATED in findings:\n"
            "        return ExitCode.UNDECIDED\n    if standing is",
        ),
        Change(
            "a traced finding is open",
            "if standing is Standing.VIOLATED or Outcome.VIOLATED in findings:",
            "if standing is Standing.VIOLATED:",
        ),
        Change(
            "a traced question that is open is a pass",
            "if standing is Standing.UNDECIDED or findings",
            "if findings",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/faults/check.py",
        (f"{ENDING_FILE}::test_a_finding_may_need_that_a_fault_ends_or_comes_back",),
        Change(
            "what happens only where a fault ends is not asked",
            "return any(not any(same(each.finding, one) for one in happen) for each in often or ())",
            "return not often",
        ),
        Change(
            "what happens where a fault ends is what happens where it stays",
            "self._findings.get(course, self._findings[FaultCourse.STAYS]),",
            "self._findings[FaultCourse.STAYS],",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/faults/table.py",
        ENDING,
        Change(
            "what a fault costs where it ends is no difference",
            "if cell.standing is not there[name]}",
            "if cell.standing is there[name]}",
        ),
        Change(
            "what comes and goes is held against what stays",
            "pairs = zip((self, *self.ending), self.ending, strict=False)",
            "pairs = zip((self, self), self.ending, strict=False)",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/faults/judgement.py",
        JUDGEMENT,
        Change(
            "a run of a fault that comes and goes is one of any",
            "for narrower in COURSES[:place]:",
            "for narrower in COURSES:",
            COURSES,
        ),
        Change(
            "a proof of a fault that stays is one of any",
            "for wider in COURSES[place + 1 :]:",
            "for wider in COURSES:",
            COURSES,
        ),
        Change(
            "what is open is not asked of another course",
            "if own is not None and own.outcome is not Outcome.UNDECIDED:",
            "if own is not None:",
            COURSES,
        ),
        Change(
            "what is open stands as proved",
            "            return Standing.UNDECIDED",
            "            return Standing.PROVED",
        ),
        Change(
            "no loss is allowed",
            "case Outcome.VIOLATED if kept is Kept.MAY_BE_LOST:",
            "case Outcome.VIOLATED if kept is None:",
        ),
        Change(
            "every loss is allowed",
            "case Outcome.VIOLATED if kept is Kept.MAY_BE_LOST:",
            "case Outcome.VIOLATED if kept is not None:",
        ),
        Change(
            "every loss is one of the output",
            "        case Outcome.VIOLATED if asks:",
            "        case Outcome.VIOLATED if asks is not None:",
        ),
        Change(
            "category 3 speaks of two faults",
            "if told_only or (two and kept is Kept.KEPT):",
            "if told_only:",
        ),
        Change(
            "category 4 does not speak of two faults",
            "if told_only or (two and kept is Kept.KEPT):",
            "if told_only or two:",
        ),
        Change(
            "being available may not be lost",
            "return named or asks_for_output(requirement.property, specification.outputs)",
            "return asks_for_output(requirement.property, specification.outputs)",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/compare/text.py",
        (f"{TABLE}::test_a_comparison_answers_by_differences_and_what_is_open",),
        Change(
            "a finding of one alone is no difference",
            "if Outcome.VIOLATED in (*outcomes, stops):",
            "if Outcome.VIOLATED in outcomes:",
        ),
        Change(
            "a finding of one alone that is open is no difference",
            "if Outcome.UNDECIDED in (*outcomes, stops):",
            "if Outcome.UNDECIDED in outcomes:",
        ),
        Change(
            "an output that is open is the same",
            "if Outcome.UNDECIDED in (*outcomes, stops):",
            "if Outcome.UNDECIDED is stops:",
        ),
        Change(
            "what never scans is the same",
            "    return ExitCode.ALL_PROVED if compared else ExitCode.UNUSABLE",
            "    return ExitCode.ALL_PROVED if report.verdicts else ExitCode.UNUSABLE",
            COMPLETION,
        ),
    ),
    *mutants(
        ROOM,
        "analyses/inspect/text.py",
        (f"{TABLE}::test_an_inspection_answers_by_faults_and_what_is_open",),
        Change(
            "a fault is none",
            "    if found.of(Weight.FAULT) or found.no_scan:",
            "    if found.of(Weight.OPEN) or found.no_scan:",
        ),
        Change(
            "a block of which no scan completes passes",
            "    if found.of(Weight.FAULT) or found.no_scan:",
            "    if found.of(Weight.FAULT):",
            COMPLETION,
        ),
        Change(
            "what never scans is clean",
            "    if found.no_scan:\n        return",
            "    if found is None:\n        return",
            COMPLETION,
        ),
        Change(
            "what is open is clean",
            "found.of(Weight.OPEN) else ExitCode.ALL_PROVED",
            "found.of(Weight.FAULT) else ExitCode.ALL_PROVED",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/measure/text.py",
        (f"{TABLE}::test_a_measuring_answers_by_stops_without_limit_findings_and_what_is_open",),
        Change(
            "a stop without limit is none",
            "if endless or any(each.outcome is Outcome.VIOLATED for each in report.findings):",
            "if any(each.outcome is Outcome.VIOLATED for each in report.findings):",
        ),
        Change(
            "a finding that can happen is open",
            "if endless or any(each.outcome is Outcome.VIOLATED for each in report.findings):",
            "if endless:",
        ),
        Change(
            "doubted assumptions are a pass",
            "open_ends = report.findings or report.warnings",
            "open_ends = report.findings",
        ),
        Change(
            "a figure that is open is a pass",
            "if open_ends or not all(result.decided for result in report.figures):",
            "if open_ends:",
        ),
    ),
)
