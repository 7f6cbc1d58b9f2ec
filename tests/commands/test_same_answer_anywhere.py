"""Work is counted and never timed: the same input gives the same bytes, but for times, however busy
the machine is, however many processes work, however they begin and however texts are hashed."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from twohand.text.resources import specs_folder

from tests.reference.normal import stored
from tests.support.tiers import nightly

COMMANDS = {
    "proved": ("check", "lid_press_type3.spec", "--details"),
    "violated": ("check", "tied_down_ladder.spec", "--details"),
    "open, events": ("check", "long_table_two_stations.spec", "--details", "--effort", "0.2"),
    "open, proof": ("check", "lot_counter.spec", "--details", "--effort", "0.1"),
    "document": ("check", "lid_press_type3.spec", "tied_down_ladder.spec", "--json", "-"),
    "figures": ("measure", "lid_press_type3.spec", "--effort", "2"),
    "faults": ("faults", "lid_press_type2.spec", "--effort", "0.5"),
    "inspection": ("inspect", "beam_press.st", "--scan", "T#10ms", "--effort", "0.2"),
    "comparison": (
        *("compare", "latched_start.st", "latched_start.st", "--effort", "0.5"),
        *("--blocks", "LatchedStart", "HeldStart"),
    ),
}
"""The efforts are so small that something stays open: where a search ends shows what ends it."""
BY_NIGHT = ("proved", "violated", "faults")
"""The first two are in the document as well."""
QUIET = ("1", "1", "fork")
"""The hash seed, the number of processes and how they begin."""
OTHERWISE = [("2", "4", "spawn"), ("3", "2", "fork")]


@contextmanager
def busy(loops: int) -> Iterator[None]:
    """Beside processes that do nothing but count."""
    command = [sys.executable, "-c", "while True: pass"]
    running = [subprocess.Popen(command) for _ in range(loops)]
    try:
        yield
    finally:
        for each in running:
            each.kill()
            each.wait()


def printed(arguments: tuple[str, ...], seed: str, processes: str, method: str) -> str:
    """What a command prints, in a process of its own, without times."""
    method = method if sys.platform == "linux" else "spawn"
    done = subprocess.run(
        [
            *(sys.executable, "-m", "twohand", *arguments, "--width", "300"),
            *("--processes", processes, "--start-method", method),
        ],
        cwd=specs_folder() / "gallery",
        env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONIOENCODING": "utf-8"},
        capture_output=True,
        timeout=600,
    )
    assert done.returncode in (0, 1, 3), done.stderr.decode("utf-8", "replace")
    return stored(done.stdout.decode("utf-8"))


@pytest.mark.long
@pytest.mark.parametrize(
    "arguments",
    [nightly(each) if name in BY_NIGHT else each for name, each in COMMANDS.items()],
    ids=list(COMMANDS),
)
def test_an_answer_has_the_same_bytes_anywhere(arguments: tuple[str, ...]) -> None:
    expected = printed(arguments, *QUIET)
    with busy(1):
        assert [printed(arguments, *each) for each in OTHERWISE] == [expected] * len(OTHERWISE)


@pytest.mark.long
def test_some_of_these_answers_are_open() -> None:
    for name in ("open, events", "open, proof"):
        assert "UNDECIDED" in printed(COMMANDS[name], *QUIET), name


@pytest.mark.long
def test_a_spec_is_answered_alone_as_it_is_among_others() -> None:
    """What a process did before decides neither how terms are numbered nor when they are freed."""
    asked = ("selector_table.spec", "--effort", "0.2", "--json", "-")
    before = ("tied_down_ladder.spec", "lid_press_type3.spec")
    alone = json.loads(printed(("check", *asked), *QUIET))
    among = json.loads(printed(("check", *before, *asked), *QUIET))
    assert len(among["specs"]) == 3
    assert among["specs"][-1] == alone["specs"][0]
