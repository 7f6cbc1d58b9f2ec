"""The types that are written down for solvers without types are those that they have."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.support.places import ROOT

TYPINGS = ROOT / "checker" / "typings"
WITHOUT_ENTRY = ["z3.z3.AstVector.__iter__"]
"""What stubtest cannot see: a vector is iterated by its length and ``__getitem__``."""


def differences(folder: Path, module: str, allowed: Path) -> str:
    """What stubtest finds, apart from what the types leave out."""
    options = ["--ignore-missing-stub", "--ignore-disjoint-bases", "--concise"]
    done = subprocess.run(
        [sys.executable, "-m", "mypy.stubtest", module, *options, "--allowlist", str(allowed)],
        cwd=allowed.parent,
        env={**os.environ, "MYPYPATH": str(folder)},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode in (0, 1), done.stderr
    return done.stdout if done.returncode else ""


@pytest.fixture
def allowed(tmp_path: Path) -> Path:
    file = tmp_path / "allowed.txt"
    file.write_text("\n".join(WITHOUT_ENTRY), encoding="utf-8")
    return file


@pytest.mark.long
def test_the_types_of_z3_are_those_of_the_installed_one(allowed: Path) -> None:
    assert differences(TYPINGS, "z3", allowed) == ""


@pytest.mark.long
def test_the_types_of_cvc5_are_those_of_the_installed_one(allowed: Path) -> None:
    allowed.write_text("", encoding="utf-8")
    assert differences(TYPINGS, "cvc5", allowed) == ""


@pytest.mark.long
def test_a_function_that_has_another_parameter_is_found(allowed: Path) -> None:
    folder = allowed.parent / "typings"
    for file in (TYPINGS / "z3").glob("*.pyi"):
        text = file.read_text(encoding="utf-8")
        (folder / "z3").mkdir(parents=True, exist_ok=True)
        wrong = text.replace("def ZeroExt(n: int,", "def ZeroExt(count: int,")
        (folder / "z3" / file.name).write_text(wrong, encoding="utf-8")
    assert "z3.z3.ZeroExt" in differences(folder, "z3", allowed)


@pytest.mark.long
@pytest.mark.parametrize(
    "expression",
    [
        "z3.Not(z3.Int('x'))",
        "z3.Int('x') == z3.Bool('p')",
        "z3.Int('x') + z3.Bool('p')",
        "z3.If(z3.Bool('p'), z3.Int('x'), z3.Int('y')) & 1",
        "z3.ULE(z3.Int('x'), 3)",
        "z3.Solver().add(z3.Int('x'))",
    ],
)
def test_a_wrong_sort_is_an_error(expression: str, tmp_path: Path) -> None:
    (tmp_path / "right.py").write_text("import z3\nz3.Not(z3.Int('x') >= 1)\n", encoding="utf-8")
    (tmp_path / "wrong.py").write_text(f"import z3\n{expression}\n", encoding="utf-8")
    codes = {
        name: subprocess.run(
            [sys.executable, "-m", "mypy", "--config-file=", "--strict", name],
            cwd=tmp_path,
            env={**os.environ, "MYPYPATH": str(TYPINGS)},
            capture_output=True,
            check=False,
        ).returncode
        for name in ("right.py", "wrong.py")
    }
    assert codes == {"right.py": 0, "wrong.py": 1}
