"""Timers and edge blocks that are at rest in every scan that does not call them.

A TON with IN FALSE, Q FALSE and no time on it, and an R_TRIG with CLK and Q FALSE, are as a call
with a FALSE signal leaves them, so that one more such call changes nothing (IEC 61131-3 Ed. 2,
2.5.2.3). What their pins show is what they remember where nothing but their calls sets the signal.
"""

from __future__ import annotations

from collections.abc import Iterable

from twohand import program as typed
from twohand.analyses.inspect.points import Question, any_of
from twohand.evidence.calls.called_marks import CalledMarks
from twohand.program.instrumentation import logic, mark, note, when
from twohand.program.types import BOOL
from twohand.program.walks import nodes_below

_PINS = {typed.StandardBlock.TON: ("IN", "Q", "ET"), typed.StandardBlock.R_TRIG: ("CLK", "Q")}


class RestMarks(CalledMarks):
    """Marks scans that run the block, do not call an instance, and do not leave it at rest."""

    def __init__(self, instances: Iterable[typed.StandardInstance]) -> None:
        super().__init__()
        self.questions: dict[typed.StandardInstance, Question] = {}
        self._restless: dict[typed.StandardInstance, typed.Variable] = {}
        for number, instance in enumerate(instances):
            self.follow(instance)
            restless = self._restless[instance] = mark(f"restless.{number}", instance.span)
            self.anew.append(restless)
            name, pins = instance.name, " or ".join(_PINS[instance.block])
            asks = f"whether some scan that leaves '{name}' out ends with its {pins} not FALSE or 0"
            self.questions[instance] = Question(f"{name} at rest", any_of([restless]), asks)

    def end(self) -> Iterable[typed.Statement]:
        for instance, mark_of_it in self._restless.items():
            span = instance.span
            pins = [instance.pins[name] for name in _PINS[instance.block]]
            awake: list[typed.Expression] = [
                typed.Read(pin, span)
                if pin.type == BOOL
                else logic(
                    typed.Operator.UNEQUAL, typed.Read(pin, span), typed.Literal(0, pin.type, span)
                )
                for pin in pins
            ]
            restless = typed.Operation(typed.Operator.OR, tuple(awake), BOOL, span)
            both = logic(typed.Operator.AND, self.skipped(instance), restless)
            yield when(both, note(mark_of_it, span))


def can_be_at_rest(instance: typed.StandardInstance, program: typed.Program) -> bool:
    """Whether the pins of an instance show all that it remembers."""
    names = _PINS.get(instance.block, ())
    pins = {instance.pins[name] for name in names}
    if any(pin.initial for pin in pins):
        return False
    for node in nodes_below(program.routine):
        if isinstance(node, typed.Assign) and node.target in pins:
            return False
        if isinstance(node, typed.AssignElement) and not pins.isdisjoint(node.targets):
            return False
    return bool(names) and not given_without_call(instance, program)


def given_without_call(instance: typed.StandardInstance, program: typed.Program) -> bool:
    """Whether something else than its call and an assignment gives it values: a call whose EN is
    FALSE."""
    pins = set(instance.pins.values())
    calls = (
        n
        for n in nodes_below(program.routine)
        if isinstance(n, typed.CallBlock | typed.CallFunction)
    )
    return any(variable in pins for call in calls for variable, _ in call.arguments)
