"""The proof, its frames and predicates, states made one, and who judges what is answered."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "engine proof"
MODELS = "engine/test_models.py"
PLAN = "engine/test_portfolio.py"
SOUND = ("engine/test_answers_are_checked.py",)
ALONE = ("engine/test_proof.py",)
"""With little effort: where the proof lacks something it may go on for long."""
PROOF = (
    *SOUND,
    f"{MODELS}::test_the_proof_decides_every_small_model",
    f"{PLAN}::test_a_preset_one_scan_too_long_is_found",
    f"{PLAN}::test_a_wait_in_time_is_bounded_in_scans_by_the_shortest_scan",
)
TWINS = ("engine/test_equivalent_states.py",)
JUDGED = ("engine/test_answers_are_checked.py", PLAN)

COUNTED = ("engine/test_counted_scans.py",)

COUNTERS = ("engine/test_running_counters.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "engine/proof/ic3.py",
        PROOF,
        Change(
            "a cube may hold the first state",
            "if (yield from self._frames.meets_start(candidate)) == z3.sat:",
            "if (yield from self._frames.meets_start(candidate)) == z3.unknown:",
        ),
        Change(
            "a generalised cube need not be out of reach",
            "if (yield from self._frames.reaches(candidate, level - 1)) == z3.unsat:",
            "if (yield from self._frames.reaches(candidate, level - 1)) != z3.unknown:",
        ),
        Change(
            "a cube is pushed as far as there are levels",
            "if (yield from self._frames.reaches(cube, level)) == z3.sat:",
            "if (yield from self._frames.reaches(cube, level)) == z3.unknown:",
        ),
        Change(
            "every clause is carried into the next frame",
            "if (yield from self._frames.reaches(cube, level, exclude=False)) == z3.unsat:",
            "if (yield from self._frames.reaches(cube, level, exclude=False)) != z3.unknown:",
        ),
        Change(
            "a core need not keep the first state out",
            "if (yield from self._frames.meets_start(smaller)) == z3.unsat:",
            "if (yield from self._frames.meets_start(smaller)) != z3.unknown:",
        ),
        Change(
            "a frame is an invariant before its clauses are carried on",
            "            if not self._blocked[level]:",
            "            if self._blocked[level + 1]:",
        ),
    ),
    *mutants(
        ROOM,
        "engine/proof/localisation.py",
        ("engine/test_localisation.py",),
        Change(
            "a run of the part is one of the whole",
            "        confirmed = self._whole.confirmed(run)",
            "        confirmed = run",
        ),
        Change(
            "what keeps a run from being bad is anything but what is hidden",
            "        self._visible |= core",
            "        self._visible |= {name(s.symbol) for s in part.hidden} - core",
        ),
    ),
    *mutants(
        ROOM,
        "engine/reduction/few_values.py",
        ("engine/test_reductions.py", "agreement/test_engine_against_counting.py"),
        Change(
            "that a number is one of few values is no part of the proof",
            "*(read(clause) for clause in found.clauses), *ranges)",
            "*(read(clause) for clause in found.clauses),)",
        ),
        Change(
            "a number that is kept is the constant",
            "made[node.get_id()] = flag",
            "made[node.get_id()] = z3.Not(flag)",
        ),
        Change(
            "a number that takes another number is one of few values",
            "        if value is None:\n            return None\n        found.setdefault",
            "        if value is None:\n            continue\n        found.setdefault",
        ),
    ),
    *mutants(
        ROOM,
        "engine/reduction/fixed_inputs.py",
        ("engine/test_reductions.py", "agreement/test_engine_against_counting.py"),
        Change(
            "a run does not say what an input is held at",
            "inputs={**each.inputs, **self.values}",
            "inputs={**each.inputs}",
        ),
        Change(
            "assumptions that contradict each other are put in",
            "if any(z3.is_false(each) for each in (*fixed.constraints, *fixed.ranges)):",
            "if fixed is None:",
        ),
        Change(
            "one of several is enough",
            "if z3.is_and(term):",
            "if z3.is_and(term) or z3.is_or(term):",
        ),
        Change(
            "what is off is on",
            "return term.arg(0), False",
            "return term.arg(0), True",
        ),
    ),
    *mutants(
        ROOM,
        "engine/reduction/intervals.py",
        COUNTERS,
        Change(
            "a range is that of the last scans alone",
            "own: first[own].joined(known.interval(state.update)) if own in first else _EVERYTHING",
            "own: known.interval(state.update) if own in first else _EVERYTHING",
        ),
        Change(
            "a remainder may be its divisor",
            "whole = Interval(0, int(size) - 1)",
            "whole = Interval(0, int(size))",
        ),
        Change(
            "what is not more is less",
            "below = Interval(-inf, least - apart.constant - 1)",
            "below = Interval(-inf, least - apart.constant - 2)",
        ),
    ),
    *mutants(
        ROOM,
        "engine/reduction/remainders.py",
        COUNTERS,
        Change(
            "the ranges are no part of the proof",
            "return replace(found, clauses=(*found.clauses, *self.ranges))",
            "return found",
        ),
        Change(
            "any number is a step from its range at most",
            "if size <= 0 or not interval.within(-size, 2 * size - 1):",
            "if size <= 0:",
        ),
    ),
    *mutants(
        ROOM,
        "engine/reduction/running_counters.py",
        COUNTERS,
        Change(
            "whatever hangs on where the counter is, it is put at one place",
            "        return asked_once(solver, budget, _QUERY) == z3.unsat\n\n\ndef _where",
            "        return asked_once(solver, budget, _QUERY) != z3.unknown\n\n\ndef _where",
        ),
        Change(
            "a clock that is proved something of is the counter",
            "read = Substitution([(each.clock, each.gone) for each in self.copies]",
            "read = Substitution([(each.clock, each.counter.symbol) for each in self.copies]",
        ),
        Change(
            "the clock never comes round",
            "z3.If(self._system.scans == 1, older - size, self._number(_BEYOND))",
            "z3.If(self._system.scans == 1, older, self._number(_BEYOND))",
        ),
    ),
    *mutants(
        ROOM,
        "engine/proof/frames.py",
        PROOF,
        Change(
            "the proof knows no assumptions",
            "z3.Implies(self._allowed, self._constraint),",
            "z3.Implies(self._allowed, z3.BoolVal(True, self._context)),",
            ALONE,
        ),
        Change(
            "a scan of a proof takes at least no time",
            "            system.elapsed >= system.shortest,",
            "            system.elapsed >= 0,",
            (f"{PLAN}::test_a_wait_in_time_is_bounded_in_scans_by_the_shortest_scan",),
        ),
        Change(
            "what holds in the first state is excluded there",
            "return None if value is None else value != (literal > 0)",
            "return None if value is None else value == (literal > 0)",
        ),
        Change(
            "no cube meets the first state",
            "known = self._start_known[cube] = answer == z3.sat",
            "known = self._start_known[cube] = answer == z3.unknown",
        ),
        Change(
            "a bad scan needs no bad term",
            "            self._bad_label == bad,",
            "            z3.Implies(self._bad_label, bad), z3.Not(self._bad_label),",
        ),
        Change(
            "the first frame is any state",
            "self.solver.add(z3.Implies(self._levels[0], system.initial))",
            "self.solver.add(z3.Implies(self._levels[0], z3.BoolVal(True, self._context)))",
            ALONE,
        ),
        Change(
            "after a scan is before it",
            "self.solver.add(label == self._next(self.predicates[number - 1]))",
            "self.solver.add(label == self.predicates[number - 1])",
        ),
    ),
    *mutants(
        ROOM,
        "engine/proof/refinement.py",
        PROOF,
        Change(
            "clocks are not compared with each other",
            "            (self._alike, _both_ways(named)),\n        ]",
            "        ][:0]",
            ALONE,
        ),
        Change(
            "what keeps a path from being a run says nothing of clocks",
            "coupled = [pair for pair in self._coupled if cause.intersection(pair)]",
            "coupled = [pair for pair in self._coupled if not cause]",
            COUNTED,
        ),
        Change(
            "time is not compared with what counts scans",
            "if t in cause or c.name in cause]",
            "if c.name not in cause and t not in cause]",
            COUNTED,
        ),
    ),
    *mutants(
        ROOM,
        "engine/system/predicates.py",
        COUNTED,
        Change(
            "clocks of time and of scans are unrelated",
            "fresh |= self.add_linear(_added(pace, ((), -distance * many)))",
            "fresh |= distance is None",
            PROOF,
        ),
        Change(
            "what counts scans counts from 0",
            "(((counter.name, sign),), -sign * counter.origin)",
            "(((counter.name, sign),), 0)",
        ),
        Change(
            "what counts scans counts by one",
            "many, sign = abs(counter.step), 1 if counter.step > 0 else -1",
            "many, sign = 1, 1 if counter.step > 0 else -1",
        ),
    ),
    *mutants(
        ROOM,
        "engine/system/counters.py",
        COUNTED,
        Change(
            "what is taken away counts up",
            "return value if value is None or kind == z3.Z3_OP_ADD else -int(value)",
            "return value if value is None or kind == z3.Z3_OP_ADD else int(value)",
        ),
    ),
    *mutants(
        ROOM,
        "engine/system/invariant.py",
        JUDGED,
        Change(
            "an invariant need not hold at first",
            "[system.initial, z3.Not(invariant)]),",
            "[system.initial, z3.Not(invariant), invariant]),",
        ),
        Change(
            "an invariant need not last",
            "[invariant, system.scan_constraint, z3.Not(after(invariant))]),",
            "[invariant, system.scan_constraint, z3.Not(invariant)]),",
        ),
        Change(
            "an invariant may allow a bad scan",
            '("it allows a bad scan", [invariant, system.scan_constraint, bad]),',
            '("it allows a bad scan", [invariant, z3.Not(invariant), bad]),',
        ),
        Change(
            "what is not decided is no fault",
            "        if answer != z3.unsat:\n            return message",
            "        if answer == z3.sat:\n            return message",
        ),
        Change(
            "what is not decided is a certain fault",
            "return message, answer == z3.sat",
            "return message, True",
        ),
        Change("a contradiction is an open question", "    if certain:", "    if not message:"),
        Change(
            "a clause that is needed is left out",
            "            waiting.append(z3.Not(after(clauses[place])))",
            "            places.pop(place, None)",
        ),
    ),
    *mutants(
        ROOM,
        "engine/portfolio.py",
        JUDGED,
        Change(
            "what is not decided can be in no scan",
            "return asked_once(solver, budget, _FIRST_QUERY) == z3.unsat",
            "return asked_once(solver, budget, _FIRST_QUERY) != z3.sat",
        ),
        Change(
            "one scan's logic is asked without the bad term",
            "    solver.add(system.scan_constraint, bad)",
            "    solver.add(system.scan_constraint, bad, z3.Not(bad))",
        ),
        Change(
            "the first engine that gives up answers",
            "            if not isinstance(answer, Unknown):\n                return answer",
            "            if answer is not None:\n                return answer",
        ),
        Change(
            "the least depth is told",
            "events = max(answer.events for answer in unknowns)",
            "events = min(answer.events for answer in unknowns)",
        ),
        Change(
            "the clock hides the reason",
            "return Unknown((own or reasons)[0], events, scans)",
            "return Unknown(reasons[0], events, scans)",
        ),
    ),
    *mutants(
        ROOM,
        "engine/proof/chc.py",
        JUDGED,
        Change(
            "an invariant of the Horn clause engine is not checked",
            "if first_failed_obligation(system, bad, clauses, budget) is not None:",
            "if clauses is None:",
        ),
        Change(
            "any scan is one of the Horn clauses",
            "engine.rule(boolean(reachable(*updates)), [here, scan])",
            "engine.rule(boolean(reachable(*updates)), [here, system.scans == 1])",
            (f"{MODELS}::test_the_horn_clause_engine_proves_or_points_at_a_run",),
        ),
    ),
    *mutants(
        ROOM,
        "engine/proof/equivalences.py",
        TWINS,
        Change(
            "states that begin unequal are equivalent",
            "        and z3.is_true(z3.simplify(first.initial == second.initial))",
            "        and first.initial is not None",
        ),
        Change(
            "states that come to differ are equivalent",
            "        if not broken:\n            return pairs",
            "        if broken or not broken:\n            return pairs",
        ),
        Change(
            "what is not decided is equal",
            "    if answer == z3.unknown:\n        return everything",
            "    if answer == z3.unknown:\n        return []",
        ),
        Change(
            "a proof forgets the equalities",
            "return Proved((*found.clauses, *equal), method)",
            "return Proved(found.clauses, method)",
        ),
    ),
)
