"""The searches for a run, the cone of influence that they search in, and what a run is before it counts."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "engine search"
MODELS = "engine/test_models.py"
PLAN = "engine/test_portfolio.py"
EXACT = ("engine/test_exactness.py",)
COUNTING = "agreement/test_engine_against_counting.py"
EVENTS = (
    "engine/test_event_claims.py",
    *EXACT,
    f"{MODELS}::test_event_search_finds_what_is_there_and_nothing_else",
    f"{COUNTING}::test_event_search_misses_nothing_within_the_scans_it_claims",
)
BOUNDED = (
    f"{MODELS}::test_bounded_search_finds_the_first_bad_step",
    f"{COUNTING}::test_bounded_search_finds_the_shortest_run",
)
CONE = (
    f"{PLAN}::test_the_slice_keeps_what_the_bad_term_and_the_assumptions_need",
    "engine/test_cone.py",
)
RUNS = ("engine/test_runs.py",)
PUMPING = ("evidence/test_quantity_question.py", "engine/test_prolonged_stays.py")

MUTANTS = (
    *mutants(
        ROOM,
        "engine/workers/process.py",
        (
            "engine/test_worker.py::test_garbage_is_collected_between_jobs_and_never_while_one_works",
        ),
        Change("garbage is collected while a job works", "    gc.disable()\n", ""),
        Change("garbage is never collected", "            gc.collect()\n", ""),
    ),
    *mutants(
        ROOM,
        "engine/search/counting.py",
        ("engine/test_counted_scans.py",),
        Change(
            "a jump counts once",
            "integer(state.symbol) + step * system.scans",
            "integer(state.symbol) + step",
        ),
    ),
    *mutants(
        ROOM,
        "engine/search/jumps.py",
        EVENTS,
        Change(
            "events are claimed where jumps are not exact",
            "events=searched if exact else 0,",
            "events=searched,",
        ),
        Change(
            "jumps are exact where no guard makes them so",
            "self._guarded = guard is not None",
            "self._guarded = True",
        ),
        Change(
            "a jump that does not run is exact all the same",
            "            self._complete = False",
            "            pass",
            ("engine/test_event_claims.py",),
        ),
        Change(
            "what was passed over before jumps were weighed is forgotten",
            "            while run is None and self.depth < depth:\n"
            "                run = yield from self._deeper()",
            "            while run is None and self.depth < depth:\n"
            "                self.unrolling.extend()",
            ("engine/test_event_claims.py",),
        ),
        Change(
            "a search goes on with the guard that was not exact",
            "if guard is not None and guard != self._guard:",
            "if guard is None and guard != self._guard:",
        ),
        Change(
            "events are counted that were not searched",
            "                    searched = self.depth\n",
            "                    searched = self.depth + 1\n",
        ),
    ),
    *mutants(
        ROOM,
        "engine/search/jump_exactness.py",
        EXACT,
        Change(
            "a longer jump has as many scans",
            "self._longer = self._after(self._states, elapsed + self._more, scans + 1)",
            "self._longer = self._after(self._states, elapsed + self._more, scans)",
        ),
        Change(
            "sides of thresholds need not be kept",
            "terms = [*(state.symbol for state in guard.fixed), *guard.watched]",
            "terms = [*(state.symbol for state in guard.fixed)]",
        ),
        Change(
            "every number is never negative",
            "return [number >= 0 for number, _ in kept]",
            "return [number >= 0 for number, _ in numbers]",
        ),
        Change(
            "what begins negative is not",
            "solver.add(system.initial, number < 0)",
            "solver.add(system.initial, number < 0, system.scans == 0, system.scans == 1)",
        ),
        Change(
            "a jump may contain a shorter one that is not allowed",
            "        solver.add(longer, z3.Not(jump))",
            "        solver.add(longer, z3.Not(jump), jump)",
        ),
        Change(
            "a longer jump may be allowed where its last scan is not",
            "        solver.add(scan != longer)",
            "        solver.add(scan != longer, scan == longer)",
        ),
        Change(
            "states that come to differ are kept by nobody",
            "solver.add(z3.Or([one != other for one, other in pairs]))",
            "solver.add(z3.And([one != other for one, other in pairs]))",
        ),
    ),
    *mutants(
        ROOM,
        "engine/search/bounded.py",
        BOUNDED,
        Change(
            "a search counts a scan too many", "            scans += 1", "            scans += 2"
        ),
        Change(
            "numbers are searched for as bits",
            "if whole or system.shortest != system.longest:",
            "if system.shortest != system.longest:",
        ),
    ),
    *mutants(
        ROOM,
        "engine/system/unrolling.py",
        ("engine/test_event_claims.py", *BOUNDED),
        Change(
            "a path begins anywhere",
            "self.solver.add(Substitution(self._pairs_at(0), self._context)(system.initial))",
            "self.solver.add(Substitution(self._pairs_at(0), self._context)(z3.BoolVal(True)))",
        ),
        Change(
            "a path breaks the assumptions",
            "solver.add([at(term) for term in (*system.ranges, *system.constraints)])",
            "solver.add([at(term) for term in (*system.ranges,)])",
        ),
        Change(
            "a scan may take longer than the longest",
            "solver.add(elapsed >= system.shortest, elapsed <= system.longest)",
            "solver.add(elapsed >= system.shortest)",
            ("engine/test_event_claims.py",),
        ),
        Change(
            "a jump changes what it has to keep",
            "same.append(after(state.symbol) == stage.at(state.symbol))",
            "same.append(after(state.symbol) == after(state.symbol))",
            ("engine/test_event_claims.py",),
        ),
        Change(
            "a jump turns the side of a threshold",
            "same.append(after(term) == stage.at(term))",
            "same.append(after(term) == after(term))",
            ("engine/test_event_claims.py",),
        ),
    ),
    *mutants(
        ROOM,
        "engine/system/cone.py",
        CONE,
        Change(
            "a cone forgets the assumptions",
            "[*terms, *system.constraints, *system.initial_constraints]",
            "[*terms, *system.initial_constraints]",
        ),
        Change(
            "a cone forgets what restricts the first state",
            "[*terms, *system.constraints, *system.initial_constraints]",
            "[*terms, *system.constraints]",
        ),
        Change(
            "a cone forgets what first states are made of",
            "                if state.initial is not None:",
            "                if state.initial is None:",
        ),
        Change(
            "a cone forgets the ranges of its inputs",
            "ranges=tuple(r for r in system.ranges if any(name(s) in found for s in symbols([r]))),",
            "ranges=(),",
        ),
        Change(
            "a cone forgets what its states become of",
            "                waiting.append(state.update)",
            "                waiting.append(state.symbol)",
        ),
    ),
    *mutants(
        ROOM,
        "engine/system/runs.py",
        RUNS,
        Change(
            "a run may break the assumptions",
            "if not allowed or not system.shortest",
            "if not system.shortest",
        ),
        Change(
            "a run may have scans of any length",
            "if not allowed or not system.shortest <= run.steps[count - 1].elapsed <= system.longest:",
            "if not allowed:",
        ),
        Change(
            "a run need not be bad",
            "if bad and (not whole or count == len(run.steps)):",
            "if (bad or not whole) and count == len(run.steps):",
        ),
        Change(
            "a run goes on after its first bad scan",
            "return Violated(run.steps[:count], run.initial, run.method)",
            "return Violated(run.steps, run.initial, run.method)",
        ),
        Change(
            "a run may start where none may",
            "return values if self._legal(values)[0] else None",
            "return values",
        ),
        Change(
            "ranges of inputs do not bind a run",
            "allowed = z3.And([*system.ranges, *system.constraints, z3.BoolVal(True, context)])",
            "allowed = z3.And([*system.constraints, z3.BoolVal(True, context)])",
        ),
    ),
    *mutants(
        ROOM,
        "engine/system/models.py",
        (f"{MODELS}::test_bounded_search_finds_the_first_bad_step",),
        Change(
            "every Boolean of a model is TRUE",
            "values.append(truth == z3.Z3_L_TRUE)",
            "values.append(truth != z3.Z3_L_TRUE)",
        ),
    ),
    *mutants(
        ROOM,
        "engine/search/pumping.py",
        PUMPING,
        Change(
            "what advances once may stop later",
            "if form is None or not self._stays(form, step):",
            "if form is None:",
        ),
        Change(
            "the rest of a run need not take place",
            "if not self._leads(form, tried, following):",
            "if following is None:",
        ),
        Change(
            "a quantity that does not grow has no limit",
            "return PumpedRun(self._run, position) if self._grows(form, rest[-1]) else None",
            "return PumpedRun(self._run, position)",
        ),
        Change(
            "what is not decided is valid",
            "return answer == z3.unsat",
            "return answer != z3.sat",
        ),
        Change(
            "a scan more is of one length",
            "self._solver.add(elapsed >= self._system.shortest, elapsed <= self._system.longest)",
            "self._solver.add(elapsed == self._system.longest)",
        ),
        Change(
            "assumptions need not hold in what is added",
            "wanted = [at(term) for term in (*system.ranges, *system.constraints)]\n"
            "        wanted += [\n",
            "wanted = [at(term) for term in system.ranges]\n        wanted += [\n",
        ),
        Change(
            "the last scan need not be read",
            "wanted += [at(self._read), at(self._quantity) == least + added]",
            "wanted += [at(self._quantity) == least + added]",
        ),
    ),
)
