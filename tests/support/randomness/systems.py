"""Random small systems whose reachable states can be counted without a solver.

Each is written once as data and read twice: as terms, and by plain Python arithmetic.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from random import Random
from typing import Any

import z3
from twohand.engine.system.contract import Violated
from twohand.scan.transition_system import StateKind, StateVariable, TransitionSystem

ELAPSED, SCANS = z3.Int("elapsed"), z3.Int("scans")
SHORTEST, LONGEST = 1, 2
CAP = 6
"""Clocks are compared with less than this, so larger values are alike."""

Node = tuple[Any, ...]


def _condition(random: Random, names: list[str], numbers: dict[str, int], depth: int) -> Node:
    if depth == 0 or random.random() < 0.2:
        if numbers and random.random() < 0.4:
            number = random.choice(sorted(numbers))
            relation = random.choice(["<=", ">=", "=="])
            return (relation, number, random.randrange(numbers[number]))
        return ("is", random.choice(names))
    kind = random.choice(["not", "and", "or", "choose"])
    count = {"not": 1, "and": 2, "or": 2, "choose": 3}[kind]
    return (kind, *(_condition(random, names, numbers, depth - 1) for _ in range(count)))


def _holds(node: Node, values: dict[str, Any]) -> bool:
    kind = node[0]
    if kind == "is":
        return bool(values[node[1]])
    if kind == "not":
        return not _holds(node[1], values)
    if kind == "reached":
        return bool(values[node[1]] >= values[node[2]])
    if kind in ("<=", ">=", "=="):
        left, right = values[node[1]], node[2]
        return bool({"<=": left <= right, ">=": left >= right, "==": left == right}[kind])
    truths = [_holds(part, values) for part in node[1:]]
    if kind == "choose":
        return truths[1] if truths[0] else truths[2]
    return all(truths) if kind == "and" else any(truths)


def _term(node: Node, symbols: dict[str, z3.ExprRef]) -> z3.BoolRef:
    kind = node[0]
    if kind == "is":
        return symbols[node[1]]
    if kind == "reached":
        return symbols[node[1]] >= symbols[node[2]]
    if kind in ("<=", ">=", "=="):
        left, right = symbols[node[1]], node[2]
        return {"<=": left <= right, ">=": left >= right, "==": left == right}[kind]
    parts = [_term(part, symbols) for part in node[1:]]
    if kind == "choose":
        return z3.If(*parts)
    return {"not": z3.Not, "and": z3.And, "or": z3.Or}[kind](*parts)


@dataclass(frozen=True)
class Model:
    """``flags`` and ``counts`` map a state to its conditions; a count goes up where its first
    condition holds (to 3 at most) and to 0 where its second does; a clock restarts at 0 where its
    condition holds and else runs. Conditions read the state, except that those of clocks and flags
    named in ``late`` read the clocks after this scan's time has passed. A preset is 0 until the
    first of its conditions that holds gives it a constant, or what an input is; ``fixed`` are
    inputs that are assumed to be one value."""

    flags: dict[str, Node]
    counts: dict[str, tuple[Node, Node]]
    clocks: dict[str, Node]
    free: tuple[str, ...]
    bad_when: Node
    assumed: Node | None
    presets: dict[str, tuple[tuple[Node, int | str], ...]] = field(default_factory=dict)
    fixed: dict[str, int | bool] = field(default_factory=dict)

    @property
    def _numbers(self) -> list[str]:
        return [*self.counts, *self.clocks, *self.presets]

    def terms(self) -> tuple[TransitionSystem, z3.BoolRef]:
        symbols: dict[str, z3.ExprRef] = {n: z3.Bool(n) for n in [*self.flags, *self.free, "push"]}
        symbols |= {n: z3.Int(n) for n in self._numbers}
        given = {
            n: z3.Bool(n) if isinstance(value, bool) else z3.Int(n)
            for n, value in self.fixed.items()
        }
        symbols |= given
        late = symbols | {n: symbols[n] + ELAPSED for n in self.clocks}
        zero = z3.IntVal(0)
        states = [
            StateVariable(n, symbols[n], z3.BoolVal(False), _term(node, late))
            for n, node in self.flags.items()
        ]
        for n, (up, reset) in self.counts.items():
            higher = z3.If(symbols[n] < 3, symbols[n] + 1, symbols[n])
            value = z3.If(_term(reset, late), zero, z3.If(_term(up, late), higher, symbols[n]))
            states.append(StateVariable(n, symbols[n], zero, value))
        for n, node in self.clocks.items():
            value = z3.If(_term(node, late), zero, symbols[n] + ELAPSED)
            states.append(StateVariable(n, symbols[n], zero, value, StateKind.CLOCK))
        for n, choices in self.presets.items():
            value = symbols[n]
            for node, taken in reversed(choices):
                chosen = symbols[taken] if isinstance(taken, str) else z3.IntVal(taken)
                value = z3.If(_term(node, late), chosen, value)
            states.append(StateVariable(n, symbols[n], zero, value))
        states.extend(StateVariable(n, symbols[n], None, symbols[n]) for n in self.free)
        assumed = () if self.assumed is None else (_term(self.assumed, symbols),)
        assumed += tuple(symbol == self.fixed[n] for n, symbol in given.items())
        system = TransitionSystem(
            tuple(states), (symbols["push"], *given.values()), ELAPSED, SCANS, SHORTEST, LONGEST, 1,
            constraints=assumed,
        )  # fmt: skip
        return system, _term(self.bad_when, symbols)

    def _following(self, values: dict[str, Any], elapsed: int, cap: int | None) -> dict[str, Any]:
        late = values | {n: values[n] + elapsed for n in self.clocks}
        after = {n: _holds(node, late) for n, node in self.flags.items()}
        for n, (up, reset) in self.counts.items():
            higher = min(values[n] + 1, 3)
            after[n] = 0 if _holds(reset, late) else higher if _holds(up, late) else values[n]
        for n, choices in self.presets.items():
            taken = next((value for node, value in choices if _holds(node, late)), values[n])
            after[n] = values[taken] if isinstance(taken, str) else taken
        for n, node in self.clocks.items():
            after[n] = 0 if _holds(node, late) else late[n]
            if cap is not None:
                after[n] = min(after[n], cap)
        return after | {n: values[n] for n in self.free}

    def is_bad(self, state: dict[str, Any], push: bool) -> bool:
        """Whether a scan from this state is bad."""
        return _holds(self.bad_when, state | {"push": push} | self.fixed)

    def allows(self, state: dict[str, Any], push: bool) -> bool:
        """Whether such a scan may be."""
        return self._allowed(state | {"push": push} | self.fixed)

    def after(self, state: dict[str, Any], push: bool, elapsed: int) -> dict[str, Any]:
        """The state after it."""
        return self._following(state | {"push": push} | self.fixed, elapsed, None)

    def can_be_bad(self, elapsed: int) -> bool:
        """Whether some run of scans that all take so long is bad."""
        waiting = self.first_states()
        seen = {tuple(sorted(state.items())) for state in waiting}
        while waiting:
            state = waiting.pop()
            for push in (False, True):
                if not self.allows(state, push):
                    continue
                if self.is_bad(state, push):
                    return True
                after = self._following(state | {"push": push} | self.fixed, elapsed, CAP)
                key = tuple(sorted(after.items()))
                if key not in seen:
                    seen.add(key)
                    waiting.append(after)
        return False

    def _allowed(self, values: dict[str, Any]) -> bool:
        return self.assumed is None or _holds(self.assumed, values)

    def first_states(self) -> list[dict[str, Any]]:
        start = dict.fromkeys(self.flags, False) | dict.fromkeys(self._numbers, 0)
        states = [start]
        for n in self.free:
            states = [state | {n: value} for state in states for value in (False, True)]
        return states

    def first_bad_scan(self, limit: int = 10_000) -> int | None:
        """The number of scans of a shortest run to a bad scan, by breadth-first search."""
        layer = self.first_states()
        seen = {tuple(sorted(state.items())) for state in layer}
        for scans in range(1, limit + 1):
            following: list[dict[str, Any]] = []
            for state in layer:
                for push in (False, True):
                    values = state | {"push": push} | self.fixed
                    if not self._allowed(values):
                        continue
                    if _holds(self.bad_when, values):
                        return scans
                    for elapsed in range(SHORTEST, LONGEST + 1):
                        after = self._following(values, elapsed, CAP)
                        key = tuple(sorted(after.items()))
                        if key not in seen:
                            seen.add(key)
                            following.append(after)
            if not following:
                return None
            layer = following
        return None

    def replays(self, run: Violated) -> bool:
        """Whether the run is legal and its last scan bad, by plain arithmetic."""
        state = next(
            state
            for state in self.first_states()
            if all(state[n] == run.initial.get(n, False) for n in self.free)
        )
        for position, step in enumerate(run.steps):
            values = state | {"push": step.inputs.get("push", False)} | self.fixed
            if any(step.inputs.get(n, value) != value for n, value in self.fixed.items()):
                return False
            if not self._allowed(values) or not SHORTEST <= step.elapsed <= LONGEST:
                return False
            if position == len(run.steps) - 1:
                return _holds(self.bad_when, values)
            state = self._following(values, step.elapsed, None)
        return False


def random_model(seed: int) -> Model:
    """A model with up to three flags, a count and two clocks; many are safe."""
    random = Random(seed)
    flags = [f"flag{i}" for i in range(random.randint(1, 3))]
    counts = [f"count{i}" for i in range(random.randint(0, 1))]
    clocks = [f"clock{i}" for i in range(random.randint(0, 2))]
    free = tuple(f"reading{i}" for i in range(random.randint(0, 1)))
    names = [*flags, *free, "push"]
    limits = dict.fromkeys(counts, 4) | dict.fromkeys(clocks, CAP)

    def condition(depth: int = 2) -> Node:
        return _condition(random, names, limits, depth)

    def narrow() -> Node:
        return ("and", condition(), ("and", condition(1), condition(1)))

    model = Model(
        {n: condition(3) for n in flags},
        {n: (condition(), condition(1)) for n in counts},
        {n: condition() for n in clocks},
        free,
        narrow(),
        ("or", ("is", "push"), condition(1)) if random.random() < 0.2 else None,
    )
    return _with_presets(model, random) if clocks and random.random() < 0.6 else model


def _with_presets(model: Model, random: Random) -> Model:
    """The model with a preset that its first clock may reach, which then is bad or needed for it;
    the constants are those of the text, or of inputs that are assumed to be one value."""
    names = [*model.flags, "push"]
    fixed: dict[str, int | bool] = {}
    if random.random() < 0.6:
        fixed = {"level": random.randrange(CAP), "closed": random.random() < 0.5}
        names.append("closed")

    def condition() -> Node:
        return _condition(random, names, {}, 2)

    constants = [*random.sample(range(CAP), 2), *(["level"] if fixed else [])]
    taken = random.sample(constants, random.randint(1, len(constants)))
    presets = {"preset": tuple((condition(), value) for value in taken)}
    reached = ("reached", next(iter(model.clocks)), "preset")
    clause = ("and", reached, condition()) if random.random() < 0.7 else ("not", reached)
    joined = random.choice(("and", "or"))
    bad = (joined, model.bad_when, ("and", clause, ("not", ("<=", "preset", 0))))
    return replace(model, presets=presets, fixed=fixed, bad_when=bad)
