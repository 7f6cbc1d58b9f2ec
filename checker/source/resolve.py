"""A library of source files and the block in it to check: the typed program."""

from __future__ import annotations

from collections.abc import Sequence

from checker.source import tree
from checker.source.declarations import declare_global, declare_unit
from checker.source.diagnostic import Diagnostic, InputError
from checker.source.frame import Assembly, Frame, variables_of
from checker.source.halves import parse_halves, split_halves
from checker.source.library import Library
from checker.source.parse import parse_source
from checker.source.program import Program, Routine, Task
from checker.source.programs import candidates, program_instance, task_programs
from checker.source.scope import nearest
from checker.source.shared_variables import note_subranges, settle
from checker.source.statements import resolve_body
from checker.source.tasks import read_tasks
from checker.source.text import SourceText
from checker.source.types import Enumeration


def load_program(
    sources: Sequence[SourceText], block: str | None = None, prefix: str = ""
) -> Program:
    """The typed program of ``block`` (any letter case; None: the only block that no other one
    instantiates). ``prefix`` is put before every variable and instance name (``rod.``).
    InputError with everything wrong in the files and the block."""
    files = _parse_all(sources)
    library = Library(files)
    if library.problems:
        raise InputError(_distinct(library.problems))
    unit = _find(library, block, sources) if block is not None else _only(library, sources)
    try:
        tasks = read_tasks(files, library.units, unit, library)
        elsewhere = frozenset(task_programs(files))
        return _assemble(library, unit, prefix, tuple(sources), tasks, elsewhere)
    except RecursionError:
        raise InputError(
            Diagnostic(
                "nested-too-deep",
                f"'{unit.name.text}' and the blocks in it are nested too deep",
                unit.name.span,
                "split expressions and statements up",
            )
        ) from None


def _parse_all(sources: Sequence[SourceText]) -> list[tree.SourceFile]:
    files: list[tree.SourceFile] = []
    problems: list[Diagnostic] = []
    whole, pairs = split_halves(sources)
    for texts in (*((source,) for source in whole), *pairs):
        try:
            files.append(parse_source(*texts) if len(texts) == 1 else parse_halves(*texts))
        except InputError as error:
            problems.extend(error.diagnostics)
    if problems:
        raise InputError(problems)
    return files


def _assemble(
    library: Library,
    unit: tree.Unit,
    prefix: str,
    sources: tuple[SourceText, ...],
    tasks: tuple[Task, ...],
    elsewhere: frozenset[str],
) -> Program:
    assembly = Assembly(library, prefix)
    assembly.bodies = lambda frame, in_outs: resolve_body(assembly, frame, in_outs)
    assembly.declare_global = lambda found: declare_global(assembly, found)
    assembly.program_instance = lambda name: program_instance(assembly, name)
    assembly.top = unit
    assembly.elsewhere = elsewhere
    assembly.top_names = {
        name.key
        for section in unit.sections
        for declaration in section.declarations
        for name in declaration.names
    }
    frame = declare_unit(assembly, unit, prefix, top=True)
    assembly.resolving.append(frame)
    routine = Routine(tuple(frame.temporaries), resolve_body(assembly, frame, {}))
    try:
        assembly.check_depth(routine, unit.name.span)
    except InputError as error:
        assembly.note(error)
    if assembly.problems:
        raise InputError(_distinct(assembly.problems))
    shared = settle(assembly, routine)
    inputs = [v for entity in frame.inputs.values() for v in variables_of(entity)]
    outputs = [v for entity in frame.outputs.values() for v in variables_of(entity)]
    note_subranges(assembly, [*inputs, *shared.inputs])
    return Program(
        name=unit.name.text,
        inputs=(*inputs, *assembly.located_inputs, *shared.inputs),
        outputs=(*outputs, *shared.outputs),
        variables=tuple(assembly.variables),
        instances=tuple(assembly.instances),
        routine=routine,
        constants=dict(assembly.constants),
        enumerations=_enumerations(assembly, frame),
        sources=sources,
        left_out=tuple(assembly.left_out.values()),
        tasks=tasks,
        changed_inputs=frozenset(shared.changed),
        aliases=dict(assembly.aliases),
    )


def _enumerations(assembly: Assembly, frame: Frame) -> dict[str, Enumeration]:
    kinds = [variable.type for variable in assembly.variables]
    used = [kind for kind in kinds if isinstance(kind, Enumeration)]
    return {kind.name: kind for kind in [*assembly.library.enumerations, *used]}


def _blocks(library: Library) -> list[tree.Unit]:
    return [u for u in library.units.values() if u.kind is not tree.UnitKind.FUNCTION]


def _find(library: Library, block: str, sources: Sequence[SourceText]) -> tree.Unit:
    for unit in _blocks(library):
        if unit.name.key == block.upper():
            return unit
    names = [unit.name.text for unit in _blocks(library)]
    close = nearest(block, names)
    listed = ", ".join(names) or "none"
    raise InputError(
        Diagnostic(
            "unknown-block",
            f"there is no block '{block}' in {_shown(sources)}",
            help=f"did you mean '{close}'?" if close else f"the blocks there are: {listed}",
            path=sources[0].path if sources else "",
        )
    )


def _only(library: Library, sources: Sequence[SourceText]) -> tree.Unit:
    found = candidates(library.units.values())
    if len(found) == 1:
        return found[0]
    path = sources[0].path if sources else ""
    if not found:
        raise InputError(
            Diagnostic(
                "no-block",
                f"there is no FUNCTION_BLOCK or PROGRAM in {_shown(sources)}",
                path=path,
                help="write the logic as FUNCTION_BLOCK ... END_FUNCTION_BLOCK",
            )
        )
    names = ", ".join(f"'{unit.name.text}'" for unit in found)
    raise InputError(
        Diagnostic(
            "several-blocks",
            f"several blocks could be meant: {names}",
            found[1].name.span,
            f"name one, for instance BLOCK {found[0].name.text};",
        )
    )


def _shown(sources: Sequence[SourceText]) -> str:
    return ", ".join(f"'{source.path}'" for source in sources) or "no file"


def _distinct(problems: list[Diagnostic]) -> list[Diagnostic]:
    """Each cause once (a block with several instances is read several times), in text order."""
    order = {
        (problem.code, problem.span, problem.message): problem for problem in reversed(problems)
    }
    return sorted(order.values(), key=_position)


def _position(problem: Diagnostic) -> tuple[str, int]:
    return (problem.span.source.path, problem.span.start) if problem.span else ("", 0)
