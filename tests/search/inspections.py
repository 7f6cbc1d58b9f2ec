"""An inspection of one small block agrees with a visit of every state that it can reach."""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Hashable, Sequence
from dataclasses import replace
from itertools import product
from random import Random

from twohand.analyses.inspect.answers import Asking, Ledger
from twohand.analyses.inspect.kinds.registry import registry_of
from twohand.analyses.inspect.kinds.shadow_instances import Shadow, ShadowMarks
from twohand.analyses.inspect.kinds.skipped_calls import twin_of
from twohand.analyses.inspect.marking.calls import Calls
from twohand.analyses.inspect.marking.rest import RestMarks, can_be_at_rest
from twohand.analyses.inspect.points import InspectionKind, Question, Status
from twohand.analyses.inspect.subject import Subject
from twohand.engine.workers.pool import Pool
from twohand.evidence.calls.further_calls import further_calls
from twohand.evidence.limits import Options
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.program.instrumentation import instrumented
from twohand.scan.clocking import Readings
from twohand.scan.concrete.execute import Machine, formula_evaluator
from twohand.specification.model.specification import Specification
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.enumeration.enumerate_states import boolean_inputs
from tests.support.randomness.small_blocks import CLOCKINGS, SmallBlock
from tests.support.samples.inspected_blocks import subject

MOST_STATES = 4_000
OPTIONS = Options(effort=20.0, processes=1)


def visited(specification: Specification, questions: Sequence[Question]) -> set[Question] | None:
    """The questions that some reachable scan answers with yes; None for too many states."""
    machine = Machine(specification.program, specification.clocking, specification.readings)
    clocking = specification.clocking
    evaluator = formula_evaluator(clocking)
    times = range(clocking.shortest, clocking.longest + 1)
    steps = list(product(boolean_inputs(specification.program), times))
    left, found = set(questions), set()
    waiting: deque[Hashable] = deque([machine.snapshot()])
    seen = set(waiting)
    while waiting:
        before = waiting.popleft()
        for inputs, elapsed in steps:
            machine.restore(before)
            record = machine.scan(inputs, elapsed)
            if record.finding is not None:
                continue
            yes = {q for q in left if evaluator.value(q.reached, record.values)}
            found |= yes
            left -= yes
            after = machine.snapshot()
            if after not in seen:
                seen.add(after)
                waiting.append(after)
        if len(seen) > MOST_STATES:
            return None
    return found


def answered(
    specification: Specification, questions: Sequence[Question], pool: Pool
) -> dict[Question, Status]:
    desk = Dispatcher(pool, OPTIONS.seconds)
    asking = Asking(specification, questions, desk, Ledger(OPTIONS.seconds))
    while asking.go_on():
        desk.serve()
    return {question: answer.status for question, answer in asking.answers.items()}


def compare(
    specification: Specification, questions: Sequence[Question], pool: Pool
) -> Counter[Status]:
    found = visited(specification, questions)
    if found is None:
        return Counter()
    answers = answered(specification, questions, pool)
    for question, status in answers.items():
        assert status is not Status.OPEN
        assert (status is Status.REACHED) == (question in found), question.name
    return Counter(answers.values())


def small_subject(seed: int) -> Subject:
    random = Random(f"inspected {seed}")
    text = SmallBlock(random).text()
    tested = load_program([SourceText("small.st", text)])
    made = subject(tested, random.choice(CLOCKINGS))
    readings = random.choice(Readings().choices())
    return replace(made, specification=replace(made.specification, readings=readings))


def compare_block(seed: int, pool: Pool) -> Counter[Status]:
    """Of the marks, and of every twin."""
    made = small_subject(seed)
    families = registry_of(made, tuple(InspectionKind))
    questions = [q for family in families.families for q in family.questions()]
    together = replace(made.specification, program=families.program)
    counts = compare(together, questions, pool)
    assert families.calls is not None
    for calls in families.calls.calls.values():
        for number in range(len(calls.instances)):
            counts += compare_calls(made, calls, number, pool)
    return counts


def compare_calls(made: Subject, calls: Calls, number: int, pool: Pool) -> Counter[Status]:
    """Twins of one instance; what no read of a shadow can tell, no twin shows."""
    spec, instance = made.specification, calls.instances[number]
    counts: Counter[Status] = Counter()
    for words, arguments in further_calls(spec.program, calls.instances[number]):
        twin = twin_of(spec, None, instance, arguments, words)
        counts += (own := compare(twin.specification, [twin.question], pool))
        shadow = Shadow(instance, words, arguments, 0)
        program = instrumented(spec.program, [ShadowMarks([shadow])])
        shadowed = replace(spec, program=program)
        alike = compare(shadowed, [shadow.question], pool)
        counts += alike
        if alike[Status.NEVER]:
            assert not own[Status.REACHED]
    rest = RestMarks([instance] if can_be_at_rest(instance, spec.program) else [])
    if rest.questions:
        resting = replace(spec, program=instrumented(spec.program, [rest]))
        silent = compare(resting, list(rest.questions.values()), pool)
        words, arguments = further_calls(spec.program, calls.instances[number])[0]
        twin = twin_of(spec, None, instance, arguments, words)
        found = visited(twin.specification, [twin.question])
        assert not (silent[Status.NEVER] and found)
        counts += silent
    return counts
