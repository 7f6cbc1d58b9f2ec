"""Formulas, properties and quantities: monitors and the direct reading."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants
from tests.mutants.rooms.tables import EVALUATOR_TABLE, MONITOR_TABLE

ROOM = "specification/logic"
PAIR = "agreement/test_monitor_against_evaluator.py"
MONITOR = (*MONITOR_TABLE, "specification/logic/test_monitor.py", PAIR)
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
            'self._memory.clock(z3.Not(before), f"since first {words}"',
            'self._memory.clock(z3.Or(operand, z3.Not(before)), f"since first {words}"',
        ),
        Change(
            "once lately looks at the first time",
            "restarts = z3.Or(operand, z3.Not(before))",
            "restarts = z3.Not(before)",
        ),
        Change(
            "a jump misses where a clock began",
            "stopped = self._memory.stop(operand, words)",
            "stopped = None",
        ),
        Change(
            "a jump misses where the clock of a release began",
            "stopped = self._memory.stop(release, release_words)",
            "stopped = None",
        ),
        Change(
            "a jump misses where the clock of a hold began",
            "stopped = self._memory.stop(opposite(hold), self._wording.negated(formula.hold))",
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
            "tick = 1 if bound.in_scans else self._memory.base.tick",
            "tick = self._memory.base.tick",
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
            "historically is never",
            "term = opposite(self.formula(formula.operand))",
            "term = self.formula(formula.operand)",
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
            'self._key("scans" if in_scans else "time", restarts)',
            'self._key("clock", restarts)',
        ),
        Change(
            "scans are counted by time",
            "pace = self.base.scans if in_scans else self.base.elapsed",
            "pace = self.base.elapsed",
        ),
        Change(
            "flags that begin alike are one",
            "return (purpose, *(term.get_id() for term in terms))",
            "return (purpose, terms[0].get_id())",
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
            "pace = base.scans if quantity.in_scans else base.elapsed",
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
        "specification/logic/evaluate.py",
        FORMULAS,
        Change(
            "what is not certain holds",
            "return [truth is True for truth in truths]",
            "return [truth is not False for truth in truths]",
        ),
        Change(
            "what is not certain refutes",
            "for i, truth in enumerate(truths) if truth is False), None)",
            "for i, truth in enumerate(truths) if truth is not True), None)",
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
            "return _all((truths[i], _not(truths[i - 1]))) if i > 0 else False",
            "return _all((truths[i], _not(truths[i - 1]))) if i > 0 else truths[0]",
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
            "held_after = _all((held_after, hold[j]))",
            "held_after = True",
        ),
        Change(
            "since wants to hold at its beginning",
            "witnesses.append(_all((release[j], held_after)))",
            "witnesses.append(_all((release[j], held_after, hold[j])))",
        ),
        Change(
            "a scan that was cut short has values",
            "        if record.finding is not None:\n            return None",
            "        if record is None:\n            return None",
        ),
        Change(
            "a trigger that is not certain counts",
            "enumerate(self.truths(trigger)) if truth is True]",
            "enumerate(self.truths(trigger)) if truth is not False]",
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
            "        while scan >= 0 and not happened[scan]:\n            scan -= 1",
            "        scan = happened.index(True) if True in happened[: scan + 1] else -1",
        ),
    ),
)
