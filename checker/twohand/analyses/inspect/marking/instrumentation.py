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

from twohand.program import (
    Assign,
    AssignElement,
    CallBlock,
    CallFunction,
    CallStandard,
    Case,
    Dimension,
    Evaluate,
    Expression,
    For,
    If,
    Literal,
    Operation,
    Operator,
    Program,
    Read,
    Repeat,
    Restart,
    Role,
    Routine,
    StandardInstance,
    Statement,
    Store,
    Variable,
    While,
)
from twohand.program.types import BOOL, Type, Value
from twohand.text.source_text import Span

SIGN = "#mark."
"""Begins the name of every mark, and of no symbol that another room adds to a system."""
Statements = tuple[Statement, ...]
_EXPRESSIONS = get_args(Expression)
Copied = TypeVar("Copied", bound=Statement | Expression | Store | Dimension)


def mark(name: str, span: Span, kind: Type = BOOL, initial: Value = False) -> Variable:
    return Variable(SIGN + name, kind, Role.LOCAL, initial, span)


def truth(value: bool, span: Span) -> Literal:
    return Literal(value, BOOL, span)


def note(variable: Variable, span: Span, value: bool = True) -> Assign:
    return Assign(variable, truth(value, span), span)


def keep(variable: Variable, value: Expression) -> Assign:
    return Assign(variable, value, value.span)


def logic(operator: Operator, *operands: Expression) -> Operation:
    """A Boolean operation or a comparison at the place of its first operand."""
    return Operation(operator, operands, BOOL, operands[0].span)


def negation(variable: Variable, span: Span) -> Operation:
    return logic(Operator.NOT, Read(variable, span))


def when(condition: Expression, *statements: Statement) -> If:
    return If(((condition, statements),), (), condition.span)


class Probe:
    """What one kind of question adds to a program; every method may add nothing.

    ``anew`` are marks that begin each scan with their initial value, ``lasting`` those that keep
    theirs from scan to scan.
    """

    def __init__(self) -> None:
        self.anew: list[Variable] = []
        self.lasting: list[Variable] = []
        self.copies: dict[StandardInstance, StandardInstance] = {}
        """Instances that the probe adds, and the program's of which each is a copy."""

    def before(self, statement: Statement) -> Iterable[Statement]:
        return ()

    def after(self, statement: Statement, last: bool) -> Iterable[Statement]:
        """``last``: no statement follows it in its body."""
        return ()

    def enter(self, node: Statement | Routine, branch: int) -> Iterable[Statement]:
        """First in a body: of a routine (0), of a branch or arm by its number (the last one is what
        happens otherwise), of a loop (0)."""
        return ()

    def leave(self, node: Statement | Routine, branch: int) -> None:
        """The body's end has been copied."""

    def again(self, routine: Routine) -> None:
        """A further call of a routine that has been copied."""

    def called(self, call: CallBlock) -> Iterable[Statement]:
        """First in what a block's instance runs, behind its arguments."""
        return ()

    def reading(self, read: Read) -> Iterable[Statement]:
        """What happens when this is read."""
        return ()

    def storing(self, store: Store) -> Iterable[Assign]:
        """What happens before a value is stored, by a statement or by ``=>`` of a call."""
        return ()

    def stored(self, store: Store) -> Iterable[Assign]:
        """What happens once it is stored."""
        return ()

    def comparing(self, comparison: Operation) -> Iterable[Statement]:
        """What happens when two values are compared, before that."""
        return ()

    def end(self) -> Iterable[Statement]:
        """Last in the scan."""
        return ()


