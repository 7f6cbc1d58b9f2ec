"""One scan executed: statements, blocks, the machine between scans."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants
from tests.mutants.rooms.tables import EXECUTOR_TABLE

ROOM = "scan/concrete"
TIMERS = ("scan/concrete/test_execute_timers.py", EXECUTOR_TABLE)
BLOCKS = ("scan/concrete/test_execute_blocks.py", EXECUTOR_TABLE)
STATEMENTS = ("scan/concrete/test_execute_statements.py", EXECUTOR_TABLE)
MACHINE = ("scan/concrete/test_execute_machine.py",)
AGAIN = ("agreement/test_machines_run_again.py",)
DATA = ("scan/meaning/test_data_meaning.py",)
FIRST_SCANS = ("scan/meaning/test_first_scans.py",)
TEMPORARIES = ("scan/meaning/test_temporary_variables.py",)
SURROUNDINGS = "specification/surroundings/test_bounce.py"

MUTANTS = (
    *mutants(
        ROOM,
        "scan/concrete/blocks.py",
        TIMERS,
        Change(
            "timers of the surroundings depend on the platform",
            "counts = self.readings.edge_call_counts and not self.instance.surroundings",
            "counts = self.readings.edge_call_counts",
            (f"{SURROUNDINGS}::test_the_time_of_the_surroundings_is_the_same_on_every_platform",),
        ),
        Change(
            "no edge call counts its time",
            "self.memory.age = self.elapsed if counts and passed else NO_TIME",
            "self.memory.age = NO_TIME",
        ),
        Change(
            "time has passed in the first scan on every platform",
            "passed = self.memory.begun or self.readings.first_scan_has_time",
            "passed = True",
        ),
        Change(
            "no time has passed in the first scan on any platform",
            "passed = self.memory.begun or self.readings.first_scan_has_time",
            "passed = self.memory.begun",
        ),
        Change(
            "a first scan leaves no trace",
            "return (*began, memory.age, memory.preset, memory.begun)",
            "return (*began, memory.age, memory.preset, True)",
            MACHINE,
        ),
        Change(
            "the preset is read in every call",
            'return self.memory.preset if self.readings.preset_latched else Units(self.get("PT"))',
            'return Units(self.get("PT"))',
        ),
        Change(
            "a preset of zero counts as one",
            "in_time = not edge or preset > 0",
            "in_time = not edge or preset >= 0",
        ),
        Change(
            "over only beyond the preset",
            "return self.memory.age >= preset and in_time",
            "return self.memory.age > preset and in_time",
        ),
        Change(
            "ET goes on beyond the preset",
            "max(0, min(self.memory.age, self._preset()))",
            "max(0, self.memory.age)",
        ),
        Change(
            "ET shows a negative preset",
            "max(0, min(self.memory.age, self._preset()))",
            "min(self.memory.age, self._preset())",
        ),
        Change(
            "an off-delay runs before its input ever was on",
            'if self.on("IN") or not self.memory.running:',
            'if self.on("IN"):',
        ),
        Change(
            "an edge while the pulse runs starts it anew",
            'edge = self.on("IN") and not self.memory.last and not self.memory.running',
            'edge = self.on("IN") and not self.memory.last',
        ),
        Change(
            "ET of a pulse that is over stays without its input",
            'if not self.on("IN"):\n                    self.set("ET", 0)',
            'if self.instance is None:\n                    self.set("ET", 0)',
        ),
        Change(
            "a level is an edge",
            'self.set("Q", self.on("CLK") and not self.memory.last)',
            'self.set("Q", self.on("CLK"))',
            BLOCKS,
        ),
        Change(
            "a falling trigger is on while its input is off",
            'self.set("Q", not self.on("CLK") and not self.memory.last)',
            'self.set("Q", not self.on("CLK"))',
            BLOCKS,
        ),
        Change(
            "a falling trigger sees no edge in its first call on any platform",
            "last=not readings.falling_edge_at_first_call",
            "last=True",
            BLOCKS,
        ),
        Change(
            "reset dominates in SR",
            'self.on("S1") or (not self.on("R") and self.on("Q1"))',
            'not self.on("R") and (self.on("S1") or self.on("Q1"))',
            BLOCKS,
        ),
        Change(
            "set dominates in RS",
            'not self.on("R1") and (self.on("S") or self.on("Q1"))',
            'self.on("S") or (not self.on("R1") and self.on("Q1"))',
            BLOCKS,
        ),
        Change(
            "a counter leaves its limit above", "if value < limit:", "if value <= limit:", BLOCKS
        ),
        Change(
            "a counter goes on at its preset on every platform",
            'limit = min(limit, self.get("PV"))',
            'limit = max(limit, self.get("PV"))',
            BLOCKS,
        ),
        Change(
            "a counter leaves its limit below",
            'if self.get("CV") > limit:',
            'if self.get("CV") >= limit:',
            BLOCKS,
        ),
        Change("both edges count up", "elif up and not down:", "elif up:", BLOCKS),
        Change(
            "the edge down is forgotten",
            "self.memory.last_down = now[1] if len(now) > 1 else False",
            "self.memory.last_down = False",
            BLOCKS,
        ),
        Change(
            "a counter is full one later",
            'self.set("Q", self.get("CV") >= self.get("PV"))',
            'self.set("Q", self.get("CV") > self.get("PV"))',
            BLOCKS,
        ),
        Change(
            "both ways: full one later",
            'self.set("QU", self.get("CV") >= self.get("PV"))',
            'self.set("QU", self.get("CV") > self.get("PV"))',
            BLOCKS,
        ),
        Change(
            "a count below zero is not empty",
            'self.set("QD", self.get("CV") <= 0)',
            'self.set("QD", self.get("CV") == 0)',
            BLOCKS,
        ),
        Change(
            "a count down is done below zero only",
            'self.set("Q", self.get("CV") <= 0)',
            'self.set("Q", self.get("CV") < 0)',
            BLOCKS,
        ),
    ),
    *mutants(
        ROOM,
        "scan/concrete/execute.py",
        MACHINE,
        Change(
            "a run begins with what the one before left in the variables",
            "self._values.clear()\n        self._values.update(self._initial)\n",
            "pass\n",
            AGAIN,
        ),
        Change(
            "a run begins with what the one before left in timers",
            "self._memories[instance] = first_memory(instance, self.readings)",
            "self._memories[instance] = self._memories[instance]",
            AGAIN,
        ),
        Change(
            "a run goes on with the time of the one before",
            "self._time = None\n        self._finding = None\n",
            "self._finding = None\n",
            AGAIN,
        ),
        Change(
            "all samples before power-up are at one time",
            "times.append(times[-1] - passed)",
            "times.append(times[-1])",
        ),
        Change(
            "what is written too is older than the run",
            "values = {v.name: sampled[v.name] for v in self.program.older}",
            "values = {v.name: sampled[v.name] for v in self.program.inputs}",
        ),
        Change(
            "ages do not add up",
            "memory.age = Units(memory.age + elapsed)",
            "memory.age = elapsed",
            TIMERS,
        ),
        Change(
            "a scan without supply counts as a first one",
            "        for memory in running:",
            "        for memory in self._memories.values():",
            FIRST_SCANS,
        ),
        Change(
            "the first scan is not at time 0",
            "self._time = Units(0 if self._time is None",
            "self._time = Units(elapsed if self._time is None",
        ),
        Change(
            "an input that the block wrote is shown so",
            "kept = {name: sampled[name] for name in self._shown_as_sampled}",
            "kept = {}",
            equivalent="what counts as sampled is written by nobody: in-outs, and inputs that the "
            "program changes, are not among it",
        ),
        Change("any value is an input", "if not low <= value <= high:", "if value is None:"),
        Change(
            "a formula overflows where its type ends",
            "arithmetic = Arithmetic(clocking, unbounded=True)",
            "arithmetic = Arithmetic(clocking, integers_wrap=True)",
        ),
        Change(
            "ages that differ count as one state",
            "memory.age = min(memory.age, limit)",
            "memory.age = min(memory.age, limit // 2)",
            MACHINE,
        ),
        Change(
            "a machine goes on after a finding",
            'if self._finding is not None:\n            raise RuntimeError("the machine stopped at '
            'a finding")\n        self._check',
            "self._check",
        ),
        Change(
            "any scan time is one",
            "if not self.clocking.shortest <= elapsed <= self.clocking.longest:",
            "if elapsed < 0:",
        ),
    ),
    *mutants(
        ROOM,
        "scan/concrete/timer_ages.py",
        MACHINE,
        Change(
            "the last preset counts, not the greatest",
            "limits[instance] = max(limits[instance], _units(value.value, clocking))",
            "limits[instance] = _units(value.value, clocking)",
        ),
        Change(
            "a preset that is computed counts as never greater",
            "            del limits[instance]",
            "            pass",
        ),
    ),
    *mutants(
        ROOM,
        "scan/concrete/routine.py",
        STATEMENTS,
        Change(
            "a case ends before its last value", "low <= selector <= high", "low <= selector < high"
        ),
        Change(
            "a FOR variable stays at its end on every platform",
            "if going or self._readings.loop_leaves_past_end:",
            "if going:",
        ),
        Change(
            "a FOR loop leaves out its last value",
            "return value <= last if step > 0",
            "return value < last if step > 0",
        ),
        Change(
            "a FOR loop down leaves out its last value",
            "else value >= last",
            "else value > last",
            (*STATEMENTS, "scan/meaning/test_language_meaning.py"),
        ),
        Change("a loop has one round more", "if self._left == 0:", "if self._left < 0:"),
        Change(
            "a restart leaves what instances hide",
            "self._memories[instance] = first_memory(instance, self._readings)",
            "first_memory(instance, self._readings)",
            ("scan/meaning/test_power_cycles.py",),
        ),
        Change(
            "temporaries keep their values",
            "for variable in routine.initialise:",
            "for variable in ():",
        ),
        Change(
            "arguments are bound one by one",
            "        values = [self._evaluate(expression) for _, expression in arguments]\n",
            "        values = [self._evaluate(expression) for _, expression in arguments[::-1]]"
            "[::-1]\n",
            (
                *STATEMENTS,
                "scan/meaning/test_values_in_both_rooms.py",
                "scan/meaning/test_language_meaning.py",
            ),
        ),
        Change(
            "a continue leaves the loop",
            "return lambda: Flow.CONTINUE",
            "return lambda: Flow.EXIT",
        ),
    ),
    *mutants(
        ROOM,
        "scan/concrete/expressions.py",
        DATA,
        Change(
            "AND_THEN is decided by TRUE",
            "decided = first is (part.operator is typed.Operator.OR)",
            "decided = first is (part.operator is typed.Operator.AND)",
            ("scan/meaning/test_values_in_both_rooms.py",),
        ),
        Change(
            "a deep part comes before what is left of it",
            "stack = [steps.taken(valued) if deep else valued for valued, deep in each]",
            "stack[first:] = [steps.taken(v) if d else v for v, d in list(each)[first:]]",
            MACHINE,
        ),
        Change(
            "an index below its limits counts from the end",
            "if not 0 <= step < dimension.count:",
            "if not step < dimension.count:",
        ),
        Change(
            "rows of an array overlap",
            "place = place * dimension.count + step",
            "place = place + step",
            ("scan/meaning/test_values_in_both_rooms.py",),
        ),
    ),
    *mutants(
        ROOM,
        "scan/concrete/routine.py",
        TEMPORARIES,
        Change(
            "an assignment leaves its variable unset",
            "return assign_unset if statement.target.unset_at_call else assign",
            "return assign",
        ),
        Change(
            "a value that is written otherwise leaves its variable unset",
            "        self.unset.discard(variable.name)",
            "        self.unset.discard('')",
        ),
        Change(
            "a variable of a routine is never unset",
            "            if variable.unset_at_call:\n",
            "            if False:\n",
        ),
        Change(
            "a function's result is read however it is",
            "        if used:\n            self._evaluator",
            "        if False:\n            self._evaluator",
        ),
        Change(
            "a function's result counts as read where nobody uses it",
            "self._call_function(expression, used=False)",
            "self._call_function(expression)",
        ),
    ),
    *mutants(
        ROOM,
        "scan/concrete/expressions.py",
        TEMPORARIES,
        Change(
            "every platform leaves variables as they were",
            'if name in self._unset and not self._chosen("temporaries_begin_anew"):',
            "if name in self._unset:",
        ),
        Change(
            "an element is read however it is",
            "        self.check_set(name, part.span)",
            "        self.check_set('', part.span)",
        ),
    ),
)
