"""Formulas, properties and quantities as monitors."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants
from tests.mutants.rooms.tables import MONITOR_TABLE

ROOM = "specification/logic"
PAIR = "agreement/test_monitor_against_evaluator.py"
MONITOR = (*MONITOR_TABLE, "specification/logic/test_monitor.py", PAIR)
BEFORE_POWER_UP = "evidence/test_before_power_up.py"
ASSUMED = f"{PAIR}::test_random_assumptions_are_met_by_the_same_runs"
OLDER_MONITORS = (
    MONITOR_TABLE[0],
    BEFORE_POWER_UP,
    ASSUMED,
    f"{PAIR}::test_random_formulas_have_one_value_in_every_scan",
)
FIGURES = ("specification/logic/test_quantities.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "specification/logic/monitor.py",
        MONITOR,
        Change(
            "until waits from the scan after its trigger",
            "z3.Or(waiting, self.formula(property.trigger)), z3.Not(hold), z3.Not(release)",
            "waiting, z3.Not(hold), z3.Not(release)",
        ),
        Change(
            "until is refuted by its release",
            "z3.Not(hold), z3.Not(release)",
            "z3.Not(hold)",
        ),
        Change(
            "before allows both at once",
            "first_alone = And((property.first, not_second))",
            "first_alone = property.first",
        ),
        Change(
            "what is on in the first scan has come on",
            "return z3.And(z3.Not(self._memory.first_scan()), *change)",
            "return z3.And(*change)",
        ),
        Change(
            "rose is fell",
            "(last, z3.Not(now)) if before else (z3.Not(last), now)",
            "(z3.Not(last), now) if before else (last, z3.Not(now))",
        ),
        Change(
            "before the first scan all was FALSE",
            "value = z3.If(self._memory.first_scan(), value, last)",
            "value = last",
        ),
        Change(
            "once long ago looks at the last time",
            "self._memory.clock(z3.Not(before), name, bound.in_scans, older=older)",
            "self._memory.clock(z3.Or(operand, z3.Not(before)), name, bound.in_scans, older=older)",
        ),
        Change(
            "once lately looks at the first time",
            "restarts = z3.Or(operand, z3.Not(before))",
            "restarts = z3.Not(before)",
        ),
        Change(
            "a jump misses where a clock began",
            "stopped = self._memory.stop(operand, words, older)",
            "stopped = None",
        ),
        Change(
            "a jump misses where the clock of a release began",
            "stopped = self._memory.stop(release, release_words, older)",
            "stopped = None",
        ),
        Change(
            "a jump misses where the clock of a hold began",
            "stopped = self._memory.stop(opposite(hold), self._wording.negated(formula.hold), older)",
            "stopped = None",
        ),
        Change("since does not ask for holding", "kept = z3.And(hold, before)", "kept = before"),
        Change(
            "since wants to hold at its beginning",
            "lasting = z3.Or(release, kept)",
            "lasting = z3.Or(z3.And(release, hold), kept)",
        ),
        Change(
            "since lately looks at the first time",
            'z3.Or(release, z3.Not(kept)), f"since {words}"',
            'z3.Not(kept), f"since {words}"',
        ),
        Change(
            "since long ago looks at the last time",
            'z3.Not(kept), f"since first {words}"',
            'z3.Or(release, z3.Not(kept)), f"since first {words}"',
        ),
        Change(
            "a response counts from its last trigger",
            "restarts = z3.Or(z3.Not(waiting), self.formula(response.answer))",
            "restarts = z3.Or(self.formula(response.trigger), self.formula(response.answer))",
        ),
        Change(
            "an answer beyond the bound is in time",
            '        _, age = self._memory.clock(restarts, f"waiting',
            '        age, _ = self._memory.clock(restarts, f"waiting',
        ),
        Change(
            "a least distance is rounded down",
            "return age >= -(-bound.low // tick)",
            "return age >= bound.low // tick",
        ),
        Change(
            "a greatest distance is rounded up",
            "return age <= bound.high // tick",
            "return age <= -(-bound.high // tick)",
        ),
        Change(
            "scans are counted in ticks",
            "tick = 1 if bound.in_scans else base.tick * base.whole_scan",
            "tick = base.tick * base.whole_scan",
        ),
        Change(
            "a conjunction of nothing is FALSE",
            "return self._joined(z3.And, formula.operands, empty=True)",
            "return self._joined(z3.And, formula.operands, empty=False)",
        ),
        Change(
            "an implication goes the other way",
            "return z3.Implies(self.formula(formula.left), self.formula(formula.right))",
            "return z3.Implies(self.formula(formula.right), self.formula(formula.left))",
        ),
        Change(
            "a run that is too young has held",
            "if older or not _limited(bound)",
            "if True or not _limited(bound)",
            OLDER_MONITORS,
        ),
        Change(
            "a run that is old enough has not held",
            "z3.Not(self._within(age, bound)), whole)",
            "z3.Not(self._within(age, bound)), z3.BoolVal(False))",
            OLDER_MONITORS,
        ),
        Change(
            "any scan is older than the run",
            "if isinstance(formula, FirstScan | AnyScan):",
            "if isinstance(formula, FirstScan):",
            OLDER_MONITORS,
        ),
        Change(
            "what is older in part is older",
            "return all(self._older[id(child)] for",
            "return any(self._older[id(child)] for",
            OLDER_MONITORS,
        ),
        Change(
            "whatever is read is older than the run",
            "return all(variable in self._older_variables for",
            "return True or all(variable in self._older_variables for",
            OLDER_MONITORS,
        ),
        Change(
            "historically is never",
            "term, bound = opposite(self.formula(formula.operand)), formula.bound",
            "term, bound = self.formula(formula.operand), formula.bound",
        ),
        Change(
            "an assumption may speak of the time of this scan",
            "        if self._memory.timed(term):\n            message",
            "        if term is None:\n            message",
        ),
        Change(
            "a waiting ends with its answer only in a later scan",
            'return self._memory.flag(asked, None, answered, f"waiting({words})"), words',
            'return self._memory.flag(asked, z3.Not(answered), None, f"waiting({words})"), words',
        ),
    ),
    *mutants(
        ROOM,
        "specification/logic/monitor_state.py",
        MONITOR,
        Change(
            "memories of different age are one",
            "return (purpose, older, *(",
            "return (purpose, *(",
            (BEFORE_POWER_UP,),
        ),
        Change(
            "a flag begins in the scan that ends it",
            "return on if ends is None else z3.And(on, z3.Not(ends))",
            "return on if ends is None else z3.Or(starts, z3.And(on, z3.Not(ends)))",
        ),
        Change(
            "a flag stays where it does not hold",
            "kept = symbol if holds is None else z3.And(holds, symbol)",
            "kept = symbol",
        ),
        Change(
            "one key for clocks by time and by scans",
            'self._key("scans" if in_scans else "time", older, restarts)',
            'self._key("clock", older, restarts)',
        ),
        Change(
            "scans are counted by time",
            "pace = self.base.scans if in_scans else self.base.elapsed",
            "pace = self.base.elapsed",
        ),
        Change(
            "flags that begin alike are one",
            "return (purpose, older, *(term.get_id() for term in terms))",
            "return (purpose, older, terms[0].get_id())",
        ),
        Change(
            "a count of scans is no time",
            "return _mentions(term, (self.base.elapsed, self.base.scans))",
            "return _mentions(term, (self.base.elapsed,))",
        ),
        Change(
            "the first scan never ends",
            'return self._state(("first scan",), "first scan", true, lambda _: false)',
            'return self._state(("first scan",), "first scan", true, lambda _: true)',
        ),
    ),
    *mutants(
        ROOM,
        "specification/logic/monitor_quantity.py",
        FIGURES,
        Change(
            "the greatest value goes beyond itself",
            "self.value < bound if least else self.value > bound",
            "self.value < bound if least else self.value >= bound",
        ),
        Change(
            "without limit is not beyond a bound",
            "return z3.Or(self.without_limit, z3.And(self.read, further))",
            "return z3.And(self.read, further)",
        ),
        Change(
            "one event of several is enough",
            "monitors.formula(quantity.condition), z3.And(seen)",
            "monitors.formula(quantity.condition), z3.Or(seen)",
        ),
        Change(
            "scans are counted by time",
            "pace = base.scans if in_scans else base.elapsed",
            "pace = base.elapsed",
        ),
        Change(
            "an event of this scan is one before it",
            "        return states, seen, clock + pace",
            "        return states, z3.Or(happens, seen), age",
        ),
        Change(
            "a distance has one direction only",
            "differences = [a - b for a, b in permutations(ages, 2)]",
            "differences = [ages[0] - ages[1]]",
        ),
        Change(
            "what is missing is not read",
            "missing = z3.And(condition, z3.Not(every))",
            "missing = z3.And(condition, every, z3.Not(every))",
        ),
        Change(
            "an event's clock is not put back",
            "z3.Or(happens, seen), age",
            "z3.Or(happens, seen), clock + pace",
        ),
    ),
    *mutants(
        ROOM,
        "specification/logic/power_up.py",
        OLDER_MONITORS,
        Change(
            "the block runs before power-up",
            "if state.name not in own and",
            "if False and",
        ),
        Change(
            "older memories wait for power-up",
            "if state.name not in own and",
            "if",
        ),
        Change(
            "every assumption is met before power-up",
            "now(constraint) if older else",
            "now(constraint) if True else",
        ),
        Change(
            "no assumption is met before power-up",
            "now(constraint) if older else",
            "now(constraint) if False else",
        ),
        Change(
            "the first scan looks back",
            "z3.Or(past.first_scan, power_up))",
            "past.first_scan)",
        ),
        Change(
            "the first sample looks back",
            "z3.Or(past.first_scan, power_up))",
            "power_up)",
        ),
        Change(
            "something is asked of what is before power-up",
            "return z3.And(running, now(term)) if",
            "return now(term) if",
        ),
    ),
)
