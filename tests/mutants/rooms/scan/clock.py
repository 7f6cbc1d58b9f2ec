"""The scan's clock, in both rooms, and what may be done with its readings."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

CLOCK = ("scan/meaning/test_clock_meaning.py",)
AGAIN = ("agreement/test_machines_run_again.py",)
BOTH = (
    "agreement/test_executor_against_system.py"
    "::test_random_blocks_that_read_the_clock_mean_the_same_in_both_rooms",
)
ENUMERATION = ("agreement/test_clocks_against_enumeration.py",)
USES = ("typecheck/test_clock_readings.py",)

MUTANTS = (
    *mutants(
        "scan/symbolic clock",
        "scan/symbolic/timers.py",
        BOTH,
        Change(
            "an age does not come round",
            "return choose(below(later, end), later, round_again, NUMBER())",
            "return later",
        ),
        Change(
            "an age comes round one unit late",
            "return choose(below(later, end), later, round_again, NUMBER())",
            "return choose(below(later, end + 1), later, round_again, NUMBER())",
        ),
        Change(
            "a difference is taken the other way round",
            "end, apart = scan.clocking.clock_range, difference(right, left)",
            "end, apart = scan.clocking.clock_range, difference(left, right)",
        ),
        Change(
            "a signed difference does not come round",
            "signed = choose(at_least(apart, end // 2), difference(apart, end), low, NUMBER())",
            "signed = low",
        ),
        Change(
            "an unsigned difference is below zero",
            "unsigned = choose(below(apart, 0), total(apart, end), apart, NUMBER())",
            "unsigned = apart",
        ),
        Change(
            "the greatest signed difference is one more",
            "signed = choose(at_least(apart, end // 2),",
            "signed = choose(at_least(apart, end // 2 + 1),",
        ),
        Change(
            "an initial value is always read now",
            "age = difference(scan.number(CLOCK_SLOT), number_of(value) % end)",
            "age = 0",
        ),
        Change(
            "the clock goes on as it was after a restart",
            "scan.write(CLOCK_SLOT, integer(symbol(scan.clock.name, NUMBER())))",
            "pass",
        ),
        Change(
            "every initial value is 0",
            "(first - value) % end",
            "first % end",
        ),
    ),
    *mutants(
        "scan/symbolic clock",
        "scan/symbolic/encode.py",
        BOTH,
        Change(
            "no time passes for readings",
            "scan.write(stamp, older(scan, scan.number(stamp)))",
            "scan.write(stamp, scan.number(stamp))",
        ),
    ),
    *mutants(
        "scan/concrete clock",
        "scan/concrete/clock.py",
        CLOCK,
        Change(
            "a run begins with what the clock showed in the one before",
            "self._shown = self.anew = None",
            "self.anew = None",
            AGAIN,
        ),
        Change(
            "the clock stands still",
            "chosen = self._arithmetic.clocked(self._shown + elapsed)",
            "chosen = self._arithmetic.clocked(self._shown)",
        ),
        Change(
            "each scan chooses what the clock shows",
            "if self._shown is not None:",
            "if self._shown is not None and elapsed < 0:",
        ),
        Change(
            "a snapshot forgets how old readings are",
            "return (shown - value) % self._arithmetic.clocking.clock_range",
            "return 0",
        ),
        Change(
            "readings come back as what they were",
            "values[name] = self._arithmetic.clocked((shown or 0) - (age or 0))",
            "values[name] = self._arithmetic.clocked((shown or 0) + (age or 0))",
        ),
    ),
    *mutants(
        "scan/concrete clock",
        "scan/concrete/routine.py",
        CLOCK,
        Change(
            "a restart leaves the clock as it is",
            "            self._values[name] = shown",
            "            self._values[name] = self._values[name]",
        ),
    ),
    *mutants(
        "scan/concrete clock",
        "scan/arithmetic.py",
        CLOCK,
        Change(
            "a signed clock is unsigned",
            "lowest = -(end // 2) if self.clock_is_signed else 0",
            "lowest = 0",
        ),
        Change(
            "a difference of readings is never wrapped",
            "return lambda later, earlier: self.clocked(later - earlier)",
            "return lambda later, earlier: later - earlier",
        ),
    ),
    *mutants(
        "engine/search clock",
        "engine/system/unrolling.py",
        ("engine/test_exactness.py",),
        Change(
            "no jump goes over a reading of the clock",
            "return z3.Or(after > before, z3.And(before == 0, after == 0))",
            "return after == before",
        ),
    ),
    *mutants(
        "typecheck clock",
        "typecheck/variables/clock_readings.py",
        USES,
        Change(
            "a reading may be used otherwise",
            "if read.variable in known and id(read) not in fine:",
            "if read.variable in known and not fine:",
        ),
        Change(
            "what keeps a reading may be given anything",
            "if target in known and _variable(value) not in known:",
            "if target in known and value is None:",
        ),
        Change(
            "a timer may be given a reading",
            "copied = isinstance(value, Read) and target not in self.pins",
            "copied = isinstance(value, Read)",
        ),
        Change(
            "a function may give a reading",
            "if call.result in known:",
            "if call.result is None:",
        ),
        Change(
            "a reading may be seen outside",
            "if variable in known and (variable in outside or variable.role is Role.GLOBAL):",
            "if variable in known and variable in outside and variable.role is Role.GLOBAL:",
        ),
        Change(
            "anything may be subtracted from a reading",
            "        if _variable(operand) not in known:",
            "        if _variable(operand) is known:",
        ),
    ),
)
