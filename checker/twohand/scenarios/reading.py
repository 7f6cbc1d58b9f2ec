"""A file with scenarios, read and resolved against the specs that they are for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path, PurePath

from twohand.files.reading import read_source
from twohand.program.durations import NO_TIME, Nanoseconds, Units
from twohand.scan.clocking import Clocking, Readings
from twohand.scenarios.inputs import Inputs
from twohand.scenarios.model import MOST_SCANS, Expected, InputChange, ScanTimes, Scenario
from twohand.scenarios.syntax import nodes
from twohand.scenarios.syntax.nodes import ScenarioTree
from twohand.scenarios.syntax.parse import parse_scenarios
from twohand.specification.load import load_specifications
from twohand.specification.model.specification import Specification
from twohand.specification.phrases import count, duration_range, listing, quoted
from twohand.specification.problems import REMOVE_ONE, Problems
from twohand.specification.reading.platform import observed_readings, stated_readings
from twohand.specification.reading.statements import StatementTable
from twohand.specification.resolving.formula_builder import FormulaResolver
from twohand.specification.syntax.formulas import Time
from twohand.specification.syntax.nodes import ReadingStatement, SpecificationTree
from twohand.text.diagnostic import Diagnostic, InputError, wrong
from twohand.text.source_text import SourceText, Span
from twohand.text.suggestions import nearest
from twohand.typecheck.reals.uncomputed import refuse_uncomputed

Specs = dict[Path, tuple[Specification, ...]]
"""The specs that were read, by the paths of their files."""


def load_scenarios(path: Path, shown: str | None = None) -> tuple[Scenario, ...]:
    """The scenarios of a file, in order; InputError with every error found in any of them.

    ``shown`` is the path to show (default: as given). Specs lie relative to the file's folder."""
    return resolve_scenarios(read_source(path, shown), path.parent)


def resolve_scenarios(source: SourceText, folder: Path) -> tuple[Scenario, ...]:
    """The same of a text, whose specs lie relative to ``folder``."""
    trees = parse_scenarios(source)
    problems = Problems()
    names: dict[str, Span] = {}
    specs: Specs = {}
    found = []
    for tree in trees:
        message = f"there is a scenario '{tree.name.text}' already"
        problems.is_new(names, tree.name.key, tree.name.span, message)
        with problems.collected():
            specification = _specification(tree, folder, specs)
            found.append(_Resolver(tree, specification).scenario())
    problems.raise_if_any()
    return tuple(found)


def _specification(tree: ScenarioTree, folder: Path, specs: Specs) -> Specification:
    first, *others = [*tree.all(nodes.ForStatement), None]
    if first is None:
        message = f"the scenario '{tree.name.text}' does not say of which spec it is"
        raise wrong("missing-for", message, tree.name.span, "write FOR 'press.spec';")
    if others and others[0] is not None:
        message = "FOR occurs a second time"
        raise wrong("repeated-statement", message, others[0].span, REMOVE_ONE)
    return chosen(_specs(first, tree.source, folder, specs), first)


def _specs(
    wanted: nodes.ForStatement, source: SourceText, folder: Path, specs: Specs
) -> tuple[Specification, ...]:
    file = wanted.file
    path = folder / file.text
    if path not in specs:
        shown = str(PurePath(source.path).parent / file.text)
        try:
            specs[path] = load_specifications(path, shown)
        except InputError as error:
            raise InputError(_placed(each, file.span) for each in error.diagnostics) from None
    return specs[path]


def _placed(problem: Diagnostic, place: Span) -> Diagnostic:
    """What has no place in a file gets the one that names it."""
    if problem.span is not None:
        return problem
    way = problem.help or "names of files count from the folder of the scenario"
    named = problem.path and problem.path not in problem.message
    message = f"{problem.message}: {problem.path}" if named else problem.message
    return replace(problem, span=place, message=message, help=way)


def chosen(specs: Sequence[Specification], wanted: nodes.ForStatement) -> Specification:
    """The one spec of the file, or that of the name; InputError where that is none."""
    names = [each.name for each in specs]
    if wanted.name is None:
        if len(specs) == 1:
            return specs[0]
        message = f"the file has {len(specs)} specs: {listing([quoted(name) for name in names])}"
        way = f"say which one: FOR '{wanted.file.text}' SPEC {names[0]};"
        raise wrong("several-specs", message, wanted.file.span, way)
    for each in specs:
        if each.name.casefold() == wanted.name.key.casefold():
            return each
    close = nearest(wanted.name.text, names) or names[0]
    message = f"the file has no spec '{wanted.name.text}'"
    raise wrong("unknown-name", message, wanted.name.span, f"did you mean '{close}'?")


