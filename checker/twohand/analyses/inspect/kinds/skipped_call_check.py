"""Calls that some scan leaves out, compared with calls in every scan.

First it is asked whether the instance is at rest in every such scan (``marking.rest``), then
whether any read of the instance can find anything else than it would there (``shadow_instances``):
where none can, all goes on the same. Only where one can, the program is compared with its twin as
a whole.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from twohand.analyses.inspect.answers import Asking, Ledger, PointAnswer
from twohand.analyses.inspect.kinds.shadow_instances import Shadow, ShadowMarks, can_be_shadowed
from twohand.analyses.inspect.kinds.skipped_calls import Twin, skipped_point, twin_of
from twohand.analyses.inspect.marking.calls import Calls
from twohand.analyses.inspect.marking.rest import RestMarks, can_be_at_rest
from twohand.analyses.inspect.points import Point, Question, Status, Weight
from twohand.analyses.inspect.subject import Subject
from twohand.evidence.calls.further_calls import further_calls
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.program import StandardInstance
from twohand.program.instrumentation import Probe, instrumented
from twohand.specification.model.specification import Specification

CALLED_ALWAYS = " (called always)"
"""Behind the name of a variable in the twin."""
CallAnswer = tuple[Point, PointAnswer, Specification, Mapping[str, str]]


Reason = tuple[Calls, StandardInstance, str, Question]
"""Why a call left out may do nothing: it is as if it were made so, in words, where the answer to
the question is never."""


class SkippedCalls:
    """What is said of several declarations, each of which some scan does not call."""

    def __init__(
        self, subject: Subject, followed: Sequence[Calls], desk: Dispatcher, ledger: Ledger
    ) -> None:
        self._subject = subject
        self._desk = desk
        self._ledger = ledger
        self._settled: dict[StandardInstance, CallAnswer] = {}
        program = subject.specification.program
        each = [
            (calls, instance, further_calls(program, instance))
            for calls in followed
            for instance in calls.instances
        ]
        rest = RestMarks([i for _, i, _ in each if can_be_at_rest(i, program)])
        asked = [(c, i, further[0][0], rest.questions.get(i)) for c, i, further in each]
        self._settle(rest, [(c, i, words, q) for c, i, words, q in asked if q is not None])
        if program.uncomputed:  # what reads the instance may be an expression of REALs
            each = []
        shadows = [
            (calls, instance, words, arguments)
            for calls, instance, further in each
            if instance not in self._settled and can_be_shadowed(instance, program, subject.routine)
            for words, arguments in further
        ]
        made = [Shadow(i, words, args, n) for n, (_, i, words, args) in enumerate(shadows)]
        reasons = [(*row[:3], shadow.question) for row, shadow in zip(shadows, made, strict=True)]
        self._settle(ShadowMarks(made), reasons)

    def _settle(self, probe: Probe, reasons: Sequence[Reason]) -> None:
        """An instance is settled by the first reason that is proved."""
        if not reasons:
            return
        spec = self._subject.specification
        program = instrumented(spec.program, [probe], self._subject.block)
        probed = replace(spec, program=program)
        answers = self._asked(probed, [question for *_, question in reasons])
        for calls, instance, words, question in reasons:
            answer = answers[question]
            if answer.status is Status.NEVER and instance not in self._settled:
                point, _ = skipped_point(calls, [(words, question, answer.status)])
                self._settled[instance] = (point, answer, probed, {})

    def _asked(
        self, specification: Specification, questions: Sequence[Question]
    ) -> dict[Question, PointAnswer]:
        asking = Asking(specification, questions, self._desk, self._ledger)
        while asking.go_on():
            self._desk.serve()
        return asking.answers

    def worst(self, calls: Calls) -> CallAnswer:
        """The worst that the instances of a declaration show."""
        worst: CallAnswer | None = None
        for number in range(len(calls.instances)):
            settled = self._settled.get(calls.instances[number])
            answer = settled or self._with_twins(calls, number)
            if answer[0].weight is Weight.FAULT:
                return answer
            if worst is None or answer[0].weight is Weight.OPEN:
                worst = answer
        assert worst is not None
        return worst

    def _with_twins(self, calls: Calls, number: int) -> CallAnswer:
        spec, block = self._subject.specification, self._subject.block
        answers: list[tuple[Twin, PointAnswer]] = []
        for words, arguments in further_calls(spec.program, calls.instances[number]):
            first = not answers  # the one whose run is shown
            twin = twin_of(spec, block, calls.instances[number], arguments, words, first)
            answer = self._asked(twin.specification, [twin.question])[twin.question]
            answers.append((twin, answer))
            if answer.status is not Status.REACHED:
                break
        said = [(twin.words, twin.question, answer.status) for twin, answer in answers]
        point, chosen = skipped_point(calls, said, answers[0][0])
        twin, answer = answers[chosen]
        return point, answer, twin.specification, _labels(twin)


def _labels(twin: Twin) -> dict[str, str]:
    first, second = twin.both.first.variables, twin.both.second.variables
    labels = {copy.name: original.name for original, copy in first.items()}
    for original, copy in second.items():
        labels.setdefault(copy.name, f"{original.name}{CALLED_ALWAYS}")
    return labels
