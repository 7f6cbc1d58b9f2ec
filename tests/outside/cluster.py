"""A real scheduler with two workers, each a process: the same answers, whatever the workers do."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

COMMAND = "dask"
LIARS = ("proves", "violates", "other")
HOW = ("honest", "raises", "dies", *LIARS)
WORKER = Path(__file__).with_name("cluster_worker.py")


BLOCK = """FUNCTION_BLOCK Key
VAR_INPUT key, off : BOOL; END_VAR
VAR_OUTPUT lamp, twice : BOOL; END_VAR
VAR n : SINT; END_VAR
IF off THEN n := 0; ELSIF key AND n < 3 THEN n := n + 1; END_IF;
lamp := n > 0; twice := n > 1;
END_FUNCTION_BLOCK
"""
SPEC = """SPEC Key
    SOURCE 'key.st';
    SCAN T#10ms;
    PROPERTY lit_by_key : lamp -> once(key);
    PROPERTY lit_with_key : lamp -> key;
    PROPERTY both : twice -> lamp;
    PROPERTY dark : off -> NOT lamp;
    PROPERTY never_twice : NOT twice;
END_SPEC
"""


@contextmanager
def cluster(dask: str, how: str, counted: Path) -> Iterator[str]:
    """The address of a scheduler with two workers."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        address = f"127.0.0.1:{free.getsockname()[1]}"
    host, port = address.split(":")
    settings = {
        **os.environ,
        "TWOHAND_TEST_WORKER": how,
        "TWOHAND_TEST_COUNT": str(counted),
        "DASK_DISTRIBUTED__SCHEDULER__ALLOWED_FAILURES": "9",
    }
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "env": settings}
    begin = [dask, "scheduler", "--host", host, "--port", port, "--no-dashboard"]
    workers = [dask, "worker", f"tcp://{address}", "--nthreads", "1", "--nworkers", "2"]
    workers += ["--no-dashboard", "--preload", str(WORKER), "--local-directory", str(counted)]
    scheduler = subprocess.Popen(begin, **quiet)  # type: ignore[call-overload]
    both = subprocess.Popen(workers, **quiet)  # type: ignore[call-overload]
    try:
        _wait_for(address)
        yield f"tcp://{address}"
    finally:
        for process in (both, scheduler):
            process.terminate()
            process.wait(60)


def _wait_for(address: str) -> None:
    ask = "import sys, distributed as d; c = d.Client(sys.argv[1], timeout=60); "
    ask += "c.wait_for_workers(2, timeout=60)"
    subprocess.run([sys.executable, "-c", ask, address], check=True, capture_output=True)


def checked(folder: Path, *options: str) -> tuple[int, dict[str, Any], str]:
    """The exit code, the document without 'made', and what was said on the error stream."""
    target = folder / "answer.json"
    (folder / "key.st").write_text(BLOCK, encoding="utf-8")
    (folder / "key.spec").write_text(SPEC, encoding="utf-8")
    command = [sys.executable, "-m", "twohand", "check", str(folder / "key.spec"), "--no-cache"]
    command += ["--brief", "--processes", "1", "--json", str(target), *options]
    done = subprocess.run(command, capture_output=True, encoding="utf-8", check=False)
    content = json.loads(target.read_text(encoding="utf-8"))
    content.pop("made")
    return done.returncode, content, done.stderr


def _verdicts(document: dict[str, Any]) -> list[str]:
    return [each["outcome"] for spec in document["specs"] for each in spec["requirements"]]


def compared(dask: str) -> tuple[int, list[str]]:
    """How many questions workers were asked, and what came out otherwise than without them."""
    asked, wrong = 0, []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        code, document, _ = checked(folder)
        for how in HOW:
            counted = folder / how
            counted.mkdir()
            with cluster(dask, how, counted) as address:
                found = checked(folder, "--scheduler", address)
            questions = len([each for each in counted.iterdir() if each.is_file()])
            asked += questions
            same = _verdicts(found[1]) == _verdicts(document)  # a liar may hit upon another proof
            if found[0] != code or not same or (how not in LIARS and found[1] != document):
                wrong.append(f"{how}: another answer")
            if questions < (1 if how == "raises" else 3):
                wrong.append(f"{how}: {questions} questions were asked there")
            if how == "dies" and len(list(counted.glob("*.dead"))) < 3:
                wrong.append(f"{how}: no worker died")
            if ("did not hold when rechecked" in found[2]) is not (how in LIARS):
                wrong.append(f"{how}: said {found[2]!r}")
    return asked, wrong
