"""``twohand review`` and ``waive``: what a project asks passes where it is proved or waived."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from junitparser import JUnitXml
from twohand.commands import main as cli
from twohand.commands.gate import review, waive
from twohand.commands.shared.session import Session
from twohand.evidence.verdict import FindingVerdict, Outcome, Report
from twohand.gate.waivers import Waiver, waiver_text
from twohand.specification.model.specification import Expectation
from twohand.text.diagnostic import Diagnostic, InputError, Severity

from tests.support.samples.report_samples import (
    OVERFLOW,
    proved,
    reachable,
    report,
    specification,
    undecided,
    violated,
)
from tests.support.schemas import schema

Capture = pytest.CaptureFixture[str]


def warning(code: str) -> Diagnostic:
    return Diagnostic(code, "it is open", severity=Severity.WARNING)


ANSWERS: dict[str, tuple[Report, int]] = {
    "good": (report(proved()), 0),
    "bad": (report(proved(), violated()), 1),
    "meant": (report(violated(Expectation.VIOLATED)), 1),
    "empty_words": (report(reachable(Outcome.VACUOUS)), 1),
    "open": (report(proved(), undecided()), 3),
    "half_open": (report(proved(reason="whether it can happen is open")), 3),
    "finding": (report(proved(), findings=(FindingVerdict(OVERFLOW, Outcome.VIOLATED),)), 1),
    "dead": (report(proved(), never_on=("stroke",)), 1),
    "wide": (report(proved(), specification=specification(wide=(warning("wide-window"),))), 1),
    "hands": (report(proved(), warnings=(warning("hands-undecided"),)), 3),
    "doubted": (report(proved(), doubt="they may contradict each other"), 3),
}
"""By names of spec files: what their check gives, and what a review has to answer."""


def answer(session: object, path: Path, shown: str) -> Iterator[Report]:
    if path.stem == "broken":
        raise InputError(Diagnostic("missing-word", "END_SPEC is missing", path=shown))
    yield ANSWERS[path.stem][0]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A project whose specs are named after what comes out of them."""
    for name in (*ANSWERS, "broken"):
        (tmp_path / f"{name}.spec").write_text("SPEC", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(Session, "check", answer)
    for module in (review, waive):
        monkeypatch.setattr(module, "today", lambda: date(2026, 6, 15))
    project()
    return tmp_path


def project(*specs: str, more: str = "") -> None:
    names = json.dumps([f"{each}.spec" for each in specs] or ["."])
    Path("twohand.toml").write_text(f"specs = {names}\n{more}", encoding="utf-8")


def waive_it(*given: str) -> int:
    said = ("--reason", "guard locked", "--decided-by", "safety engineer", "--until", "2026-06-15")
    return cli.run(["waive", *given, *said])


@pytest.mark.parametrize("name", ANSWERS)
def test_a_review_answers_as_its_check_does_whatever_is_expected(name: str, folder: Path) -> None:
    assert cli.run(["review", f"{name}.spec", "--brief"]) == ANSWERS[name][1]
    assert cli.run(["review", f"{name}.spec"]) == ANSWERS[name][1]


@pytest.mark.parametrize("name", [each for each in ANSWERS if ANSWERS[each][1]])
def test_what_fails_or_is_open_passes_by_a_waiver_of_each_thing(
    name: str, folder: Path, capsys: Capture
) -> None:
    project(name)
    cli.run(["review", "--json", "before.json"])
    before = json.loads(Path("before.json").read_text(encoding="utf-8"))
    items = [each for each in before["specs"][0]["items"] if each["outcome"] != "holds"]
    for left, item in enumerate(items, 1):
        assert cli.run(["review"]) != 0
        assert waive_it(f"{name}.spec", item["identifier"]) == 0
        assert len(re.findall("waiver", Path("waivers.toml").read_text())) == left
    capsys.readouterr()
    assert cli.run(["review"]) == 0
    shown = capsys.readouterr().out
    assert f"{len(items)} WAIVED" in shown.splitlines()[-1]
    assert " ".join(shown.split()).count("until 2026-06-15: guard locked") == len(items)


def test_everything_decides_and_comes_in_the_order_of_the_paths(
    folder: Path, capsys: Capture
) -> None:
    assert cli.run(["review", "open.spec", "bad.spec", "good.spec"]) == 1
    shown = capsys.readouterr().out
    assert shown.splitlines()[-1].startswith(
        "3 specs, 5 things asked: 3 hold, 1 UNDECIDED, 1 VIOLATED, "
    )
    assert cli.run(["review", "good.spec", "open.spec"]) == 3
    capsys.readouterr()
    assert cli.run(["review"]) == 2
    assert "broken.spec: error: END_SPEC is missing" in capsys.readouterr().err


def test_the_same_is_asked_from_any_folder(
    folder: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    project("good", "bad")
    monkeypatch.chdir(tmp_path_factory.mktemp("elsewhere"))
    assert cli.run(["review", str(folder)]) == 1
    assert cli.run(["review", str(folder / "good.spec")]) == 0
    assert cli.run(["review"]) == 2


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (("2026-06-15", "2026-06-14"), "waiver-expired"),
        (("VIOLATED", "VACUOUS"), "waiver-does-not-fit"),
        (('content = "', 'content = "0'), "waiver-does-not-fit"),
        (("start_window", "both_hands"), "waiver-unused"),
        (("Press/start_window", "Lid/start_window"), "waiver-unused"),
        (("bad.spec", "gone.spec"), "waiver-unused"),
        (("bad.spec", "meant.spec"), "waiver-unused"),
        (("[[waiver]]", "[[waiver]"), "malformed-toml"),
        (("reason", "season"), "unknown-key"),
    ],
)
def test_a_waiver_that_is_not_in_force_fails_the_review(
    change: tuple[str, str], code: str, folder: Path, capsys: Capture
) -> None:
    project("bad")
    assert waive_it("bad.spec", "Press/start_window") == 0
    assert cli.run(["review"]) == 0
    text = Path("waivers.toml").read_text(encoding="utf-8")
    assert change[0] in text
    Path("waivers.toml").write_text(text.replace(*change), encoding="utf-8")
    capsys.readouterr()
    assert cli.run(["review"]) == 1
    told = re.compile(rf"^waivers\.toml:\d+:\d+: error: .*\[{code}\]$", re.MULTILINE)
    assert told.search(capsys.readouterr().err)


