"""A library of source files and the block in it to check: the typed program."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from twohand.files.index import BLOCKS, Segment
from twohand.files.project import Project
from twohand.program import Program, Routine, Statement, Task
from twohand.program.standard_blocks import BLOCKS_BY_NAME, BLOCKS_OUTSIDE, FUNCTION_NAMES
from twohand.program.types import Enumeration
from twohand.syntax import tree
from twohand.text.comments import MOST_PROBLEMS
from twohand.text.deceptive import invisible_signs, look_alikes
from twohand.text.diagnostic import (
    Diagnostic,
    InputError,
    Severity,
    collected,
    position_in_file,
    wrong,
)
from twohand.text.source_text import SourceText
from twohand.text.split_units import files_of, joined_halves, located_problems
from twohand.typecheck.expressions.conversions import is_standard_conversion
from twohand.typecheck.reals.inputs import with_real_inputs
from twohand.typecheck.reals.uncomputed import with_uncomputed_inputs
from twohand.typecheck.statements.statements import resolve_body
from twohand.typecheck.units.beside import told_beside
from twohand.typecheck.units.globals import GlobalVariable
from twohand.typecheck.units.outside_standard import (
    deviations,
    forms_outside,
    units_without_end,
)
from twohand.typecheck.units.outside_writes import OutsideWrites, written_outside
from twohand.typecheck.units.tasks import read_tasks
from twohand.typecheck.units.unit_table import UnitTable
from twohand.typecheck.variables.clock_readings import with_clock
from twohand.typecheck.variables.declarations import declare_global, declare_unit, program_instance
from twohand.typecheck.variables.external_writers import note_subranges, settle
from twohand.typecheck.variables.instance_scope import (
    BlockEntity,
    Entity,
    InstanceScope,
    ProgramBuilder,
    variables_of,
)


def load_program(
    sources: Sequence[SourceText],
    block: str | None = None,
    prefix: str = "",
    notes: list[Diagnostic] | None = None,
    searched: Collection[SourceText] = (),
    kinds: Collection[str] = BLOCKS,
) -> Program:
    """The typed program of ``block`` (any letter case; None: the only block that no other one
    instantiates), which is one of the ``kinds`` of units: of a function what it gives is an output.
    ``prefix`` is put before every variable and instance name (``rod.``).

    Only what the block needs must be readable. InputError with everything wrong in that, and with
    every syntax error of the files that have it; what cannot be read elsewhere, and is not in a
    file ``searched`` (found in a folder), goes to ``notes``."""
    try:
        project = Project(joined_halves(sources, searched), searched)
        program = _loaded(project, block, prefix, notes, kinds)
    except InputError as error:
        raise InputError(located_problems(error.diagnostics)) from None
    return replace(program, read=tuple(dict.fromkeys(files_of(sources))))


def _loaded(
    project: Project,
    block: str | None,
    prefix: str,
    notes: list[Diagnostic] | None,
    kinds: Collection[str],
) -> Program:
    project.check_named()
    try:
        start = project.block(block, kinds)
    except InputError:
        library = UnitTable(project.parsed(project.named()))
        if library.problems:  # which come first
            raise InputError(_distinct(library.problems)) from None
        raise
    needed = project.needed(start)
    project.check_names(needed)
    broken = project.broken(needed)
    if project.stops(start, broken, needed, _is_standard):
        raise project.syntax_errors(broken)
    try:
        program, warnings = _load(project, needed, start.name, prefix)
    except InputError as error:
        if broken:  # which may be why
            raise project.syntax_errors(broken) from None
        raise InputError(project.explained(error.diagnostics)) from None
    if notes is not None:
        notes.extend(project.notes(needed))
        notes.extend(told_beside(project, needed))
        notes.extend(_wrong_beside(project.named_trees(needed)))
        notes.extend(filter(None, map(invisible_signs, program.sources)))
        notes.extend(look_alikes((v.name, v.span) for v in program.variables))
        files = project.parsed(needed)
        declared = [(unit.name.text, unit.name.span) for file in files for unit in file.units]
        declared += [(kind.name.text, kind.name.span) for file in files for kind in file.types]
        notes.extend(look_alikes(declared, words=(*BLOCKS_BY_NAME, *FUNCTION_NAMES)))
        notes.extend(units_without_end(files))
        notes.extend(warnings)
        notes.extend(deviations(file.source for file in files))
        notes.extend(forms_outside(files, project.forms(needed)))
    return replace(program, left_out=(*program.left_out, *project.pragmas(needed)))


def _wrong_beside(files: Sequence[tree.SourceFile]) -> Iterator[Diagnostic]:
    """What is wrong with types and names that nothing needs, in files that were named."""
    for problem in UnitTable(files).problems[:MOST_PROBLEMS]:
        message = f"{problem.message}; nothing that is checked needs it"
        way = "nothing needs to be done"
        yield Diagnostic("unread-unit", message, problem.span, way, severity=Severity.NOTE)


def _is_standard(key: str) -> bool:
    """Whether the name means something where no file declares it."""
    declared = key in BLOCKS_BY_NAME or key in BLOCKS_OUTSIDE or key in FUNCTION_NAMES
    return declared or is_standard_conversion(key)


def _load(
    project: Project, needed: Sequence[Segment], name: str, prefix: str
) -> tuple[Program, list[Diagnostic]]:
    """The program, and what is to be known of it."""
    files = project.parsed(needed)
    library = UnitTable(files)
    if library.problems:
        raise InputError(_distinct(library.problems))
    others = _Others(project, needed, set(library.units))
    unit = library.units[name.upper()]
    sources = tuple(dict.fromkeys(files_of(file.source for file in files)))
    try:
        tasks = read_tasks(files, library.units, unit, library)
        assembly = _Builder(library, unit, prefix, others)
        return _assemble(assembly, sources, tasks), assembly.warnings
    except RecursionError:
        message = f"'{unit.name.text}' and the blocks in it are nested too deep"
        way = "split expressions and statements up"
        raise wrong("nested-too-deep", message, unit.name.span, way) from None


@dataclass(frozen=True)
class _Others:
    """What the files have beside what the block needs."""

    project: Project
    needed: Sequence[Segment]
    known: set[str]

    def naming(self, names: set[str]) -> tuple[list[tree.Unit], set[str]]:
        units = self.project.units_naming(names, self.known)
        return list(units), self.project.names_in_unread(names, self.needed)

    def writing(self, lineage: Sequence[str], own: Collection[str]) -> OutsideWrites:
        return written_outside(self.project.segments, lineage, own)


class _Builder(ProgramBuilder):
    def body(self, frame: InstanceScope, in_outs: Mapping[str, Entity]) -> tuple[Statement, ...]:
        return resolve_body(self, frame, in_outs)

    def global_entity(self, found: GlobalVariable) -> Entity:
        return declare_global(self, found)

    def program_instance(self, name: tree.Identifier) -> BlockEntity | None:
        return program_instance(self, name)


def _assemble(
    assembly: ProgramBuilder, sources: tuple[SourceText, ...], tasks: tuple[Task, ...]
) -> Program:
    unit = assembly.top
    frame = declare_unit(assembly, unit, assembly.prefix, top=True)
    assembly.resolving.append(frame)
    routine = Routine(tuple(frame.temporaries), resolve_body(assembly, frame, {}))
    with collected(assembly.problems):
        assembly.check_depth(routine, unit.name.span)
    if assembly.problems:
        raise InputError(_distinct(assembly.problems))
    shared = settle(assembly, routine)
    inputs = [v for entity in frame.inputs.values() for v in variables_of(entity)]
    given = frame.entities.get(unit.name.key) if unit.kind is tree.UnitKind.FUNCTION else None
    results = [] if given is None else [given]
    shown = [*results, *frame.outputs.values()]
    outputs = [v for entity in shown for v in variables_of(entity)]
    note_subranges(assembly, [*inputs, *shared.inputs])
    program = Program(
        name=unit.name.text,
        inputs=(*inputs, *assembly.located_inputs, *shared.inputs),
        outputs=(*outputs, *shared.outputs),
        variables=tuple(assembly.variables),
        instances=tuple(assembly.instances),
        routine=routine,
        constants=dict(assembly.constants),
        enumerations=_enumerations(assembly),
        sources=sources,
        left_out=tuple(assembly.left_out.values()),
        real_constants=dict(assembly.real_constants),
        tasks=tasks,
        changed_inputs=frozenset(shared.changed),
        aliases=dict(assembly.aliases),
        addresses={
            variable.name: address
            for address, entity in assembly.located.items()
            for variable in variables_of(entity)
        },
    )
    program = with_uncomputed_inputs(program, assembly.prefix)
    program = with_real_inputs(program, assembly.real_inputs)
    return with_clock(program) if assembly.reads_clock else program


def _enumerations(assembly: ProgramBuilder) -> dict[str, Enumeration]:
    kinds = [variable.type for variable in assembly.variables]
    used = [kind for kind in kinds if isinstance(kind, Enumeration)]
    return {kind.name: kind for kind in [*assembly.library.enumerations, *used]}


def _distinct(problems: list[Diagnostic]) -> list[Diagnostic]:
    """Each cause once (a block with several instances is read several times), in text order."""
    order = {
        (problem.code, problem.span, problem.message): problem for problem in reversed(problems)
    }
    return sorted(order.values(), key=position_in_file)
