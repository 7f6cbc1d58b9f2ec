"""Versions of a block, and blocks without a spec, whose variables others write between scans."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.commands import main as cli

HEAD = """FUNCTION_BLOCK Gate
VAR_INPUT shut : BOOL; END_VAR
VAR_OUTPUT open : BOOL; END_VAR
VAR asked : BOOL; END_VAR
"""
FIRST = "IF asked AND shut THEN open := TRUE; END_IF; IF NOT shut THEN open := FALSE; END_IF;"
SAME = "open := shut AND (open OR asked);"
TAKEN = " asked := FALSE;"
OTHERS = ("--platform", "OUTSIDE asked")


def block(path: Path, body: str) -> str:
    path.write_text(f"{HEAD}{body}\nEND_FUNCTION_BLOCK\n", encoding="utf-8")
    return str(path)


@pytest.mark.long
@pytest.mark.parametrize(
    ("second", "options", "code", "told"),
    [
        (SAME + TAKEN, OTHERS, 0, "2 SAME"),
        ("open := shut AND open;" + TAKEN, OTHERS, 1, "DIFFERS      open"),
        (SAME + " IF shut THEN asked := FALSE; END_IF;", OTHERS, 1, "DIFFERS      asked"),
        (SAME + TAKEN, (*OTHERS, "--power-cycles"), 0, "2 SAME"),
        ("open := shut AND open;" + TAKEN, (), 0, "it never changes"),
    ],
)
def test_versions_get_the_same_from_others_and_show_what_they_left(
    second: str,
    options: tuple[str, ...],
    code: int,
    told: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    files = block(tmp_path / "a.st", FIRST + TAKEN), block(tmp_path / "b.st", second)
    assert cli.run(["compare", *files, *options]) == code
    shown = capsys.readouterr().out
    assert told in shown
    assert "'asked' never changes" not in shown


def test_a_variable_that_no_version_has_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    first = block(tmp_path / "a.st", FIRST + TAKEN)
    second = block(tmp_path / "b.st", SAME + TAKEN)
    assert cli.run(["compare", first, second, "--platform", "OUTSIDE asket"]) == 2
    assert "unknown variable 'asket'" in capsys.readouterr().err


@pytest.mark.long
def test_an_inspection_finds_dead_code_only_where_nobody_asks(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = block(tmp_path / "a.st", FIRST + TAKEN)
    assert cli.run(["inspect", file]) == 1
    alone = capsys.readouterr()
    assert "[never-set]" in alone.out + alone.err
    assert cli.run(["inspect", file, *OTHERS]) == 0
    heard = capsys.readouterr().out
    assert "with what the command line puts around it" in " ".join(heard.split())
    assert "[never-set]" not in heard