class Instrumenter:
    """Copies a routine with what the probes add. What the program has in one piece (the routine
    of a function that is called twice) the copy has in one piece."""

    def __init__(self, probes: Sequence[Probe]) -> None:
        self._probes = probes
        self._routines: dict[int, Routine] = {}
        self._expressions: dict[int, Expression] = {}

    def routine(self, routine: Routine, call: CallBlock | None = None) -> Routine:
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

    def _body(self, node: Statement | Routine, branch: int, body: Statements) -> Statements:
        found = [*self._gather("enter", node, branch)]
        for number, statement in enumerate(body):
            found += self._gather("before", statement)
            if isinstance(statement, Assign | AssignElement):
                found += self._stores((statement,))
            else:
                found.append(self._statement(statement))
            found += self._gather("after", statement, number == len(body) - 1)
        for probe in self._probes:
            probe.leave(node, branch)
        return tuple(found)

    # --- statements ---------------------------------------------------------------------------

    def _statement(self, node: Statement) -> Statement:
        match node:
            case If() | Case():
                return self._choice(node)
            case For():
                first, last = self._expression(node.first), self._expression(node.last)
                return replace(node, first=first, last=last, body=self._body(node, 0, node.body))
            case While():
                condition = self._expression(node.condition)
                return replace(node, condition=condition, body=self._body(node, 0, node.body))
            case Repeat():
                body = self._body(node, 0, node.body)
                return replace(node, body=body, until=self._expression(node.until))
            case Evaluate():
                return self._over_copies(node)
            case CallBlock():
                arguments = self._copies(node.arguments)
                routine = self.routine(node.routine, node)
                return replace(
                    node, arguments=arguments, routine=routine, outputs=self._stores(node.outputs)
                )
            case CallStandard():
                arguments = self._copies(node.arguments)
                return replace(node, arguments=arguments, outputs=self._stores(node.outputs))
        return node

    def _choice(self, node: If | Case) -> Statement:
        if isinstance(node, If):
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

    def _stores(self, stores: tuple[Store, ...]) -> tuple[Store, ...]:
        found: list[Store] = []
        for store in stores:
            found += self._gather("storing", store)
            found.append(self._over_copies(store))
            found += self._gather("stored", store)
        return tuple(found)

    # --- expressions --------------------------------------------------------------------------

    def _expression(self, node: Expression) -> Expression:
        """Each once; programs are no deeper than recursion can go (``source.depth``)."""
        copy = self._expressions.get(id(node))
        if copy is None:
            copy = self._expressions[id(node)] = self._copied(node)
        elif isinstance(node, CallFunction):
            self.routine(node.routine)
        return copy

    def _copied(self, node: Expression) -> Expression:
        match node:
            case Read():
                return _noting(node, self._gather("reading", node))
            case Operation():
                operands = tuple(self._expression(each) for each in node.operands)
                watching = self._gather("comparing", node)
                if watching:
                    operands = _first_noting(operands, watching)
                return replace(node, operands=operands)
            case CallFunction():
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
        if isinstance(part, Dimension):
            return self._over_copies(part)
        return self._expression(part) if isinstance(part, _EXPRESSIONS) else part


def _noting(read: Read, statements: Statements) -> Expression:
    """The read, with what happens when it is evaluated."""
    if not statements:
        return read
    return CallFunction(
        read.variable.name, (), Routine((), statements), (), read.variable, read.span
    )


def _first_noting(operands: tuple[Expression, ...], statements: Statements) -> Any:
    """The operands, of which some is a plain read that can note something."""
    found = list(operands)
    for number, operand in enumerate(found):
        if isinstance(operand, Read):
            found[number] = _noting(operand, statements)
            return tuple(found)
        if isinstance(operand, CallFunction) and operand.name == operand.result.name:
            routine = Routine((), (*operand.routine.body, *statements))
            found[number] = replace(operand, routine=routine)
            return tuple(found)
    raise ValueError("a comparison without a read is watched")


def instrumented(
    program: Program, probes: Sequence[Probe], block: CallBlock | None = None
) -> Program:
    """The program with what the probes add to it, or to the call of one ``block`` in it."""
    instrumenter = Instrumenter(probes)
    place = _place(program)
    if block is None:
        body: Statements = (
            CallBlock(program.name, (), instrumenter.routine(program.routine), (), place),
        )
    else:
        copies = {copy: old for probe in probes for copy, old in probe.copies.items()}
        body = tuple(_inside(each, block, instrumenter, copies) for each in program.routine.body)
    anew = [variable for probe in probes for variable in probe.anew]
    begin = [Assign(v, Literal(v.initial, v.type, v.span), v.span) for v in anew]
    end = [statement for probe in probes for statement in probe.end()]
    lasting = [variable for probe in probes for variable in probe.lasting]
    initialise = () if block is None else program.routine.initialise
    return replace(
        program,
        variables=(*program.variables, *anew, *lasting),
        instances=(*program.instances, *(copy for probe in probes for copy in probe.copies)),
        routine=Routine(initialise, (*begin, *body, *end)),
    )


def _inside(
    statement: Statement,
    block: CallBlock,
    instrumenter: Instrumenter,
    copies: Mapping[StandardInstance, StandardInstance],
) -> Statement:
    """What is around the block, with the marked block in it; what begins again with the block
    are copies of its instances too."""
    if statement is block:
        return replace(block, routine=instrumenter.routine(block.routine, block))
    if isinstance(statement, Restart):
        more = [copy for copy, old in copies.items() if old in statement.instances]
        pins = [pin for copy in more for pin in copy.pins.values()]
        return replace(
            statement,
            variables=(*statement.variables, *pins),
            instances=(*statement.instances, *more),
        )
    if isinstance(statement, If):

        def inner(body: Statements) -> Statements:
            return tuple(_inside(each, block, instrumenter, copies) for each in body)

        branches = tuple((condition, inner(body)) for condition, body in statement.branches)
        return replace(statement, branches=branches, otherwise=inner(statement.otherwise))
    return statement


def _place(program: Program) -> Span:
    """Of the program's call, which nobody wrote."""
    first = next(iter([*program.variables]), None)
    if first is not None:
        return Span(first.span.source, first.span.start, first.span.start)
    return program.routine.body[0].span
