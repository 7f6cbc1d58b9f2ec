"""Whatever is wrong with an input: exit code 2, its place, the user's own line, and a way out."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
from twohand.commands import main as cli

from tests.commands.faulty_inputs.case import (
    SOURCE,
    SPEC,
    Case,
    in_body,
    in_spec,
    source_text,
    spec_text,
)
from tests.commands.faulty_inputs.data import DATA
from tests.commands.faulty_inputs.files import MARKS, NO_TEXT, SIZE
from tests.commands.faulty_inputs.meaning import NAMES, TYPES
from tests.commands.faulty_inputs.specs import (
    ACCEPTANCES,
    ASSUMPTIONS,
    DEMANDS,
    FILES_NAMED,
    OUTSIDE,
    ROLES,
    SPEC_SYNTAX,
    TIMES,
)
from tests.commands.faulty_inputs.syntax import SYNTAX
from tests.commands.faulty_inputs.unsupported import UNSUPPORTED
from tests.support.tiers import rows

SOURCES = SYNTAX + NAMES + TYPES + DATA + UNSUPPORTED
SPECS = SPEC_SYNTAX + ROLES + TIMES + DEMANDS + FILES_NAMED + ASSUMPTIONS + ACCEPTANCES + OUTSIDE
INTERNAL = re.compile(
    r"Traceback|internal error|\b(lark|z3|Unexpected\w+|Token|Tree|Span|None|IDENTIFIER|float)\b"
    r"|\b\w+(Error|Exception)\b|\b[A-Z][a-z]+\w*\(\w+=|\b_[A-Z]{2,}\b|<\S+ object"
)
"""Words of Python, of its packages and of this program's inside."""


@pytest.mark.parametrize(
    "text",
    ["ValueError: no", "Read(variable=x)", "expected _SEMICOLON", "UnexpectedToken", "z3 said no"],
)
def test_words_of_the_inside_would_be_noticed(text: str) -> None:
    assert INTERNAL.search(text)


def shown_for(case: Case) -> str:
    return f"{case.code}-{case.place()[:20]}"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def good_files(folder: Path) -> None:
    (folder / SPEC).write_text(spec_text(), encoding="utf-8")
    (folder / SOURCE).write_text(source_text(), encoding="utf-8")


def told(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str]:
    """Exit code and error output; nothing of the inside shows in either stream."""
    code = cli.run(arguments)
    out, err = capsys.readouterr()
    assert not INTERNAL.search(out + err), out + err
    return code, err


def check_told(err: str, opening: str, case: Case) -> None:
    """One message: place, code, the marked line, what would be right."""
    first, *more = err.splitlines()
    assert first.startswith(opening), err
    assert first.endswith(f"[{case.code}]"), err
    assert case.message in first
    assert err.count("error: ") == 1, err
    assert len(err) < 4_000
    help_text = " ".join(err[err.index("  help: ") :].split())
    assert case.help in help_text
    if case.place():
        source, marks = more[0].split("|", 1)[1], more[1].split("|", 1)[1]
        begin, end = marks.index("^"), marks.rindex("^") + 1
        seen = source.ljust(end)[begin:end]
        place = "".join(sign if sign.isprintable() else "?" for sign in case.place())
        assert seen.strip() == place.strip() if len(place) < 60 else place.startswith(seen)


