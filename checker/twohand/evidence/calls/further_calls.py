"""An instance that is called in every scan: the calls that a scan leaves out, made at its end.

They are made as if the signal were FALSE, or with the arguments of the only call.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from twohand import program as typed
from twohand.evidence.calls.called_marks import CalledMarks
from twohand.program.instrumentation import truth, when
from twohand.program.walks import nodes_below

Arguments = tuple[tuple[typed.Variable, typed.Expression], ...]
TIMERS = (typed.StandardBlock.TON, typed.StandardBlock.TOF, typed.StandardBlock.TP)
EDGES = (typed.StandardBlock.R_TRIG, typed.StandardBlock.F_TRIG)
COUNTERS = (typed.StandardBlock.CTU, typed.StandardBlock.CTD, typed.StandardBlock.CTUD)
WATCHED = (*TIMERS, *EDGES, *COUNTERS)
SIGNALS = {
    **dict.fromkeys(TIMERS, ("IN",)),
    **dict.fromkeys(EDGES, ("CLK",)),
    typed.StandardBlock.CTU: ("CU",),
    typed.StandardBlock.CTD: ("CD",),
    typed.StandardBlock.CTUD: ("CU", "CD"),
}
"""The pins by whose changes a block goes on."""
_SAFE = {
    *(typed.Operator.NOT, typed.Operator.AND, typed.Operator.OR, typed.Operator.XOR),
    *(typed.Operator.EQUAL, typed.Operator.UNEQUAL, typed.Operator.LESS),
    *(typed.Operator.LESS_EQUAL, typed.Operator.GREATER, typed.Operator.GREATER_EQUAL),
}


def further_calls(
    program: typed.Program, instance: typed.StandardInstance
) -> list[tuple[str, Arguments]]:
    """The calls that could be made of an instance where none is, in words and as arguments."""
    signals = SIGNALS[instance.block]
    silent: Arguments = tuple((instance.pins[pin], truth(False, instance.span)) for pin in signals)
    found: list[tuple[str, Arguments]] = [
        (f"with {' and '.join(f'{pin} FALSE' for pin in signals)}", silent)
    ]
    arguments = _arguments(instance, program)
    if arguments is not None:
        what = "with the arguments of its call" if arguments else "with its inputs as they are"
        found.append((what, arguments))
    return found


def _arguments(instance: typed.StandardInstance, program: typed.Program) -> Arguments | None:
    """The arguments of the only call; none where there are several; None where evaluating them
    could fail or act, or where they are another routine's own."""
    sites = [
        node
        for node in nodes_below(program.routine)
        if isinstance(node, typed.CallStandard) and node.instance is instance
    ]
    if len({id(site) for site in sites}) != 1:
        return ()
    arguments = sites[0].arguments
    own = set(_own(program))
    for _, value in arguments:
        for node in nodes_below(value):
            if isinstance(node, typed.CallFunction | typed.Element | typed.ShortCircuit):
                return None
            if isinstance(node, typed.Operation) and node.operator not in _SAFE:
                return None
            if isinstance(node, typed.Read) and node.variable in own:
                return None
    return arguments


def _own(program: typed.Program) -> Iterator[typed.Variable]:
    """Variables that begin anew at each call of a routine that has them."""
    for node in nodes_below(program.routine):
        if isinstance(node, typed.Routine) and node is not program.routine:
            yield from node.initialise


class CalledAlways(CalledMarks):
    """Calls one instance at the end of each scan that ran the block without calling it."""

    def __init__(self, instance: typed.StandardInstance, arguments: Arguments) -> None:
        super().__init__([instance])
        self._instance = instance
        self._arguments = arguments

    def end(self) -> Iterable[typed.Statement]:
        call = typed.CallStandard(self._instance, self._arguments, (), self._instance.span)
        yield when(self.skipped(self._instance), call)
