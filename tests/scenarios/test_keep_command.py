"""``twohand keep``: a violation as a scenario that plays to the same failure."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from twohand.analyses.check.check import check
from twohand.commands import main as cli
from twohand.commands.shared.gallery_files import gallery_folder
from twohand.evidence.verdict import Outcome, Verdict
from twohand.program.durations import Units
from twohand.scenarios.keeping import kept_text
from twohand.scenarios.play import play
from twohand.scenarios.reading import resolve_scenarios
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Requirement, Specification
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText

from tests.support.gallery_reports import OPTIONS, GalleryReports

VIOLATED = [
    path.stem
    for path in sorted(gallery_folder().glob("*.spec"))
    if "EXPECT VIOLATED" in path.read_text(encoding="utf-8")
]
QUICK = [
    ("panel_request", "on_request"),
    ("off_delay_on_hands", "both_hands"),
    ("relay_series", "voltage_back_starts_nothing"),
]


def check_kept(specification: Specification, verdict: Verdict) -> None:
    """The kept text, read and played again, has the run's values and fails as it does."""
    run = verdict.counterexample
    assert run is not None
    target = gallery_folder() / "kept.scenario"
    path = gallery_folder() / Path(specification.source.path).name
    spec = replace(specification, source=replace(specification.source, path=str(path)))
    text = kept_text(spec, verdict, target, False, "0")
    (scenario,) = resolve_scenarios(SourceText(str(target), text), target.parent)
    played = play(scenario)
    found = {
        each.failure.about.identifier: each
        for each in played.failures
        if isinstance(each.failure.about, Requirement)
    }
    seen = found[verdict.requirement.identifier]
    assert seen.runs == played.runs
    records = seen.run.execution.records
    assert seen.failure.position == len(run.records) - 1 == len(records) - 1
    assert [each.values for each in records] == [each.values for each in run.records]
    assert [each.time for each in records] == [each.time for each in run.records]
    assert played.outside == ()


@pytest.mark.long
@pytest.mark.parametrize(("name", "asked"), QUICK)
def test_a_violation_is_kept_with_what_is_around_it(name: str, asked: str) -> None:
    spec = load_specification(gallery_folder() / f"{name}.spec")
    (requirement,) = [each for each in spec.requirements if each.identifier == asked]
    alone = replace(spec, requirements=(requirement,), lags=())
    check_kept(spec, check(alone, OPTIONS).verdicts[0])


def test_a_run_that_fails_elsewhere_is_not_kept(tmp_path: Path) -> None:
    """Its last scan is one too many: the requirement fails in the one before."""
    spec = load_specification(gallery_folder() / "written_twice.spec")
    alone = replace(spec, requirements=spec.requirements[:1], lags=())
    verdict = check(alone, OPTIONS).verdicts[0]
    run = verdict.counterexample
    assert run is not None
    last = run.records[-1]
    later = replace(last, time=Units(last.time + last.elapsed))
    longer = replace(run, records=(*run.records, later), sampled=(*run.sampled, run.sampled[-1]))
    with pytest.raises(InputError, match="cannot be said"):
        kept_text(spec, replace(verdict, counterexample=longer), tmp_path / "a.scenario", False, "")


@pytest.mark.long
@pytest.mark.parametrize("name", VIOLATED)
def test_every_violation_of_the_gallery_is_kept_and_fails_alike(
    name: str, gallery_report: GalleryReports
) -> None:
    report = gallery_report(name)
    found = [each for each in report.verdicts if each.outcome is Outcome.VIOLATED]
    assert found
    for verdict in found:
        check_kept(report.specification, verdict)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    for each in gallery_folder().glob("written_twice*"):
        shutil.copy(each, tmp_path)
    return tmp_path


def test_a_kept_violation_fails_until_the_block_is_mended(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "tests").mkdir()
    target = "tests/kept.scenario"
    assert cli.run(["keep", "written_twice.spec", "only_when_safe", "--to", target]) == 0
    assert "FOR '../written_twice.spec';" in (folder / target).read_text(encoding="utf-8")
    assert cli.run(["play", "--brief", target]) == 1
    spec = folder / "written_twice.spec"
    text = spec.read_text(encoding="utf-8")
    mended = text.replace("BLOCK WrittenTwice", "BLOCK WrittenOnce")
    spec.write_text(mended, encoding="utf-8")
    capsys.readouterr()
    assert cli.run(["play", "--brief", target]) == 0


@pytest.mark.long
def test_nothing_is_overwritten_and_nothing_but_a_violation_is_kept(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (folder / "a.scenario").write_text("mine", encoding="utf-8")
    assert cli.run(["keep", "written_twice.spec", "only_when_safe", "--to", "a.scenario"]) == 2
    assert (folder / "a.scenario").read_text(encoding="utf-8") == "mine"
    assert cli.run(["keep", "written_twice.spec", "only_when_save", "--to", "b.scenario"]) == 2
    assert "did you mean 'only_when_safe'?" in capsys.readouterr().err
    mended = ["keep", "written_twice_mended.spec", "only_when_safe", "--to", "b.scenario"]
    assert cli.run(mended) == 2
    assert "[nothing-to-keep]" in capsys.readouterr().err
    assert not (folder / "b.scenario").exists()
