"""A spec file, read and resolved against its sources, its block and its plants."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path

from checker.scan.timing import Clocking, Readings
from checker.source import specification_tree as spec
from checker.source.diagnostic import Diagnostic, InputError
from checker.source.files import read_source
from checker.source.program import Program, Variable
from checker.source.scope import nearest
from checker.source.specification_parse import parse_specifications
from checker.source.specification_tree import SpecificationTree
from checker.temporal.assumptions import resolve_assumptions
from checker.temporal.catalogue import (
    Availability,
    LogicType,
    TwoHand,
    lag_questions,
    two_hand_requirements,
)
from checker.temporal.clock import choose_clocking
from checker.temporal.control import ControlReader
from checker.temporal.demands import PropertyReader, with_expectations
from checker.temporal.formula import Named
from checker.temporal.formulas import FormulaBuilder
from checker.temporal.library import Library
from checker.temporal.parts import Parts
from checker.temporal.problems import Problems
from checker.temporal.requirement import Lag, Requirement, Specification, Station
from checker.temporal.roles import HandReader, resolve_outputs, resolve_stations
from checker.temporal.scope import SpecificationScope
from checker.temporal.task_times import check_task_times
from checker.temporal.walk import durations

LOOP_BOUND = 100
"""Iterations after which a loop counts as beyond its bound, where the spec states none."""
HIGHEST_LOOP_BOUND = 1_000_000
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
    source = read_source(path, shown)
    trees = parse_specifications(source)
    problems = Problems()
    names: dict[str, SpecificationTree] = {}
    found = []
    for tree in trees:
        if tree.name.key in names:
            message, first = f"there is a spec '{tree.name.text}' already", names[tree.name.key]
            problems.repeated(
                "repeated-name", message, tree.name.span, first.name.span, "choose another name"
            )
        names.setdefault(tree.name.key, tree)
        with problems.collected():
            found.append(resolve_specification(tree, path.parent))
    problems.raise_if_any()
    return tuple(found)


def resolve_specification(tree: SpecificationTree, folder: Path) -> Specification:
    """The spec with its files, which lie relative to ``folder``; InputError with every error."""
    problems = Problems()
    parts = Parts(tree, problems)
    readings = _readings(parts, problems)
    loop_bound = _loop_bound(parts, problems)
    _check_complete(parts, problems)
    program = Library(folder, tree.source.path, problems).program(parts)
    stated = [(time.nanoseconds, time.span) for time in tree.times]
    if program is not None:
        stated += durations(program)
        check_task_times(parts, program, problems)
    unit = parts.only(spec.UnitStatement)
    clocking = choose_clocking(parts.only(spec.ScanStatement), unit, stated, problems)
    if program is None:
        problems.raise_if_any()
        raise ValueError("a program is missing without a problem")
    resolver = _Resolver(parts, program, clocking, problems)
    asked = resolver.requirements()
    problems.raise_if_any()
    return Specification(
        name=tree.name.text,
        source=tree.source,
        program=program,
        clocking=clocking,
        readings=readings,
        loop_bound=loop_bound,
        stations=resolver.stations,
        outputs=resolver.outputs,
        assumptions=resolver.assumptions,
        requirements=asked,
        lags=resolver.lags,
        warnings=tuple(problems.warnings),
    )


class _Resolver:
    """Everything that needs the program."""

    def __init__(
        self, parts: Parts, program: Program, clocking: Clocking, problems: Problems
    ) -> None:
        self.parts = parts
        self.problems = problems
        scope = SpecificationScope(program)
        reader = HandReader(program, scope, problems)
        hands = reader.hands(parts.all(spec.HandStatement))
        self.builder = FormulaBuilder(scope, clocking)
        self.stations: tuple[Station, ...] = resolve_stations(
            parts.all(spec.StationStatement), hands, problems
        )
        self.outputs: tuple[Variable, ...] = resolve_outputs(
            parts.all(spec.OutputStatement), program, scope, problems
        )
        assumed = resolve_assumptions(
            parts.all(spec.AssumeStatement), self.builder, program, problems
        )
        self.assumptions: tuple[Named, ...] = (*reader.assumptions, *assumed)
        self.lags: tuple[Lag, ...] = ()

    def requirements(self) -> tuple[Requirement, ...]:
        """In the order: catalogue, then PROPERTY and REACHABLE as they stand."""
        asked = self._two_hand()
        own = [
            statement
            for statement in self.parts.tree.statements
            if isinstance(statement, spec.PropertyStatement | spec.ReachableStatement)
        ]
        stations = [station.name for station in self.stations]
        reader = PropertyReader(self.builder, self.problems, stations)
        asked += reader.requirements(own)
        if self.problems.errors:
            return tuple(asked)  # a requirement may be missing that EXPECT names
        expected = self.parts.all(spec.ExpectStatement)
        return with_expectations(asked, expected, self.problems)

    def _two_hand(self) -> list[Requirement]:
        statement = self.parts.only(spec.RequireStatement)
        hazard = self.parts.only(spec.HazardStatement)
        asked = self.parts.only(spec.AvailableStatement)
        reader = ControlReader(self.builder, self.problems)
        availability: Availability | None = None
        if asked is not None:
            with self.problems.collected():
                availability = reader.availability(asked)
        if statement is None:
            self._check_alone(hazard, asked)
            return []
        self._check_roles(statement)
        clocking = self.builder.clocking
        bare = TwoHand(
            LogicType.ONE, self.stations, self.outputs, statement.span, clocking.unit,
            clocking.longest,
        )  # fmt: skip
        with self.problems.collected():
            control = reader.control(statement, hazard, bare)
            if not self.problems.errors:
                self.lags = lag_questions(control)
                return list(two_hand_requirements(control, availability))
        return []

    def _check_alone(
        self, hazard: spec.HazardStatement | None, asked: spec.AvailableStatement | None
    ) -> None:
        """HAZARD and AVAILABLE say something about a two-hand control only."""
        for word, statement in (("HAZARD", hazard), ("AVAILABLE", asked)):
            if statement is not None:
                self.problems.error(
                    "missing-require",
                    f"{word} stands without REQUIRE TWO_HAND",
                    statement.span,
                    "write REQUIRE TWO_HAND LOGIC TYPE ...",
                )

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


def _check_complete(parts: Parts, problems: Problems) -> None:
    name = parts.tree.name.span
    if parts.only(spec.ScanStatement) is None:
        message = "the spec states no scan time"
        problems.error("missing-scan", message, name, "write SCAN T#10ms; or SCAN T#5ms..T#20ms;")
    demands = (
        spec.RequireStatement
        | spec.AvailableStatement
        | spec.PropertyStatement
        | spec.ReachableStatement
    )
    if not any(isinstance(statement, demands) for statement in parts.tree.statements):
        problems.error(
            "nothing-to-check",
            "nothing to check: the spec has no requirement",
            name,
            "write REQUIRE, PROPERTY or REACHABLE",
        )


def _readings(parts: Parts, problems: Problems) -> Readings:
    known = [field.name for field in fields(Readings) if field.name != "integers_wrap"]
    readings = Readings(integers_wrap=parts.only(spec.IntegersStatement) is not None)
    seen: dict[str, spec.ReadingStatement] = {}
    for statement in parts.all(spec.ReadingStatement):
        name = statement.name.text.casefold()
        if name == "integers_wrap":
            message = "INTEGERS has a statement of its own"
            problems.error("unknown-name", message, statement.name.span, "write INTEGERS WRAP;")
        elif name not in known:
            close = nearest(name, known)
            help_text = f"did you mean '{close}'?" if close else f"there is {', '.join(known)}"
            message = f"unknown reading '{statement.name.text}'"
            problems.error("unknown-name", message, statement.name.span, help_text)
        elif name in seen:
            message = f"the reading '{name}' is fixed already"
            problems.repeated("repeated-statement", message, statement.span, seen[name].span)
        else:
            seen[name] = statement
            readings = replace(readings, **{name: statement.value})
    return readings


def _loop_bound(parts: Parts, problems: Problems) -> int:
    statement = parts.only(spec.LoopsStatement)
    if statement is None:
        return LOOP_BOUND
    bound = statement.bound
    if not 1 <= bound.value <= HIGHEST_LOOP_BOUND:
        message = f"the bound of loops is 1 to {HIGHEST_LOOP_BOUND}"
        problems.error("bound-out-of-range", message, bound.span, "write for instance LOOPS 100;")
    return bound.value
