"""The command line answers with the right code and never with a traceback."""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from twohand.commands import main as cli
from twohand.commands.shared.session import Session
from twohand.evidence.verdict import Report
from twohand.report.exit_code import ExitCode

from tests.support.answered_specs import COMMAND, answer, surroundings
from tests.support.samples.report_samples import proved, report, specification, violated
from tests.support.tiers import rows

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    monkeypatch.setattr(Session, "check", answer)

    def running(*arguments: str) -> tuple[int, str, str]:
        code = cli.run(arguments)
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        return code, out, err

    return running


@pytest.mark.parametrize(
    ("names", "code"),
    [
        (["good"], 0),
        (["bad"], 1),
        (["meant"], 1),
        (["empty"], 2),
        (["broken"], 2),
        (["open"], 3),
        (["crash"], 4),
        (["stopped"], 130),
        (["good", "open"], 3),
        (["open", "bad"], 1),
        (["open", "bad", "broken"], 2),
        (["broken", "bad"], 2),
        (["empty", "good"], 2),
        (["broken", "bad", "crash"], 4),
        (["good", "nowhere"], 2),
    ],
)
def test_the_exit_code_is_the_weightiest(run: Run, names: list[str], code: int) -> None:
    assert run("check", *(f"{name}.spec" for name in names))[0] == code


def test_an_unusable_input_does_not_stop_the_others(run: Run) -> None:
    code, out, err = run("check", "nowhere.spec", "broken.spec", "good.spec")
    assert code == 2
    assert "nowhere.spec: error: there is no such file or folder [missing-file]" in err
    assert "broken.spec: error: END_SPEC is missing [missing-word]" in err
    assert "PROVED" in out
    assert "2 inputs that cannot be used" in out


def test_a_report_is_followed_by_cautions_and_totals(run: Run) -> None:
    _, out, err = run("check", "bad.spec", "good.spec")
    assert out.count("What this does not say") == 1
    assert out.splitlines()[-1].startswith("2 specs, 3 requirements: 2 PROVED, 1 VIOLATED")
    assert err == ""


def test_a_folder_stands_for_the_specs_below_it_in_order(run: Run, folder: Path) -> None:
    below = folder / "more" / "deep"
    below.mkdir(parents=True)
    for name in ("open", "good"):
        (below / f"{name}.spec").write_text("", encoding="utf-8")
    (below / "other.st").write_text("", encoding="utf-8")
    code, out, _ = run("check", "--format", "concise", "more", "more/deep/good.spec")
    assert code == 3
    verdicts = [line.split(": ")[1] for line in out.splitlines()]
    assert verdicts == ["proved", "proved", "undecided"]


def test_a_folder_without_specs_is_nothing_to_check(run: Run, folder: Path) -> None:
    (folder / "void").mkdir()
    code, _, err = run("check", "void")
    assert code == 2
    assert "no spec file in this folder" in err


def test_an_internal_error_is_one_paragraph_and_stops_the_run(run: Run) -> None:
    code, out, err = run("check", "crash.spec", "good.spec")
    assert code == 4
    assert "internal error at crash.spec: ValueError: the engines contradict" in err
    assert "1 further spec not checked" in err
    assert "PROVED" not in out


def test_a_mistake_of_ours_outside_of_any_spec_is_no_violation(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("twohand.commands.checking.check.find_spec_files", broken)
    assert cli.run(["check", "good.spec"]) == ExitCode.INTERNAL
    assert "internal error at the command line: ZeroDivisionError" in capsys.readouterr().err


def test_the_details_of_an_internal_error_go_to_the_file_that_was_named(
    run: Run, folder: Path
) -> None:
    _, _, err = run("check", "crash.spec", "--record-error", "error.txt", "--width", "120")
    assert "the details are in error.txt" in err
    assert "ValueError" in (folder / "error.txt").read_text(encoding="utf-8")


def test_details_that_cannot_be_written_are_no_second_error(run: Run) -> None:
    code, _, err = run("check", "crash.spec", "--record-error", "no/where/error.txt")
    assert code == 4
    assert "could not be written" in " ".join(err.split())


def test_an_interrupt_says_what_was_left(run: Run) -> None:
    code, out, err = run("check", "good.spec", "stopped.spec", "bad.spec", "open.spec")
    assert code == 130
    assert err.splitlines() == ["interrupted at stopped.spec", "2 further specs not checked"]
    assert "PROVED" in out


def test_concise_lines_are_alone_on_the_output_and_cautions_beside_it(run: Run) -> None:
    code, out, err = run("check", "bad.spec", "broken.spec", "--format", "concise")
    assert code == 2
    assert [line.split(": ")[1] for line in out.splitlines()] == ["proved", "violated", "error"]
    assert "What this does not say" in err


def test_brief_leaves_out_runs_and_has_one_line_of_cautions(run: Run) -> None:
    _, out, _ = run("check", "bad.spec", "--brief")
    assert "wrong" not in out
    assert "VIOLATED" in out
    assert out.count("what else it does not say: twohand manual cautions") == 1
    assert "What this does not say" not in out


def test_ascii_is_ascii(run: Run) -> None:
    _, out, _ = run("check", "bad.spec", "--ascii")
    assert out.isascii()
    assert "^ wrong" in out
    assert "▲ wrong" in run("check", "bad.spec", "--unicode")[1]


def test_nothing_is_coloured_when_piped_unless_asked_for(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "\x1b" not in run("check", "bad.spec")[1]
    assert "\x1b[" in run("check", "bad.spec", "--color", "always")[1]
    monkeypatch.setenv("NO_COLOR", "1")
    assert "\x1b[" in run("check", "bad.spec", "--color", "always")[1]


def test_the_width_is_kept(run: Run) -> None:
    out = run("check", "bad.spec", "--width", "60")[1]
    assert max(len(line) for line in out.splitlines() if "│" not in line) <= 60
    assert run("check", "bad.spec", "--width", "20")[0] == 2


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["chek"], "did you mean 'check'?"),
        (["galery"], "did you mean 'gallery'?"),
        (["good.spec"], "to check a spec: twohand check good.spec"),
        (["zzz"], "see 'twohand --help'"),
        (["check", "good.spec", "--detials"], "--details"),
        (["check", "--effort", "0", "good.spec"], "--effort"),
        (["check"], "PATH"),
    ],
)
def test_a_wrong_command_line_is_told_what_is_right(
    run: Run, arguments: list[str], message: str
) -> None:
    code, _, err = run(*arguments)
    assert code == 2
    assert message in err


