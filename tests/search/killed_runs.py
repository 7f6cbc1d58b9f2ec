"""Runs that are killed, or whose workers are: no damaged entry, no orphan, an answer."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path
from random import Random

import psutil  # type: ignore[import-untyped]

from tests.gate.small_project import KEY, SPEC

KILLS = 10
"""Of one seed."""
VIOLATED, UNDECIDED = 1, 3


def started(project: Path) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-m", "twohand", "check", "key.spec", "--processes", "2"]
    return subprocess.Popen(
        [*command, "--json", "-"], cwd=project, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )


def answered(project: Path) -> object:
    """The specs of the document, of a run in peace that finds nothing damaged."""
    done = started(project)
    out, err = done.communicate(timeout=600)
    assert done.returncode == VIOLATED, err
    assert b"kept" not in err, err
    return json.loads(out)["specs"]


def killed(seed: int, folder: Path) -> int:
    """How many were killed; AssertionError where one left something behind."""
    random = Random(f"kills {seed}")
    (folder / "key.st").write_text(KEY, encoding="utf-8")
    (folder / "key.spec").write_text(SPEC, encoding="utf-8")
    (folder / "twohand.toml").write_text('specs = ["."]\n', encoding="utf-8")
    began = time.monotonic()
    expected = answered(folder)
    spent, done = time.monotonic() - began, 0
    for _ in range(KILLS):
        for path in sorted((folder / ".twohand" / "answers").glob("*.json")):
            if random.random() < 0.5:
                path.unlink()
        done += _kill(folder, random, spent)
        assert not list((folder / ".twohand").glob("*.new"))
    assert answered(folder) == expected
    return done


def _kill(folder: Path, random: Random, spent: float) -> bool:
    """Whether anything was there to be killed: a run with all that it began, or a worker of it."""
    run = started(folder)
    time.sleep(random.uniform(0.0, 1.2) * spent)
    try:
        below = psutil.Process(run.pid).children(recursive=True)
    except psutil.NoSuchProcess:
        below = []
    victims = [run.pid] if random.random() < 0.5 or not below else [random.choice(below).pid]
    there = run.poll() is None
    for pid in victims:
        if there and psutil.pid_exists(pid):
            psutil.Process(pid).kill()
    out, err = run.communicate(timeout=600)
    assert not psutil.wait_procs(below, timeout=60)[1], "no worker is left"
    if victims != [run.pid]:
        assert run.returncode in (VIOLATED, UNDECIDED), err
        assert json.loads(out)["specs"], "there is an answer"
    return there
