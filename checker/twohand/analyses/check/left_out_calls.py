"""Calls of timers, edge blocks and counters whose absence is the cause of a violation.

A violated requirement is asked again of the same program with one call more: where a scan leaves an
instance out, it is called at the end. What is named is certain: the shown run leaves the call out,
and with it made in every scan the requirement is proved, for all runs and on every platform. Where
that is not proved, nothing is said.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property

from twohand.analyses.check.variant_proof import VariantProof, may_have_a_cause
from twohand.evidence.calls.block_call import block_call
from twohand.evidence.calls.called_marks import CalledMarks
from twohand.evidence.calls.further_calls import WATCHED, CalledAlways, further_calls
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.runs.replay import executed
from twohand.evidence.verdict import Counterexample, LeftOutCall, Outcome, Verdict
from twohand.program import CallStandard, Program, StandardInstance, Statement, Variable
from twohand.program.instrumentation import instrumented, mark, note, when
from twohand.program.walks import nodes_below
from twohand.specification.model.specification import Specification

MOST_ASKED = 4
"""Instances that one requirement is asked again with."""


def with_left_out_calls(
    verdicts: Sequence[Verdict], specification: Specification, desk: Dispatcher, effort: float
) -> tuple[Verdict, ...]:
    """The verdicts; those that are violated with the call whose absence is the cause, where one is
    known. ``desk`` is one of its own: what is proved here is proved of another program."""
    if not any(each.outcome is Outcome.VIOLATED for each in verdicts):
        return tuple(verdicts)
    search = _Search(specification, desk, effort)
    return tuple(replace(each, left_out=search.of(each)) for each in verdicts)


class _Skips(CalledMarks):
    """Marks for each instance that a scan ran the block without calling it."""

    def __init__(self, instances: Iterable[StandardInstance]) -> None:
        self._instances = list(instances)
        super().__init__(self._instances)
        self.left_out: dict[StandardInstance, Variable] = {}
        for number, each in enumerate(self._instances):
            self.left_out[each] = mark(f"left_out.{number}", each.span)
        self.anew += self.left_out.values()

    def end(self) -> Iterator[Statement]:
        for instance, marked in self.left_out.items():
            yield when(self.skipped(instance), note(marked, instance.span))


class _Search:
    def __init__(self, specification: Specification, desk: Dispatcher, effort: float) -> None:
        self._spec = specification
        self._proof = VariantProof(specification, desk, effort)
        self._block, around = block_call(specification)
        self._sites = {
            node.instance: node.span
            for node in reversed(list(nodes_below(specification.program.routine)))
            if isinstance(node, CallStandard)
        }
        """Where each instance is called first."""
        self._watched = [
            each
            for each in specification.program.instances
            if each.block in WATCHED
            and each in self._sites
            and not each.surroundings
            and not each.name.startswith(around or "#")
        ]

    def of(self, verdict: Verdict) -> LeftOutCall | None:
        run = verdict.counterexample
        if run is None or not may_have_a_cause(verdict):
            return None
        skipped = self._skipped(run)
        for instance in list(skipped)[:MOST_ASKED]:
            for words, arguments in further_calls(self._spec.program, instance):
                called = CalledAlways(instance, arguments)
                program = instrumented(self._spec.program, [called], self._block)
                if self._proof.mends(program, verdict):
                    span, scans = self._sites[instance], skipped[instance]
                    return LeftOutCall(instance.name, instance.block.value, span, words, scans)
        return None

    @cached_property
    def _marked(self) -> tuple[_Skips, Program]:
        marks = _Skips(self._watched)
        return marks, instrumented(self._spec.program, [marks], self._block)

    def _skipped(self, run: Counterexample) -> dict[StandardInstance, int]:
        """The instances that scans of the run leave out, and how many do."""
        if not self._watched:
            return {}
        marks, program = self._marked
        records = executed(program, run, self._spec)
        counts = {
            instance: sum(bool(record.values.get(marked.name)) for record in records)
            for instance, marked in marks.left_out.items()
        }
        return {instance: number for instance, number in counts.items() if number}
