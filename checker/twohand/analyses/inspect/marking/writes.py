"""Values of outputs that are overwritten in the same scan before anybody read them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from twohand import program as typed
from twohand.analyses.inspect.points import (
    Answers,
    InspectionKind,
    Marked,
    Place,
    Point,
    Question,
    Said,
    Status,
    Weight,
    answered,
    place_of,
)
from twohand.program.instrumentation import Probe, keep, logic, mark
from twohand.program.product import shown
from twohand.program.types import BOOL, DINT
from twohand.program.walks import nodes_below
from twohand.text.source_text import Span

LOST = "the first value is lost: what was meant by it never reaches the output"


@dataclass(eq=False)
class _Site(Marked):
    """A place that writes an output something other than a literal; ``by`` is the number of the
    place whose value it loses."""

    number: int = field(kw_only=True)
    by: typed.Variable = field(kw_only=True)

    @property
    def lost(self) -> typed.Variable:
        """The only mark."""
        return self.marks[0]


@dataclass(eq=False)
class _Written:
    variable: typed.Variable
    writer: typed.Variable
    kept: typed.Variable
    sites: dict[Place, _Site] = field(default_factory=dict)
    places: list[Span] = field(default_factory=list)


class WriteMarks(Probe):
    """Marks for each output (and in-out, and global variable that the block writes) who wrote it
    last in the scan, until it is read or given a plain literal."""

    def __init__(self, program: typed.Program, routine: typed.Routine) -> None:
        super().__init__()
        self._written: dict[typed.Variable, _Written] = {}
        visible = [v for v in shown(program) if v.role is not typed.Role.INPUT]
        stores = [node for node in nodes_below(routine) if isinstance(node, typed.Assign)]
        for variable in visible:
            own = [s for s in stores if s.target is variable and _counts(s)]
            places = {place_of(each.span): each.span for each in own}
            if len(places) > 1:
                self._follow(variable, list(places.values()))

    def _follow(self, variable: typed.Variable, places: list[Span]) -> None:
        name, span = len(self._written), variable.span
        writer = mark(f"writer.{name}", span, DINT, 0)
        kept = mark(f"kept.{name}", span, variable.type, variable.initial)
        found = self._written[variable] = _Written(variable, writer, kept, places=places)
        self.anew.append(writer)
        self.lasting.append(kept)
        for number, place in enumerate(places, 1):
            lost = mark(f"lost.{name}.{number}", place)
            by = mark(f"by.{name}.{number}", place, DINT, 0)
            self.anew += [lost, by]
            asks = (
                f"whether some scan gives '{variable.name}' another value at line {place.line} "
                "than elsewhere before, which nobody read between (plain literals aside)"
            )
            site = _Site(variable.name, place, asks, [lost], number=number, by=by)
            found.sites[place_of(place)] = site

    # --- watching -----------------------------------------------------------------------------

    def reading(self, read: typed.Read) -> Iterable[typed.Statement]:
        written = self._written.get(read.variable)
        return () if written is None else (_number(written.writer, 0, read.span),)

    def storing(self, store: typed.Store) -> Iterable[typed.Assign]:
        if isinstance(store, typed.Assign) and (written := self._written.get(store.target)):
            return (keep(written.kept, typed.Read(store.target, store.span)),)
        return ()

    def stored(self, store: typed.Store) -> Iterable[typed.Assign]:
        if isinstance(store, typed.AssignElement):
            written = [self._written[each] for each in store.targets if each in self._written]
            return [_number(each.writer, 0, store.span) for each in written]
        found = self._written.get(store.target)
        if found is None:
            return ()
        if not _counts(store):
            return (_number(found.writer, 0, store.span),)
        return _noticed(found, found.sites[place_of(store.span)], store.span)

    # --- questions ----------------------------------------------------------------------------

    def questions(self) -> Iterable[Question]:
        return [site.question for found in self._written.values() for site in found.sites.values()]

    def points(self, answers: Answers) -> Iterator[Point]:
        kind = InspectionKind.LOST_WRITE
        for found in self._written.values():
            name, sites = found.variable.name, list(found.sites.values())
            twice = f"'{name}' is written twice in one scan, with different values"
            open_ = f"whether '{name}' loses a value here was not decided"
            said: dict[Status, Said] = {
                Status.REACHED: (Weight.FAULT, twice, LOST),
                Status.OPEN: (Weight.OPEN, open_, ""),
            }
            for site in sites:
                writer = (site.by.name, tuple(found.places))
                yield from answered(kind, site.question, answers, site.span, said, (name,), writer)
            if all(answers[site.question] is Status.NEVER for site in sites):
                count, first = len(found.places), sites[0]
                sentence = f"'{name}' is written in {count} places, and no value of it is lost"
                never: dict[Status, Said] = {Status.NEVER: (Weight.HARMLESS, sentence, "")}
                yield from answered(kind, first.question, answers, first.span, never, (name,))


def _counts(store: typed.Assign) -> bool:
    """A plain literal is a default, or takes a value back: neither is lost by accident."""
    return not isinstance(store.value, typed.Literal)


def _number(variable: typed.Variable, value: int, span: Span) -> typed.Assign:
    return typed.Assign(variable, typed.Literal(value, DINT, span), span)


def _noticed(found: _Written, site: _Site, span: Span) -> list[typed.Assign]:
    """Whether another place's value was lost by this one, and whose; then this one is the last."""
    writer, own = typed.Read(found.writer, span), typed.Literal(site.number, DINT, span)
    other = logic(
        typed.Operator.UNEQUAL, typed.Read(found.variable, span), typed.Read(found.kept, span)
    )
    another = logic(typed.Operator.UNEQUAL, writer, own)
    somebody = logic(typed.Operator.UNEQUAL, writer, typed.Literal(0, DINT, span))
    now = logic(typed.Operator.AND, another, somebody, other)
    lost = typed.Operation(typed.Operator.OR, (typed.Read(site.lost, span), now), BOOL, span)
    return [
        typed.Assign(site.lost, lost, span),
        typed.Assign(
            site.by,
            typed.Apply(
                typed.StandardFunction.SEL, (now, typed.Read(site.by, span), writer), DINT, span
            ),
            span,
        ),
        _number(found.writer, site.number, span),
    ]
