"""The branches of a program: which code runs, which conditions are ever TRUE, and ever FALSE."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from twohand import program as typed
from twohand.analyses.inspect.marking.source_words import first_word
from twohand.analyses.inspect.points import Place, Question, any_of, place_of
from twohand.program.instrumentation import Probe, mark, note, when
from twohand.text.source_text import Span

Loop = typed.For | typed.While | typed.Repeat
_CHOICES = ("IF", "CASE")
REST, ENDED, REPEATED = -1, -2, -3
"""Branches of a statement beside its bodies: what follows it, its condition's ending it, and its
running once more."""


@dataclass(eq=False)
class CoverageRegion:
    """A stretch of code that runs as a whole or not at all (or an event of a loop), in all the
    instances and calls in which it is written out."""

    node: typed.Statement | typed.Routine
    branch: int
    span: Span
    run: bool = False
    marks: list[typed.Variable] = field(default_factory=list)
    parents: list[CoverageRegion] = field(default_factory=list)
    question: Question | None = None

    @property
    def node_span(self) -> Span:
        return self.span if isinstance(self.node, typed.Routine) else self.node.span

    def asked(self) -> Question:
        if self.question is None:
            within = tuple(each.asked() for each in self.parents)
            name = f"line {self.span.line}, way {self.branch}"
            asks = f"whether some scan {_happening(self)}"
            self.question = Question(name, any_of(self.marks), asks, self.run, within)
        return self.question


class Branches(Probe):
    """Marks every body, and what follows a statement that may leave its routine or loop."""

    def __init__(self) -> None:
        super().__init__()
        self.regions: dict[tuple[Place, int], CoverageRegion] = {}
        self._stack: list[CoverageRegion] = []
        self._depths: list[int] = []
        self._left: list[typed.Statement | None] = []
        self._loops: list[tuple[typed.Variable, typed.Variable] | None] = []
        self._routines: dict[int, CoverageRegion] = {}

    def questions(self) -> list[Question]:
        return [region.asked() for region in self.regions.values()]

    def region(self, node: typed.Statement, branch: int) -> CoverageRegion | None:
        return self.regions.get((place_of(node.span), branch))

    # --- watching -----------------------------------------------------------------------------

    def before(self, statement: typed.Statement) -> Iterable[typed.Statement]:
        found: list[typed.Statement] = []
        if self._left and self._left[-1] is not None:
            left, self._left[-1] = self._left[-1], None
            region = self._region(left, REST, statement.span)
            self._stack.append(region)
            found.append(note(region.marks[-1], statement.span))
        match statement:
            case typed.While() | typed.Repeat():
                pair = (self._mark(statement.span), self._mark(statement.span))
                self._loops.append(pair)
                found += [note(pair[0], statement.span), note(pair[1], statement.span, False)]
            case typed.For():
                self._loops.append(None)
            case typed.Exit() if self._loops and (flags := self._loops[-1]) is not None:
                found.append(note(flags[0], statement.span, False))
        return found

    def after(self, statement: typed.Statement, last: bool) -> Iterable[typed.Statement]:
        self._left[-1] = None if last or not _may_leave(statement) else statement
        if not isinstance(statement, Loop):
            return ()
        flags = self._loops.pop()
        if flags is None:
            return ()
        region = self._region(statement, ENDED, statement.span)
        return (when(typed.Read(flags[0], statement.span), note(region.marks[-1], statement.span)),)

    def enter(
        self, node: typed.Statement | typed.Routine, branch: int
    ) -> Iterable[typed.Statement]:
        self._depths.append(len(self._stack))
        self._left.append(None)
        if isinstance(node, typed.Routine):
            if not node.body:
                return ()
            region = self._region(node, branch, node.body[0].span)
            self._routines[id(node)] = region
        else:
            region = self._region(node, branch, _first_place(node, branch))
        self._stack.append(region)
        found: list[typed.Statement] = [note(region.marks[-1], region.span)]
        if isinstance(node, typed.Repeat) and (flags := self._loops[-1]) is not None:
            again = self._region(node, REPEATED, node.span, self._stack[:-1])
            found.append(when(typed.Read(flags[1], node.span), note(again.marks[-1], node.span)))
            found.append(note(flags[1], node.span))
        return found

    def leave(self, node: typed.Statement | typed.Routine, branch: int) -> None:
        del self._stack[self._depths.pop() :]
        self._left.pop()

    def again(self, routine: typed.Routine) -> None:
        region = self._routines.get(id(routine))
        if region is not None and self._stack and self._stack[-1] not in region.parents:
            region.parents.append(self._stack[-1])

    def _region(
        self,
        node: typed.Statement | typed.Routine,
        branch: int,
        span: Span,
        stack: list[CoverageRegion] | None = None,
    ) -> CoverageRegion:
        """The region of this place, with one mark more."""
        place = place_of(span if isinstance(node, typed.Routine) else node.span)
        key = (place, branch - 10 if isinstance(node, typed.Routine) else branch)
        region = self.regions.get(key)
        if region is None:
            region = self.regions[key] = CoverageRegion(node, branch, span)
            region.run = isinstance(node, typed.Case) and branch == len(node.arms)
        region.marks.append(self._mark(span))
        inside = self._stack if stack is None else stack
        if inside and inside[-1] not in region.parents and inside[-1] is not region:
            region.parents.append(inside[-1])
        return region

    def _mark(self, span: Span) -> typed.Variable:
        made = mark(f"way.{len(self.anew)}", span)
        self.anew.append(made)
        return made


def bodies_of(node: typed.Statement) -> list[tuple[typed.Statement, ...]]:
    """The bodies of a statement by their branches."""
    match node:
        case typed.If():
            return [*(body for _, body in node.branches), node.otherwise]
        case typed.Case():
            return [*(body for _, body in node.arms), node.otherwise]
        case typed.For() | typed.While() | typed.Repeat():
            return [node.body]
    return []


def _happening(region: CoverageRegion) -> str:
    """What a scan does that comes to a region."""
    node, branch, line = region.node, region.branch, region.node_span.line
    if isinstance(node, typed.Routine):
        return f"runs the routine at line {line}"
    match branch:
        case _ if branch == REST:
            return f"comes to line {region.span.line}, behind what may leave before it"
        case _ if branch == ENDED:
            return f"ends the loop at line {line} by its condition"
        case _ if branch == REPEATED:
            return f"runs the loop at line {line} once more"
    if not isinstance(node, typed.If | typed.Case):
        return f"runs the loop at line {line}"
    what = f"the {word if (word := first_word(node.span)) in _CHOICES else 'call'} at line {line}"
    if branch == len(bodies_of(node)) - 1:
        return f"takes no way of {what}"
    return f"takes way {branch + 1} of {what}"


def _first_place(node: typed.Statement, branch: int) -> Span:
    body = bodies_of(node)[branch]
    if body:
        return body[0].span
    if isinstance(node, typed.If) and branch < len(node.branches):
        return node.branches[branch][0].span
    return node.span


def _may_leave(statement: typed.Statement, in_loop: bool = False) -> bool:
    """Whether control may not come to what follows."""
    match statement:
        case typed.Return():
            return True
        case typed.Exit() | typed.Continue():
            return not in_loop
    inside = in_loop or isinstance(statement, Loop)
    return any(_may_leave(each, inside) for body in bodies_of(statement) for each in body)


def branches_through(branches: Branches) -> Iterator[tuple[typed.Statement, list[CoverageRegion]]]:
    """Each statement with bodies, once for each place, and the regions of its bodies."""
    seen = set()
    for region in list(branches.regions.values()):
        if isinstance(region.node, typed.Routine) or region.branch < 0:
            continue
        place = place_of(region.node.span)
        if place not in seen:
            seen.add(place)
            count = len(bodies_of(region.node))
            found = [branches.region(region.node, branch) for branch in range(count)]
            yield region.node, [each for each in found if each is not None]
