"""What the value of a variable may depend on, by the text alone.

The order of statements is left aside, and whatever decides whether a RETURN, an EXIT or a CONTINUE
runs counts for everything: too much may be named, never too little. That a finding ends the run is
no dependency.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from twohand.program.effects import written
from twohand.program.nodes import (
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
    Read,
    Repeat,
    Restart,
    Return,
    Routine,
    Statement,
    While,
)
from twohand.program.program import Program
from twohand.program.variables import Role, Variable
from twohand.program.walks import nodes_below

_Reads = frozenset[Variable]
_NOTHING: _Reads = frozenset()


class Dependencies:
    """Of the variables of one program."""

    def __init__(self, program: Program) -> None:
        self._direct: dict[Variable, set[Variable]] = {}
        self._leaving: set[Variable] = set()
        self._done: set[tuple[int, _Reads]] = set()
        self._routine(program.routine, _NOTHING)

    def of(self, wanted: Iterable[Variable]) -> set[Variable]:
        """The wanted variables and all that they may depend on, in this scan or earlier ones."""
        waiting = [*wanted]
        found: set[Variable] = set()
        while waiting:
            variable = waiting.pop()
            if variable in found:
                continue
            found.add(variable)
            if variable in self._direct:
                waiting += [*self._direct[variable], *self._leaving]
        return found

    def _routine(self, routine: Routine, around: _Reads) -> None:
        """A routine that is called where ``around`` decides."""
        key = (id(routine), around)
        if key not in self._done:
            self._done.add(key)
            self._set(routine.initialise, around)
            self._body(routine.body, around)

    def _body(self, statements: Sequence[Statement], around: _Reads) -> None:
        for statement in statements:
            self._statement(statement, around)

    def _statement(self, statement: Statement, around: _Reads) -> None:
        match statement:
            case Assign() | AssignElement() | Evaluate():
                self._at_once(statement, around)
            case If():
                for condition, body in statement.branches:
                    around = self._decided(condition, around)
                    self._body(body, around)
                self._body(statement.otherwise, around)
            case Case():
                around = self._decided(statement.selector, around)
                for _, body in statement.arms:
                    self._body(body, around)
                self._body(statement.otherwise, around)
            case For():
                around = self._decided(statement.first, around)
                around = self._decided(statement.last, around) | {statement.variable}
                self._set([statement.variable], around)
                self._body(statement.body, around)
            case While():
                self._body(statement.body, self._decided(statement.condition, around))
            case Repeat():
                self._body(statement.body, self._decided(statement.until, around))
            case Exit() | Continue() | Return():
                self._leaving |= around
            case CallBlock() | CallStandard():
                self._call(statement, around)
            case Restart():
                self._set(statement.variables, around)

    def _call(self, call: CallBlock | CallStandard, around: _Reads) -> None:
        for variable, value in call.arguments:
            self._set([variable], self._decided(value, around))
        if isinstance(call, CallBlock):
            self._routine(call.routine, around)
        else:
            pins = call.instance.pins.values()
            read = frozenset(pin for pin in pins if pin.role is not Role.OUTPUT)
            self._set([pin for pin in pins if pin.role is Role.OUTPUT], around | read)
        for store in call.outputs:
            self._at_once(store, around)

    def _decided(self, expression: Expression, around: _Reads) -> _Reads:
        """What is around and what the expression reads; what it changes on its way is noted."""
        self._at_once(expression, around)
        return around | _read(expression)

    def _at_once(self, node: object, around: _Reads) -> None:
        """All that a node changes depends on all that it reads."""
        self._set(written(node), around | _read(node))

    def _set(self, targets: Iterable[Variable], sources: _Reads) -> None:
        for target in targets:
            self._direct.setdefault(target, set()).update(sources)


def _read(node: object) -> _Reads:
    """Every variable that is read in a node, and in what it calls."""
    return frozenset(each.variable for each in nodes_below(node) if isinstance(each, Read))
