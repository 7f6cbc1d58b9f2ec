"""Each check from its question to its verdict."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "evidence"
VERDICTS = "analyses/check/test_check_verdicts.py"
FOUND = "analyses/check/test_findings.py"
READINGS = ("evidence/test_every_reading.py",)
FINDINGS = (
    f"{FOUND}::test_findings_are_shown_with_their_runs_and_the_rest_counts_as_impossible",
    f"{FOUND}::test_a_finding_that_only_ever_precedes_another_one_in_its_scan_is_found",
    f"{FOUND}::test_a_run_to_one_finding_may_show_another_one_that_could_not_be_decided_by_itself",
)
INPUTS = ("evidence/checks/test_input_existence.py",)
HANDS = ("evidence/checks/test_hands.py",)
ANY_BLOCK = ("evidence/checks/test_any_block.py",)
COMPLETION = ("evidence/checks/test_completion.py",)
RUNS = (
    "analyses/check/test_runs_shown.py::test_a_run_from_rest_is_looked_for_where_another_was_found",
)

MUTANTS = (
    *mutants(
        ROOM,
        "evidence/checks/never_true.py",
        ("evidence/test_never_true.py",),
        Change(
            "a condition that can be TRUE is called never TRUE",
            "        if isinstance(asked.answer, Certified):",
            "        if asked.answer:",
        ),
        Change(
            "what changes after an output was assigned is taken for its condition",
            "    later = {output, *written(body[at + 1 :])}",
            "    later = {output}",
        ),
        Change(
            "what is joined with OR is taken for joined with AND",
            "operation.operator is Operator.AND and",
            "operation.operator in (Operator.AND, Operator.OR) and",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/checks/from_rest.py",
        RUNS,
        Change(
            "no run from rest is looked for",
            "        if begins_at_rest(found, self._case.specification):\n",
            "        if found.records:\n",
        ),
        Change(
            "any run is one from rest",
            "return all(first[name] == value for name, value in rest_position(specification).items())",
            "return True",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/checks/finding.py",
        FINDINGS,
        Change(
            "one finding stands for all",
            "        rest = [each for each in wanted if each not in self._possible]\n"
            "        if rest:\n            self._ask(rest)",
            "        rest = [each for each in wanted if each not in self._possible]\n"
            "        if rest:\n            self._excluded.update(rest)",
        ),
        Change(
            "a finding that was executed may count as impossible",
            "[each for each in seen if not any(same(each, found) for found in self._found)]",
            "[each for each in seen if self._found is None]",
            ("evidence/checks/test_readings_left_open.py",),
        ),
        Change(
            "what is undecided is impossible",
            "            self._found.setdefault(each, undecided)",
            "            self._excluded.add(undecided.finding)",
            ("evidence/checks/test_readings_left_open.py",),
        ),
        Change(
            "what is not answered soon gets no more time",
            "                self._ask([finding], soon=False)",
            "                self._found[finding] = FindingVerdict(finding, Outcome.UNDECIDED)",
            (f"{FOUND}::test_what_is_not_answered_soon_is_asked_place_by_place_with_all_the_time",),
        ),
        Change(
            "what is undecided together is undecided",
            "        if soon or len(wanted) > 1 or not rest:",
            "        rest = rest[:1]\n        if not rest:",
            (f"{FOUND}::test_what_is_not_answered_soon_is_asked_place_by_place_with_all_the_time",),
        ),
    ),
    *mutants(
        ROOM,
        "evidence/checks/output.py",
        (
            f"{VERDICTS}::test_an_output_that_is_never_on_is_named",
            "evidence/checks/test_readings_left_open.py",
            *READINGS,
        ),
        Change(
            "an output that is proved off is not told",
            "            self.never = problem is self._case.problem(self._index)",
            "            self.never = False",
        ),
        Change(
            "an output of which nothing is known is not told",
            "        elif isinstance(asked.answer, Unknown):\n            self.undecided",
            "        elif asked is None:\n            self.undecided",
        ),
        Change(
            "an output that one reading keeps off is not told",
            "                self.never = not result.before_findings",
            "                self.never = False",
        ),
        Change(
            "what only a finding keeps off is never on",
            "            self.never = problem is self._case.problem(self._index)",
            "            self.never = True",
            COMPLETION,
        ),
        Change(
            "what only a finding keeps off under a reading is never on",
            "                self.never = not result.before_findings",
            "                self.never = True",
            COMPLETION,
        ),
    ),
    *mutants(
        ROOM,
        "evidence/checks/readings.py",
        READINGS,
        Change(
            "a run under another reading may break an assumption",
            "return position is not None and replayer.allowed(records[: position + 1])",
            "return position is not None",
            equivalent="assumptions speak of inputs and their past alone, which are the same under "
            "every reading, and the run that is tried meets them",
        ),
        Change(
            "one choice stands for every reading",
            "product((False, True), repeat=len(names))",
            "product((False,), repeat=len(names))",
        ),
        Change(
            "a run of one platform shows it for all",
            "            if not any(self._refuted(run, choice) for run in self._runs):",
            "            if not self._runs:",
        ),
        Change(
            "a reading under which it is unknown is one under which it is",
            "            case Unknown() as unknown:\n                self._then(unknown)",
            "            case Unknown():\n                self._then(None)",
            ("evidence/checks/test_readings_left_open.py",),
        ),
    ),
    *mutants(
        ROOM,
        "evidence/checks/requirement.py",
        (VERDICTS,),
        Change(
            "nothing is executed before a search has all the effort",
            "min(SOON, self._case.effort) if soon else None",
            "None",
            ("evidence/test_long_runs.py",),
        ),
        Change(
            "what can never be reached is proved",
            "        if self.requirement.aim is Aim.REACHABLE:\n            self._vacuous(proof)",
            "        if self.requirement.aim is None:\n            self._vacuous(proof)",
            (f"{VERDICTS}::test_reachable_is_shown_by_a_run_or_proved_impossible",),
        ),
        Change(
            "what speaks of nothing is proved",
            "            case Certified() as unreachable:\n                self._vacuous(unreachable)",
            "            case Certified():\n                self._says_something(proof, None, None)",
            (f"{VERDICTS}::test_what_can_never_happen_makes_a_requirement_vacuous",),
        ),
        Change(
            "what every block does is proved",
            "            if proof is None:",
            "            if proof is not self:",
            ANY_BLOCK,
        ),
        Change(
            "it is not told that it may speak of nothing",
            "certificate=certificate, witness=witness, reason=reason)",
            "certificate=certificate, witness=witness)",
            ("evidence/checks/test_readings_left_open.py",),
        ),
        Change(
            "any answer under another reading decides",
            "if isinstance(asked.answer, Certified) and run is not None:",
            "if run is not None:",
            (f"{VERDICTS}::test_the_reading_that_decides_is_named", *READINGS),
        ),
        Change(
            "what one platform alone reaches is proved",
            "        if isinstance(elsewhere, NeverThere):\n            self._vacuous(elsewhere.proof,"
            " elsewhere.readings, found)",
            "        if elsewhere is self:\n            self._vacuous(elsewhere.proof,"
            " elsewhere.readings, found)",
            READINGS,
        ),
        Change(
            "what one platform alone speaks of is proved",
            "        if isinstance(elsewhere, NeverThere):\n            self._vacuous(elsewhere.proof,"
            " elsewhere.readings, witness)",
            "        if elsewhere is self:\n            self._vacuous(elsewhere.proof,"
            " elsewhere.readings, witness)",
            READINGS,
        ),
    ),
    *mutants(
        ROOM,
        "evidence/checks/any_block.py",
        ANY_BLOCK,
        Change(
            "a run that breaks an assumption refutes",
            "if position is not None and case.replayer.allowed(tried[: position + 1]):",
            "if position is not None:",
        ),
        Change(
            "what a run does not refute is asked of nobody",
            "    return False\n\n\ndef _rewritten",
            "    return True\n\n\ndef _rewritten",
        ),
        Change(
            "the block itself is asked of",
            "        case.any_block(number),\n        number,",
            "        case.problem(),\n        case.questions.bad(requirement.property),",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/checks/completion.py",
        COMPLETION,
        Change(
            "what holds of no scan is proved",
            "replace(verdict, outcome=Outcome.VACUOUS, vacuity",
            "replace(verdict, vacuity",
        ),
        Change(
            "an executed scan is no objection",
            "if shown and self._case.specification.power is None:",
            "if shown is None:",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/checks/hands.py",
        HANDS,
        Change(
            "one order of two hands is enough",
            "in permutations(case.specification.hands, 2)]",
            "in list(permutations(case.specification.hands, 2))[:1]]",
        ),
        Change(
            "hands need not differ in one scan",
            "And((Atom(self.one.pressed), Not(Atom(self.other.pressed))))",
            "Atom(self.one.pressed)",
        ),
        Change(
            "hands that cannot differ are checked all the same",
            "self._impossible.add(asked)",
            "pass",
        ),
        Change(
            "hands of which nothing is known are two",
            "self._open[asked] = result.answer.reason",
            "pass",
        ),
        Change(
            "a scan that a finding cuts short has no inputs",
            "if not shown and records[-1].finding is None:",
            "if not shown:",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/checks/input_existence.py",
        INPUTS,
        Change(
            "a scan too many is allowed",
            "            return Scans(len(answer.steps) - 1)",
            "            return Scans(len(answer.steps))",
        ),
        Change(
            "assumptions need not have been met before",
            "z3.And(met, allowed))",
            "met)",
        ),
        Change(
            "a run that broke an assumption may be stuck",
            "return free, z3.And(met, stuck)",
            "return free, stuck",
        ),
        Change(
            "what is not decided leaves no input",
            "        if isinstance(answer, Unknown):\n            return answer",
            "        if isinstance(answer, Unknown):\n            return Scans(0)",
        ),
        Change(
            "a choice of inputs that some state allows serves all",
            "stuck = z3.Not(z3.Or([*choices, z3.BoolVal(False, allowed.ctx)]))",
            "stuck = z3.BoolVal(not choices, allowed.ctx)",
        ),
        Change(
            "every assumption has a part in the contradiction",
            "                kept, scans = fewer, answer",
            "                scans = answer",
        ),
        Change(
            "ranges leave any input",
            "allowed = z3.And([*system.ranges, *constraints, ",
            "allowed = z3.And([*constraints, ",
        ),
    ),
)
