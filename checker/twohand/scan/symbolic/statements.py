"""Statements run symbolically, loops written out iteration by iteration."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial

import z3

from twohand import program as typed
from twohand.scan.finding import FindingKind
from twohand.scan.symbolic.blocks import call_standard, hidden_slots
from twohand.scan.symbolic.expressions import call_function, evaluate, store
from twohand.scan.symbolic.frames import FrameKind, PathState, SymbolicScan, set_slot
from twohand.scan.symbolic.integers import in_range, total
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
from twohand.scan.symbolic.timers import initial_value, restart_clock

JUMPS = {
    typed.Exit: FrameKind.LOOP,
    typed.Continue: FrameKind.ITERATION,
    typed.Return: FrameKind.ROUTINE,
}
NEAR = 200
"""How many terms are near to the one that asks."""

Branch = tuple[Callable[[], Truth], Sequence[typed.Statement]]


def run_routine(
    scan: SymbolicScan, routine: typed.Routine, bindings: Mapping[typed.Variable, Term]
) -> None:
    """Runs a body; ``bindings`` are its evaluated arguments."""
    scan.open(FrameKind.ROUTINE)
    for variable in routine.initialise:
        scan.write(variable, initial_value(scan, variable))
        if variable.unset_at_call:
            scan.write(set_slot(variable), False)
    for variable, value in bindings.items():
        scan.write(variable, value)
    run(scan, routine.body)
    scan.close()


def run(scan: SymbolicScan, statements: Sequence[typed.Statement]) -> None:
    for statement in statements:
        if scan.dead:
            return
        scan.count(statement.span)
        _run_one(scan, statement)


def _run_one(scan: SymbolicScan, statement: typed.Statement) -> None:
    match statement:
        case typed.Assign() | typed.AssignElement():
            store(scan, statement)
        case typed.If():
            _branches(scan, _conditions(scan, statement), statement.otherwise)
        case typed.Case():
            _branches(scan, _arms(scan, statement), statement.otherwise)
        case typed.For():
            _for(scan, statement)
        case typed.While() | typed.Repeat():
            _loop(scan, statement)
        case typed.Exit() | typed.Continue() | typed.Return():
            scan.jump(JUMPS[type(statement)])
            scan.restrict(False)
        case typed.Evaluate():
            _drop(scan, statement.expression)
        case typed.CallBlock():
            arguments = {v: evaluate(scan, value) for v, value in statement.arguments}
            run_routine(scan, statement.routine, arguments)
            _assign(scan, statement.outputs)
        case typed.CallStandard():
            arguments = {v: evaluate(scan, value) for v, value in statement.arguments}
            for pin, value in arguments.items():
                scan.write(pin, value)
            call_standard(scan, statement.instance)
            _assign(scan, statement.outputs)
        case typed.Restart():
            _restart(scan, statement)


def _restart(scan: SymbolicScan, statement: typed.Restart) -> None:
    """Pins are among the variables; what instances hide goes back to where it began."""
    restart_clock(scan)
    for variable in statement.variables:
        scan.write(variable, initial_value(scan, variable))
    for instance in statement.instances:
        for slot, initial in hidden_slots(instance, instance.name in scan.latching).items():
            scan.write(slot, initial)
    for slot in dict.fromkeys(scan.begun[i] for i in statement.instances if i in scan.begun):
        scan.write(slot, False)


def _drop(scan: SymbolicScan, expression: typed.Expression) -> None:
    """Evaluates an expression whose value nobody uses."""
    if isinstance(expression, typed.CallFunction):
        call_function(scan, expression, used=False)
    else:
        evaluate(scan, expression)


def _assign(scan: SymbolicScan, outputs: Sequence[typed.Store]) -> None:
    for output in outputs:
        store(scan, output)


# --- branches ---------------------------------------------------------------------------------


def _conditions(scan: SymbolicScan, statement: typed.If) -> Iterator[Branch]:
    for condition, body in statement.branches:
        yield partial(_truth, scan, condition), body


def _arms(scan: SymbolicScan, statement: typed.Case) -> Iterator[Branch]:
    selector = evaluate(scan, statement.selector)
    for ranges, body in statement.arms:
        chosen = any_of([_within(selector, low, high) for low, high in ranges])
        yield partial(_itself, chosen), body


def _truth(scan: SymbolicScan, condition: typed.Expression) -> Truth:
    return truth_of(evaluate(scan, condition))


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
    scan: SymbolicScan, branches: Iterator[Branch], otherwise: Sequence[typed.Statement]
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
        scan.open(FrameKind.BRANCH, condition)
        run(scan, body)
        opened.append((condition, scan.leave()))
        scan.open(FrameKind.BRANCH, negation(condition))
    run(scan, otherwise)
    for condition, chosen in reversed(opened):
        scan.close_branches(condition, chosen, scan.leave())


# --- loops ------------------------------------------------------------------------------------


def _leave(scan: SymbolicScan, condition: Truth) -> None:
    """Control leaves the loop where the condition holds."""
    scan.jump(FrameKind.LOOP, condition)
    scan.restrict(negation(condition))


def _iterate(scan: SymbolicScan, body: Sequence[typed.Statement]) -> None:
    scan.open(FrameKind.ITERATION)
    run(scan, body)
    scan.close()


def _may_start(
    scan: SymbolicScan,
    number: int,
    statement: typed.For | typed.While | typed.Repeat,
    ends: bool = False,
) -> bool:
    """Whether iteration ``number`` (from 0) is within the bound: else a finding. ``ends`` says
    that a loop ends by itself."""
    scan.count(statement.span)
    if scan.dead:
        return False
    if _over(scan, number, ends):
        scan.restrict(False)
        return False
    if number >= scan.loop_bound:
        scan.find(FindingKind.LOOP_BOUND, statement.span, True)
        return False
    return True


def _over(scan: SymbolicScan, number: int, ends: bool) -> bool:
    """Whether z3 sees that no iteration follows; asked at powers of two and at the bound, at
    first only of what is near, as the whole path grows with the program before the loop."""
    if number >= scan.loop_bound:
        return scan.impossible()
    if number & (number - 1) or scan.frames[-1].path is True:
        return False
    if number >= 32:
        return scan.impossible()
    return number >= 4 and not ends and scan.impossible(NEAR)


def _loop(scan: SymbolicScan, loop: typed.While | typed.Repeat) -> None:
    scan.open(FrameKind.LOOP)
    number = 0
    while True:
        if isinstance(loop, typed.While):
            _leave(scan, negation(_truth(scan, loop.condition)))
        if not _may_start(scan, number, loop):
            break
        _iterate(scan, loop.body)
        if scan.dead:
            break
        if isinstance(loop, typed.Repeat):
            _leave(scan, _truth(scan, loop.until))
        number += 1
    scan.close()


def _for(scan: SymbolicScan, loop: typed.For) -> None:
    first = number_of(evaluate(scan, loop.first))
    last = number_of(evaluate(scan, loop.last))
    scan.assign(loop.variable, first)
    scan.open(FrameKind.LOOP)
    _leave(scan, _past(first, last, loop.step))
    number = 0
    ends = isinstance(first, int) and isinstance(last, int)
    while _may_start(scan, number, loop, ends):
        _iterate(scan, loop.body)
        if scan.dead:
            break
        _step(scan, loop, last)
        number += 1
    scan.close()


def _past(value: Number, last: Number, step: int) -> Truth:
    return at_least(value, total(last, 1)) if step > 0 else below(value, last)


def _step(scan: SymbolicScan, loop: typed.For, last: Number) -> None:
    """Control leaves where the next value is past the last one; the variable then has it or not.

    Where integers wrap, a variable that takes the value past the last one may be back before it:
    such a loop goes on."""
    value = scan.number(loop.variable)
    following = total(value, loop.step)
    ends = _past(following, last, loop.step)
    beyond = scan.reading("loop_leaves_past_end") if ends is not False else False
    past = in_range(scan, following, loop.variable.type, loop.span, both(ends, beyond))
    scan.write(loop.variable, choose(beyond, past, value, z3.IntSort()))
    if scan.readings.integers_wrap:
        ends = both(ends, either(negation(beyond), _past(past, last, loop.step)))
    _leave(scan, ends)
    scan.write(loop.variable, past)
