"""One scan as terms: statements, and the system that comes of it."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants
from tests.mutants.rooms.tables import SYSTEM_TABLE

ROOM = "scan/symbolic"
BOTH = ("scan/meaning/test_values_in_both_rooms.py",)
TIMERS = ("scan/symbolic/test_encode_timers.py", SYSTEM_TABLE)
BLOCKS = ("scan/symbolic/test_encode_blocks.py", *BOTH, SYSTEM_TABLE)
CONTROL = (*BOTH, "scan/symbolic/test_encode_control.py", SYSTEM_TABLE)
SYSTEM = (*TIMERS, *CONTROL, "scan/symbolic/test_encode_arithmetic.py")
POWER = ("scan/meaning/test_power_cycles.py",)
FIRST_SCANS = ("scan/meaning/test_first_scans.py",)
DURATIONS = ("scan/meaning/test_durations_below_zero.py",)
TEMPORARIES = ("scan/meaning/test_temporary_variables.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "scan/symbolic/statements.py",
        CONTROL,
        Change(
            "a branch runs whatever the ones before it",
            "        scan.open(FrameKind.BRANCH, negation(condition))\n    run",
            "        scan.open(FrameKind.BRANCH)\n    run",
            (
                "scan/symbolic/test_encode_arithmetic.py"
                "::test_an_operation_in_a_branch_not_taken_finds_nothing",
                *CONTROL,
            ),
        ),
        Change(
            "a range of a case lacks its last value",
            "below(number, high + 1))",
            "below(number, high))",
        ),
        Change(
            "a loop beyond its bound is not found",
            "scan.find(FindingKind.LOOP_BOUND, statement.span, True)",
            "scan.find(FindingKind.LOOP_BOUND, statement.span, False)",
        ),
        Change(
            "a FOR loop leaves out its last value",
            "return at_least(value, total(last, 1)) if step > 0",
            "return at_least(value, last) if step > 0",
        ),
        Change(
            "a FOR loop down leaves out its last value",
            "else below(value, last)",
            "else below(value, total(last, 1))",
            (*CONTROL, "scan/meaning/test_language_meaning.py"),
        ),
        Change(
            "a FOR variable is past its end on every platform",
            "scan.write(loop.variable, choose(beyond, past, value, z3.IntSort()))",
            "scan.write(loop.variable, past)",
        ),
        Change(
            "a FOR variable that stays at its end overflows",
            "loop.span, both(ends, beyond))",
            "loop.span, ends)",
        ),
        Change(
            "a FOR variable that wraps ends its loop",
            "ends = both(ends, either(negation(beyond), _past(past, last, loop.step)))",
            "ends = both(ends, True)",
            ("scan/meaning/test_language_meaning.py", SYSTEM_TABLE),
        ),
        Change(
            "a restart leaves what instances hide",
            "            scan.write(slot, initial)",
            "            scan.write(slot, scan.read(slot))",
            POWER,
        ),
        Change(
            "a restart begins no first scan",
            "        scan.write(slot, False)",
            "        scan.write(slot, True)",
            FIRST_SCANS,
        ),
        Change(
            "temporaries keep their values",
            "for variable in routine.initialise:",
            "for variable in ():",
            ("scan/meaning/test_language_meaning.py", SYSTEM_TABLE),
        ),
        Change(
            "a loop goes on where it has ended",
            "    scan.restrict(negation(condition))",
            "    scan.restrict(True)",
            CONTROL,
        ),
        Change(
            "a return leaves the loop only",
            "typed.Return: FrameKind.ROUTINE",
            "typed.Return: FrameKind.LOOP",
            ("scan/symbolic/test_encode_control.py::test_return_inside_a_loop_leaves_the_routine",),
        ),
        Change(
            "a continue leaves the loop",
            "typed.Continue: FrameKind.ITERATION",
            "typed.Continue: FrameKind.LOOP",
        ),
    ),
    *mutants(
        ROOM,
        "scan/symbolic/frames.py",
        CONTROL,
        Change(
            "every finding of a scan counts",
            "first = both(happens, negation(self._happened))",
            "first = happens",
            (*CONTROL, "scan/symbolic/test_encode_arithmetic.py"),
        ),
        Change(
            "only the last finding hides the next",
            "self._happened = either(self._happened, happens)",
            "self._happened = happens",
            (*CONTROL, "scan/symbolic/test_encode_arithmetic.py"),
        ),
        Change(
            "what comes after a way out runs all the same",
            "parent.path = both(parent.path, any_of(way[0] for way in ways))",
            "parent.path = both(parent.path, True)",
            CONTROL,
        ),
        Change(
            "what comes after a branch that was left runs all the same",
            "parent.path = both(parent.path, any_of((chosen.path, otherwise.path)))",
            "parent.path = both(parent.path, True)",
            CONTROL,
        ),
        Change(
            "one branch sees what the other wrote",
            "for slot, value in frame.hidden.items():",
            "for slot, value in {}.items():",
            CONTROL,
        ),
        Change(
            "the last way out of several counts",
            "for condition, changes in reversed(ways[:-1]):",
            "for condition, changes in ways[:-1]:",
            CONTROL,
        ),
        Change(
            "a reading that is fixed as no is open", "if fixed is not None:", "if fixed:", TIMERS
        ),
        Change(
            "a finding counts wherever control is",
            "happens = both(self.here(), condition)",
            "happens = condition",
            ("scan/symbolic/test_encode_arithmetic.py", *CONTROL),
        ),
    ),
    *mutants(
        ROOM,
        "scan/symbolic/encode.py",
        SYSTEM,
        Change(
            "a preset is never latched",
            "if readings.preset_latched is not False:",
            "if readings is None:",
        ),
        Change(
            "a timer that waits for what is retained starts in no first scan",
            "for v in beginning.known(moving) - kept)",
            "for v in frozenset(moving) - kept)",
            FIRST_SCANS,
        ),
        Change(
            "a timer that waits for an input starts in no first scan",
            "kept = set(self.program.inputs)",
            "kept: set[Variable] = set()",
        ),
        Change(
            "a timer waits for what its instance remembers",
            "first.update(hidden_slots(instance, instance.name in self.scan.latching))",
            "pass",
        ),
        Change(
            "time stands still for timers",
            "scan.write(age, total(scan.number(age), scan.elapsed))",
            "scan.write(age, self.begin[age])",
        ),
        Change(
            "the shortest scan is one unit",
            "shortest=whole_ticks(scan.clocking.shortest, scan.tick)",
            "shortest=whole_ticks(Units(1), Units(1))",
        ),
        Change(
            "the longest scan is the shortest",
            "longest=whole_ticks(scan.clocking.longest, scan.tick)",
            "longest=whole_ticks(scan.clocking.shortest, scan.tick)",
        ),
        Change(
            "any block has values beyond its types",
            "ranges=tuple(term for v in program.variables for term in type_ranges(v))",
            "ranges=()",
            ("evidence/checks/test_any_block.py",),
        ),
        Change(
            "the greatest input is left out",
            "number <= kind.highest]",
            "number < kind.highest]",
        ),
        Change(
            "an in-out is shown as it came in",
            "(self.begin if v in sampled else end)[v]",
            "(self.begin if v in set(self.program.inputs) else end)[v]",
            BOTH,
        ),
        Change(
            "formulas wrap around where the block does",
            "readings = replace(self.readings, integers_wrap=False)",
            "readings = self.readings",
            ("specification/logic/test_formula_arithmetic.py", *CONTROL),
        ),
    ),
    *mutants(
        ROOM,
        "scan/symbolic/beginnings.py",
        FIRST_SCANS,
        Change(
            "a plant restarts with the block",
            "frozenset(each for each in every if instance in each.instances)",
            "frozenset(every)",
        ),
        Change(
            "an edge call that counts no time depends on the first scan",
            "if readings.edge_call_counts is False or readings.first_scan_has_time:",
            "if readings.first_scan_has_time:",
            TIMERS,
        ),
        Change(
            "a first scan with time is one without",
            "if readings.edge_call_counts is False or readings.first_scan_has_time:",
            "if readings.edge_call_counts is False:",
            TIMERS,
        ),
    ),
    *mutants(
        ROOM,
        "scan/symbolic/writes.py",
        BLOCKS,
        Change(
            "the outputs of counters are constants",
            '("Q", "ET", "Q1", "CV", "QU", "QD")',
            '("Q", "ET", "Q1", "CV", "QU")',
        ),
        Change(
            "only the first element of an array is written",
            "yield from node.targets",
            "yield node.targets[0]",
            BOTH,
        ),
        Change(
            "the variable of a loop is a constant",
            "yield node.variable",
            "yield from ()",
            CONTROL,
        ),
    ),
    *mutants(
        ROOM,
        "scan/symbolic/statements.py",
        TEMPORARIES,
        Change(
            "a variable of a routine is never unset",
            "scan.write(set_slot(variable), False)",
            "scan.write(set_slot(variable), True)",
        ),
        Change(
            "a loop's variable stays unset",
            "scan.assign(loop.variable, first)",
            "scan.write(loop.variable, first)",
        ),
        Change(
            "a function's result counts as read where nobody uses it",
            "call_function(scan, expression, used=False)",
            "call_function(scan, expression)",
        ),
    ),
    *mutants(
        ROOM,
        "scan/symbolic/expressions.py",
        TEMPORARIES,
        Change(
            "an element that may be another one is set by an assignment",
            "scan.sort(target)), condition)",
            "scan.sort(target)))",
        ),
        Change(
            "an assignment sets nothing",
            "            scan.assign(statement.target, value)",
            "            scan.write(statement.target, value)",
        ),
        Change(
            "every element has to be set, whichever is read",
            "unset.append(both(here, scan.unset(each.variable)))",
            "unset.append(scan.unset(each.variable))",
        ),
        Change(
            "a function's result is read however it is",
            "    if used:\n        scan.find_unset",
            "    if False:\n        scan.find_unset",
        ),
    ),
    *mutants(
        ROOM,
        "scan/symbolic/frames.py",
        TEMPORARIES,
        Change(
            "no platform leaves variables as they were",
            "both(left_over, unset)",
            "both(negation(left_over), unset)",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/expressions/operators.py",
        TEMPORARIES,
        Change(
            "what may be unset is read behind AND_THEN in any case",
            "return not variable.unset_at_call",
            "return True",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/variables/declarations.py",
        TEMPORARIES,
        Change(
            "an initial value counts for nothing",
            "self._begins_anew(section, role) and not one.has_initial",
            "self._begins_anew(section, role)",
        ),
        Change(
            "the result of a function is never unset",
            "unset_at_call=True",
            "unset_at_call=False",
        ),
    ),
    *mutants(
        ROOM,
        "scan/symbolic/integers.py",
        DURATIONS,
        Change(
            "no duration is below zero anywhere",
            "both(condition, below(value, 0))",
            "both(condition, False)",
        ),
        Change(
            "durations below zero are findings where they are signed",
            "both(unsigned, below_zero)",
            "both(negation(unsigned), below_zero)",
        ),
        Change(
            "integers as durations may be below zero",
            "return in_range(scan, units, target, convert.span)",
            "return units",
        ),
    ),
    *mutants(
        ROOM,
        "scan/symbolic/encode.py",
        DURATIONS,
        Change(
            "inputs of platforms without durations below zero have some",
            "either(scan.reading(name), value >= 0)",
            "either(scan.reading(name), value >= -100)",
        ),
        Change(
            "an input is limited only where the reading is open",
            "if name not in scan.parameters and scan.readings.durations_are_signed is not False:",
            "if name not in scan.parameters:",
        ),
    ),
    *mutants(
        ROOM,
        "scan/arithmetic.py",
        DURATIONS,
        Change(
            "durations are signed on every platform",
            "if value < 0 and not self.unbounded and not self.durations_are_signed():",
            "if False:",
        ),
        Change(
            "an integer below zero is any duration",
            "return self.fit(value * self.clocking.units_per_millisecond, target, span)",
            "return value * self.clocking.units_per_millisecond",
        ),
    ),
)
