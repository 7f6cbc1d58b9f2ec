"""Folders import one way and stay small, and no solver is known where meaning is read directly."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable
from functools import cache
from pathlib import Path

import networkx
import pytest

from tests.support.places import PACKAGE

MODULES = sorted(PACKAGE.rglob("*.py"))
NAMED = [each for each in MODULES if not each.stem.startswith("__")]
LAYERS = {
    "": "text < program < syntax < files < typecheck < exchange < scan < specification engine"
    " < evidence < scenarios < report < record < analyses < formats < gate probe < lessons"
    " < api commands results < pytest_plugin",
    "syntax": "lexing tree < recovery < parsing",
    "typecheck": "reals < expressions < units < variables < statements < resolve",
    "exchange": "rules < diagrams older types < bodies callees < units wrapped_text < tasks < file",
    "scan": "clocking finding sorts < arithmetic scan_record transition_system"
    " < concrete serialisation symbolic",
    "specification": "phrases problems < syntax < logic < model resolving < catalogue surroundings"
    " < reading < statements < load",
    "scenarios": "syntax < model noted_readings < inputs timing < playing reading recording"
    " < judging writing < play < keeping",
    "engine": "workers < system < reduction search < proof < jobs portfolio",
    "evidence": "cache calls contradiction encoding limits verdict < proofs runs < branches context"
    " < checks",
    "report": "drawing exit_code < cautions requirements verdict_line"
    " < beyond_findings branches coverage run < summary < concise",
    "record": "content judged sources spans < message < plain run < finding spec"
    " < document < parts",
    "analyses": "measure play < check < compare export faults < audit inspect < draft mend sheet"
    " < documents",
    "analyses/audit": "changes < comparison < results < difference exit_code words < check text"
    " < record",
    "analyses/sheet": "trial < rehearsal templates < reach derive words < bench sheet < text",
    "analyses/draft": "roles < guessing machines < draft < lines < text < asked",
    "analyses/inspect": "points subject < marking random_walk words < answers < kinds < check"
    " < text < units < record",
    "analyses/export": "bit_level proof_texts < files",
    "formats": "items < junit page sarif waveform",
    "formats/page": "command excerpt invariant runs signature < view < views < page < sheet",
    "gate": "identifiers project revisions today < asked_items bound_content waivers < former_self"
    " < record < answers documents < text",
    "commands": "shared < lookup < checking < gate learning machine < main",
}
"""For each folder that has folders: what it holds, from what imports nothing of the others to what
may import all before it. Names in one layer do not know each other."""
DATA = {"course", "explanations", "manual", "templates"}
MOST_ENTRIES = 12
NOT_COUNTED = {
    "__init__.py", "__main__.py", "__pycache__", "py.typed", "LICENSE", "CHANGELOG.md",
}  # fmt: skip
SOLVERS = {"z3", "cvc5"}
WITHOUT_SOLVER = (
    "*.py",
    "text/**/*.py",
    "program/**/*.py",
    "syntax/**/*.py",
    "files/**/*.py",
    "typecheck/**/*.py",
    "exchange/**/*.py",
    "scan/concrete/*.py",
    "specification/logic/evaluate*.py",
    "evidence/runs/replay.py",
    "scenarios/**/*.py",
    "report/**/*.py",
    "record/**/*.py",
    "analyses/*/record.py",
    "analyses/*/text.py",
    "analyses/documents.py",
    "formats/**/*.py",
    "lessons/**/*.py",
    "commands/**/*.py",
)

Edge = tuple[str, str]
"""A module imports a module; both with '/' between the folders, from the package on."""


def name_of(module: Path) -> str:
    return module.relative_to(PACKAGE).with_suffix("").as_posix()


@cache
def imports(module: Path) -> frozenset[str]:
    """Every module that is imported anywhere in a file, function bodies included."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{name_of(module)} has a relative import"
            found |= {f"{node.module}.{alias.name}" for alias in node.names}
    return frozenset(found)


def tops(module: Path) -> set[str]:
    return {name.partition(".")[0] for name in imports(module)}


@cache
def imported_modules(module: Path) -> frozenset[str]:
    """The modules of the package that a file imports; a name that a folder gives may come from any
    module that the folder's own file imports (the package has its version itself)."""
    found: set[str] = set()
    for name in imports(module) - {"twohand.__version__"}:
        whole = PACKAGE.parent.joinpath(*name.split("."))
        for each in (whole, whole.parent):
            if each.with_suffix(".py").is_file():
                found.add(name_of(each))
                break
            if (each / "__init__.py").is_file():
                found |= imported_modules(each / "__init__.py")
                break
    return frozenset(found - {name_of(module)})


def edges() -> list[Edge]:
    return [(name_of(module), each) for module in NAMED for each in imported_modules(module)]


def split(edge: Edge) -> tuple[str, str, str]:
    """The innermost folder that has both ends, and what of it each of them is in."""
    one, other = (name.split("/") for name in edge)
    depth = next((i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), 0)
    return "/".join(one[:depth]), one[depth], other[depth]


def backward(found: Iterable[Edge], layers: dict[str, str]) -> list[Edge]:
    """Imports of something that is not in an earlier layer of their folder."""
    wrong = []
    for edge in found:
        folder, one, other = split(edge)
        if folder in layers:
            place = {
                name: level
                for level, names in enumerate(layers[folder].split("<"))
                for name in names.split()
            }
            if place[other] >= place[one]:
                wrong.append(edge)
    return wrong


