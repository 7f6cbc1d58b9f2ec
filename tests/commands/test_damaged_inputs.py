"""A fixed sample of damaged specs and blocks; ``python -m tests.search`` has fresh ones, each in a
process whose time and memory are looked at."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from twohand.commands import main as cli

from tests.search.damaged_inputs import EFFORT, MOST_SECONDS, check_damaged, written


@pytest.mark.long
@pytest.mark.parametrize("start", range(0, 40, 20))
def test_a_damaged_input_gets_an_answer_or_an_error(
    start: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for seed in range(start, start + 20):
        folder = tmp_path / str(seed)
        folder.mkdir()
        monkeypatch.chdir(folder)
        command, name = written(seed, folder)
        began = time.process_time()
        code = cli.run([command, name, *EFFORT])
        assert code in (0, 1, 2, 3), (seed, command, capsys.readouterr())
        assert time.process_time() - began < MOST_SECONDS, (seed, command)


@pytest.mark.long
def test_a_damaged_input_stays_within_time_and_memory_in_a_process_of_its_own(
    tmp_path: Path,
) -> None:
    for seed in (1, 2, 3):
        folder = tmp_path / str(seed)
        folder.mkdir()
        check_damaged(seed, folder)
