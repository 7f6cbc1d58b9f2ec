"""Tests take what they share from rooms of their own and never from each other, in one form."""

from __future__ import annotations

import ast

import pytest

from tests.support.places import ROOT

MODULES = sorted((ROOT / "tests").rglob("*.py"))
PATH = ".".join(["sys", "path"])


def faults_of(text: str) -> list[str]:
    """What is wrong with the imports of a module of the tests."""
    tree = ast.parse(text)
    found = [f"speaks of {PATH}"] if PATH in text else []
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
            if any(name.partition(".")[0] == "tests" for name in names):
                found.append("'import tests', without 'from'")
        elif isinstance(node, ast.ImportFrom):
            found += faults_of_names(node, at_the_top=node in tree.body)
    return found


def faults_of_names(node: ast.ImportFrom, at_the_top: bool) -> list[str]:
    if node.level:
        return ["a relative import"]
    first, *rest = (node.module or "").split(".")
    if first != "tests":
        return []
    found = [] if at_the_top else ["tests are imported inside of a function"]
    if any(name.startswith("test_") for name in [*rest, *(alias.name for alias in node.names)]):
        found.append("a test module is imported")
    return found


def test_what_tests_share_is_no_test_and_is_imported_at_the_top() -> None:
    found = {module: faults_of(module.read_text(encoding="utf-8")) for module in MODULES}
    assert len(found) > 200
    assert {str(module): faults for module, faults in found.items() if faults} == {}


@pytest.mark.parametrize(
    "text",
    [
        "from .rows import BlockRun",
        "import tests.support.places",
        "def late():\n    from tests.support.places import ROOT",
        "from tests.engine.test_models import finished",
        "from tests.engine import test_models",
        f"import sys\n{PATH}.insert(0, 'tests')",
    ],
)
def test_every_other_form_of_an_import_is_found(text: str) -> None:
    assert len(faults_of(text)) == 1


def test_the_one_form_is_no_fault() -> None:
    assert faults_of("import ast\nfrom tests.support.places import ROOT, GALLERY") == []
