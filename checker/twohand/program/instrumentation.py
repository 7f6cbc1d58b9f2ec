"""A program with marks: a copy that notes, in variables of its own, what happens in a scan.

Marks are ordinary variables with a '#' in front, as no name of a program has one, and ordinary
assignments to them, so that the executor and the transition system get the same program. A mark
never decides what the program does, and what is in the copy has the places of the original.
A read is watched by a call of a function that notes it and whose value is what is read, so that it
is noted exactly where and when it happens: in the condition of an ELSIF, in a loop, behind
AND_THEN.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields, replace
from typing import Any, TypeVar, get_args

from twohand import program as typed
from twohand.program.types import BOOL, Type, Value
from twohand.text.source_text import Span

SIGN = "#mark."
"""Begins the name of every mark, and of no symbol that another room adds to a system."""
Statements = tuple[typed.Statement, ...]
_EXPRESSIONS = get_args(typed.Expression)
Copied = TypeVar("Copied", bound=typed.Statement | typed.Expression | typed.Store | typed.Dimension)


def mark(name: str, span: Span, kind: Type = BOOL, initial: Value = False) -> typed.Variable:
    return typed.Variable(SIGN + name, kind, typed.Role.LOCAL, initial, span)


def truth(value: bool, span: Span) -> typed.Literal:
    return typed.Literal(value, BOOL, span)


def note(variable: typed.Variable, span: Span, value: bool = True) -> typed.Assign:
    return typed.Assign(variable, truth(value, span), span)


def keep(variable: typed.Variable, value: typed.Expression) -> typed.Assign:
    return typed.Assign(variable, value, value.span)


def logic(operator: typed.Operator, *operands: typed.Expression) -> typed.Operation:
    """A Boolean operation or a comparison at the place of its first operand."""
    return typed.Operation(operator, operands, BOOL, operands[0].span)


def negation(variable: typed.Variable, span: Span) -> typed.Operation:
    return logic(typed.Operator.NOT, typed.Read(variable, span))


def when(condition: typed.Expression, *statements: typed.Statement) -> typed.If:
    return typed.If(((condition, statements),), (), condition.span)


class Probe:
    """What one kind of question adds to a program; every method may add nothing.

    ``anew`` are marks that begin each scan with their initial value, ``lasting`` those that keep
    theirs from scan to scan.
    """

    def __init__(self) -> None:
        self.anew: list[typed.Variable] = []
        self.lasting: list[typed.Variable] = []
        self.copies: dict[typed.StandardInstance, typed.StandardInstance] = {}
        """Instances that the probe adds, and the program's of which each is a copy."""

    def order(self, body: Statements) -> Statements:
        """The statements of a body in the order in which they are to be copied."""
        return body

    def before(self, statement: typed.Statement) -> Iterable[typed.Statement]:
        return ()

    def after(self, statement: typed.Statement, last: bool) -> Iterable[typed.Statement]:
        """``last``: no statement follows it in its body."""
        return ()

    def enter(
        self, node: typed.Statement | typed.Routine, branch: int
    ) -> Iterable[typed.Statement]:
        """First in a body: of a routine (0), of a branch or arm by its number (the last one is what
        happens otherwise), of a loop (0)."""
        return ()

    def leave(self, node: typed.Statement | typed.Routine, branch: int) -> None:
        """The body's end has been copied."""

    def again(self, routine: typed.Routine) -> None:
        """A further call of a routine that has been copied."""

    def called(self, call: typed.CallBlock) -> Iterable[typed.Statement]:
        """First in what a block's instance runs, behind its arguments."""
        return ()

    def reading(self, read: typed.Read) -> Iterable[typed.Statement]:
        """What happens when this is read."""
        return ()

    def storing(self, store: typed.Store) -> Iterable[typed.Assign]:
        """What happens before a value is stored, by a statement or by ``=>`` of a call."""
        return ()

    def stored(self, store: typed.Store) -> Iterable[typed.Assign]:
        """What happens once it is stored."""
        return ()

    def comparing(self, comparison: typed.Operation) -> Iterable[typed.Statement]:
        """What happens when two values are compared, before that."""
        return ()

    def end(self) -> Iterable[typed.Statement]:
        """Last in the scan."""
        return ()


