"""The interface in the programs of others: their tests, scripts, threads, and their mistakes."""

from __future__ import annotations

import pickle
import shutil
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
import twohand

from tests.support.places import GALLERY

SCRIPT = """
import sys
import twohand
answer = twohand.check(sys.argv[1], processes=1, start_method="spawn")
print("checked", answer.passes)
"""
"""Without a guard against being run again by the processes that it starts."""


def copied(folder: Path, name: str) -> None:
    """A spec of the gallery as ``press.spec``, with its block."""
    text = (GALLERY / f"{name}.spec").read_text(encoding="utf-8")
    (folder / "press.spec").write_text(text, encoding="utf-8")
    for block in GALLERY.glob("*.st"):
        if f"'{block.name}'" in text:
            shutil.copy(block, folder)


@pytest.mark.long
def test_a_script_needs_no_guard_where_processes_are_spawned(tmp_path: Path) -> None:
    copied(tmp_path, "set_never_cleared_mended")
    script = tmp_path / "script.py"
    script.write_text(SCRIPT, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, str(script), str(tmp_path / "press.spec")],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert (done.returncode, done.stdout, done.stderr) == (0, "checked True\n", "")


@pytest.mark.long
def test_calls_from_several_threads_wait_for_each_other() -> None:
    names = ("set_never_cleared", "set_never_cleared_mended")
    with ThreadPoolExecutor(2) as threads:
        answers = threads.map(
            lambda name: twohand.check(GALLERY / f"{name}.spec", processes=1), names
        )
    assert [each.passes for each in answers] == [False, True]


def test_an_input_that_cannot_be_used_is_an_error_with_its_place(tmp_path: Path) -> None:
    path = tmp_path / "press.spec"
    with pytest.raises(twohand.InputError, match=r"press\.spec: there is no such file"):
        twohand.load(path)
    path.write_text("SPEC Press\nSOURCE 'none.st';\nEND_SPEC", encoding="utf-8")
    with pytest.raises(twohand.InputError, match=r"press\.spec:1:6: the spec states no") as caught:
        twohand.check(path)
    again = pickle.loads(pickle.dumps(caught.value))
    assert isinstance(again, twohand.InputError)
    assert str(again) == str(caught.value)
    codes = [each.code for each in again.diagnostics]
    assert codes == [each.code for each in caught.value.diagnostics]
    assert "missing-scan" in codes


def test_units_that_cannot_be_inspected_are_refused_beside_those_that_can(tmp_path: Path) -> None:
    (tmp_path / "good.st").write_text(
        "FUNCTION_BLOCK Good VAR_OUTPUT q : BOOL; END_VAR q := TRUE; END_FUNCTION_BLOCK",
        encoding="utf-8",
    )
    for name in ("one", "two"):
        (tmp_path / f"{name}.st").write_text(
            f"FUNCTION_BLOCK {name} VAR_OUTPUT q : BOOL; END_VAR q := {name}q; END_FUNCTION_BLOCK",
            encoding="utf-8",
        )
    found = twohand.inspect(tmp_path)
    assert not found.passes
    assert [each.block for each in found.blocks] == ["Good"]
    refused = {u.name: u.messages for u in found.units if u.answer.value == "refused"}
    assert [refused[name][0].code for name in ("one", "two")] == ["unknown-name"] * 2
    with pytest.raises(twohand.InputError, match=r"one\.st:"):
        twohand.inspect(tmp_path, block="one")
    (tmp_path / "good.st").unlink()
    with pytest.raises(twohand.InputError, match=r"one\.st:.*two\.st:"):
        twohand.inspect(tmp_path)


@pytest.mark.parametrize(
    ("wrong", "why"),
    [
        ({"effort": 0}, "effort"),
        ({"seconds": 0}, "seconds"),
        ({"seconds": float("nan")}, "seconds"),
        ({"processes": 0}, "processes"),
        ({"memory": -1}, "memory"),
        ({"start_method": "forkserver"}, "start_method"),
    ],
)
def test_a_limit_that_is_none_is_refused(wrong: dict[str, object], why: str) -> None:
    for function in (twohand.check, twohand.measure, twohand.faults, twohand.inspect):
        with pytest.raises(ValueError, match=why):
            function(GALLERY / "set_never_cleared.spec", **wrong)  # type: ignore[operator]


def test_wishes_that_contradict_each_other_are_refused() -> None:
    spec, block = GALLERY / "set_never_cleared.spec", GALLERY / "set_never_cleared.st"
    with pytest.raises(ValueError, match="states its block"):
        twohand.inspect(spec, scan="T#10ms")
    with pytest.raises(ValueError, match="nothing to look for"):
        twohand.inspect(block, kinds=())
    with pytest.raises(ValueError, match="exclude each other"):
        twohand.compare(block, block, block="A", blocks=("A", "B"))
    with pytest.raises(ValueError, match="several texts"):
        twohand.faults(spec, exclude="leftNO-stuck-open")