@pytest.mark.parametrize("case", SOURCES + SPECS + NO_TEXT + MARKS + SIZE, ids=shown_for)
def test_a_faulty_input_is_told_at_its_place_with_a_way_out(
    case: Case, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    opening = case.write(folder)
    code, err = told(capsys, "check", "--ascii", SPEC)
    assert code == 2
    check_told(err, opening, case)


@pytest.mark.parametrize(
    "case",
    rows([SYNTAX[0], ROLES[0], SIZE[0]], lambda case: case is not ROLES[0]),
    ids=shown_for,
)
def test_a_process_tells_the_same(case: Case, folder: Path) -> None:
    opening = case.write(folder)
    done = subprocess.run(
        [sys.executable, "-m", "twohand", "check", "--ascii", SPEC],
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 2
    check_told(done.stderr, opening, case)
    assert "1 input that cannot be used" in done.stdout


PATHS = [
    (["nowhere.spec"], "nowhere.spec: error: ", "missing-file", "name a .spec file"),
    (["no/where"], "no/where: error: ", "missing-file", "name a .spec file"),
    (["pres.spec"], "pres.spec: error: ", "missing-file", "nearby: press.spec"),
    (["void"], "void: error: ", "no-spec-files", "spec files end in .spec"),
    (["odd.spec"], "odd.spec: error: ", "no-spec-files", "spec files end in .spec"),
    ([""], "error: ", "missing-file", "name a .spec file"),
    (["a\0b"], "a?b: error: ", "missing-file", "name a .spec file"),
    (["press.st"], "press.st:1:1: error: ", "missing-spec", "a spec that names it"),
]


@pytest.mark.parametrize(("paths", "opening", "code", "help_text"), PATHS)
def test_a_path_that_leads_to_no_spec_is_told(
    paths: list[str],
    opening: str,
    code: str,
    help_text: str,
    folder: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    good_files(folder)
    (folder / "void").mkdir()
    (folder / "odd.spec").mkdir()
    exit_code, err = told(capsys, "check", *paths)
    assert exit_code == 2
    assert err.startswith(opening)
    assert f"[{code}]" in err.splitlines()[0]
    assert help_text in err


def test_a_folder_without_sources_is_told_where_it_is_named(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / SPEC).write_text(spec_text(), encoding="utf-8")
    (folder / SOURCE).mkdir()
    code, err = told(capsys, "check", SPEC)
    assert code == 2
    assert err.startswith(f"{SPEC}:2:8: error: there is no source file in this folder")
    assert "[no-source-files]" in err


OPTIONS = [
    (["--format", "xml"], "'text', 'concise'"),
    (["--color", "red"], "'auto', 'always', 'never'"),
    (["--start-method", "thread"], "'fork', 'spawn'"),
    (["--seconds", "soon"], "'soon' is not a valid number"),
    (["--seconds", "-1"], "0<x<=1000000"),
    (["--processes", "0"], "x>=1"),
    (["--processes", "many"], "'many' is not a valid whole number"),
    (["--width", "10"], "x>=40"),
    (["--efort", "5"], "--effort"),
]


@pytest.mark.parametrize(("option", "help_text"), OPTIONS)
def test_an_option_with_a_wrong_value_is_told_what_would_be_right(
    option: list[str], help_text: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    good_files(folder)
    code, err = told(capsys, "check", SPEC, *option)
    assert code == 2
    assert help_text in err


def test_several_errors_of_one_source_are_all_told_in_order(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    body = "«enabel» := stop;\nstrokes := «count»;\nIF «speed» THEN strokes := «40000»; END_IF"
    in_body("", body, "").write(folder)
    code, err = told(capsys, "check", SPEC)
    places = re.findall(r"^press\.st:(\d+:\d+): error: .*\[(.*)\]$", err, re.MULTILINE)
    assert code == 2
    assert places == [
        ("19:5", "unknown-name"),
        ("20:12", "type-mismatch"),
        ("21:4", "condition-not-boolean"),
        ("21:26", "value-out-of-range"),
    ]


def test_errors_of_a_spec_and_of_its_source_are_told_together(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    faulty = "HAND third = stopp;\nOUTPUT strokes;\nLOOPS 0;\nPROPERTY p : lamp;"
    in_spec("", faulty, "").write(folder)
    code, err = told(capsys, "check", SPEC)
    places = re.findall(r"^press\.spec:(\d+):\d+: error: .*\[(.*)\]$", err, re.MULTILINE)
    assert code == 2
    assert sorted(places) == [
        ("10", "unknown-name"),
        ("7", "unknown-name"),
        ("8", "not-boolean"),
        ("9", "bound-out-of-range"),
    ]


def test_a_faulty_spec_does_not_keep_a_good_one_from_being_checked(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    good_files(folder)
    (folder / "broken.spec").write_text(spec_text("HNAD x = stop;"), encoding="utf-8")
    code = cli.run(["check", "broken.spec", SPEC, "nowhere.spec"])
    out, err = capsys.readouterr()
    assert code == 2
    assert "broken.spec:7:1: error: " in err
    assert "nowhere.spec: error: " in err
    assert "PROVED" in out
    assert "2 inputs that cannot be used" in out


def test_a_good_spec_is_no_faulty_input(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Or every one of these would be refused whatever its fault."""
    good_files(folder)
    assert told(capsys, "check", SPEC) == (0, "")


def test_an_editor_reads_an_error_in_one_line_of_the_output(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    opening = SYNTAX[0].write(folder)
    code = cli.run(["check", "--format", "concise", SPEC])
    (line,) = capsys.readouterr().out.splitlines()
    assert code == 2
    assert line.startswith(opening)
    assert line.endswith("[equals-for-assignment]")
