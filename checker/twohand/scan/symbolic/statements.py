"""Statements run symbolically, loops written out iteration by iteration."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial

import z3

from twohand.program import (
    Assign,
    AssignElement,
    CallBlock,
    CallStandard,
    Case,
    Continue,
    Evaluate,
    Exit,
    Expression,
    For,
    If,
    Repeat,
    Restart,
    Return,
    Routine,
    Statement,
    Store,
    Variable,
    While,
)
from twohand.scan.finding import FindingKind
from twohand.scan.symbolic.blocks import call_standard, hidden_slots
from twohand.scan.symbolic.expressions import evaluate, in_range, store
from twohand.scan.symbolic.frames import FrameKind, PathState, SymbolicScan
from twohand.scan.symbolic.integers import total
from twohand.scan.symbolic.terms import (
    Number,
    Term,
    Truth,
    any_of,
    at_least,
    below,
    both,
    choose,
    either,
    equal,
    negation,
    number_of,
    truth_of,
)

JUMPS = {Exit: FrameKind.LOOP, Continue: FrameKind.ITERATION, Return: FrameKind.ROUTINE}
NEAR = 200
"""How many terms are near to the one that asks."""

Branch = tuple[Callable[[], Truth], Sequence[Statement]]


def run_routine(work: SymbolicScan, routine: Routine, bindings: Mapping[Variable, Term]) -> None:
    """Runs a body; ``bindings`` are its evaluated arguments."""
    work.open(FrameKind.ROUTINE)
    for variable in routine.initialise:
        work.write(variable, work.converted(variable.initial, variable.type, variable.span))
    for variable, value in bindings.items():
        work.write(variable, value)
    run(work, routine.body)
    work.close()


def run(work: SymbolicScan, statements: Sequence[Statement]) -> None:
    for statement in statements:
        if work.dead:
            return
        work.count(statement.span)
        _run_one(work, statement)


def _run_one(work: SymbolicScan, statement: Statement) -> None:
    match statement:
        case Assign() | AssignElement():
            store(work, statement)
        case If():
            _branches(work, _conditions(work, statement), statement.otherwise)
        case Case():
            _branches(work, _arms(work, statement), statement.otherwise)
        case For():
            _for(work, statement)
        case While() | Repeat():
            _loop(work, statement)
        case Exit() | Continue() | Return():
            work.jump(JUMPS[type(statement)])
            work.restrict(False)
        case Evaluate():
            evaluate(work, statement.expression)
        case CallBlock():
            arguments = {v: evaluate(work, value) for v, value in statement.arguments}
            run_routine(work, statement.routine, arguments)
            _assign(work, statement.outputs)
        case CallStandard():
            arguments = {v: evaluate(work, value) for v, value in statement.arguments}
            for pin, value in arguments.items():
                work.write(pin, value)
            call_standard(work, statement.instance)
            _assign(work, statement.outputs)
        case Restart():
            _restart(work, statement)


def _restart(work: SymbolicScan, statement: Restart) -> None:
    """Pins are among the variables; what instances hide goes back to where it began."""
    for variable in statement.variables:
        work.write(variable, work.converted(variable.initial, variable.type, variable.span))
    for instance in statement.instances:
        for slot, initial in hidden_slots(instance, instance.name in work.latching).items():
            work.write(slot, initial)


def _assign(work: SymbolicScan, outputs: Sequence[Store]) -> None:
    for output in outputs:
        store(work, output)


# --- branches ---------------------------------------------------------------------------------


def _conditions(work: SymbolicScan, statement: If) -> Iterator[Branch]:
    for condition, body in statement.branches:
        yield partial(_truth, work, condition), body


def _arms(work: SymbolicScan, statement: Case) -> Iterator[Branch]:
    selector = evaluate(work, statement.selector)
    for ranges, body in statement.arms:
        chosen = any_of([_within(selector, low, high) for low, high in ranges])
        yield partial(_itself, chosen), body


def _truth(work: SymbolicScan, condition: Expression) -> Truth:
    return truth_of(evaluate(work, condition))


def _itself(term: Truth) -> Truth:
    return term


def _within(selector: Term, low: int, high: int) -> Truth:
    if isinstance(selector, z3.BitVecRef):
        if low == high:
            return equal(selector, low)
        return z3.And(z3.UGE(selector, low), z3.ULE(selector, high))
    if low == high:
        return equal(selector, low)
    number = number_of(selector)
    return both(at_least(number, low), below(number, high + 1))


def _branches(
    work: SymbolicScan, branches: Iterator[Branch], otherwise: Sequence[Statement]
) -> None:
    """Each condition is evaluated where the ones before it do not hold."""
    opened: list[tuple[Truth, PathState]] = []
    for condition_of, body in branches:
        condition = condition_of()
        if condition is False:
            continue
        if condition is True:
            otherwise = body
            break
        work.open(FrameKind.BRANCH, condition)
        run(work, body)
        opened.append((condition, work.leave()))
        work.open(FrameKind.BRANCH, negation(condition))
    run(work, otherwise)
    for condition, chosen in reversed(opened):
        work.close_branches(condition, chosen, work.leave())


# --- loops ------------------------------------------------------------------------------------


def _leave(work: SymbolicScan, condition: Truth) -> None:
    """Control leaves the loop where the condition holds."""
    work.jump(FrameKind.LOOP, condition)
    work.restrict(negation(condition))


def _iterate(work: SymbolicScan, body: Sequence[Statement]) -> None:
    work.open(FrameKind.ITERATION)
    run(work, body)
    work.close()


def _may_start(
    work: SymbolicScan, number: int, statement: For | While | Repeat, ends: bool = False
) -> bool:
    """Whether iteration ``number`` (from 0) is within the bound: else a finding. ``ends`` says
    that a loop ends by itself."""
    work.count(statement.span)
    if work.dead:
        return False
    if _over(work, number, ends):
        work.restrict(False)
        return False
    if number >= work.loop_bound:
        work.find(FindingKind.LOOP_BOUND, statement.span, True)
        return False
    return True


def _over(work: SymbolicScan, number: int, ends: bool) -> bool:
    """Whether z3 sees that no iteration follows; asked at powers of two and at the bound, at
    first only of what is near, as the whole path grows with the program before the loop."""
    if number >= work.loop_bound:
        return work.impossible()
    if number & (number - 1) or work.frames[-1].path is True:
        return False
    if number >= 32:
        return work.impossible()
    return number >= 4 and not ends and work.impossible(NEAR)


def _loop(work: SymbolicScan, loop: While | Repeat) -> None:
    work.open(FrameKind.LOOP)
    number = 0
    while True:
        if isinstance(loop, While):
            _leave(work, negation(_truth(work, loop.condition)))
        if not _may_start(work, number, loop):
            break
        _iterate(work, loop.body)
        if work.dead:
            break
        if isinstance(loop, Repeat):
            _leave(work, _truth(work, loop.until))
        number += 1
    work.close()


def _for(work: SymbolicScan, loop: For) -> None:
    first = number_of(evaluate(work, loop.first))
    last = number_of(evaluate(work, loop.last))
    work.write(loop.variable, first)
    work.open(FrameKind.LOOP)
    _leave(work, _past(first, last, loop.step))
    number = 0
    ends = isinstance(first, int) and isinstance(last, int)
    while _may_start(work, number, loop, ends):
        _iterate(work, loop.body)
        if work.dead:
            break
        _step(work, loop, last)
        number += 1
    work.close()


def _past(value: Number, last: Number, step: int) -> Truth:
    return at_least(value, total(last, 1)) if step > 0 else below(value, last)


def _step(work: SymbolicScan, loop: For, last: Number) -> None:
    """Control leaves where the next value is past the last one; the variable then has it or not.

    Where integers wrap, a variable that takes the value past the last one may be back before it:
    such a loop goes on."""
    value = work.number(loop.variable)
    following = total(value, loop.step)
    ends = _past(following, last, loop.step)
    beyond = work.reading("loop_leaves_past_end") if ends is not False else False
    past = in_range(work, following, loop.variable.type, loop.span, both(ends, beyond))
    work.write(loop.variable, choose(beyond, past, value, z3.IntSort()))
    if work.readings.integers_wrap:
        ends = both(ends, either(negation(beyond), _past(past, last, loop.step)))
    _leave(work, ends)
    work.write(loop.variable, past)
