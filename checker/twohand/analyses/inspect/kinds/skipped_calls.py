"""Timers, counters and edge blocks that some scan does not call, beside themselves called always.

A twin is the same program in which every scan that did not call the instance calls it at its end:
as if its signal were FALSE, or with the arguments of its only call. Where the block shows the same
as one of its twins in every scan, leaving the call out does nothing that such a call would not do.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from twohand import program as typed
from twohand.analyses.inspect.marking.calls import Calls, place
from twohand.analyses.inspect.points import InspectionKind, Point, Question, Status, Weight
from twohand.evidence.calls.further_calls import COUNTERS, EDGES, TIMERS, Arguments, CalledAlways
from twohand.program.instrumentation import instrumented, logic, truth
from twohand.program.product import ProductProgram, product_program, shown
from twohand.program.types import BOOL
from twohand.specification.model.specification import Specification
from twohand.specification.phrases import listing

PREFIXES = ("written.", "twin.")
WHY = {
    **dict.fromkeys(TIMERS, "a timer that is not called keeps its outputs while its time goes on"),
    **dict.fromkeys(EDGES, "an edge block that is not called keeps its output and its old input"),
    **dict.fromkeys(COUNTERS, "a counter that is not called misses edges, or sees old ones"),
}


@dataclass(frozen=True, eq=False)
class Twin:
    """``specification`` has the program and its twin side by side; ``question`` asks whether what
    they show can differ. ``compared`` are the variables, as the program has them."""

    words: str
    specification: Specification
    both: ProductProgram
    question: Question
    compared: tuple[typed.Variable, ...]


def twin_of(
    specification: Specification,
    block: typed.CallBlock | None,
    instance: typed.StandardInstance,
    arguments: Arguments,
    words: str,
    run: bool = True,
) -> Twin:
    """``run``: whether a run that tells the two apart is to be shown."""
    program = specification.program
    other = instrumented(program, [CalledAlways(instance, arguments)], block)
    both = product_program(program, other, PREFIXES)
    compared = _compared(program, instance)
    first, second = both.first.variables, both.second.variables
    unequal = [
        logic(typed.Operator.UNEQUAL, typed.Read(first[v], v.span), typed.Read(second[v], v.span))
        for v in compared
        if first[v] is not second[v]
    ]
    reached: typed.Expression = truth(False, instance.span)
    if unequal:
        reached = unequal[0]
    if len(unequal) > 1:
        reached = typed.Operation(typed.Operator.OR, tuple(unequal), BOOL, instance.span)
    asks = (
        f"whether some scan can show another value of {listing([v.name for v in compared], 'or')} "
    )
    asks += f"than if every scan that leaves '{instance.name}' out called it {words}"
    question = Question(f"{instance.name} called always, {words}", reached, asks, run=run)
    together = replace(
        specification,
        program=both.program,
        outputs=(),
        requirements=(),
        lags=(),
        equivalent=both.prefixes,
    )
    return Twin(words, together, both, question, compared)


def _compared(
    program: typed.Program, instance: typed.StandardInstance
) -> tuple[typed.Variable, ...]:
    """What the block shows; where it shows nothing, all that it remembers but the instance."""
    visible = shown(program)
    if visible:
        return visible
    own = {*instance.pins.values(), *program.sampled}
    return tuple(v for v in program.variables if v not in own)


def unread_point(calls: Calls) -> Point:
    sentence = f"'{calls.name}' is not called in every scan, and nobody reads its outputs"
    return Point(
        InspectionKind.SKIPPED_CALL, Weight.NOTE, sentence, place(calls), "it could be left out"
    )


def skipped_point(
    calls: Calls, answers: Sequence[tuple[str, Question, Status]], twin: Twin | None = None
) -> tuple[Point, int]:
    """What the answers about the further calls of an instance say, and the number of the one that
    is the evidence. ``twin`` is the first one's."""
    declared, span = calls.declared, place(calls)
    others = tuple((call.span, "called here too") for call in list(calls.sites.values())[1:])
    name = f"'{calls.name}' ({declared.block.value})"

    def point(number: int, weight: Weight, says: str, why: str = "") -> tuple[Point, int]:
        shown = () if twin is None else _shown(calls, twin)
        sentence = f"{name} is not called in every scan{says}"
        kind, question = InspectionKind.SKIPPED_CALL, answers[number][1]
        return Point(kind, weight, sentence, span, why, others, shown, question), number

    for number, (words, _, status) in enumerate(answers):
        if status is Status.NEVER:
            says = f"; without the call all goes on as if it were called {words}"
            return point(number, Weight.HARMLESS, says)
    for number, (words, _, status) in enumerate(answers):
        if status is not Status.REACHED:
            says = f"; whether that is the same as a call {words} was not decided"
            return point(number, Weight.OPEN, says)
    words = " or ".join(each for each, _, _ in answers)
    why = f"{WHY[declared.block]}: not what it would be if such scans called it {words}"
    return point(0, Weight.FAULT, ", and that shows", why)


def _shown(calls: Calls, twin: Twin) -> tuple[str, ...]:
    """What a run is shown with: what is compared, in both, and the instance as it is."""
    first, second = twin.both.first.variables, twin.both.second.variables
    pins = [v for each in calls.instances[:1] for v in each.pins.values() if v.name[-2:] != "PT"]
    names = [first[v].name for v in pins]
    for variable in twin.compared:
        names += [first[variable].name, second[variable].name]
    return tuple(dict.fromkeys(names))