def test_an_unused_waiver_fails_where_all_is_proved(folder: Path, capsys: Capture) -> None:
    project("good", "bad")
    left = Waiver("good.spec", "Press/both_hands", "VIOLATED", "r", "d", date(2026, 7, 1), "c0ffee")
    Path("waivers.toml").write_text(waiver_text(left), encoding="utf-8")
    assert cli.run(["review", "good.spec"]) == 1
    assert "1 waiver unused" in capsys.readouterr().out
    assert cli.run(["review", "bad.spec", "--brief"]) == 1
    assert "waiver-unused" not in capsys.readouterr().err  # nobody looked at that spec


def test_what_is_waived_is_waived_in_every_output(folder: Path, capsys: Capture) -> None:
    project("bad", more='[outputs]\njunit = "out/own.xml"')
    assert waive_it("bad.spec", "Press/start_window") == 0
    capsys.readouterr()
    assert cli.run(["review", "--json", "-", "--sarif", "r.sarif"]) == 0
    found = json.loads(capsys.readouterr().out)
    schema("review").validate(found)
    outcomes = {each["identifier"]: each for each in found["specs"][0]["items"]}
    assert outcomes["Press/start_window"]["outcome"] == "waived"
    assert outcomes["Press/start_window"]["waiver"] == {
        "reason": "guard locked",
        "decided_by": "safety engineer",
        "until": "2026-06-15",
    }
    assert found["options"]["today"] == "2026-06-15"
    assert found["specs"][0]["checked"]["requirements"][1]["outcome"] == "VIOLATED"
    assert [each["standing"] for each in found["waivers"]] == ["in force"]
    (suite,) = JUnitXml.fromfile("out/own.xml")
    assert (suite.tests, suite.failures, suite.errors, suite.skipped) == (2, 0, 0, 1)
    (result,) = json.loads(Path("r.sarif").read_text(encoding="utf-8"))["runs"][0]["results"]
    (suppressed,) = result["suppressions"]
    assert suppressed["justification"] == "safety engineer, until 2026-06-15: guard locked"
    assert (suppressed["kind"], suppressed["status"]) == ("external", "accepted")


def test_the_same_review_gives_the_same_bytes(folder: Path) -> None:
    project("bad", "open", "good")
    texts = []
    for _ in range(2):
        assert cli.run(["review", "--json", "r.json"]) == 1
        found = json.loads(Path("r.json").read_text(encoding="utf-8"))
        texts.append(json.dumps(found | {"made": None}))
    assert texts[0] == texts[1]


