"""What the text of a block shows of its variables: which inputs it joins, which contradict each
other, what its timers are fed with, and what somebody else must write."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import combinations

from twohand.program import (
    Assign,
    CallBlock,
    CallStandard,
    Literal,
    Operation,
    Operator,
    Program,
    Read,
    Role,
    Variable,
)
from twohand.program.durations import Nanoseconds
from twohand.program.effects import written
from twohand.program.types import Boolean, Duration
from twohand.program.walks import nodes_below

Pair = frozenset[Variable]
_JOINING = (Operator.AND, Operator.OR, Operator.XOR, Operator.EQUAL, Operator.UNEQUAL)
_DIFFERING = (Operator.XOR, Operator.EQUAL, Operator.UNEQUAL)


@dataclass(frozen=True)
class TimerClue:
    """A call of a timer with a constant preset (None: none in the call), and what feeds it."""

    name: str
    preset: Nanoseconds | None
    fed_by: frozenset[Variable]


@dataclass(frozen=True)
class Clues:
    """``joined`` counts the operations and calls that read these two inputs and no other,
    ``differing`` those that ask whether they contradict each other, ``released`` those that ask
    whether both are FALSE (or one is TRUE), whatever else."""

    joined: Counter[Pair] = field(default_factory=Counter)
    differing: Counter[Pair] = field(default_factory=Counter)
    released: Counter[Pair] = field(default_factory=Counter)
    timers: tuple[TimerClue, ...] = ()


def clues_of(program: Program, inputs: frozenset[Variable]) -> Clues:
    """The clues in the text of a whole program."""
    joined: Counter[Pair] = Counter()
    differing: Counter[Pair] = Counter()
    released: Counter[Pair] = Counter()
    timers = []
    nodes = list(nodes_below(program.routine))
    chains = [n for n in nodes if isinstance(n, Operation) and n.operator in _JOINING]
    inner = {id(part) for n in chains for part in n.operands if _is_part(part, n)}
    for node in nodes:
        match node:
            case Operation() if node.operator in _JOINING and id(node) not in inner:
                signs = dict(_signed(node, inputs))
                pair = _inputs_below(node, inputs)
                if len(pair) == 2:
                    joined[pair] += 1
                    differing[pair] += node.operator in _DIFFERING
                asked = [v for v, value in signs.items() if value is (node.operator is Operator.OR)]
                released.update(map(frozenset, combinations(asked, 2)))
                if node.operator is Operator.AND:
                    opposite = [p for p in combinations(signs, 2) if signs[p[0]] != signs[p[1]]]
                    differing.update(map(frozenset, opposite if len(signs) == 2 else ()))
            case CallBlock():
                pair = frozenset(v for _, a in node.arguments for v in _inputs_below(a, inputs))
                joined[pair] += len(pair) == 2
            case CallStandard():
                timers += list(_timer(node))
    return Clues(+joined, +differing, +released, tuple(timers))


def _is_part(part: object, chain: Operation) -> bool:
    return isinstance(part, Operation) and part.operator is chain.operator


def _signed(chain: Operation, inputs: frozenset[Variable]) -> Iterator[tuple[Variable, bool]]:
    """The inputs that are operands of a chain, each with whether it is asked for as it is."""
    for operand in chain.operands:
        part, value = operand, True
        while isinstance(part, Operation) and part.operator is Operator.NOT:
            (part,), value = part.operands, not value
        if value and isinstance(part, Operation) and _is_part(part, chain):
            yield from _signed(part, inputs)
        elif isinstance(part, Read) and part.variable in inputs:
            yield part.variable, value


def _inputs_below(node: object, inputs: frozenset[Variable]) -> Pair:
    return frozenset(_read(node)) & inputs


def _read(node: object) -> Iterator[Variable]:
    return (each.variable for each in nodes_below(node) if isinstance(each, Read))


def _timer(node: CallStandard) -> Iterator[TimerClue]:
    pins = {variable: name for name, variable in node.instance.pins.items()}
    given = {pins[variable]: value for variable, value in node.arguments if variable in pins}
    if "IN" in given:
        preset = given.get("PT")
        constant = isinstance(preset, Literal) and isinstance(preset.type, Duration)
        time = Nanoseconds(int(preset.value)) if constant else None  # type: ignore[union-attr]
        yield TimerClue(node.instance.name, time, frozenset(_read(given["IN"])))


def written_outside(program: Program) -> tuple[Variable, ...]:
    """Boolean variables that keep their value from scan to scan, that the block reads and never
    changes from what they are at first: somebody else must, or they are of no use."""
    nodes = list(nodes_below(program.routine))
    read = {node.variable for node in nodes if isinstance(node, Read)}
    pins = {pin for instance in program.instances for pin in instance.pins.values()}
    every = Counter(written(program.routine))
    resets = Counter(n.target for n in nodes if isinstance(n, Assign) and _resets(n))
    return tuple(
        v
        for v in program.variables
        if isinstance(v.type, Boolean)
        and v.role in (Role.LOCAL, Role.GLOBAL)
        and v in read
        and v not in pins
        and v not in program.inputs
        and v not in program.routine.initialise
        and "." not in v.name
        and every[v] == resets[v]
    )


def _resets(node: Assign) -> bool:
    return isinstance(node.value, Literal) and node.value.value == node.target.initial
