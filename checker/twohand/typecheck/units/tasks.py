"""The tasks of configurations: how often a program runs (IEC 61131-3:2003, 2.7.2)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from twohand.program import Task
from twohand.program.durations import Nanoseconds
from twohand.program.types import BOOL, TIME, UINT, Type
from twohand.syntax import tree
from twohand.text.diagnostic import Diagnostic, InputError, collected, wrong
from twohand.typecheck.expressions.expressions import resolve_constant
from twohand.typecheck.expressions.names import Scope, unknown_name
from twohand.typecheck.units.kinds import types_in

_VALUES: Mapping[str, Type] = {"INTERVAL": TIME, "SINGLE": BOOL, "PRIORITY": UINT}


def read_tasks(
    files: Sequence[tree.SourceFile],
    units: Mapping[str, tree.Unit],
    unit: tree.Unit,
    scope: Scope,
) -> tuple[Task, ...]:
    """The tasks in which ``unit`` runs, itself or within a program of theirs; where no program of
    a configuration has it, every task. InputError with everything wrong in a configuration."""
    problems: list[Diagnostic] = []
    tasks: list[Task] = []
    for configuration in (c for file in files for c in file.configurations):
        users = _users(configuration, units, unit, problems)
        for node in configuration.tasks:
            task = _task(node, scope, problems)
            programs = tuple(
                use.type.text for use in users if use.task and use.task.key == node.name.key
            )
            tasks.append(Task(task.name, task.interval, programs, task.span))
    if problems:
        raise InputError(problems)
    running = [task for task in tasks if task.programs]
    return tuple(running or tasks)


def _users(
    configuration: tree.Configuration,
    units: Mapping[str, tree.Unit],
    unit: tree.Unit,
    problems: list[Diagnostic],
) -> list[tree.ProgramUse]:
    """The programs of a configuration that are the unit or have it in them."""
    names = {task.name.key: task.name.text for task in configuration.tasks}
    using = []
    for use in configuration.programs:
        if use.task is not None and use.task.key not in names:
            problems.extend(unknown_name(use.task, names.values(), "task").diagnostics)
        if unit.name.key in _contained(use.type.key, units):
            using.append(use)
    return using


def _contained(key: str, units: Mapping[str, tree.Unit]) -> set[str]:
    """The names of a unit and of every type that is declared in it, however deep."""
    found: set[str] = set()
    waiting = [key]
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            unit = units.get(name)
            waiting.extend(types_in(unit.sections) if unit is not None else ())
    return found


def _task(node: tree.Task, scope: Scope, problems: list[Diagnostic]) -> Task:
    interval = None
    for word, value in node.values:
        kind = _VALUES.get(word.key)
        with collected(problems):
            if kind is None:
                raise unknown_name(word, _VALUES, "word", "unknown-argument", "a TASK")
            if word.key == "SINGLE":
                continue  # names the event, often a variable; no time is in it
            number = int(resolve_constant(value, scope, kind).value)
            if word.key == "INTERVAL" and number <= 0:
                way = "write for instance INTERVAL := T#10ms"
                raise wrong("value-out-of-range", "an INTERVAL is longer than 0", value.span, way)
            interval = Nanoseconds(number) if word.key == "INTERVAL" else interval
    return Task(node.name.text, interval, (), node.span)
