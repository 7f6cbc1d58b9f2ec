"""What became of a requirement under a fault, and what is answered to the shell then."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "exit codes"
TABLE = "report/test_exit_code_table.py"
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
)
