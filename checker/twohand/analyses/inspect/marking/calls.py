"""Calls of timers, counters and edge blocks: in which scans, and how often in one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property

from twohand import program as typed
from twohand.analyses.inspect.points import (
    Answers,
    InspectionKind,
    Place,
    Point,
    Question,
    Status,
    Weight,
    any_of,
    place_of,
)
from twohand.evidence.calls.called_marks import CalledMarks
from twohand.evidence.calls.further_calls import COUNTERS, EDGES, SIGNALS, WATCHED
from twohand.program.instrumentation import keep, logic, mark, note, when
from twohand.program.walks import nodes_below
from twohand.text.source_text import Span

_OUTPUTS = ("Q", "ET", "CV", "QU", "QD")
SECOND_EDGE = "Q is TRUE for one call only, so that who reads it behind the second one sees no edge"
NO_EDGE = "no second call comes behind one that saw an edge"
UNLIKE = "each call undoes what the other one began: it never measures what was meant"
ALIKE = "no time passes between the two calls, so that the second one changes nothing but presets"
COUNTED = "the second call sees no further edge, and changes nothing but by its other inputs"


@dataclass(eq=False)
class Calls:
    """What is known of one declared instance, in all the instances of the block that has it."""

    declared: typed.StandardInstance
    instances: list[typed.StandardInstance] = field(default_factory=list)
    sites: dict[Place, typed.CallStandard] = field(default_factory=dict)
    skipped: list[typed.Variable] = field(default_factory=list)
    twice: list[typed.Variable] = field(default_factory=list)
    unlike: list[typed.Variable] = field(default_factory=list)
    outputs_read: bool = False
    most: int = 0
    """The places at which one instance is called: in an array each has its own."""

    @property
    def name(self) -> str:
        return self.declared.name

    @cached_property
    def left_out(self) -> Question:
        asks = f"whether some scan runs the block without calling '{self.name}'"
        return Question(f"{self.name} not called", any_of(self.skipped), asks)

    @cached_property
    def called_twice(self) -> Question:
        asks = f"whether some scan calls '{self.name}' twice"
        return Question(f"{self.name} called twice", any_of(self.twice), asks, run=True)

    @cached_property
    def called_unlike(self) -> Question:
        unlike, kind = any_of(self.unlike), self.declared.block
        signal = " or ".join(SIGNALS[kind])
        asks = f"whether some scan calls '{self.name}' with {signal} TRUE and with it FALSE"
        if kind in EDGES:
            asks = (
                f"whether in some scan a later call of '{self.name}' takes Q of an earlier one away"
            )
        elif _with_literal(self):
            asks += ", calls with a plain TRUE or FALSE aside"
        within = (self.called_twice,)
        return Question(f"{self.name} called with both", unlike, asks, True, within)


@dataclass(frozen=True)
class _Marks:
    """``measured`` are calls whose signal is no literal: a call with IN FALSE between two others
    begins the time anew, which is meant so (common practice)."""

    measured: typed.Variable
    skipped: typed.Variable
    twice: typed.Variable
    unlike: typed.Variable
    seen: tuple[typed.Variable, ...]


class CallMarks(CalledMarks):
    """Marks the calls of every instance of ``program`` but those whose names begin with one of
    ``apart``, which are not the block's. Its points are instances that are called twice in a scan,
    or never at all; what is not called in every scan is left to ``SkippedCalls``."""

    def __init__(
        self, program: typed.Program, routine: typed.Routine, apart: tuple[str, ...] = ()
    ) -> None:
        super().__init__()
        self.calls: dict[Place, Calls] = {}
        self._marks: dict[typed.StandardInstance, _Marks] = {}
        inside = [node for node in nodes_below(routine) if isinstance(node, typed.CallStandard)]
        reads = {
            node.variable for node in nodes_below(program.routine) if isinstance(node, typed.Read)
        }
        if program.uncomputed:  # what has no model may read anything, and may be compared
            reads.update(program.variables)
        for instance in program.instances:
            own = not instance.surroundings and not instance.name.startswith(apart or "#")
            if own and instance.block in WATCHED:
                self._declare(instance, inside, reads)

    def _declare(
        self,
        instance: typed.StandardInstance,
        inside: list[typed.CallStandard],
        reads: set[typed.Variable],
    ) -> None:
        calls = self.calls.setdefault(place_of(instance.span), Calls(instance))
        own = [call for call in inside if call.instance is instance]
        sites = {place_of(call.span): call for call in own}
        calls.sites.update(sites)
        calls.most = max(calls.most, len(sites))
        calls.outputs_read |= any(instance.pins.get(pin) in reads for pin in _OUTPUTS)
        calls.outputs_read |= any(call.outputs for call in own)
        if not own:
            return
        calls.instances.append(instance)
        number, span = len(self._marks), instance.span
        seen = tuple(mark(f"seen.{number}.{pin}", span) for pin in SIGNALS[instance.block])
        names = ("measured", "skipped", "twice", "unlike")
        made = [mark(f"{name}.{number}", span) for name in names]
        measured, skipped, twice, unlike = made
        marks = _Marks(measured, skipped, twice, unlike, seen)
        self._marks[instance] = marks
        self.follow(instance)
        self.anew += [*made, *seen]
        calls.skipped.append(marks.skipped)
        calls.twice.append(marks.twice)
        calls.unlike.append(marks.unlike)

    # --- watching -----------------------------------------------------------------------------

    def after(self, statement: typed.Statement, last: bool) -> Iterable[typed.Statement]:
        if not isinstance(statement, typed.CallStandard):
            return ()
        marks, called = self._marks.get(statement.instance), self.called_mark(statement.instance)
        if marks is None or called is None:
            return ()
        span = statement.span
        found: list[typed.Statement] = [
            when(typed.Read(called, span), note(marks.twice, span)),
            *super().after(statement, last),
        ]
        pins = [statement.instance.pins[pin] for pin in SIGNALS[statement.instance.block]]
        if statement.instance.block in EDGES:
            return [*found, *_edge_gone(statement.instance, marks, span)]
        if any(
            pin in pins and isinstance(value, typed.Literal) for pin, value in statement.arguments
        ):
            return found
        pairs = list(zip(pins, marks.seen, strict=True))
        other = [
            logic(typed.Operator.UNEQUAL, typed.Read(pin, span), typed.Read(seen, span))
            for pin, seen in pairs
        ]
        unlike = [when(each, note(marks.unlike, span)) for each in other]
        found += [when(typed.Read(marks.measured, span), *unlike), note(marks.measured, span)]
        return [*found, *(keep(seen, typed.Read(pin, span)) for pin, seen in pairs)]

    def end(self) -> Iterable[typed.Statement]:
        for instance, marks in self._marks.items():
            yield when(self.skipped(instance), note(marks.skipped, instance.span))

    # --- questions ----------------------------------------------------------------------------

    def questions(self) -> Iterable[Question]:
        known = [calls for calls in self.calls.values() if calls.instances]
        twice = [calls.called_twice for calls in known]
        return [*(c.left_out for c in known), *twice, *(c.called_unlike for c in known)]

    def skipping(self, answers: Answers) -> Iterator[Calls]:
        """Instances that some scan does not call, or that perhaps none does without."""
        for calls in self.calls.values():
            if calls.instances and answers[calls.left_out] in (Status.REACHED, Status.OPEN):
                yield calls

    def points(self, answers: Answers) -> Iterator[Point]:
        for calls in self.calls.values():
            if not calls.sites:
                sentence = f"'{calls.name}' is declared and never called"
                yield Point(
                    InspectionKind.UNUSED,
                    Weight.NOTE,
                    sentence,
                    calls.declared.span,
                    "its outputs keep their initial values",
                )
                continue
            if calls.most > 1 or answers[calls.called_twice] is Status.REACHED:
                yield self._counted(calls, answers)

    def _counted(self, calls: Calls, answers: Answers) -> Point:
        kind, block = calls.declared.block, calls.declared.block.value
        twice, unlike = calls.called_twice, calls.called_unlike
        first, *others = calls.sites.values()
        places = tuple((call.span, "called here too") for call in others)
        shown = tuple(calls.declared.pins[pin].name for pin in (*SIGNALS[kind], *_OUTPUTS)
                      if pin in calls.declared.pins)  # fmt: skip
        name = f"'{calls.name}'"

        def point(weight: Weight, sentence: str, why: str = "", by: Question = twice) -> Point:
            return Point(
                InspectionKind.CALLED_TWICE, weight, sentence, first.span, why, places, shown, by
            )

        match answers[twice]:
            case Status.NEVER:
                where = f"{name} is called in {calls.most} places, never twice in one scan"
                return point(Weight.HARMLESS, where)
            case Status.REACHED:
                return self._twice_in_a_scan(calls, answers[unlike], point)
        return point(
            Weight.OPEN, f"whether {name} ({block}) can be called twice in one scan was not decided"
        )

    def _twice_in_a_scan(self, calls: Calls, unlike: Status, point: Callable[..., Point]) -> Point:
        """What a second call in a scan does, by whether it ever is unlike the first."""
        kind, question = calls.declared.block, calls.called_unlike
        sentence = f"'{calls.name}' ({kind.value}) can be called twice in one scan"
        pin = SIGNALS[kind][0]
        edge = kind in EDGES
        worse = "the second call takes the edge away" if edge else f"with {pin} TRUE and FALSE"
        if unlike is Status.REACHED:
            return point(
                Weight.FAULT, f"{sentence}, {worse}", SECOND_EDGE if edge else UNLIKE, question
            )
        if unlike is Status.NEVER:
            literal = ", calls with a plain TRUE or FALSE aside" if _with_literal(calls) else ""
            alike = COUNTED if kind in COUNTERS else ALIKE
            why = NO_EDGE if edge else f"{alike} ({pin} is the same in both{literal})"
            return point(Weight.NOTE, sentence, why, question)
        return point(Weight.OPEN, f"{sentence}; whether {worse} was not decided", by=question)


def _edge_gone(
    instance: typed.StandardInstance, marks: _Marks, span: Span
) -> list[typed.Statement]:
    """Whether an earlier call in this scan saw an edge that this one no longer shows."""
    now = typed.Read(instance.pins["Q"], span)
    (seen,) = marks.seen
    gone = logic(typed.Operator.AND, typed.Read(seen, span), logic(typed.Operator.NOT, now))
    return [when(gone, note(marks.unlike, span)), keep(seen, now)]


def _with_literal(calls: Calls) -> bool:
    """Whether a call gives its signal as a literal: those are not compared."""
    signals = SIGNALS[calls.declared.block]
    pins = {each.pins[name] for each in calls.instances for name in signals}
    given = (argument for call in calls.sites.values() for argument in call.arguments)
    return any(pin in pins and isinstance(value, typed.Literal) for pin, value in given)


def place(calls: Calls) -> Span:
    """Where it is called, first."""
    return next(iter(calls.sites.values())).span
