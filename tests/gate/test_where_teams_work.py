"""From a folder of specs to a gate, as the manual says it, in a repository as a new user has it."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from twohand.commands import main as cli

from tests.gate.repositories import SETTINGS, TriedRepository, begun
from tests.support.places import PACKAGE, ROOT

PAGE = (PACKAGE / "manual" / "gate.md").read_text(encoding="utf-8")
HOOKS = (ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8")
GALLERY = ROOT / "specs" / "gallery"


def script(first: str) -> str:
    """The script of the page that has this line."""
    for block in re.findall(r"(?:^    .*\n|^\n)+", PAGE, re.MULTILINE):
        lines = [line[4:] for line in block.split("\n")]
        if first in lines and "#!/bin/sh" in lines:
            return "\n".join(lines).strip() + "\n"
    raise AssertionError(f"the page has no script with {first!r}")


def entry() -> list[str]:
    (found,) = re.findall(r"^  entry: twohand (.+)$", HOOKS, re.MULTILINE)
    return found.split()


def test_the_hook_of_runners_and_that_of_git_are_the_same() -> None:
    command = " ".join(["twohand", *entry()])
    assert script(f"exec {command}") == f"#!/bin/sh\nexec {command}\n"
    assert "pass_filenames: false" in HOOKS


def test_a_script_that_is_not_on_the_page_is_missed() -> None:
    with pytest.raises(AssertionError):
        script("exec twohand review --nothing")


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> TriedRepository:
    """A repository with some of the gallery; 'twohand' is on the path of its scripts."""
    for name, value in SETTINGS.items():
        monkeypatch.setenv(name, value)
    programs = tmp_path / "bin"
    programs.mkdir()
    program = programs / "twohand"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m twohand "$@"\n', encoding="utf-8")
    program.chmod(0o755)
    monkeypatch.setenv("PATH", f"{programs}{os.pathsep}{os.environ['PATH']}")
    found = begun(tmp_path / "top")
    (found.top / "logic").mkdir()
    monkeypatch.chdir(found.top)
    return found


def chosen() -> list[Path]:
    """Two specs of the gallery that are proved and one that is not, small ones."""
    specs = sorted(GALLERY.glob("*.spec"), key=lambda path: (len(path.read_bytes()), path.name))
    right = [each for each in specs if "EXPECT" not in each.read_text(encoding="utf-8")]
    wrong = [each for each in specs if "EXPECT VIOLATED" in each.read_text(encoding="utf-8")]
    return [*right[:2], wrong[0]]


def copied(spec: Path, folder: Path) -> Path:
    for name in re.findall(r"'([\w.]+\.(?:st|xml))'", spec.read_text(encoding="utf-8")):
        shutil.copy(GALLERY / name, folder)
    shutil.copy(spec, folder)
    return folder / spec.name


@pytest.mark.long
@pytest.mark.skipif(sys.platform == "win32", reason="the scripts are those of a POSIX shell")
def test_a_change_that_is_not_proved_is_not_committed(
    repository: TriedRepository, capsys: pytest.CaptureFixture[str]
) -> None:
    *right, wrong = chosen()
    for each in right:
        copied(each, repository.top / "logic")
    assert cli.run(["init"]) == 0
    hook = repository.write(".git/hooks/pre-commit", script("exec twohand review --staged --brief"))
    hook.chmod(0o755)
    repository.commit()
    copied(wrong, repository.top / "logic")
    repository.git("add", "--all")
    with pytest.raises(subprocess.CalledProcessError) as raised:
        repository.git("commit", "--quiet", "--message", "x")
    assert "VIOLATED" in raised.value.stdout + raised.value.stderr
    repository.git("reset", "--quiet")
    repository.git("commit", "--quiet", "--allow-empty", "--message", "what is not staged")
    assert (repository.top / "logic" / wrong.name).is_file()


@pytest.mark.long
@pytest.mark.skipif(sys.platform == "win32", reason="the scripts are those of a POSIX shell")
def test_the_script_of_a_server_answers_with_its_exit_code(
    repository: TriedRepository, tmp_path: Path
) -> None:
    """But for what it installs: the tests fetch nothing."""
    right, _, wrong = chosen()
    copied(right, repository.top / "logic")
    assert cli.run(["init"]) == 0
    repository.commit()
    repository.commit()
    text = script("set -eu").replace(".gate/bin/twohand", "twohand")
    lines = [each for each in text.split("\n") if "venv" not in each and "pip install" not in each]
    assert len(lines) == len(text.split("\n")) - 2
    clone = tmp_path / "clone"
    repository.git("clone", "--quiet", "--depth", "1", repository.top.as_uri(), str(clone))
    inside = TriedRepository(clone)
    inside.git("switch", "--quiet", "--create", "side")
    environment = {**os.environ, "TARGET": "main"}

    def answered() -> int:
        return subprocess.run(
            ["sh", "-c", "\n".join(lines)], cwd=clone, env=environment, check=False
        ).returncode

    assert answered() == 0
    copied(wrong, clone / "logic")
    inside.commit()
    assert answered() == 1
    assert (clone / "review.xml").is_file()
    assert (clone / "review.sarif").is_file()
