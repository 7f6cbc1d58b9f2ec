"""Formulas, properties and quantities read from a run directly."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants
from tests.mutants.rooms.tables import EVALUATOR_TABLE

ROOM = "specification/logic"
PAIR = "agreement/test_monitor_against_evaluator.py"
FORMULAS = (
    "specification/logic/test_uncertain_values.py",
    *EVALUATOR_TABLE,
    "specification/logic/test_evaluate_formulas.py",
)
PROPERTIES = (
    "specification/logic/test_uncertain_values.py",
    *EVALUATOR_TABLE,
    "specification/logic/test_evaluate_properties.py",
)
BEFORE_POWER_UP = "evidence/test_before_power_up.py"
ASSUMED = f"{PAIR}::test_random_assumptions_are_met_by_the_same_runs"
FIGURES = ("specification/logic/test_quantities.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "specification/logic/evaluate.py",
        FORMULAS,
        Change(
            "a run that is too young has held",
            "return stamps[now] - stamps[self.scans.start] >= bound.high",
            "return True",
        ),
        Change(
            "power-up looks back",
            "return self.scans.start if i in self.scans else 0",
            "return 0",
        ),
        Change(
            "what is as old as the run looks back further",
            "bound, first = formula.bound, self.positions_of(formula).start",
            "bound, first = formula.bound, 0",
        ),
        Change(
            "any scan is older than the run",
            "case FirstScan() | AnyScan():\n                return False",
            "case FirstScan():\n                return False\n            case AnyScan():\n"
            "                return True",
        ),
        Change(
            "an assumption says nothing of what was before power-up",
            "for i in run.positions_of(formula))",
            "for i in run.scans)",
            (BEFORE_POWER_UP, ASSUMED),
        ),
        Change(
            "what is not certain holds",
            "return [truth is True and i in run.scans for i, truth in enumerate(truths)]",
            "return [truth is not False and i in run.scans for i, truth in enumerate(truths)]",
        ),
        Change(
            "what is not certain refutes",
            "for i in run.scans if truths[i] is False), None)",
            "for i in run.scans if truths[i] is not True), None)",
            PROPERTIES,
        ),
        Change(
            "the opposite of what is not certain is TRUE",
            "return None if truth is None else not truth",
            "return not truth",
        ),
        Change(
            "a conjunction forgets what is not certain",
            "return None if None in truths else True",
            "return True",
        ),
        Change(
            "a disjunction forgets what is not certain",
            "return None if None in truths else False",
            "return False",
        ),
        Change(
            "equivalence forgets what is not certain",
            "return None if left is None or right is None else left == right",
            "return left == right",
        ),
        Change("prev looks back one scan only", "i - formula.count)]", "i - 1)]"),
        Change(
            "what is on in the first scan has come on",
            "_not(truths[i - 1]))) if i > self._first(i) else False",
            "_not(truths[i - 1]))) if i > self._first(i) else truths[i]",
        ),
        Change(
            "a greatest distance is not attained",
            "bisect_left(stamps, stamps[now] - bound.high)",
            "bisect_right(stamps, stamps[now] - bound.high)",
        ),
        Change(
            "a least distance is not attained",
            "bisect_right(stamps, stamps[now] - bound.low)",
            "bisect_left(stamps, stamps[now] - bound.low)",
        ),
        Change(
            "since does not ask for holding",
            "            if hold[j] is False:",
            "            if hold is None:",
        ),
        Change(
            "since wants to hold at its beginning",
            "if release[j] and held_after:",
            "if release[j] and held_after and hold[j]:",
        ),
        Change(
            "since takes what is not defined for holding",
            "held_after = None",
            "held_after = True",
        ),
        Change(
            "a scan that was cut short has values",
            "        if record.finding is not None:\n            return None",
            "        if record is None:\n            return None",
        ),
        Change(
            "a trigger that is not certain counts",
            "for i in self.scans if truths[i] is True]",
            "for i in self.scans if truths[i] is not False]",
            PROPERTIES,
        ),
        Change(
            "an answer that is not certain is none",
            "all(answer is False for answer in answers)",
            "not any(answer is True for answer in answers)",
            equivalent="only the last scan of a run can lack its values, and whether an answer came "
            "in time is asked of scans before the last",
        ),
        Change(
            "an answer at its bound is too late",
            "beyond = bisect_right(stamps, stamps[start] + bound.high)",
            "beyond = bisect_left(stamps, stamps[start] + bound.high)",
            PROPERTIES,
        ),
        Change(
            "a release that is not certain is none",
            "if release[i] is not False:",
            "if release[i] is True:",
            PROPERTIES,
        ),
        Change(
            "a hold that is not certain is broken",
            "if hold[i] is False:",
            "if hold[i] is not True:",
            PROPERTIES,
        ),
        Change(
            "before allows both at once",
            "And((property.first, not_second))",
            "property.first",
            PROPERTIES,
        ),
    ),
    *mutants(
        ROOM,
        "specification/logic/evaluate_quantity.py",
        FIGURES,
        Change(
            "an event of this scan is one before it",
            "scan = now - 1 if quantity.strict else now",
            "scan = now",
        ),
        Change(
            "what is missing is not read",
            "return None if quantity.missing is Missing.NOT_READ else Reading(None)",
            "return None",
        ),
        Change(
            "scans are counted by time",
            "        return Reading(Scans(last - first))",
            "        return Reading(Units(records[last].time - records[first].time))",
        ),
        Change(
            "the present moment does not count",
            "moments = [now] if quantity.until_now else []",
            "moments = []",
        ),
        Change(
            "the first event counts, not the last",
            "        while scan >= first_scan and not happened[scan]:\n            scan -= 1",
            "        scan = happened.index(True) if True in happened[: scan + 1] else -1",
        ),
    ),
)
