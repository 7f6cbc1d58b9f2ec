"""Whether a violated requirement is violated in another way than by the run that is shown.

The way of a run: at which place of the text each of what the requirement speaks of was written in
the scan that is wrong, and which of it is on, off, or just became so. A run of another way is asked
for like any other, by a requirement that allows the way that is known; its run is executed with the
program as it is, and must violate the requirement as it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from twohand import program as typed
from twohand.engine.system.contract import Violated
from twohand.evidence.calls.block_call import block_call
from twohand.evidence.checks.from_rest import EFFORT, at_rest, begins_at_rest
from twohand.evidence.context import CheckContext
from twohand.evidence.contradiction import InternalContradiction
from twohand.evidence.proofs.dispatcher import Dispatcher
from twohand.evidence.proofs.query import Certified, QueryResult
from twohand.evidence.runs.answers import missing_answer
from twohand.evidence.runs.causes import causes, variables_of
from twohand.evidence.runs.counterexample import readable
from twohand.evidence.runs.replay import executed
from twohand.evidence.runs.sentences import seen_sentence
from twohand.evidence.runs.trace import Trace
from twohand.evidence.verdict import AnotherKind, Counterexample, Outcome, Verdict
from twohand.program.instrumentation import Probe, instrumented, keep, logic, mark
from twohand.program.types import BOOL, DINT
from twohand.program.walks import nodes_below
from twohand.report.drawing.source_line import file_and_line
from twohand.scan.scan_record import ScanRecord, scans_before
from twohand.specification.logic import formula as asking
from twohand.specification.logic.formula import Formula, Property
from twohand.specification.model.specification import Specification
from twohand.text.source_text import Span

_MOST_EFFORT = 10.0


def with_another_kind(
    verdicts: Sequence[Verdict], specification: Specification, desk: Dispatcher, effort: float
) -> tuple[Verdict, ...]:
    """The verdicts; those that are violated with a run of another kind, or what is known of there
    being none. ``desk`` is one of its own: what is proved here is proved of other requirements."""
    wanted = {
        number: _Wanted(verdict, verdict.counterexample)
        for number, verdict in enumerate(verdicts)
        if verdict.outcome is Outcome.VIOLATED and verdict.counterexample is not None
    }
    if not wanted:
        return tuple(verdicts)
    _Search(specification, list(wanted.values()), desk, min(effort, _MOST_EFFORT)).ask()
    return tuple(
        replace(verdict, another=wanted[number].found) if number in wanted else verdict
        for number, verdict in enumerate(verdicts)
    )


class WriterMarks(Probe):
    """Marks at which of its places the block wrote a variable last in a scan; 0: at none. Of
    variables that are written at several, each of which writes just that one."""

    def __init__(self, program: typed.Program) -> None:
        super().__init__()
        stores: dict[typed.Variable, dict[tuple[str, int], Span]] = {}
        unclear: set[typed.Variable] = set()
        for node in nodes_below(program.routine):
            if isinstance(node, typed.Assign):
                places = stores.setdefault(node.target, {})
                places.setdefault(_place(node.span), node.span)
            elif isinstance(node, typed.AssignElement):
                unclear.update(node.targets)
            elif isinstance(node, typed.CallBlock | typed.CallFunction | typed.CallStandard):
                unclear.update(parameter for parameter, _ in node.arguments)
        self.marks: dict[typed.Variable, typed.Variable] = {}
        self.places: dict[typed.Variable, list[Span]] = {}
        for variable, places in stores.items():
            if len(places) > 1 and variable not in unclear:
                number = len(self.marks)
                self.marks[variable] = mark(f"written.{number}", variable.span, DINT, 0)
                self.places[variable] = list(places.values())
        self.anew += self.marks.values()

    def stored(self, store: typed.Store) -> Iterable[typed.Assign]:
        if isinstance(store, typed.AssignElement) or store.target not in self.marks:
            return
        numbers = [_place(each) for each in self.places[store.target]]
        number = numbers.index(_place(store.span)) + 1
        yield keep(self.marks[store.target], typed.Literal(number, DINT, store.span))

    def words(self, variable: typed.Variable, number: int) -> str:
        if not number:
            return f"{variable.name} is not written by the block in that scan"
        return f"{variable.name} is set at {file_and_line(self.places[variable][number - 1])}"


@dataclass(frozen=True)
class _Trait:
    """One trait of the way of a run, in words and as a formula of the scan that is wrong."""

    words: str
    formula: Formula


class _Wanted:
    """What is asked for one violated requirement: whether it is violated without the traits of its
    run by place, then without those by values."""

    def __init__(self, verdict: Verdict, run: Counterexample) -> None:
        self.requirement = verdict.requirement
        self.run = run
        self.ways: list[list[_Trait]] = []
        self.proved: list[str] = []
        self.reason = ""
        self.found: AnotherKind | None = None


class _Search:
    def __init__(
        self,
        specification: Specification,
        wanted: Sequence[_Wanted],
        desk: Dispatcher,
        effort: float,
    ) -> None:
        self._spec = specification
        self._wanted = wanted
        self._desk = desk
        self._marks = WriterMarks(specification.program)
        block, _ = block_call(specification)
        program = instrumented(specification.program, [self._marks], block)
        marked = replace(specification, program=program, requirements=(), lags=())
        self._case = CheckContext(marked, desk, effort)
        self._replayer = self._case.replayer
        for each in wanted:
            records = executed(program, each.run, specification)
            each.ways = self._ways(each.requirement.property, records)

    def ask(self) -> None:
        """The places first; the values where no run has another place."""
        for number in range(2):
            for each in self._wanted:
                if each.found is None and number < len(each.ways):
                    self._ask(each, number, begins_at_rest(each.run, self._spec))
            self._desk.serve()
        for each in self._wanted:
            if each.found is None:
                each.found = AnotherKind(words=tuple(each.proved), reason=each.reason)

    def _ask(self, each: _Wanted, number: int, from_rest: bool) -> None:
        """A run that begins at rest is asked for first where that of the requirement does."""

        def answered(asked: QueryResult) -> None:
            if isinstance(asked.answer, Violated):
                each.found = self._shown(each, number, self._case.trace(asked.answer))
            elif from_rest:
                self._ask(each, number, False)
            elif isinstance(asked.answer, Certified):
                each.proved += [trait.words for trait in each.ways[number]]
            else:
                each.reason = asked.answer.reason

        asked = each.requirement.property
        rest = at_rest(self._spec) if from_rest else None
        problem = self._case.beside.first_of_another_kind(
            asked, _other(asked, each.ways[number]), rest
        )
        name = f"another kind of {each.requirement.identifier}"
        effort = min(EFFORT, self._case.effort) if from_rest else self._case.effort
        self._desk.decide(name, problem, 0, answered, effort)

    def _shown(self, each: _Wanted, number: int, trace: Trace) -> AnotherKind:
        """The run, simplified as far as it stays of another kind, and executed with the program as
        it is. InternalContradiction where it is none when it is executed."""
        asked, known = each.requirement.property, {trait.words for trait in each.ways[number]}

        def wanted(tried: Sequence[ScanRecord]) -> bool:
            if tried[-1].finding or self._replayer.refuted_at(asked, tried) != len(tried) - 1:
                return False
            return any(each.words not in known for each in self._ways(asked, tried)[number])

        records = self._replayer.records(trace)
        if not records or not wanted(records) or not self._replayer.allowed(records):
            raise InternalContradiction(
                f"{each.requirement.identifier}: a run that violates it in another way was found, "
                "but executed it does not"
            )
        run = readable(trace, wanted, self._replayer, asked)
        differs = [
            trait.words
            for way, before in zip(self._ways(asked, run.records), each.ways, strict=True)
            for trait in way
            if trait.words not in {other.words for other in before}
        ]
        plain = tuple(executed(self._spec.program, run, self._spec))
        acted = causes(asked, plain, self._spec)
        seen = seen_sentence(each.requirement, plain, self._replayer)
        return AnotherKind(replace(run, records=plain, causes=acted), seen, tuple(differs))

    # --- the way of a run -----------------------------------------------------------------------

    def _ways(self, asked: Property, records: Sequence[ScanRecord]) -> list[list[_Trait]]:
        """The traits by place, where there are some, and by values."""
        position = len(records) - 1
        if isinstance(asked, asking.Response):
            missing = missing_answer(asked, records, self._replayer)
            assert missing is not None, "the run refutes it"
            position = missing.begin
        by_values = list(_values(asked, records, position))
        by_place = [] if isinstance(asked, asking.Response) else list(self._places(asked, records))
        return [traits for traits in (by_place, by_values) if traits]

    def _places(self, asked: Property, records: Sequence[ScanRecord]) -> Iterator[_Trait]:
        for variable in variables_of(asked):
            marked = self._marks.marks.get(variable)
            if marked is not None:
                number = int(records[-1].values[marked.name])
                known = typed.Literal(number, DINT, variable.span)
                here = logic(typed.Operator.EQUAL, typed.Read(marked, variable.span), known)
                yield _Trait(self._marks.words(variable, number), asking.Atom(here))


def _values(asked: Property, records: Sequence[ScanRecord], position: int) -> Iterator[_Trait]:
    """Whether it is the first scan, and what each Boolean of the program is and was before."""
    first = position == scans_before(records)
    if first:
        yield _Trait("it is the first scan", asking.FirstScan())
    else:
        yield _Trait("it is not the first scan", asking.Not(asking.FirstScan()))
    for variable in variables_of(asked):
        if variable.type is not BOOL or variable.name not in records[position].values:
            continue
        now = bool(records[position].values[variable.name])
        before = now if first else bool(records[position - 1].values[variable.name])
        atom = asking.Atom(typed.Read(variable, variable.span))
        verb = "is" if before is now else "becomes"
        words = f"{variable.name} {verb} {'TRUE' if now else 'FALSE'}"
        yield _Trait(words, _both(_as(atom, now), _as(asking.Previous(atom), before)))


def _as(formula: Formula, value: bool) -> Formula:
    return formula if value else asking.Not(formula)


def _both(*formulas: Formula) -> Formula:
    return asking.And(formulas)


def _other(asked: Property, traits: Sequence[_Trait]) -> Property:
    """The property that allows what is wrong in the way of these traits."""
    way = _both(asking.AnyScan(), *(each.formula for each in traits))
    match asked:
        case asking.Always():
            return asking.Always(asking.Or((asked.formula, way)))
        case asking.Response():
            return replace(asked, trigger=_both(asked.trigger, asking.Not(way)))
        case asking.Until():
            return replace(asked, hold=asking.Or((asked.hold, way)))
        case asking.Before():
            hold = asking.Or((asking.Not(asked.second), way))
            release = _both(asked.first, asking.Not(asked.second))
            return asking.Until(asked.trigger, hold, release)


def _place(span: Span) -> tuple[str, int]:
    return span.source.path, span.start