def circles(found: Iterable[Edge]) -> list[list[str]]:
    graph = networkx.DiGraph(list(found))
    return [sorted(each) for each in networkx.strongly_connected_components(graph) if len(each) > 1]


def children(folder: Path) -> set[str]:
    return {each.name for each in folder.iterdir()} - NOT_COUNTED


def folders() -> list[Path]:
    every = [each for each in PACKAGE.rglob("*") if each.is_dir()]
    return [each for each in every if not {"__pycache__", *DATA} & set(each.parts)]


def crowded(most: int) -> list[str]:
    return [name_of(each) for each in folders() if len(children(each)) > most]


def test_a_folder_imports_only_what_is_before_it() -> None:
    assert backward(edges(), LAYERS) == []


def test_an_import_backwards_or_within_a_layer_is_found() -> None:
    layers = {"": "a < b c", "a": "x < y"}
    right = [("b/m", "a/x/m"), ("a/y", "a/x/m"), ("b/m", "b/n")]
    wrong = [("a/x/m", "a/y"), ("a/x/m", "b/m"), ("b/m", "c/m")]
    assert backward([*right, *wrong], layers) == wrong


def part(name: str) -> str:
    """A folder of modules as a whole; in a folder of folders each module by itself."""
    folder = name.rpartition("/")[0]
    return name if folder in LAYERS else folder


def test_no_folders_import_each_other_in_a_circle() -> None:
    between = [(part(one), part(other)) for one, other in edges()]
    assert circles(edge for edge in between if edge[0] != edge[1]) == []


def test_no_modules_import_each_other_in_a_circle() -> None:
    assert circles(edges()) == []


def test_a_name_that_a_folder_gives_is_an_import_of_its_modules() -> None:
    found = imported_modules(PACKAGE / "syntax" / "parsing" / "nesting.py")
    assert {"program/walks", "syntax/tree/expressions", "syntax/tree/units"} <= found


def test_a_circle_is_found() -> None:
    assert circles([("a", "b"), ("b", "c"), ("c", "a"), ("c", "d")]) == [["a", "b", "c"]]


def test_every_folder_of_folders_has_its_layers() -> None:
    outer = {each.parent.relative_to(PACKAGE).as_posix() for each in folders()}
    outer = {"" if each == "." else each for each in outer}
    assert outer == set(LAYERS)


@pytest.mark.parametrize("folder", LAYERS)
def test_the_layers_name_all_that_a_folder_holds(folder: str) -> None:
    held = {name.removesuffix(".py") for name in children(PACKAGE / folder) - DATA}
    assert set(LAYERS[folder].replace("<", " ").split()) == held


def test_no_folder_has_more_than_twelve_entries() -> None:
    assert crowded(MOST_ENTRIES) == []


def test_a_crowded_folder_is_found() -> None:
    assert "engine/system" in crowded(10)


def test_the_engine_knows_only_types_and_measures_of_the_program() -> None:
    rooms = {name.split("/")[0] for name in LAYERS[""].replace("<", " ").split()}
    known = {
        each for one, each in edges() if one.startswith("engine/") and each.split("/")[0] in rooms
    }
    assert all(
        each in ("program/types", "program/durations") or each.startswith(("scan/", "engine/"))
        for each in known
    ), sorted(known)


@pytest.mark.parametrize("pattern", WITHOUT_SOLVER)
def test_no_solver_is_imported_where_meaning_is_read_directly(pattern: str) -> None:
    found = list(PACKAGE.glob(pattern))
    assert found, f"no module is called {pattern}"
    assert [name_of(module) for module in found if tops(module) & SOLVERS] == []


@pytest.mark.parametrize(
    "pattern",
    [
        *("scan/concrete/*.py", "specification/logic/evaluate*.py", "scenarios/**/*.py"),
        "analyses/play/*.py",
    ],
)
def test_executor_and_evaluator_stay_without_a_solver_by_any_way(pattern: str) -> None:
    waiting = [name_of(module) for module in PACKAGE.glob(pattern)]
    assert waiting, f"no module is called {pattern}"
    reached: set[str] = set()
    while waiting:
        name = waiting.pop()
        if name not in reached:
            reached.add(name)
            waiting += imported_modules((PACKAGE / name).with_suffix(".py"))
    assert len(reached) > 10
    users = {name for name in reached if tops((PACKAGE / name).with_suffix(".py")) & SOLVERS}
    assert users == set()


def test_only_the_readers_of_syntax_know_the_parser() -> None:
    users = {name_of(module) for module in MODULES if "lark" in tops(module)}
    assert users
    assert {"/".join(name.split("/")[:2]) for name in users} <= {
        "syntax/lexing", "syntax/parsing", "syntax/recovery", "specification/syntax",
        "scenarios/syntax",
    }  # fmt: skip


def test_only_the_command_line_prints_or_exits() -> None:
    def prints(module: Path) -> bool:
        text = module.read_text(encoding="utf-8")
        if not re.search(r"\b(print|echo|exit|quit)\b", text):
            return False
        calls = {
            ast.unparse(node.func)
            for node in ast.walk(ast.parse(text))
            if isinstance(node, ast.Call)
        }
        return bool(calls & {"print", "click.echo", "sys.exit", "exit", "quit"})

    found = [name_of(module) for module in MODULES if prints(module)]
    assert found == ["commands/main", "commands/shared/session"]
