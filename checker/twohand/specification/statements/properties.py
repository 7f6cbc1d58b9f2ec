"""What a spec asks for by itself: PROPERTY and REACHABLE, and what it expects of each."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from twohand.specification.catalogue.two_hand import catalogue_identifiers
from twohand.specification.catalogue.words import demand_identifiers
from twohand.specification.logic.formula import Always, Not
from twohand.specification.model.specification import Aim, Expectation, Requirement
from twohand.specification.phrases import listing, written
from twohand.specification.problems import REMOVE_ONE, Problems
from twohand.specification.resolving.formula_builder import FormulaResolver
from twohand.specification.resolving.names import unknown
from twohand.specification.syntax.nodes import (
    ExpectStatement,
    PropertyStatement,
    ReachableStatement,
)
from twohand.syntax import tree
from twohand.text.diagnostic import wrong
from twohand.text.source_text import Span


class PropertyReader:
    """Reads PROPERTY and REACHABLE; identifiers are unique and none is of the catalogue."""

    def __init__(
        self,
        builder: FormulaResolver,
        problems: Problems,
        stations: Sequence[str],
        by_word: Sequence[Requirement] = (),
    ) -> None:
        self.builder = builder
        self.problems = problems
        self.reserved = catalogue_identifiers(stations) | demand_identifiers()
        self.taken: dict[str, Span] = {each.identifier.casefold(): each.span for each in by_word}

    def requirements(
        self, statements: Sequence[PropertyStatement | ReachableStatement]
    ) -> list[Requirement]:
        """In their order; a name that is taken is a problem, and so is what is wrong within."""
        for statement in statements:
            if statement.name is not None:
                self._take(statement.name)
        found = []
        for statement in statements:
            with self.problems.collected():
                if isinstance(statement, PropertyStatement):
                    found.append(self._property(statement))
                else:
                    found.append(self._reachable(statement))
        return found

    def _take(self, name: tree.Identifier) -> None:
        key = name.text.casefold()
        if key in self.reserved:
            message = f"'{name.text}' is the name of a requirement of the catalogue"
            self.problems.error("reserved-name", message, name.span, "choose another name")
        else:
            message = f"there is a requirement '{name.text}' already"
            self.problems.is_new(self.taken, key, name.span, message)

    def _property(self, statement: PropertyStatement) -> Requirement:
        name = statement.name.text
        sentence = f"property '{name}': {written(statement.property.span)}"
        asked = self.builder.property(statement.property)
        return Requirement(name, sentence, asked, statement.span)

    def _reachable(self, statement: ReachableStatement) -> Requirement:
        formula = self.builder.formula(statement.formula)
        name = self._free_name(statement.span) if statement.name is None else statement.name.text
        sentence = f"a scan with: {written(statement.formula.span)}"
        asked = Always(Not(formula))
        return Requirement(name, sentence, asked, statement.span, Aim.REACHABLE)

    def _free_name(self, span: Span) -> str:
        number, name = 1, "reachable"
        while name in self.taken:
            number += 1
            name = f"reachable_{number}"
        self.taken[name] = span
        return name


def with_expectations(
    requirements: Sequence[Requirement],
    statements: Sequence[ExpectStatement],
    problems: Problems,
) -> tuple[Requirement, ...]:
    """The requirements with the verdicts that EXPECT states; PROVED is expected of the others."""
    by_name = {requirement.identifier.casefold(): requirement for requirement in requirements}
    stated: dict[str, Span] = {}
    for statement in statements:
        with problems.collected():
            word, verdict = statement.verdict.key, _verdict(statement, by_name)
            for name in statement.names:
                with problems.collected():
                    key = name.text.casefold()
                    if key not in by_name:
                        raise unknown(name, (r.identifier for r in requirements), "requirement")
                    message = f"a verdict is expected of '{name.text}' already"
                    problems.is_new(stated, key, name.span, message, REMOVE_ONE)
                    by_name[key] = _expecting(by_name[key], word, verdict, name.span)
    return tuple(by_name.values())


def _verdict(statement: ExpectStatement, known: Collection[str]) -> Expectation:
    """The verdict by its name in a report; of REACHABLE that is another word."""
    word = statement.verdict
    found = _AS_REPORTED.get(word.key)
    if found is not None:
        return found
    if word.text.casefold() in known:
        message, way = "the verdict comes first", f"write EXPECT PROVED {word.text};"
        raise wrong("unknown-name", message, word.span, way)
    raise unknown(word, _AS_REPORTED, "verdict")


_VERDICTS = [each.value for each in Expectation]
_AS_REPORTED = {each.value: each for each in Expectation} | {
    "REACHABLE": Expectation.PROVED,
    "UNREACHABLE": Expectation.VACUOUS,
}


def _expecting(
    requirement: Requirement, word: str, verdict: Expectation, span: Span
) -> Requirement:
    if requirement.aim is not Aim.REACHABLE and verdict.value != word:
        message = f"'{requirement.identifier}' is no REACHABLE, so that {word} is no verdict of it"
        raise wrong("impossible-verdict", message, span, f"write {listing(_VERDICTS, 'or')}")
    if requirement.aim is Aim.REACHABLE and verdict is Expectation.VIOLATED:
        message = "of REACHABLE a run is found (REACHABLE) or there is none (UNREACHABLE)"
        raise wrong("impossible-verdict", message, span, "write EXPECT UNREACHABLE")
    return replace(requirement, expected=verdict, stated=True)