class _Resolver:
    """One scenario; every method notes what is wrong in ``problems``."""

    def __init__(self, tree: ScenarioTree, specification: Specification) -> None:
        refuse_uncomputed(specification.program, "a scenario")
        self.tree = tree
        self.specification = specification
        self.clocking: Clocking = specification.clocking
        self.problems = Problems()
        self.inputs = Inputs(specification)
        self.formulas = FormulaResolver(self.inputs.scope, self.clocking)

    def scenario(self) -> Scenario:
        """InputError with every problem."""
        tree = self.tree
        readings = self._readings()
        at_first = self.inputs.at_first()
        for change in self._changes(tree.all(nodes.InitiallyStatement)):
            at_first[change.input.name] = change.value
        later = sorted(self._later(), key=lambda timed: timed[0])
        changes = [change for _, change in later]
        expected = tuple(self._expected())
        scan_times = self._scan_times()
        end = self._end(changes, expected, scan_times)
        self.problems.raise_if_any()
        return Scenario(
            tree.name.text, tree.source, self.specification, readings, at_first, changes,
            expected, scan_times, end, tree.name.span,
        )  # fmt: skip

    # --- platform ---------------------------------------------------------------------------

    def _readings(self) -> Readings:
        """What the spec leaves open, as far as the scenario does."""
        tree, own = self.tree, self.specification.readings
        lines = tuple(tree.all(ReadingStatement))
        as_spec = SpecificationTree(tree.name, lines, tree.source, (), tree.span)
        table = StatementTable(as_spec, self.problems)
        observed = observed_readings(table, self.problems)
        chosen = stated_readings(table, self.problems).stated
        chosen.pop("integers_wrap")
        for statement in lines:
            name = statement.name.text.casefold()
            if name in chosen and own.stated.get(name, chosen[name]) != chosen[name]:
                message = f"the spec says {name} {str(not chosen[name]).upper()}"
                way = "leave it out, or change the spec"
                self.problems.error("reading-fixed", message, statement.span, way)
        found = replace(own, **{name: chosen[name] for name in own.open if name in chosen})
        shown = dict((*self.specification.observed_readings, *observed))
        if observed and shown.keys() <= found.stated.keys():  # every report repeats them
            self.specification = replace(
                self.specification, readings=found, observed_readings=tuple(shown.items())
            )
        return found

    # --- changes ----------------------------------------------------------------------------

    def _changes(
        self, statements: Sequence[nodes.InitiallyStatement | nodes.ChangeStatement]
    ) -> Iterator[InputChange]:
        for statement in statements:
            time = NO_TIME
            if isinstance(statement, nodes.ChangeStatement):
                time = self._at(statement.time)
            for binding in statement.bindings:
                with self.problems.collected():
                    yield from self.inputs.changes(binding, time)

    def _later(self) -> Iterator[tuple[Nanoseconds, InputChange]]:
        """Each with its exact time, in the order of the text: of two at one time the second
        counts."""
        for each in self.tree.statements:
            with self.problems.collected():
                match each:
                    case nodes.ChangeStatement():
                        for change in self._changes([each]):
                            yield each.time.nanoseconds, change
                    case nodes.SupplyChange():
                        at = self._in_the_run(each.time)
                        yield each.time.nanoseconds, self.inputs.supply(each.on, at, each.span)
                    case nodes.ClockStatement():
                        at = self._in_the_run(each.time)
                        shown = Units(each.shown.nanoseconds // self.clocking.unit)
                        yield each.time.nanoseconds, self.inputs.clock(shown, at, each.span)

    def _at(self, time: Time) -> Units:
        """The least number of units that is not earlier: no scan is between the two."""
        return Units(-(-time.nanoseconds // self.clocking.unit))

    def _in_the_run(self, time: Time) -> Units:
        if time.nanoseconds < 0:
            message = "before power-up inputs are sampled, and nothing else happens"
            way = "times of the run begin with T#0s"
            raise wrong("time-before-power-up", message, time.span, way)
        return self._at(time)

    # --- what is to be seen -----------------------------------------------------------------

    def _expected(self) -> Iterator[Expected]:
        for each in self.tree.all(nodes.ExpectedStatement):
            with self.problems.collected():
                formula = self.formulas.formula(each.formula)
                if each.begin is None:
                    yield Expected(formula, each.span)
                    continue
                first = last = self._in_the_run(each.begin)
                within = None if each.within is None else self.formulas.units(each.within)
                until = each.until
                if until is None:
                    yield Expected(formula, each.span, first, last, within)
                elif until.time is None:
                    yield Expected(formula, each.span, first, None)
                else:
                    last = Units(until.time.nanoseconds // self.clocking.unit)
                    if last < first:
                        message, way = "this ends before it begins", "write the earlier time first"
                        raise wrong("empty-bound", message, until.span, way)
                    yield Expected(formula, each.span, first, last)

    # --- scans ------------------------------------------------------------------------------

    def _scan_times(self) -> ScanTimes | None:
        elapsed = self._counts(self._only(nodes.ScanTimesStatement, "SCAN"))
        before = self._counts(self._only(nodes.TimesBeforeStatement, "BEFORE"))
        if not elapsed:
            if before:
                message = "BEFORE belongs to SCAN, which says how long each scan took"
                place = self.tree.all(nodes.TimesBeforeStatement)[0].span
                way = "leave it out: AT T#-20ms ... is sampled before power-up without it"
                self.problems.error("not-a-scan-time", message, place, way)
            return None
        return ScanTimes(elapsed, before)

    def _only(
        self, kind: type[nodes.ScanTimesStatement] | type[nodes.TimesBeforeStatement], word: str
    ) -> Sequence[nodes.ScanCount]:
        first, *others = [*self.tree.all(kind), None]
        for other in others:
            if first is not None and other is not None:
                message = f"{word} occurs a second time"
                self.problems.repeated("repeated-statement", message, other.span, first.span)
        return () if first is None else first.counts

    def _counts(self, counts: Sequence[nodes.ScanCount]) -> tuple[Units, ...]:
        found: list[Units] = []
        for each in counts:
            times = 1 if each.count is None else each.count.value
            if len(found) + times > MOST_SCANS or times == 0:
                self.problems.error(*_too_long(each.span, "write fewer scans, and at least one"))
                return tuple(found)
            with self.problems.collected():
                found += [self._scan_time(each.time)] * times
        return tuple(found)

    def _scan_time(self, time: Time) -> Units:
        clocking = self.clocking
        units, rest = divmod(time.nanoseconds, clocking.unit)
        if rest or not clocking.shortest <= units <= clocking.longest:
            allowed = duration_range(clocking.shortest, clocking.longest, clocking)
            message = f"no scan of the spec takes so long: SCAN is {allowed}"
            way = "write a time that the spec's SCAN has, in its unit"
            raise wrong("not-a-scan-time", message, time.span, way)
        return Units(units)

    def _end(
        self,
        changes: Sequence[InputChange],
        expected: Sequence[Expected],
        scan_times: ScanTimes | None,
    ) -> Units:
        """When the run ends: as stated, else with the last thing that is said."""
        stated = self.tree.all(nodes.EndStatement)
        for other in stated[1:] if scan_times is None else stated:
            message = "the end of the run is said already"
            self.problems.error("repeated-statement", message, other.span, REMOVE_ONE)
        said = [(each.time, each.span) for each in changes]
        said += [(_last_of(each), each.span) for each in expected]
        if scan_times is not None:
            end = Units(sum(scan_times.elapsed[1:]))
        elif stated:
            end = self._at(stated[0].time)
        else:
            end = max([NO_TIME, *(time for time, _ in said)])
        nothing = not stated and scan_times is None and not said
        if nothing and not self.problems.errors:
            message = "nothing says what happens in it, or how long it takes"
            way = "write AT T#20ms ... or UNTIL T#1s;"
            self.problems.error("nothing-to-play", message, self.tree.name.span, way)
        self._check_end(end, changes, expected)
        return end

    def _check_end(
        self, end: Units, changes: Sequence[InputChange], expected: Sequence[Expected]
    ) -> None:
        earliest = min([NO_TIME, *(each.time for each in changes)])
        if (end - earliest) // self.clocking.shortest > MOST_SCANS:
            self.problems.error(*_too_long(self.tree.name.span, "let it end earlier"))
        stated = [(each.time, each.span) for each in changes]
        stated += [(_last_of(each), each.span) for each in expected]
        for time, span in stated:
            if time > end:
                message = "the run has ended by then"
                self.problems.error("time-after-end", message, span, "let the run go on for longer")


def _last_of(expected: Expected) -> Units:
    """Until when a run has to go on to show it."""
    if expected.within is not None:
        return Units(expected.first + expected.within)
    return max(expected.first, expected.last or NO_TIME)


def _too_long(span: Span, way: str) -> tuple[str, str, Span, str]:
    message = f"this run has no scan, or more than {count(MOST_SCANS, 'scan')}"
    return "scenario-too-long", message, span, way
