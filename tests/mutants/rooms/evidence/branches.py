"""The text that is executed and held against its model."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "evidence"
TESTS = ("evidence/checks/test_branches.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "evidence/branches/comparison.py",
        TESTS,
        Change("values are not compared", "            if here != value:", "            if False:"),
        Change(
            "what is remembered is not compared",
            "if self._kept(memory, instance) != self._kept(expected, instance):",
            "if False:",
        ),
        Change(
            "the branches gone are not compared",
            "for way in gone.symmetric_difference(there):",
            "for way in ():",
        ),
        Change(
            "a finding of the text alone is none",
            "if found or record.finding is not None:",
            "if found:",
        ),
        Change(
            "every branch is gone",
            "return record.values[way.mark.name] is True and all(",
            "return record is not None and all(",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/branches/reach.py",
        TESTS,
        Change(
            "what was not decided is impossible",
            "(never if answer == z3.unsat else unknown).append(number)",
            "never.append(number)",
        ),
        Change(
            "a scan with a finding leads nowhere",
            "        if answer == z3.sat:\n            return answer\n        return asked_once(",
            "        return answer\n        return asked_once(",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/checks/branches.py",
        TESTS,
        Change(
            "a difference is passed over", "            if difference:", "            if False:"
        ),
        Change(
            "all that was asked counts as executed",
            "left = {way: why for way, why in left.items() if way not in gone}",
            "left = {}",
        ),
        Change(
            "what a stopped worker left counts as executed",
            "self._miss(dict.fromkeys(self._ways, WhyMissed.UNDECIDED))\n\n    def _compare",
            "self._miss({})\n\n    def _compare",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/branches/ways.py",
        TESTS,
        Change(
            "a loop that is passed over is no branch",
            "if ran is None:\n            return ()",
            "if ran is None or last is not None:\n            return ()",
        ),
    ),
    *mutants(
        "scan/symbolic",
        "scan/symbolic/expressions.py",
        ("scan/symbolic/test_encode_control.py",),
        Change(
            "what is noted is noted in every scan",
            "append(both(scan.here(), truth_of(value)))",
            "append(truth_of(value))",
        ),
    ),
)