class Instrumenter:
    """Copies a routine with what the probes add. What the program has in one piece (the routine
    of a function that is called twice) the copy has in one piece."""

    def __init__(self, probes: Sequence[Probe]) -> None:
        self._probes = probes
        self._routines: dict[int, typed.Routine] = {}
        self._expressions: dict[int, typed.Expression] = {}

    def routine(self, routine: typed.Routine, call: typed.CallBlock | None = None) -> typed.Routine:
        known = self._routines.get(id(routine))
        if known is not None:
            for probe in self._probes:
                probe.again(routine)
            return known
        called = () if call is None else self._gather("called", call)
        body = self._body(routine, 0, routine.body)
        copy = replace(routine, body=(*called, *body))
        self._routines[id(routine)] = copy
        return copy

    def _gather(self, event: str, *given: Any) -> tuple[Any, ...]:
        return tuple(s for probe in self._probes for s in getattr(probe, event)(*given))

    def _body(
        self, node: typed.Statement | typed.Routine, branch: int, body: Statements
    ) -> Statements:
        found = [*self._gather("enter", node, branch)]
        for probe in self._probes:
            body = probe.order(body)
        for number, statement in enumerate(body):
            found += self._gather("before", statement)
            if isinstance(statement, typed.Assign | typed.AssignElement):
                found += self._stores((statement,))
            else:
                found.append(self._statement(statement))
            found += self._gather("after", statement, number == len(body) - 1)
        for probe in self._probes:
            probe.leave(node, branch)
        return tuple(found)

    # --- statements ---------------------------------------------------------------------------

    def _statement(self, node: typed.Statement) -> typed.Statement:
        match node:
            case typed.If() | typed.Case():
                return self._choice(node)
            case typed.For():
                first, last = self._expression(node.first), self._expression(node.last)
                return replace(node, first=first, last=last, body=self._body(node, 0, node.body))
            case typed.While():
                condition = self._expression(node.condition)
                return replace(node, condition=condition, body=self._body(node, 0, node.body))
            case typed.Repeat():
                body = self._body(node, 0, node.body)
                return replace(node, body=body, until=self._expression(node.until))
            case typed.Evaluate():
                return self._over_copies(node)
            case typed.CallBlock():
                arguments = self._copies(node.arguments)
                routine = self.routine(node.routine, node)
                return replace(
                    node, arguments=arguments, routine=routine, outputs=self._stores(node.outputs)
                )
            case typed.CallStandard():
                arguments = self._copies(node.arguments)
                return replace(node, arguments=arguments, outputs=self._stores(node.outputs))
        return node

    def _choice(self, node: typed.If | typed.Case) -> typed.Statement:
        if isinstance(node, typed.If):
            branches = tuple(
                (self._expression(condition), self._body(node, branch, body))
                for branch, (condition, body) in enumerate(node.branches)
            )
            otherwise = self._body(node, len(node.branches), node.otherwise)
            return replace(node, branches=branches, otherwise=otherwise)
        selector = self._expression(node.selector)
        arms = tuple(
            (ranges, self._body(node, branch, body))
            for branch, (ranges, body) in enumerate(node.arms)
        )
        otherwise = self._body(node, len(node.arms), node.otherwise)
        return replace(node, selector=selector, arms=arms, otherwise=otherwise)

    def _stores(self, stores: tuple[typed.Store, ...]) -> tuple[typed.Store, ...]:
        found: list[typed.Store] = []
        for store in stores:
            found += self._gather("storing", store)
            found.append(self._over_copies(store))
            found += self._gather("stored", store)
        return tuple(found)

    # --- expressions --------------------------------------------------------------------------

    def _expression(self, node: typed.Expression) -> typed.Expression:
        """Each once; programs are no deeper than recursion can go (``source.depth``)."""
        copy = self._expressions.get(id(node))
        if copy is None:
            copy = self._expressions[id(node)] = self._copied(node)
        elif isinstance(node, typed.CallFunction):
            self.routine(node.routine)
        return copy

    def _copied(self, node: typed.Expression) -> typed.Expression:
        match node:
            case typed.Read():
                return _noting(node, self._gather("reading", node))
            case typed.Operation():
                operands = tuple(self._expression(each) for each in node.operands)
                watching = self._gather("comparing", node)
                if watching:
                    operands = _first_noting(operands, watching)
                return replace(node, operands=operands)
            case typed.CallFunction():
                arguments = self._copies(node.arguments)
                routine = self.routine(node.routine)
                return replace(
                    node, arguments=arguments, routine=routine, outputs=self._stores(node.outputs)
                )
        return self._over_copies(node)

    def _over_copies(self, node: Copied) -> Copied:
        """The node with copies of the expressions that it consists of."""
        return replace(node, **{f.name: self._copies(getattr(node, f.name)) for f in fields(node)})

    def _copies(self, part: Any) -> Any:
        if isinstance(part, tuple):
            return tuple(self._copies(each) for each in part)
        if isinstance(part, typed.Dimension):
            return self._over_copies(part)
        return self._expression(part) if isinstance(part, _EXPRESSIONS) else part


