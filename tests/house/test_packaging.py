"""What is installed is what is here, and it runs anywhere."""

from __future__ import annotations

import os
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

from tests.support.places import ROOT


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
        cwd=ROOT,
        capture_output=True,
        check=True,
    )
    return next(folder.glob("*.whl"))


def files_below(folder: str, *suffixes: str) -> set[str]:
    """Files of the checkout by their path from its root."""
    return {
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / folder).rglob("*")
        if path.suffix in suffixes and "__pycache__" not in path.parts
    }


def test_a_wheel_has_every_module_grammar_and_spec_inside_the_package(wheel: Path) -> None:
    names = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    grammars = files_below("grammar", ".lark")
    specs = files_below("specs", ".spec", ".st", ".xml", ".toml")
    assert grammars
    assert specs
    wanted = files_below("checker", ".py", ".toml", ".md", ".html", ".css", ".st", ".spec")
    wanted = {name.removeprefix("checker/") for name in wanted}
    wanted |= {f"twohand/{name}" for name in grammars | specs} | {"twohand/py.typed"}
    assert wanted <= names
    assert {name.partition("/")[0] for name in names} == {"twohand"}
    assert {name for name in names if name.endswith(".pyi")} == set()


def test_a_wheel_offers_the_command_and_its_licence(wheel: Path) -> None:
    archive = zipfile.ZipFile(wheel)
    entry = next(name for name in archive.namelist() if name.endswith("entry_points.txt"))
    assert "twohand = twohand.__main__:main" in archive.read(entry).decode()
    assert any("LICENSE" in name for name in archive.namelist())


HELP = "import twohand; help(twohand)"
INSTALLED = """
from importlib.metadata import files
for file in files("twohand"):
    print(file.parts[0])
"""


def answered(command: list[str], folder: Path, code: int = 0) -> str:
    """What a program says that is started in a folder, without the checkout in its path."""
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONPATH"}
    done = subprocess.run(
        command,
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    errors = [line for line in done.stderr.splitlines() if not line.startswith("at work for ")]
    assert (done.returncode, errors) == (code, [])
    return done.stdout


@pytest.mark.long
@pytest.mark.parametrize("editable", [False, True], ids=["wheel", "editable"])
def test_what_is_installed_works_in_an_empty_folder(
    editable: bool, wheel: Path, tmp_path: Path
) -> None:
    home = tmp_path / "fresh"
    venv.create(home, with_pip=True)
    binaries = home / ("Scripts" if os.name == "nt" else "bin")
    python = str(binaries / "python")
    what = ["-e", str(ROOT)] if editable else [str(wheel)]
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONPATH"}
    subprocess.run(
        [python, "-m", "pip", "install", "-q", *what], cwd=tmp_path, env=environment, check=True
    )
    empty = tmp_path / "empty"
    empty.mkdir()
    cut = [str(binaries / "twohand"), "gallery", "--total", "3"]  # whole in the README's commands
    shown = answered(cut, empty, code=1)
    names = {Path(name).stem for name in files_below("specs/gallery", ".spec")}
    assert names <= set(shown.split())
    assert "PROVED" in shown
    assert "import twohand" in answered([str(binaries / "twohand"), "manual", "programs"], empty)
    assert "check(path: " in answered([python, "-c", HELP], empty)
    places = set(answered([python, "-c", INSTALLED], empty).split())
    beside = ("..", ".dist-info", ".pth")  # the command, the description, the way to a checkout
    assert {each for each in places if not each.endswith(beside)} == {"twohand"}
    assert list(empty.iterdir()) == []
