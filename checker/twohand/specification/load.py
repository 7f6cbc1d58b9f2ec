"""A spec file, read and resolved against its sources, its block and its plants."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from twohand.files.reading import read_source
from twohand.program import Program, Read, Variable
from twohand.program.durations import NO_TIME, Nanoseconds
from twohand.program.walks import durations
from twohand.scan.clocking import Clocking
from twohand.specification.catalogue.left_out import of_two_hand
from twohand.specification.catalogue.two_hand import lag_questions, two_hand_requirements
from twohand.specification.logic.formula import Atom, Named
from twohand.specification.model.control import Availability, LogicType, TwoHand
from twohand.specification.model.specification import Lag, Requirement, Specification, Station
from twohand.specification.phrases import written
from twohand.specification.problems import Problems
from twohand.specification.reading.clock import choose_clocking
from twohand.specification.reading.draft_marks import refuse_draft_marks
from twohand.specification.reading.files import SourceFiles, Texts
from twohand.specification.reading.look_alikes import between_specs, names_alike
from twohand.specification.reading.never_set import never_set
from twohand.specification.reading.platform import stated_platform
from twohand.specification.reading.statements import StatementTable
from twohand.specification.reading.task_times import check_task_times
from twohand.specification.resolving.formula_builder import FormulaResolver
from twohand.specification.resolving.names import SpecificationScope
from twohand.specification.statements.assumptions import resolve_assumptions
from twohand.specification.statements.faults import read_arrangement, read_notice
from twohand.specification.statements.properties import PropertyReader, with_expectations
from twohand.specification.statements.require_two_hand import ControlReader
from twohand.specification.statements.require_word import DemandReader, limits_a_demand
from twohand.specification.statements.roles import (
    resolve_outputs,
    resolve_stations,
    with_conditions,
)
from twohand.specification.statements.stopping import resolve_stopping, times_of_logic
from twohand.specification.statements.surroundings import Surroundings, Wanted, surround
from twohand.specification.statements.tolerances import resolve_acceptances, wide
from twohand.specification.surroundings.composition import Composition
from twohand.specification.surroundings.power import POWER_ON
from twohand.specification.syntax import nodes as spec
from twohand.specification.syntax.nodes import SpecificationTree
from twohand.specification.syntax.parse import parse_specifications
from twohand.text.deceptive import invisible_signs
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_text import Span

NOTHING_FURTHER = Nanoseconds(0)
TWO_HANDS = "a two-hand control needs two: write a HAND for each, and name both in its STATION"


def load_specification(path: Path, shown: str | None = None) -> Specification:
    """The spec of a file that has one; ``shown`` is the path to show (default: as given).

    InputError with every error found; another one where the file has several specs.
    """
    specifications = load_specifications(path, shown)
    if len(specifications) > 1:
        names = ", ".join(f"'{each.name}'" for each in specifications)
        message = f"the file has {len(specifications)} specs: {names}"
        help_text = "put each into a file of its own"
        raise InputError(
            Diagnostic("several-specs", message, path=shown or str(path), help=help_text)
        )
    return specifications[0]


def load_specifications(path: Path, shown: str | None = None) -> tuple[Specification, ...]:
    """All specs of a file, in order; InputError with every error found in any of them."""
    return resolve_specifications(parse_specifications(read_source(path, shown)), path.parent)


def stated_specification(
    program: Program, parts: StatementTable, problems: Problems, assume: bool = False
) -> Specification:
    """A spec of a whole program that asks nothing yet: with the times and the platform that the
    statements say, and where they may ``assume``, what they do. InputError with every problem."""
    stated = [(time.nanoseconds, time.span) for time in times_of_logic(parts.tree)]
    stated += durations(program)
    unit = parts.only(spec.UnitStatement)
    clocking = choose_clocking(parts.only(spec.ScanStatement), unit, stated, problems)
    builder = FormulaResolver(SpecificationScope(program), clocking)
    assumed = parts.all(spec.AssumeStatement) if assume else ()
    assumptions = resolve_assumptions(assumed, builder, program, problems)
    platform = stated_platform(parts, problems)
    problems.raise_if_any()
    return Specification(
        name=program.name,
        source=parts.tree.source,
        program=program,
        clocking=clocking,
        readings=platform.readings,
        observed_readings=platform.observed,
        loop_bound=platform.loop_bound,
        stations=(),
        outputs=(),
        assumptions=assumptions,
        requirements=(),
        warnings=tuple(problems.warnings),
    )


def resolve_specifications(
    trees: Sequence[SpecificationTree], folder: Path, read: Texts | None = None
) -> tuple[Specification, ...]:
    """The specs of one file; InputError with every error found in any of them. ``read`` as in
    ``resolve_specification``."""
    problems = Problems()
    names: dict[str, Span] = {}
    found = []
    for tree in trees:
        message = f"there is a spec '{tree.name.text}' already"
        problems.is_new(names, tree.name.key, tree.name.span, message)
        with problems.collected():
            found.append(resolve_specification(tree, folder, read=read))
    problems.raise_if_any()
    alike = between_specs(trees)
    return tuple(
        replace(each, warnings=(*each.warnings, *alike[number]))
        for number, each in enumerate(found)
    )


def resolve_specification(
    tree: SpecificationTree,
    folder: Path,
    wanted: Wanted | None = None,
    read: Texts | None = None,
    further: Nanoseconds = NOTHING_FURTHER,
) -> Specification:
    """The spec with its files, which lie relative to ``folder``; InputError with every error.

    ``wanted`` asks for physical hands, with faults between them and the block. ``read`` keeps the
    texts of files from one call to the next. ``further`` is one more duration that the unit of time
    has to divide."""
    refuse_draft_marks(tree)
    problems = Problems()
    problems.warnings.extend(filter(None, [invisible_signs(tree.source)]))
    parts = StatementTable(tree, problems)
    platform = stated_platform(parts, problems)
    _check_complete(parts, problems)
    composed, clocking = _composed(parts, folder, read, problems, further)
    world = surround(parts, composed, clocking, wanted, problems)
    resolver = _Resolver(parts, world, clocking, problems)
    asked = resolver.requirements()
    stated = resolve_stopping(parts, resolver.builder, problems)
    arrangement = read_arrangement(parts, problems)
    notice = read_notice(parts, resolver.builder, problems)
    accepted = resolve_acceptances(parts.all(spec.AcceptStatement), problems)
    problems.raise_if_any()
    problems.warnings.extend(never_set(composed.block, composed.start.outside))
    problems.warnings.extend(names_alike(tree, composed.block.variables, asked))
    return Specification(
        name=tree.name.text,
        source=tree.source,
        program=world.program,
        clocking=clocking,
        readings=platform.readings,
        observed_readings=platform.observed,
        loop_bound=platform.loop_bound,
        stations=resolver.stations,
        outputs=resolver.outputs,
        assumptions=resolver.assumptions,
        requirements=asked,
        lags=resolver.lags,
        warnings=tuple(problems.warnings),
        wide=wide(problems),
        accepted=accepted,
        stops=stated.stops,
        stopping=stated.stopping,
        clutch=stated.clutch,
        encroachment_shown_by=stated.encroachment_shown_by,
        edition=stated.edition,
        hazard=resolver.hazard,
        supplies=world.supplies,
        arrangement=arrangement,
        notice=notice,
        lines=world.lines,
        assumed_faults=world.assumed_faults,
        bounce=NO_TIME if world.bounce is None else world.bounce.time,
        power=resolver.supply,
        plants=tuple(each.name.text for each in parts.all(spec.PlantStatement)),
    )


def _composed(
    parts: StatementTable,
    folder: Path,
    read: Texts | None,
    problems: Problems,
    further: Nanoseconds,
) -> tuple[Composition, Clocking]:
    """The programs of the spec and its times; InputError where a program is missing."""
    files = SourceFiles(folder, parts.tree.source.path, problems, read)
    composed = files.composition(parts)
    clocking = _clocking(parts, composed, problems, further)
    if composed is None:
        problems.raise_if_any()
        raise ValueError("a program is missing without a problem")
    return composed, clocking


def _clocking(
    parts: StatementTable,
    composed: Composition | None,
    problems: Problems,
    further: Nanoseconds,
) -> Clocking:
    """What the spec states of scans, in units in which the times of spec and program are whole."""
    stated = [(time.nanoseconds, time.span) for time in times_of_logic(parts.tree)]
    stated.append((further, parts.tree.name.span))
    if composed is not None:
        stated += durations(composed.program)
        check_task_times(parts, composed.program, problems)
    unit = parts.only(spec.UnitStatement)
    return choose_clocking(parts.only(spec.ScanStatement), unit, stated, problems)


class _Resolver:
    """Everything that needs the program."""

    def __init__(
        self, parts: StatementTable, world: Surroundings, clocking: Clocking, problems: Problems
    ) -> None:
        self.parts = parts
        self.problems = problems
        scope, outer = world.scope, world.outer
        self.bounce = world.bounce
        self.builder = FormulaResolver(scope, clocking)
        stated = parts.all(spec.StationStatement)
        self.stations: tuple[Station, ...] = with_conditions(
            resolve_stations(stated, world.hands, problems), stated, outer, world.assumed, problems
        )
        self.outputs: tuple[Variable, ...] = resolve_outputs(
            parts.all(spec.OutputStatement), outer, scope, problems
        )
        self.healthy = FormulaResolver(world.assumed, clocking)
        assumed = resolve_assumptions(
            parts.all(spec.AssumeStatement), self.healthy, world.program, problems
        )
        self.assumptions: tuple[Named, ...] = (*world.agreements, *assumed)
        cycles = parts.all(spec.PowerStatement)
        self.supply = world.program.variable(POWER_ON) if cycles else None
        self.lags: tuple[Lag, ...] = ()
        self.hazard: Named | None = None

    def requirements(self) -> tuple[Requirement, ...]:
        """In the order: catalogue, then PROPERTY and REACHABLE as they come."""
        asked = self._two_hand()
        by_word = self._by_word()
        asked += by_word
        own = [
            statement
            for statement in self.parts.tree.statements
            if isinstance(statement, spec.PropertyStatement | spec.ReachableStatement)
        ]
        stations = [station.name for station in self.stations]
        reader = PropertyReader(self.builder, self.problems, stations, by_word)
        asked += reader.requirements(own)
        if self.problems.errors:
            return tuple(asked)  # a requirement may be missing that EXPECT names
        expected = self.parts.all(spec.ExpectStatement)
        return with_expectations(asked, expected, self.problems)

    def _two_hand(self) -> list[Requirement]:
        statement = self.parts.only(spec.RequireStatement)
        hazard = self.parts.only(spec.HazardStatement)
        asked = self.parts.only(spec.AvailableStatement)
        reader = ControlReader(self.builder, self.healthy, self.problems)
        availability: Availability | None = None
        if asked is not None:
            with self.problems.collected():
                availability = reader.availability(asked)
        if statement is None:
            limited = limits_a_demand(hazard, self.parts.all(spec.RequireWordStatement))
            self._check_alone(None if limited else hazard, asked)
            return []
        self._check_roles(statement)
        bare = self._bare(statement.span)
        with self.problems.collected():
            control = reader.control(statement, hazard, bare)
            if control.hazard is not None and hazard is not None:
                self.hazard = Named(control.hazard, hazard.condition.span)
            if not self.problems.errors:
                self.lags = lag_questions(control)
                return of_two_hand(two_hand_requirements(control, availability), control)
        return []

    def _bare(self, span: Span) -> TwoHand:
        """The stations and outputs, with nothing asked of them yet."""
        unit, longest = self.builder.clocking.unit, self.builder.clocking.longest
        power = None if self.supply is None else Atom(Read(self.supply, self.supply.span))
        return TwoHand(
            LogicType.ONE,
            self.stations,
            self.outputs,
            span,
            unit,
            longest,
            power=power,
            bounce=self.bounce,
        )

    def _by_word(self) -> list[Requirement]:
        """REQUIRE with the other words of the catalogue."""
        statements = self.parts.all(spec.RequireWordStatement)
        if not statements:
            return []
        control = self._bare(statements[0].span)
        hazard = self.parts.only(spec.HazardStatement)
        if hazard is not None:
            with self.problems.collected():
                formula = self.healthy.formula(hazard.condition)
                text = written(hazard.condition.span)
                control = replace(control, hazard=formula, hazard_text=text)
                self.hazard = self.hazard or Named(formula, hazard.condition.span)
        reader = DemandReader(self.builder, self.healthy, self.problems, control)
        return reader.requirements(statements)

    def _check_alone(
        self, hazard: spec.HazardStatement | None, asked: spec.AvailableStatement | None
    ) -> None:
        """HAZARD and AVAILABLE say something about a two-hand control only."""
        way = "write REQUIRE TWO_HAND LOGIC TYPE ..."
        if hazard is not None:
            message = "HAZARD is stated without what it limits"
            other = f"{way} or REQUIRE single_stroke"
            self.problems.error("missing-require", message, hazard.span, other)
        if asked is not None:
            message = "AVAILABLE is stated without REQUIRE TWO_HAND"
            self.problems.error("missing-require", message, asked.span, way)

    def _check_roles(self, statement: spec.RequireStatement) -> None:
        if not self.parts.all(spec.HandStatement):
            message = "a two-hand control needs hands, and the spec names none"
            self.problems.error("missing-hand", message, statement.span, "write HAND left = ...;")
        if not self.parts.all(spec.OutputStatement):
            message = "a two-hand control needs an output, and the spec names none"
            self.problems.error("missing-output", message, statement.span, "write OUTPUT ...;")
        stations = self.parts.all(spec.StationStatement)
        hands = self.parts.all(spec.HandStatement)
        counts = [(f"station '{s.name.text}'", len(s.hands), s.name.span) for s in stations]
        if hands and not stations:
            counts = [("the control", len(hands), hands[0].name.span)]
        for what, count, span in counts:
            if count < 2:
                message = f"{what} has fewer than two hands"
                self.problems.error("too-few-hands", message, span, TWO_HANDS)


def _check_complete(parts: StatementTable, problems: Problems) -> None:
    name = parts.tree.name.span
    if parts.only(spec.ScanStatement) is None:
        message = "the spec states no scan time"
        problems.error("missing-scan", message, name, "write SCAN T#10ms; or SCAN T#5ms..T#20ms;")
    required = (
        spec.RequireStatement
        | spec.RequireWordStatement
        | spec.AvailableStatement
        | spec.PropertyStatement
        | spec.ReachableStatement
    )
    if not any(isinstance(statement, required) for statement in parts.tree.statements):
        message = "nothing to check: the spec has no requirement"
        problems.error("nothing-to-check", message, name, "write REQUIRE, PROPERTY or REACHABLE")
