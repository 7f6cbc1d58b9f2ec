"""The files that a spec names, and the program that its block and plants make of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path, PurePath
from typing import TypeAlias

from twohand.exchange.file import structured_text_of
from twohand.files.reading import read_source, readable, source_files
from twohand.program import Assign, Program, Variable
from twohand.specification.problems import REMOVE_ONE, Problems
from twohand.specification.reading.outside import resolve_scan_start
from twohand.specification.reading.statements import StatementTable
from twohand.specification.resolving.formula_builder import plain_expression
from twohand.specification.resolving.names import SpecificationScope, unknown
from twohand.specification.surroundings.composition import Composition, Plant
from twohand.specification.surroundings.power import (
    POWER_ON,
    PREFIX,
    PowerCycles,
    power_cycles,
    refuse_readings,
)
from twohand.specification.syntax import nodes as spec
from twohand.text.diagnostic import Diagnostic, InputError, wrong
from twohand.text.resources import is_folder
from twohand.text.source_text import SourceText, Span
from twohand.typecheck.expressions.expressions import resolve_expression
from twohand.typecheck.resolve import load_program

Texts: TypeAlias = dict[Path, SourceText]
"""The texts of files that were read."""


class SourceFiles:
    """Reads files relative to the spec's ``folder`` and shows them relative to its ``shown`` path;
    what is wrong goes to ``problems``. ``read`` are texts that were read before, and those that
    are now."""

    def __init__(
        self, folder: Path, shown: str, problems: Problems, read: Texts | None = None
    ) -> None:
        self.folder = folder
        self.shown = PurePath(shown).parent
        self.problems = problems
        self.notes: list[Diagnostic] = []
        """What cannot be read in folders, and is not needed."""
        self._read = {} if read is None else read
        self._searched: set[SourceText] = set()
        self._named: set[SourceText] = set()
        self.of_block: tuple[SourceText, ...] = ()
        """The texts in which the block was looked for."""

    def composition(self, parts: StatementTable) -> Composition | None:
        """The block with its plants; None where that cannot be (the problems say why)."""
        files = [file for s in parts.all(spec.SourceStatement) for file in s.files]
        if not files:
            message, way = "the spec names no source file", "write SOURCE 'file.st';"
            self.problems.error("missing-source", message, parts.tree.name.span, way)
            return None
        sources = self._sources(files)
        self.of_block = tuple(sources or ())
        block = parts.only(spec.BlockStatement)
        place = files[0].span if block is None else block.name.span
        program = None
        if sources is not None:
            with self.problems.collected():
                program = self._loaded(sources, None if block is None else block.name.text, place)
        plants = self._plants(parts, sources)
        self.problems.warnings.extend(dict.fromkeys(self.notes))
        if program is None or plants is None:
            return None
        return self._composed(program, plants, parts)

    @property
    def searched(self) -> set[SourceText]:
        """The texts that were found in folders alone."""
        return self._searched - self._named

    # --- files ------------------------------------------------------------------------------

    def _sources(self, files: Sequence[spec.FileName]) -> list[SourceText] | None:
        """The texts of the files, and of those in folders, each once; None where one that is
        named is missing."""
        texts: dict[SourceText, None] = {}
        complete = True
        named: set[Path] = set()
        for file in files:
            text = file.text.replace("\\", "/")
            path = self.folder / text
            if path in named:
                message = f"'{file.text}' is named twice"
                self.problems.error("repeated-name", message, file.span, "remove one of them")
                continue
            named.add(path)
            found: list[SourceText] | None = None
            with self.problems.collected():
                if is_folder(path):
                    found = self._below(path, text, file)
                else:
                    found = [self._source(path, text, file)]
                    self._named.update(found)
            complete = complete and found is not None
            texts |= dict.fromkeys(found or ())
        return list(texts) if complete else None

    def _source(self, path: Path, text: str, file: spec.FileName) -> SourceText:
        """A file that is named, itself or by its folder."""
        if path not in self._read:
            try:
                source = read_source(path, str(self.shown / text))
                self._read[path] = structured_text_of(source)
            except InputError as error:
                raise _placed(error, file.span) from None
        return self._read[path]

    def _below(self, folder: Path, text: str, file: spec.FileName) -> list[SourceText]:
        """The files below a folder; those that cannot be read are noted."""
        try:
            paths = source_files(folder)
        except InputError as error:
            raise _placed(error, file.span) from None

        def read(path: Path) -> SourceText:
            return self._source(path, str(PurePath(text) / path.relative_to(folder)), file)

        found = readable(paths, read, self.notes)
        self._searched.update(found)
        return found

    def _loaded(
        self, sources: Sequence[SourceText], block: str | None, place: Span, prefix: str = ""
    ) -> Program:
        """``load_program``; what has no place in the sources gets that in the spec."""
        try:
            return load_program(sources, block, prefix, self.notes, self.searched)
        except InputError as error:
            raise _placed(error, place) from None

    # --- plants -----------------------------------------------------------------------------

    def _plants(
        self, parts: StatementTable, sources: list[SourceText] | None
    ) -> list[tuple[spec.PlantStatement, Program]] | None:
        """Each PLANT with its program; None where one cannot be loaded."""
        plants: list[tuple[spec.PlantStatement, Program]] = []
        names: dict[str, Span] = {}
        statements = parts.all(spec.PlantStatement)
        for statement in statements:
            name = statement.name
            message = f"there is a plant '{name.text}' already"
            if not self.problems.is_new(names, name.key, name.span, message):
                continue
            texts = self._sources(statement.files) if statement.files else sources
            if texts is None:
                continue
            with self.problems.collected():
                prefix, block = f"{name.text}.", statement.block
                plants.append((statement, self._loaded(texts, block.text, block.span, prefix)))
        return plants if len(plants) == len(statements) else None

    def _composed(
        self,
        block: Program,
        plants: Sequence[tuple[spec.PlantStatement, Program]],
        parts: StatementTable,
    ) -> Composition:
        feedbacks = parts.all(spec.FeedbackStatement)
        power, start = self._power(block, parts), resolve_scan_start(parts, block, self.problems)
        span = parts.tree.name.span
        readable = [*block.variables, *(() if power is None else (power.on,))]
        of_block = SpecificationScope(block, readable, binding=True)
        ready = []
        for statement, program in plants:
            self._check_name(statement, block)
            bindings = self._bindings(statement.bindings, program, of_block, statement.name.text)
            ready.append(Plant(statement.name.text, program, bindings, statement.span))
            if power is not None:
                with self.problems.collected():
                    refuse_readings(program)
        driving = Composition(block, span, ready).wired()
        variables = [v for _, program in plants for v in program.variables]
        of_plants = SpecificationScope(driving, variables, binding=True)
        written = [binding for statement in feedbacks for binding in statement.bindings]
        if written and not plants:
            message = "FEEDBACK comes from a plant, and there is none"
            self.problems.error("missing-plant", message, feedbacks[0].span, "state a PLANT")
            return Composition(block, span)
        feedback = self._bindings(written, block, of_plants)
        return Composition(block, span, ready, feedback, power, start)

    def _power(self, block: Program, parts: StatementTable) -> PowerCycles | None:
        """The supply, where the spec lets it go."""
        statement = parts.only(spec.PowerStatement)
        if statement is None:
            return None
        for plant in parts.all(spec.PlantStatement):
            if f"{plant.name.text}.".casefold() == PREFIX:
                message = f"'{POWER_ON}' is to be the supply, so no plant can bear this name"
                way = "name the plant otherwise"
                self.problems.error("ambiguous-name", message, plant.name.span, way)
        outputs = [name for each in parts.all(spec.OutputStatement) for name in each.names]
        named = [variable for name in outputs if (variable := block.variable(name.text))]
        with self.problems.collected():
            return power_cycles(block, named, statement.span)
        return None

    def _check_name(self, statement: spec.PlantStatement, block: Program) -> None:
        name = statement.name
        prefix = name.text.casefold()
        known = [variable.name.casefold() for variable in block.variables]
        if any(each == prefix or each.startswith(f"{prefix}.") for each in known):
            message = f"the block has a '{name.text}' already"
            self.problems.error("ambiguous-name", message, name.span, "name the plant otherwise")

    def _bindings(
        self,
        bindings: Sequence[spec.Binding],
        program: Program,
        scope: SpecificationScope,
        plant: str = "",
    ) -> tuple[Assign, ...]:
        """Assignments to inputs of ``program`` (named without the prefix ``plant.``)."""
        assigned: dict[Variable, Span] = {}
        found = []
        for binding in bindings:
            with self.problems.collected():
                target = _input(binding, program, plant)
                message = f"'{binding.input.text}' is driven twice"
                self.problems.is_new(assigned, target, binding.input.span, message, REMOVE_ONE)
                node = plain_expression(binding.value, "what drives an input")
                value = resolve_expression(node, scope, target.type)
                if value.type != target.type:
                    message = f"'{binding.input.text}' is {target.type.name}, not {value.type.name}"
                    way = f"write an expression of type {target.type.name}"
                    raise wrong("type-mismatch", message, node.span, way)
                found.append(Assign(target, value, binding.span))
        return tuple(found)


def _input(binding: spec.Binding, program: Program, plant: str) -> Variable:
    name, prefix = binding.input, f"{plant}." if plant else ""
    wanted = name.text.casefold()
    inputs = {v.name[len(prefix) :]: v for v in program.inputs}
    for short, variable in inputs.items():
        if short.casefold() == wanted:
            return variable
    raise unknown(name, inputs, f"input of '{plant}'" if plant else "input")


def _placed(error: InputError, place: Span) -> InputError:
    """What has no place in a source gets the one in the spec that names it."""
    return InputError(d if d.span else _named_at(d, place) for d in error.diagnostics)


def _named_at(problem: Diagnostic, place: Span) -> Diagnostic:
    """The place shows the spec's path, so that the message has to show the file's."""
    message, way = problem.message, problem.help
    if problem.path and problem.path not in message:
        message = f"{message}: {problem.path}"
    if problem.code == "missing-file" and not way:
        way = "names of files count from the folder of the spec"
    return replace(problem, span=place, message=message, help=way)
