"""Rooms import one way, and what starts the command line loads no solver and no parser."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parent.parent / "checker"
MODULES = sorted(PACKAGE.rglob("*.py"))
ALLOWED = {
    "source": {"source"},
    "scan": {"source", "scan"},
    "temporal": {"source", "scan", "temporal"},
    "engine": {"source", "scan", "engine"},
    "evidence": {"source", "scan", "temporal", "engine", "evidence"},
    "report": {"source", "scan", "temporal", "evidence", "report"},
}
COMMAND_LINE = "commands"
"""The last room, which may import everything."""
WITHOUT_ROOM = {"places"}
"""Modules beside the rooms that every room may import; the others belong to the command line."""
SOLVERS = {"z3", "cvc5"}
WITHOUT_SOLVER = (
    "source/*.py",
    "report/*.py",
    "commands/*.py",
    "scan/execut*.py",
    "temporal/evaluat*.py",
)


def name_of(module: Path) -> str:
    return module.relative_to(PACKAGE).as_posix()


def imports(module: Path) -> Iterator[str]:
    """Every module that is imported anywhere in a file, function bodies included."""
    for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{name_of(module)} has a relative import"
            yield node.module or ""
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def tops(module: Path) -> set[str]:
    return {name.partition(".")[0] for name in imports(module)}


def rooms(module: Path) -> set[str]:
    """The rooms (and modules beside them) that a file imports from."""
    parts = [name.split(".") for name in imports(module)]
    beside = {file.stem for file in PACKAGE.glob("*.py")} | {*ALLOWED, COMMAND_LINE}
    return {part[1] for part in parts if part[0] == "checker" and len(part) > 1} & beside


@pytest.mark.parametrize("module", MODULES, ids=name_of)
def test_a_room_imports_only_earlier_rooms(module: Path) -> None:
    room = module.relative_to(PACKAGE).parts[0]
    if room in ALLOWED:
        assert rooms(module) - WITHOUT_ROOM <= ALLOWED[room]
    elif module.stem in WITHOUT_ROOM:
        assert rooms(module) == set()


def test_every_folder_of_the_package_is_a_known_room() -> None:
    folders = {name_of(module).split("/")[0] for module in MODULES if module.parent != PACKAGE}
    assert folders == {*ALLOWED, COMMAND_LINE}


@pytest.mark.parametrize("module", sorted(PACKAGE.glob("engine/*.py")), ids=name_of)
def test_the_engine_knows_only_values_of_the_source(module: Path) -> None:
    known = {name for name in imports(module) if name.startswith("checker.source")}
    assert all(name.startswith("checker.source.types") for name in known)


@pytest.mark.parametrize("pattern", [*WITHOUT_SOLVER, "evidence/replay*.py", "*.py"])
def test_no_solver_is_imported_where_meaning_is_read_directly(pattern: str) -> None:
    found = list(PACKAGE.glob(pattern))
    assert found, f"no module is called {pattern}"
    assert [name_of(module) for module in found if tops(module) & SOLVERS] == []


@pytest.mark.parametrize("pattern", ["scan/execut*.py", "temporal/evaluat*.py"])
def test_executor_and_evaluator_stay_without_a_solver_by_any_way(pattern: str) -> None:
    reached = set()
    waiting = list(PACKAGE.glob(pattern))
    assert waiting, f"no module is called {pattern}"
    while waiting:
        module = waiting.pop()
        reached.add(module)
        parts = [name.split(".") for name in imports(module) if name.startswith("checker.")]
        files = {PACKAGE.joinpath(*part[1:]).with_suffix(".py") for part in parts}
        waiting += [file for file in files if file.is_file() and file not in reached]
    assert [name_of(module) for module in reached if tops(module) & SOLVERS] == []


def test_only_the_source_room_knows_the_parser() -> None:
    users = {name_of(module).split("/")[0] for module in MODULES if "lark" in tops(module)}
    assert users <= {"source"}


def test_only_the_command_line_prints_or_exits() -> None:
    def prints(module: Path) -> bool:
        calls = {
            ast.unparse(node.func)
            for node in ast.walk(ast.parse(module.read_text(encoding="utf-8")))
            if isinstance(node, ast.Call)
        }
        return bool(calls & {"print", "click.echo", "sys.exit", "exit", "quit"})

    assert [name_of(module) for module in MODULES if prints(module)] == [
        "cli.py",
        "commands/session.py",
    ]


@pytest.mark.parametrize("option", ["--help", "--version"])
def test_help_and_version_load_neither_solver_nor_parser(option: str) -> None:
    code = (
        "import sys; from checker.cli import run; code = run([sys.argv[1]]);"
        "loaded = {'z3', 'cvc5', 'lark'} & set(sys.modules);"
        "print(sorted(loaded), file=sys.stderr); raise SystemExit(code)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, option], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr.strip()) == (0, "[]")
    assert "twohand" in done.stdout