def test_a_spec_that_is_not_asked_is_told_where_it_is_named_and_counted_elsewhere(
    folder: Path, capsys: Capture
) -> None:
    project("good")
    assert cli.run(["review"]) == 0
    assert f"{len(ANSWERS)} specs not asked by the project" in capsys.readouterr().out
    assert cli.run(["review", "bad.spec"]) == 2
    assert "bad.spec: error: the project file twohand.toml does not ask" in capsys.readouterr().err


def test_where_nothing_is_asked_there_is_no_pass(folder: Path, capsys: Capture) -> None:
    project(more='exclude = ["."]')
    assert cli.run(["review"]) == 2
    assert "[no-spec-files]" in capsys.readouterr().err
    Path("twohand.toml").unlink()
    assert cli.run(["review", "good.spec"]) == 2
    assert "[no-project-file]" in capsys.readouterr().err


def test_several_projects_are_asked_as_each_of_them_says(folder: Path, capsys: Capture) -> None:
    project("good")
    inner = folder / "cell"
    inner.mkdir()
    (inner / "bad.spec").write_text("SPEC", encoding="utf-8")
    (inner / "twohand.toml").write_text('specs = ["."]\nwaivers = "w.toml"', encoding="utf-8")
    assert cli.run(["review", "."]) == 1
    assert waive_it("cell/bad.spec", "Press/start_window") == 0
    assert (inner / "w.toml").is_file()
    assert cli.run(["review", "."]) == 0
    assert cli.run(["review", ".", "--json", "r.json"]) == 2
    assert "several projects" in capsys.readouterr().err


# --- waive --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("spec", "requirement", "code", "way"),
    [
        ("good.spec", "Press/both_hands", "nothing-to-waive", "leave it as it is"),
        ("bad.spec", "Press/startwindow", "nothing-to-waive", "did you mean 'Press/start_window'?"),
        ("good.spec", "zzz", "nothing-to-waive", "there is nothing"),
        ("broken.spec", "zzz", "missing-word", ""),
        ("gone.spec", "zzz", "missing-file", "name a .spec file"),
    ],
)
def test_what_cannot_be_waived_is_told(
    spec: str, requirement: str, code: str, way: str, folder: Path, capsys: Capture
) -> None:
    assert waive_it(spec, requirement) == 2
    said = capsys.readouterr().err
    assert f"[{code}]" in said
    assert way in said
    assert not Path("waivers.toml").exists()


def test_nothing_is_waived_twice_and_what_is_in_the_file_stays(
    folder: Path, capsys: Capture
) -> None:
    Path("waivers.toml").write_text("# decided in the meeting of May\n", encoding="utf-8")
    assert waive_it("bad.spec", "Press/start_window") == 0
    assert waive_it("open.spec", "Press/missed_window") in (0, 2)
    before = Path("waivers.toml").read_text(encoding="utf-8")
    assert before.startswith("# decided in the meeting of May\n\n[[waiver]]\n")
    assert waive_it("bad.spec", "Press/start_window") == 2
    assert "[waived-already]" in capsys.readouterr().err
    assert Path("waivers.toml").read_text(encoding="utf-8") == before


@pytest.mark.parametrize(
    ("option", "value", "said"),
    [
        ("--until", "2026-06-14", "is over"),
        ("--until", "soon", "is no day"),
        ("--reason", " ", "empty"),
        ("--reason", "a\x1b[2J", "not shown"),
        ("--decided-by", None, "Missing option '--decided-by'"),
    ],
)
def test_a_waiver_says_who_why_and_until_when(
    option: str, value: str | None, said: str, folder: Path, capsys: Capture
) -> None:
    given = {"--reason": "r", "--decided-by": "d", "--until": "2026-12-01", option: value}
    words = [part for key, text in given.items() if text is not None for part in (key, text)]
    assert cli.run(["waive", "bad.spec", "Press/start_window", *words]) == 2
    assert said in capsys.readouterr().err
    assert not Path("waivers.toml").exists()


def test_the_reason_is_asked_for_on_a_terminal(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    monkeypatch.setattr("click.prompt", lambda text, **_: f"the {text}")
    given = ["--decided-by", "d", "--until", "2026-12-01"]
    assert cli.run(["waive", "bad.spec", "Press/start_window", *given]) == 0
    assert 'reason = "the reason"' in Path("waivers.toml").read_text(encoding="utf-8")
