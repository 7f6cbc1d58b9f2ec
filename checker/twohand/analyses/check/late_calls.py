"""Calls behind a statement that reads their result, where that is the cause of a violation.

A violated requirement is asked again of the same program with the call moved before the first
statement of its body that reads what it writes. What is named is certain: with the call there the
requirement is proved, for all runs and on every platform. Where that is not proved, nothing is
said.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from twohand.analyses.check.left_out_calls import MOST_ASKED
from twohand.analyses.check.variant_proof import VariantProof, may_have_a_cause
from twohand.evidence.calls.block_call import block_call
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.verdict import LateCall, Outcome, Verdict
from twohand.program import (
    CallBlock,
    CallStandard,
    Read,
    Statement,
    Variable,
)
from twohand.program.effects import written
from twohand.program.instrumentation import Probe, instrumented
from twohand.program.walks import nodes_below, parts_of
from twohand.specification.model.specification import Specification

_Call = CallStandard | CallBlock


def with_late_calls(
    verdicts: Sequence[Verdict], specification: Specification, desk: Dispatcher, effort: float
) -> tuple[Verdict, ...]:
    """The verdicts; those that are violated with the call that comes too late, where that is known
    to be the cause. ``desk`` is one of its own: what is proved here is proved of another
    program."""
    if not any(each.outcome is Outcome.VIOLATED for each in verdicts):
        return tuple(verdicts)
    search = _Search(specification, VariantProof(specification, desk, effort))
    return tuple(replace(each, late=search.of(each)) for each in verdicts)


class _Late(Probe):
    """A call behind the first statement of its body that reads what it writes, and the read; it
    moves the call before that."""

    def __init__(self, call: _Call, reader: Statement, read: Read) -> None:
        super().__init__()
        self.call = call
        self.reader = reader
        self.read = read

    def order(self, body: tuple[Statement, ...]) -> tuple[Statement, ...]:
        if self.call not in body:
            return body
        others = [each for each in body if each is not self.call]
        place = others.index(self.reader)
        return (*others[:place], self.call, *others[place:])


class _Search:
    def __init__(self, specification: Specification, proof: VariantProof) -> None:
        self._program = specification.program
        self._proof = proof
        self._block, _ = block_call(specification)
        whole = self._program.routine if self._block is None else self._block.routine
        self._late = list(_late_calls(whole.body))

    def of(self, verdict: Verdict) -> LateCall | None:
        if not may_have_a_cause(verdict):
            return None
        for late in self._late[:MOST_ASKED]:
            if self._proof.mends(instrumented(self._program, [late], self._block), verdict):
                call = late.call
                name = call.instance.name if isinstance(call, CallStandard) else call.name
                return LateCall(name, call.span, late.read.span)
        return None


def _late_calls(whole: tuple[Statement, ...]) -> Iterator[_Late]:
    """Of instances that the text calls once."""
    bodies = list(_bodies(whole))
    calls = [each for body in bodies for each in body if isinstance(each, _Call)]
    times = Counter(_instance(each) for each in calls)
    for body in bodies:
        for position, call in enumerate(body):
            if isinstance(call, _Call) and times[_instance(call)] == 1:
                results = _written(call)
                for reader in body[:position]:
                    reads = (node for node in nodes_below(reader) if isinstance(node, Read))
                    read = next((each for each in reads if each.variable in results), None)
                    if read is not None:
                        yield _Late(call, reader, read)
                        break


def _bodies(whole: tuple[Statement, ...]) -> Iterator[tuple[Statement, ...]]:
    """Every body with a call, each once, though a function may be called twice."""
    known: set[int] = set()
    waiting: list[object] = [whole]
    while waiting:
        node = waiting.pop(0)
        if id(node) in known:
            continue
        known.add(id(node))
        if isinstance(node, tuple) and any(isinstance(each, _Call) for each in node):
            yield node
        waiting += parts_of(node)


def _instance(call: _Call) -> object:
    return call.instance if isinstance(call, CallStandard) else call.name


def _written(call: _Call) -> set[Variable]:
    """What a call writes, other than the inputs of a user's block."""
    return set(written(call if isinstance(call, CallStandard) else (call.routine, call.outputs)))
