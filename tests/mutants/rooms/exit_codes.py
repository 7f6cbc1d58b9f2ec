"""What is answered to the shell."""

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
