"""Kept answers change no answer: cold, warm, damaged, shared, cut off, or where none are kept."""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
import time
from pathlib import Path

import psutil  # type: ignore[import-untyped]
import pytest
from twohand.commands.main import run
from twohand.text.resources import specs_folder

from tests.gate.repositories import begun
from tests.gate.small_project import KEY, SPEC
from tests.reference.normal import stored

Printed = tuple[int, str, str]


@pytest.fixture
def project(inside: Path) -> Path:
    (inside / "key.st").write_text(KEY, encoding="utf-8")
    (inside / "key.spec").write_text(SPEC, encoding="utf-8")
    (inside / "twohand.toml").write_text('specs = ["."]\n', encoding="utf-8")
    return inside


def printed(capsys: pytest.CaptureFixture[str], *arguments: str) -> Printed:
    """The exit code and both outputs, without times."""
    code = run(arguments)
    out, err = capsys.readouterr()
    return int(code), stored(out), err


def entries(project: Path) -> list[Path]:
    return sorted((project / ".twohand" / "answers").glob("*.json"))


@pytest.mark.long
def test_cold_and_warm_are_the_same_and_damage_is_said(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ("check", "key.spec", "--json", "-", "--processes", "1")
    plain = printed(capsys, *asked, "--no-cache")
    assert not (project / ".twohand").exists()
    assert printed(capsys, *asked) == plain
    kept = entries(project)
    assert len(kept) >= 3
    assert printed(capsys, *asked) == plain
    assert entries(project) == kept
    for path in kept:
        path.write_bytes(path.read_bytes()[:-9])
    code, out, err = printed(capsys, *asked)
    assert (code, out) == plain[:2]
    assert f"{len(kept)} kept answers" in err
    assert err.count("\n") == 1
    assert printed(capsys, *asked) == plain, "the right ones have taken their places"
    assert all(path.read_bytes().endswith(b"\n") for path in kept)


def test_without_a_project_answers_are_kept_where_the_user_says(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (project / "twohand.toml").unlink()
    code, _, _ = printed(capsys, "check", "key.spec", "--processes", "1")
    assert code == 1
    assert sorted(path.name for path in project.iterdir()) == ["key.spec", "key.st"]
    for word in ("size", "clear", ("why", "key.spec")):
        words = (word,) if isinstance(word, str) else word
        code, out, err = printed(capsys, "cache", *words)
        assert (code, out) == (2, "")
        assert "[no-project-file]" in err
    printed(capsys, "check", "key.spec", "--processes", "1", "--cache", "mine")
    code, out, _ = printed(capsys, "cache", "size", "--cache", "mine")
    assert code == 0
    assert out.endswith(" kB in mine\n")
    assert not out.startswith("0 ")
    code, out, _ = printed(capsys, "cache", "clear", "--cache", "mine")
    assert code == 0
    assert out.endswith(" removed in mine\n")
    assert printed(capsys, "cache", "size", "--cache", "mine")[1] == "0 answers, 0 kB in mine\n"


@pytest.mark.long
def test_why_says_what_was_kept_and_what_differs(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    why = ("cache", "why", "key.spec", "--processes", "1")
    code, out, _ = printed(capsys, *why)
    assert code == 0
    assert "nothing is kept of such a text" in out
    assert "rechecked, and held" not in out
    _, out, _ = printed(capsys, *why)
    assert "rechecked, and held" in out
    assert "asked anew:" not in out
    _, out, _ = printed(capsys, *why, "--effort", "4")
    assert "kept with another effort" in out


@pytest.mark.long
def test_where_nothing_can_be_kept_the_answer_comes_all_the_same(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ("check", "key.spec", "--processes", "1")
    plain = printed(capsys, *asked, "--no-cache")
    (project / ".twohand").write_text("in the way", encoding="utf-8")
    code, out, err = printed(capsys, *asked)
    assert (code, out) == plain[:2]
    assert err.startswith("no answer can be kept in")
    assert err.count("\n") == 1


@pytest.mark.long
@pytest.mark.skipif(sys.platform == "win32", reason="there is no such limit")
def test_where_a_file_cannot_be_written_to_its_end_no_half_entry_is_left(project: Path) -> None:
    """As on a full disk: files have no bytes at all."""
    whole = started(project)
    out, _ = whole.communicate(timeout=300)
    for path in entries(project):
        path.unlink()
    limited = 'ulimit -f 0; exec "$0" -m twohand check key.spec --processes 1 --json -'
    done = subprocess.run(
        ["sh", "-c", limited, sys.executable], cwd=project, capture_output=True, check=False
    )
    assert specs_in(done.stdout) == specs_in(out)
    assert done.returncode == 1
    assert done.stderr.startswith(b"no answer can be kept in")
    assert done.stderr.count(b"\n") == 1
    assert not os.listdir(project / ".twohand" / "answers")  # noqa: PTH208


def test_cache_and_no_cache_exclude_each_other(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, _, err = printed(capsys, "check", "key.spec", "--cache", "x", "--no-cache")
    assert code == 2
    assert "exclude each other" in err


@pytest.mark.long
def test_what_is_staged_is_kept_in_the_project_itself(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    begun(project).git("add", "--all")
    asked = ("review", "--staged", "--processes", "1")
    first = printed(capsys, *asked)
    kept = entries(project)
    assert kept
    assert printed(capsys, *asked) == first
    assert entries(project) == kept
    assert "twohand/" not in begun(project).git("status", "--short", "--untracked-files=all")


COMMANDS = {
    "violated": ("check", "tied_down_ladder.spec", "--details", "--json", "-"),
    "open": ("check", "long_table_two_stations.spec", "--details", "--effort", "0.05"),
    "figures": ("measure", "lid_press_type3.spec", "--effort", "0.3"),
    "faults": ("faults", "lid_press_type2.spec", "--effort", "0.02"),
    "inspection": ("inspect", "beam_press.st", "--scan", "T#10ms", "--effort", "0.2"),
    "comparison": (
        *("compare", "latched_start.st", "latched_start.st", "--effort", "0.5"),
        *("--blocks", "LatchedStart", "HeldStart"),
    ),
}


@pytest.mark.long
@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_answers_alike_cold_and_warm(
    command: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(specs_folder() / "gallery")
    asked = (*COMMANDS[command], "--width", "300")
    kept = ("--cache", str(tmp_path / "kept"))
    cold = printed(capsys, *asked, *kept)
    assert printed(capsys, *asked, *kept) == cold
    assert any((tmp_path / "kept" / "answers").iterdir())


def started(project: Path) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-m", "twohand", "check", "key.spec", "--processes", "2"]
    return subprocess.Popen(
        [*command, "--json", "-"], cwd=project, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )


def specs_in(output: bytes) -> object:
    return json.loads(output)["specs"]


@pytest.mark.long
def test_eight_processes_at_once_give_one_answer(project: Path) -> None:
    running = [started(project) for _ in range(8)]
    outputs = [each.communicate(timeout=300) for each in running]
    assert {each.returncode for each in running} == {1}
    assert not any(b"kept" in err for _, err in outputs)
    assert all(specs_in(out) == specs_in(outputs[0][0]) for out, _ in outputs)
    assert not list((project / ".twohand" / "answers").glob("*.new"))


@pytest.mark.long
@pytest.mark.skipif(sys.platform == "win32", reason="there is no such signal")
def test_a_process_that_is_killed_at_any_moment_leaves_whole_entries(project: Path) -> None:
    whole = started(project)
    began = time.monotonic()
    expected = specs_in(whole.communicate(timeout=300)[0])
    spent = time.monotonic() - began
    for number in range(5):
        for path in entries(project)[number % 2 :: 2]:
            path.unlink()
        each = started(project)
        time.sleep(random.Random(number).uniform(0.3, 1.0) * spent)
        below = psutil.Process(each.pid).children(recursive=True)
        each.kill()
        each.communicate()
        assert not psutil.wait_procs(below, timeout=30)[1], "no worker is left"
    last = started(project)
    out, err = last.communicate(timeout=300)
    assert b"kept" not in err, "no entry was damaged"
    assert specs_in(out) == expected
    assert os.listdir(project / ".twohand" / "answers")  # noqa: PTH208