def _noting(read: typed.Read, statements: Statements) -> typed.Expression:
    """The read, with what happens when it is evaluated."""
    if not statements:
        return read
    return typed.CallFunction(
        read.variable.name, (), typed.Routine((), statements), (), read.variable, read.span
    )


def _first_noting(operands: tuple[typed.Expression, ...], statements: Statements) -> Any:
    """The operands, of which some is a plain read that can note something."""
    found = list(operands)
    for number, operand in enumerate(found):
        if isinstance(operand, typed.Read):
            found[number] = _noting(operand, statements)
            return tuple(found)
        if isinstance(operand, typed.CallFunction) and operand.name == operand.result.name:
            routine = typed.Routine((), (*operand.routine.body, *statements))
            found[number] = replace(operand, routine=routine)
            return tuple(found)
    raise ValueError("a comparison without a read is watched")


def instrumented(
    program: typed.Program, probes: Sequence[Probe], block: typed.CallBlock | None = None
) -> typed.Program:
    """The program with what the probes add to it, or to the call of one ``block`` in it."""
    instrumenter = Instrumenter(probes)
    place = _place(program)
    if block is None:
        body: Statements = (
            typed.CallBlock(program.name, (), instrumenter.routine(program.routine), (), place),
        )
    else:
        copies = {copy: old for probe in probes for copy, old in probe.copies.items()}
        body = tuple(_inside(each, block, instrumenter, copies) for each in program.routine.body)
    anew = [variable for probe in probes for variable in probe.anew]
    begin = [typed.Assign(v, typed.Literal(v.initial, v.type, v.span), v.span) for v in anew]
    end = [statement for probe in probes for statement in probe.end()]
    lasting = [variable for probe in probes for variable in probe.lasting]
    initialise = () if block is None else program.routine.initialise
    return replace(
        program,
        variables=(*program.variables, *anew, *lasting),
        instances=(*program.instances, *(copy for probe in probes for copy in probe.copies)),
        routine=typed.Routine(initialise, (*begin, *body, *end)),
    )


def _inside(
    statement: typed.Statement,
    block: typed.CallBlock,
    instrumenter: Instrumenter,
    copies: Mapping[typed.StandardInstance, typed.StandardInstance],
) -> typed.Statement:
    """What is around the block, with the marked block in it; what begins again with the block
    are copies of its instances too."""
    if statement is block:
        return replace(block, routine=instrumenter.routine(block.routine, block))
    if isinstance(statement, typed.Restart):
        more = [copy for copy, old in copies.items() if old in statement.instances]
        pins = [pin for copy in more for pin in copy.pins.values()]
        return replace(
            statement,
            variables=(*statement.variables, *pins),
            instances=(*statement.instances, *more),
        )
    if isinstance(statement, typed.If):

        def inner(body: Statements) -> Statements:
            return tuple(_inside(each, block, instrumenter, copies) for each in body)

        branches = tuple((condition, inner(body)) for condition, body in statement.branches)
        return replace(statement, branches=branches, otherwise=inner(statement.otherwise))
    return statement


def _place(program: typed.Program) -> Span:
    """Of the program's call, which nobody wrote: of a block that declares and does nothing, or of
    which all is left out, the beginning of its file."""
    written = next(iter((*program.variables, *program.routine.body)), None)
    if written is None:
        return Span(program.sources[0], 0, 0)
    return Span(written.span.source, written.span.start, written.span.start)