def test_limits_reach_the_check(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    seen = {}

    def noting(session: Session, path: Path, shown: str) -> Iterator[Report]:
        seen.update(session.limits)
        return answer(session, path, shown)

    monkeypatch.setattr(Session, "check", noting)
    limits = ["--effort", "5", "--processes", "2", "--start-method", "spawn", "--memory", "900"]
    run("check", "good.spec", *limits)
    assert seen == {
        "another": False,
        "beyond": False,
        "effort": 5.0,
        "seconds": 600.0,
        "processes": 2,
        "start_method": "spawn",
        "memory": 900,
    }


def gallery_of(folder: Path, names: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    (folder / "gallery").mkdir()
    for name in names:
        text = f"(* What it is: the {name} one.\n   What is wrong: nothing. *)\nSPEC"
        (folder / "gallery" / f"{name}.spec").write_text(text, encoding="utf-8")
    monkeypatch.setattr("twohand.commands.shared.gallery_files.specs_folder", lambda: folder)


@pytest.mark.parametrize(
    ("names", "code"),
    [
        (["good", "meant"], 0),
        (["good", "bad"], 1),
        (["good", "open"], 1),
        (["good", "broken", "bad"], 2),
        (["crash"], 4),
        ([], 4),
    ],
)
def test_the_gallery_passes_only_where_everything_is_as_expected(
    run: Run, folder: Path, monkeypatch: pytest.MonkeyPatch, names: list[str], code: int
) -> None:
    gallery_of(folder, names, monkeypatch)
    assert run("gallery")[0] == code


def test_the_gallery_shows_rows_a_proof_and_a_counterexample(
    run: Run, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    gallery_of(folder, ["good", "meant"], monkeypatch)
    _, out, _ = run("gallery")
    lines = out.splitlines()
    assert lines[0].split() == ["spec", "asked", "came", "out", "expected", "time"]
    assert lines[1].split()[:5] == ["good", "1", "1", "PROVED", "yes"]
    assert lines[2] == "    the good one."
    assert lines[3].split()[:5] == ["meant", "1", "1", "VIOLATED", "yes"]
    assert "one proof in full" in out
    assert "NOT armed OR age(window) <= 490 ms" in out
    assert "▲ wrong" in out
    assert "What this does not say" in out


def separately(folder: Path, *arguments: str, **environment: str) -> tuple[int, bytes, bytes]:
    done = subprocess.run(
        [*COMMAND, *arguments],
        cwd=folder,
        env=surroundings(**environment),
        capture_output=True,
        check=False,
    )
    return done.returncode, done.stdout, done.stderr


@pytest.mark.parametrize(
    "encoding", rows(["ascii", "latin-1", "cp437", "cp1252"], lambda name: name != "ascii")
)
def test_a_console_that_is_not_utf_8_gets_what_it_can_show(folder: Path, encoding: str) -> None:
    code, out, err = separately(folder, "check", "bad.spec", PYTHONIOENCODING=encoding)
    assert (code, err) == (1, b"")
    assert "^ wrong" in out.decode(encoding)


@pytest.mark.long
def test_lines_that_are_asked_for_never_fail_on_a_plain_console(folder: Path) -> None:
    code, _, err = separately(folder, "check", "bad.spec", "--unicode", PYTHONIOENCODING="ascii")
    assert (code, err) == (1, b"")


def test_ctrl_c_answers_130(folder: Path) -> None:
    code, _, err = separately(folder, "check", "stopped.spec")
    assert code == 130
    assert b"Traceback" not in err


def test_several_specs_of_one_file_are_all_reported(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    def both(session: Session, path: Path, shown: str) -> Iterator[Report]:
        yield report(proved())
        yield replace(report(violated()), specification=specification(name="Second"))

    monkeypatch.setattr(Session, "check", both)
    code, out, _ = run("check", "good.spec")
    assert code == 1
    assert "2 specs, 2 requirements" in out
    assert "Second  press.spec" in out


@pytest.mark.parametrize(
    ("names", "code"),
    [
        (["good"], 0),
        (["meant"], 0),
        (["good", "meant"], 0),
        (["bad"], 1),
        (["meant", "open"], 3),
        (["meant", "bad"], 1),
        (["empty"], 2),
        (["meant", "broken"], 2),
    ],
)
def test_as_expected_passes_what_expect_names_and_nothing_else(
    run: Run, names: list[str], code: int
) -> None:
    files = [f"{name}.spec" for name in names]
    found, out, err = run("check", "--as-expected", *files)
    assert found == code
    said = "1 VIOLATED, as expected: this is no pass for a machine"
    assert (said in out) == ("meant" in names)
    found, out, err = run("check", "--as-expected", "--format", "concise", *files)
    assert found == code
    assert (said in err) == ("meant" in names)
    assert said not in out


def test_without_that_option_an_expected_violation_is_one(run: Run) -> None:
    code, out, _ = run("check", "meant.spec")
    assert code == 1
    assert "no pass for a machine" not in out
