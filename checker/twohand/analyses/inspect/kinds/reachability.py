"""What the branches of a program show: code that never runs, conditions that never change their
value, CASE statements that miss one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from twohand.analyses.inspect.marking.branches import (
    ENDED,
    REPEATED,
    REST,
    Branches,
    CoverageRegion,
    branches_through,
)
from twohand.analyses.inspect.marking.source_words import first_word, has_else, shortly
from twohand.analyses.inspect.points import (
    Answers,
    InspectionKind,
    Point,
    Question,
    Status,
    Weight,
    answered,
)
from twohand.program import Case, Expression, For, If, Literal, Repeat, Routine, While
from twohand.program.effects import reads
from twohand.program.types import Enumeration
from twohand.program.walks import variables_read
from twohand.text.source_text import Span

DEAD = "nobody sees that it is missing: what it was written for does not happen"
CONSTANT = "it decides nothing, and the other way cannot happen"
SAFEGUARD = "it is there as a safeguard only"
MISSED = "then no arm runs and everything keeps its value, unseen"


class ReachabilityPoints:
    """The points of one program's branches."""

    def __init__(self, branches: Branches) -> None:
        self._branches = branches
        self._answers: Answers = {}

    def questions(self) -> Iterable[Question]:
        return self._branches.questions()

    def points(self, answers: Answers) -> Iterator[Point]:
        self._answers = answers
        for node, regions in branches_through(self._branches):
            if not any(self._asked(each) for each in regions):
                continue
            match node:
                case If():
                    yield from self._if(node, regions)
                case Case() if first_word(node.span) == "CASE":
                    yield from self._case(node, regions)
                case For():
                    never, whether = "this loop never runs once", "whether this loop ever runs"
                    yield from self._code(regions[0], regions[0].node_span, never, whether)
                case While():
                    ended = self._branches.region(node, ENDED)
                    yield from self._condition(node.condition, regions[0], [ended])
                case Repeat():
                    ended, more = (
                        self._branches.region(node, branch) for branch in (ENDED, REPEATED)
                    )
                    yield from self._condition(node.until, ended, [more])
        yield from self._behind()

    def _status(self, region: CoverageRegion | None) -> Status:
        return Status.UNASKED if region is None else self._answers[region.asked()]

    def _asked(self, region: CoverageRegion) -> bool:
        return self._status(region) is not Status.UNASKED

    # --- conditions ---------------------------------------------------------------------------

    def _if(self, node: If, regions: list[CoverageRegion]) -> Iterator[Point]:
        if first_word(node.span) != "IF":
            if self._status(regions[0]) is Status.NEVER:
                yield _dead(regions[0], node.span, "this is never enabled")
            return
        for number, (condition, _) in enumerate(node.branches):
            found = list(self._condition(condition, regions[number], regions[number + 1 :]))
            last = number == len(node.branches) - 1
            for point in found:
                fault = point.weight is Weight.FAULT and " TRUE" in point.sentence
                if fault and last and number and not has_else(node.span):
                    yield replace(point, weight=Weight.NOTE, why="it could be an ELSE")
                else:
                    yield point
            if any(" TRUE" in p.sentence or p.weight is Weight.OPEN for p in found):
                return

    def _condition(
        self,
        condition: Expression,
        true: CoverageRegion | None,
        false: Sequence[CoverageRegion | None],
    ) -> Iterator[Point]:
        """``true`` runs where the condition is TRUE, one of ``false`` only where it is not."""
        ever = self._status(true)
        never = {self._status(each) for each in false}
        if Status.REACHED in never:
            if ever is Status.NEVER:
                yield self._constant(condition, False, true)
            elif ever is Status.OPEN:
                yield _undecided(condition, "TRUE", true)
        elif ever is Status.REACHED and never == {Status.NEVER}:
            yield self._constant(condition, True, false[-1])
        elif ever is Status.REACHED and Status.OPEN in never:
            yield _undecided(condition, "FALSE", false[-1])
        elif Status.OPEN in (ever, *never):
            asked = true if ever is Status.OPEN else false[-1]
            yield _undecided(condition, "TRUE or FALSE", asked)

    def _constant(self, condition: Expression, value: bool, region: CoverageRegion | None) -> Point:
        word = "TRUE" if value else "FALSE"
        question = None if region is None else region.asked()
        text = shortly(condition.span)
        kind, span = InspectionKind.CONSTANT_CONDITION, condition.span
        if not list(reads(condition)):
            literal = isinstance(condition, Literal) and text.upper() == word
            what = f"this condition is the constant {word}"
            sentence = what if literal else f"{what} ({text})"
            return Point(kind, Weight.NOTE, sentence, span, "so it is written", question=question)
        sentence = f"this condition is always {word} where it is asked ({text})"
        return Point(kind, Weight.FAULT, sentence, span, CONSTANT, question=question)

    # --- code ---------------------------------------------------------------------------------

    def _code(
        self, region: CoverageRegion, span: Span, never: str, whether: str
    ) -> Iterator[Point]:
        """What is said of code that never runs, and where it is open ``whether`` it does."""
        if self._status(region) is Status.NEVER:
            yield _dead(region, span, never)
        elif self._status(region) is Status.OPEN:
            yield _open(InspectionKind.DEAD_CODE, whether, span, region)

    def _case(self, node: Case, regions: list[CoverageRegion]) -> Iterator[Point]:
        *arms, otherwise = regions
        selector = shortly(node.selector.span)
        for (ranges, body), region in zip(node.arms, arms, strict=True):
            arm = f"the arm {_values(ranges, node)}"
            span = region.span if body else node.selector.span
            never = f"{arm} never runs: {selector} never has such a value here"
            yield from self._code(region, span, never, f"whether {arm} ever runs")
        yield from self._otherwise(node, otherwise, selector)

    def _otherwise(self, node: Case, region: CoverageRegion, selector: str) -> Iterator[Point]:
        span, covered = node.selector.span, f"every value of {selector} has an arm"
        if has_else(node.span):
            never = f"the ELSE of this CASE never runs: {covered}"
            kind, said = InspectionKind.DEAD_CODE, {Status.NEVER: (Weight.NOTE, never, SAFEGUARD)}
            yield from answered(kind, region.asked(), self._answers, span, said)
            return
        missed = f"{selector} has a value for which this CASE has neither an arm nor an ELSE"
        said = {
            Status.REACHED: (Weight.FAULT, missed, MISSED),
            Status.NEVER: (
                Weight.HARMLESS,
                f"this CASE has no ELSE, and needs none: {covered}",
                "",
            ),
            Status.OPEN: (Weight.OPEN, "whether this CASE misses a value was not decided", ""),
        }
        shown = tuple(read.variable.name for read in variables_read(node.selector))
        kind, question = InspectionKind.MISSED_CASE, region.asked()
        yield from answered(kind, question, self._answers, span, said, shown)

    def _behind(self) -> Iterator[Point]:
        """Code behind a statement that always leaves, and routines that no call comes to."""
        for (_, branch), region in self._branches.regions.items():
            if isinstance(region.node, Routine):
                yield from self._routine(region)
            if branch == REST:
                never = "this can never run: what comes before it always leaves"
                yield from self._code(region, region.span, never, "whether this can ever run")

    def _routine(self, region: CoverageRegion) -> Iterator[Point]:
        """A routine whose call is reached, and which may not run all the same (AND_THEN)."""
        called = Status.REACHED in map(self._status, region.parents)
        if called or self._status(region) is Status.OPEN:
            never = "this routine never runs, though its caller does"
            yield from self._code(region, region.span, never, "whether this routine ever runs")


def _values(ranges: tuple[tuple[int, int], ...], node: Case) -> str:
    kind = node.selector.type

    def shown(value: int) -> str:
        return kind.value_name(value) if isinstance(kind, Enumeration) else str(value)

    return ", ".join(
        shown(low) if low == high else f"{shown(low)}..{shown(high)}" for low, high in ranges
    )


def _dead(region: CoverageRegion, span: Span, sentence: str) -> Point:
    return Point(
        InspectionKind.DEAD_CODE, Weight.FAULT, sentence, span, DEAD, question=region.asked()
    )


def _open(kind: InspectionKind, whether: str, span: Span, region: CoverageRegion | None) -> Point:
    question = None if region is None else region.asked()
    return Point(kind, Weight.OPEN, f"{whether} was not decided", span, question=question)


def _undecided(condition: Expression, word: str, region: CoverageRegion | None) -> Point:
    kind, whether = InspectionKind.CONSTANT_CONDITION, f"whether this condition can be {word}"
    return _open(kind, whether, condition.span, region)
