"""Calls that some scan leaves out, compared with calls in every scan.

First it is asked whether the instance is at rest in every such scan (``temporal.rest_marks``), then
whether any read of the instance can find anything else than it would there
(``temporal.shadows``): where none can, all goes on the same. Only where one can, the program is
compared with its twin as a whole.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from twohand.analyses.inspect.answers import Asking, PointAnswer
from twohand.analyses.inspect.kinds.shadow_instances import Shadow, ShadowMarks, can_be_shadowed
from twohand.analyses.inspect.kinds.skipped_calls import Twin, further_calls, skipped_point, twin_of
from twohand.analyses.inspect.marking.calls import Calls
from twohand.analyses.inspect.marking.instrumentation import instrumented
from twohand.analyses.inspect.marking.rest import RestMarks, can_be_at_rest
from twohand.analyses.inspect.points import Point, Question, Status, Weight
from twohand.analyses.inspect.subject import Subject
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.program import StandardInstance
from twohand.specification.model.specification import Specification

CALLED_ALWAYS = " (called always)"
"""Behind the name of a variable in the twin."""
CallAnswer = tuple[Point, PointAnswer, Specification, Mapping[str, str]]


class SkippedCalls:
    """What is said of several declarations, each of which some scan does not call."""

    def __init__(
        self, subject: Subject, followed: Sequence[Calls], desk: Dispatcher, seconds: float
    ) -> None:
        self._subject = subject
        self._desk = desk
        self._seconds = seconds
        self._shadows: dict[tuple[Calls, int, str], Shadow] = {}
        self._answers: dict[Question, PointAnswer] = {}
        self._resting: dict[StandardInstance, tuple[Question, PointAnswer]] = {}
        self._shadowed = subject.specification
        program = subject.specification.program
        self._at_rest(followed)
        for calls in followed:
            for number, instance in enumerate(calls.instances):
                if instance in self._resting or not can_be_shadowed(
                    instance, program, subject.routine
                ):
                    continue
                for words, arguments in further_calls(program, calls, number):
                    shadow = Shadow(instance, arguments, len(self._shadows))
                    self._shadows[calls, number, words] = shadow
        if self._shadows:
            self._ask_shadows()

    def _at_rest(self, followed: Sequence[Calls]) -> None:
        """The simplest reason why a call left out does nothing."""
        spec = self._subject.specification
        able = [
            instance
            for calls in followed
            for instance in calls.instances
            if can_be_at_rest(instance, spec.program)
        ]
        probe = RestMarks(able)
        self._rested = replace(
            spec, program=instrumented(spec.program, [probe], self._subject.block)
        )
        if not able:
            return
        answers = self._asked(self._rested, list(probe.questions.values()))
        for instance, question in probe.questions.items():
            if answers[question].status is Status.NEVER:
                self._resting[instance] = (question, answers[question])

    def _ask_shadows(self) -> None:
        spec = self._subject.specification
        probe = ShadowMarks(self._shadows.values())
        program = instrumented(spec.program, [probe], self._subject.block)
        self._shadowed = replace(spec, program=program)
        questions = [shadow.question for shadow in self._shadows.values()]
        self._answers = self._asked(self._shadowed, questions)

    def _asked(
        self, specification: Specification, questions: Sequence[Question]
    ) -> dict[Question, PointAnswer]:
        asking = Asking(specification, questions, self._desk, self._seconds)
        while asking.go_on():
            self._desk.serve()
        return asking.answers

    def worst(self, calls: Calls) -> CallAnswer:
        """The worst that the instances of a declaration show."""
        worst: CallAnswer | None = None
        for number in range(len(calls.instances)):
            answer = self._one(calls, number)
            if answer[0].weight is Weight.FAULT:
                return answer
            if worst is None or answer[0].weight is Weight.OPEN:
                worst = answer
        assert worst is not None
        return worst

    def _one(self, calls: Calls, number: int) -> CallAnswer:
        program = self._subject.specification.program
        further = further_calls(program, calls, number)
        rest = self._resting.get(calls.instances[number])
        if rest is not None:
            question, answer = rest
            point, _ = skipped_point(calls, [(further[0][0], question, answer.status)])
            return point, answer, self._rested, {}
        for words, _ in further:
            shadow = self._shadows.get((calls, number, words))
            if shadow is None:
                continue
            answer = self._answers[shadow.question]
            if answer.status is Status.NEVER:
                point, _ = skipped_point(calls, [(words, shadow.question, answer.status)])
                return point, answer, self._shadowed, {}
        return self._with_twins(calls, number)

    def _with_twins(self, calls: Calls, number: int) -> CallAnswer:
        spec, block = self._subject.specification, self._subject.block
        answers: list[tuple[Twin, PointAnswer]] = []
        for words, arguments in further_calls(spec.program, calls, number):
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
