"""Reads REQUIRE with a word of the catalogue: its word, its parameters, its label."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from twohand.program import Read
from twohand.program.durations import NO_SCANS, Nanoseconds, Scans, Units
from twohand.program.types import Duration
from twohand.program.walks import nodes_below
from twohand.specification.catalogue.clause import Clause
from twohand.specification.catalogue.left_out import of_demand
from twohand.specification.catalogue.two_hand import catalogue_identifiers
from twohand.specification.catalogue.words import (
    BY_NAME,
    TIMES,
    Parameter,
    ParameterKind,
    RequirementWord,
    demand_identifiers,
)
from twohand.specification.logic.formula import Bound, Formula
from twohand.specification.model.control import TwoHand
from twohand.specification.model.specification import Requirement
from twohand.specification.phrases import listing, quoted, written
from twohand.specification.problems import Problems
from twohand.specification.resolving.formula_builder import FormulaResolver
from twohand.specification.statements.require_two_hand import limited
from twohand.specification.statements.tolerances import Tolerances
from twohand.specification.syntax.build_formulas import LARGEST_NUMBER
from twohand.specification.syntax.formulas import FormulaNode, Plain, Time
from twohand.specification.syntax.nodes import Binding, HazardStatement, RequireWordStatement
from twohand.syntax import tree
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import Span
from twohand.text.suggestions import nearest

_NAME = re.compile(r"[\w.]+")
LIST_THEM = "'twohand requirements' lists what can be required"


@dataclass(frozen=True)
class DemandReader:
    """``control`` has what the spec says of hands, outputs, HAZARD and power; ``healthy`` builds
    formulas that speak of the world without faults."""

    builder: FormulaResolver
    healthy: FormulaResolver
    problems: Problems
    control: TwoHand

    def requirements(self, statements: Sequence[RequireWordStatement]) -> list[Requirement]:
        """In their order; identifiers are unique among them."""
        found: list[Requirement] = []
        spans: dict[str, Span] = {}
        for statement in statements:
            with self.problems.collected():
                for requirement in self._asked(statement):
                    key = requirement.identifier.casefold()
                    message = f"there is a requirement '{requirement.identifier}' already"
                    way = "give this one a label: REQUIRE label : ..."
                    if not self.problems.is_new(spans, key, statement.span, message, way):
                        break
                    found.append(requirement)
        return found

    def _asked(self, statement: RequireWordStatement) -> list[Requirement]:
        word = _word(statement.word)
        self._check_label(statement.label)
        given = self._given(word, statement)
        self._check_roles(word, given, statement)
        parameters = {each.name: each for each in word.parameters}
        times = {
            name: self._units(binding.value, parameters[name])
            for name, binding in given.items()
            if parameters[name].kind in TIMES
        }
        counts = {
            name: _scans(binding.value, parameters[name])
            for name, binding in given.items()
            if parameters[name].kind is ParameterKind.COUNT
        }
        stated = [name for name in given if name not in times and name not in counts]
        conditions = {
            name: self._builder(parameters[name]).formula(given[name].value) for name in stated
        }
        seen = {name: self.builder.formula(given[name].value) for name in stated}
        texts = {name: _text(given[name].value) for name in stated}
        if "complete" in seen:
            self._check_end(seen["complete"], given["complete"].span)
        self._warn_if_wide(times, counts, given)
        name = word.name if statement.label is None else statement.label.text
        span, control = statement.span, limited(self.control, statement.condition, self.healthy)
        clause = Clause(name, control, conditions, texts, times, span, counts, seen)
        return of_demand(word.build(clause), name, word, given, control.condition is not None)

    def _warn_if_wide(
        self,
        times: Mapping[str, Units],
        counts: Mapping[str, Scans],
        given: Mapping[str, Binding],
    ) -> None:
        tolerances = Tolerances(self.builder.clocking, self.problems)
        if "window" in times:
            tolerances.window(times["window"], given["window"].span)
        if "within" in times:
            tolerances.notice(times["within"], given["within"].span)
        if "scans" in counts:
            tolerances.end(Bound(NO_SCANS, counts["scans"], in_scans=True), given["scans"].span)
        if "unchanged" in times:
            tolerances.stuck_end(times["unchanged"], given["unchanged"].span)

    def _check_end(self, end: Formula, span: Span) -> None:
        """An end that follows from the output would be the end of whatever the logic does."""
        outputs = set(self.control.outputs)
        for read in nodes_below(end):
            if isinstance(read, Read) and read.variable in outputs:
                message = f"'complete' reads the output '{read.variable.name}', which it has to end"
                way = "name the signal that shows where the machine is: an end switch, a cam"
                raise wrong("end-reads-output", message, span, way)

    def _builder(self, parameter: Parameter) -> FormulaResolver:
        return self.healthy if parameter.kind is ParameterKind.ACTUATION else self.builder

    def _check_label(self, label: tree.Identifier | None) -> None:
        stations = [station.name for station in self.control.stations]
        reserved = catalogue_identifiers(stations) | demand_identifiers()
        if label is not None and label.text.casefold() in reserved:
            message = f"'{label.text}' is the name of a requirement of the catalogue"
            raise wrong("reserved-name", message, label.span, "choose another name")

    def _given(self, word: RequirementWord, statement: RequireWordStatement) -> dict[str, Binding]:
        """The parameters by name; a wrong, a second or a missing one is a problem."""
        given: dict[str, Binding] = {}
        errors = len(self.problems.errors)
        for binding in statement.bindings:
            name = binding.input
            parameter = word.parameter(name.text)
            if parameter is None:
                self.problems.errors += _unknown_parameter(word, name).diagnostics
            elif parameter.name in given:
                message = f"'{parameter.name}' is given already"
                earlier = given[parameter.name].span
                self.problems.repeated("repeated-name", message, binding.span, earlier)
            else:
                given[parameter.name] = binding
        missing = [p for p in word.parameters if p.required and p.name not in given]
        if missing and len(self.problems.errors) == errors:
            message = f"{word.name} needs {listing([quoted(each.name) for each in missing])}"
            message = ", ".join([message, *(each.why for each in missing if each.why)])
            way = f"write REQUIRE {word.pattern}"
            raise wrong("missing-parameter", message, statement.span, way)
        if len(self.problems.errors) > errors:
            raise InputError([])  # what is missing may be what is misspelt
        return given

    def _check_roles(
        self, word: RequirementWord, given: Mapping[str, Binding], statement: RequireWordStatement
    ) -> None:
        hands = word.hands or (word.hands_unless and word.hands_unless not in given)
        counts = [len(station.hands) for station in self.control.stations]
        if hands and min(counts, default=0) < 2:
            way = "write a HAND for each hand"
            if word.hands_unless:
                way = f"say what starts it: {word.hands_unless} := ..., or write a HAND for each"
            message = f"{word.name} speaks of the hands, and there are fewer than two"
            if len(counts) > 1:
                message += " in a station"
            raise wrong("missing-hand", message, statement.span, way)
        if word.outputs and "output" not in given and not self.control.outputs:
            message = f"{word.name} needs an output, and the spec names none"
            raise wrong("missing-output", message, statement.span, "write OUTPUT ...;")

    def _units(self, node: FormulaNode, parameter: Parameter) -> Units:
        if not (
            isinstance(node, Plain)
            and isinstance(node.expression, tree.Literal)
            and isinstance(node.expression.type, Duration)
        ):
            message = f"'{parameter.name}' is a duration written out"
            raise wrong("not-a-time", message, node.span, "write for instance T#500ms")
        units = self.builder.units(Time(Nanoseconds(node.expression.value), node.span))
        if units == 0 and parameter.kind is ParameterKind.TIME:
            message = f"'{parameter.name}' is longer than 0"
            raise wrong("time-not-positive", message, node.span, "write for instance T#500ms")
        return units


def _scans(node: FormulaNode, parameter: Parameter) -> Scans:
    number = node.expression if isinstance(node, Plain) else None
    if not (isinstance(number, tree.Literal) and number.type is None and number.value >= 0):
        message = f"'{parameter.name}' is a whole number written out"
        raise wrong("not-a-number", message, node.span, "write for instance 1")
    if number.value > LARGEST_NUMBER:
        message = f"more than {LARGEST_NUMBER} cannot be counted"
        raise wrong("number-too-large", message, node.span, "write a smaller number")
    return Scans(int(number.value))


def limits_a_demand(
    hazard: HazardStatement | None, statements: Sequence[RequireWordStatement]
) -> bool:
    """Whether some requirement is limited by the HAZARD."""
    words = [BY_NAME.get(statement.word.text.casefold()) for statement in statements]
    return hazard is not None and any(word is not None and word.hazard for word in words)


def _word(name: tree.Identifier) -> RequirementWord:
    word = BY_NAME.get(name.text.casefold())
    if word is not None:
        return word
    close = nearest(name.text, (*BY_NAME, "two_hand"))
    way = f"did you mean '{close}'? {LIST_THEM}" if close else LIST_THEM
    if name.text.casefold() in catalogue_identifiers(()) and close not in BY_NAME:
        way = "it is a part of REQUIRE TWO_HAND LOGIC TYPE ..."
    elif close == "two_hand":
        way = "write REQUIRE TWO_HAND LOGIC TYPE ..."
    raise wrong("unknown-requirement", f"there is no requirement '{name.text}'", name.span, way)


def _unknown_parameter(word: RequirementWord, name: tree.Name) -> InputError:
    known = [parameter.name for parameter in word.parameters]
    close = nearest(name.text, known)
    way = f"write REQUIRE {word.pattern}" if known else f"write REQUIRE {word.name};"
    if close:
        way = f"did you mean '{close}'?"
    return wrong("unknown-parameter", f"{word.name} has no parameter '{name.text}'", name.span, way)


def _text(node: FormulaNode) -> str:
    """What the user wrote; a name alone in quotes."""
    text = written(node.span)
    return quoted(text) if isinstance(node, Plain) and _NAME.fullmatch(text) else text
