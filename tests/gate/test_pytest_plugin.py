"""The plugin for pytest: what a project asks of its specs comes out as a review says."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from importlib import import_module
from pathlib import Path

import pytest
from twohand.analyses.check.check import check
from twohand.commands import main as cli
from twohand.evidence.limits import Options, open_pool
from twohand.gate.waivers import Waiver, waiver_text
from twohand.specification.load import load_specifications

from tests.support.places import ROOT

pytest_plugins = ["pytester"]

BLOCK = """FUNCTION_BLOCK Key
VAR_INPUT key, off : BOOL; END_VAR
VAR_OUTPUT lamp : BOOL; END_VAR
lamp := (lamp OR key) AND NOT off;
END_FUNCTION_BLOCK
"""
SPEC = """SPEC Key
SOURCE 'key.st';
SCAN T#10ms;
OUTPUT lamp;
PROPERTY lit_by_key : lamp -> once(key);
PROPERTY lit_with_key : lamp -> key;
END_SPEC
"""
Run = Callable[..., pytest.RunResult]


@pytest.fixture
def run(pytester: pytest.Pytester) -> Run:
    """Runs pytest with the plugin, installed as an entry point or not, in a project of one key."""
    pytester.makefile(".st", key=BLOCK)
    pytester.makefile(".spec", key=SPEC, other="a = Analysis()")
    pytester.makefile(".toml", twohand='specs = ["."]\nexclude = ["other.spec"]\neffort = 5')

    def running(*arguments: str) -> pytest.RunResult:
        plugin = ("-p", "no:twohand", "-p", "twohand.pytest_plugin", "-p", "no:cacheprovider")
        return pytester.runpytest_inprocess(*plugin, "-p", "no:xdist", "-rs", "-v", *arguments)

    return running


def waive(requirement: str, content: str = "c0ffee") -> None:
    found = Waiver(
        "key.spec", requirement, "VIOLATED", "no hazard", "engineer", date(2999, 1, 1), content
    )
    Path("waivers.toml").write_text(waiver_text(found), encoding="utf-8")


@pytest.mark.long
def test_each_requirement_is_an_item_with_its_diagram_where_it_fails(run: Run) -> None:
    found = run()
    found.assert_outcomes(passed=2, failed=1)
    found.stdout.fnmatch_lines(
        [
            "key.spec::lit_by_key PASSED*",
            "key.spec::lit_with_key FAILED*",
            "key.spec::all_else PASSED*",
        ]
    )
    found.stdout.fnmatch_lines(["*key.st:4:1: VIOLATED: *lamp is TRUE*", "*wrong*"])
    assert "Traceback" not in found.stdout.str()


@pytest.mark.long
def test_only_what_is_chosen_is_asked_and_comes_out_the_same(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[list[str]] = []
    module = import_module("twohand.analyses.check.check")
    original = module.check

    def noted(spec: object, *arguments: object) -> object:
        asked.append([each.identifier for each in spec.requirements])  # type: ignore[attr-defined]
        return original(spec, *arguments)

    monkeypatch.setattr(module, "check", noted)
    run("-k", "lit_with_key").assert_outcomes(failed=1, deselected=1 + 1)
    run("key.spec::lit_by_key").assert_outcomes(passed=1)
    assert asked == [["lit_with_key"], ["lit_by_key"]]


@pytest.mark.long
def test_what_is_waived_is_skipped_and_what_is_waived_wrongly_fails(run: Run) -> None:
    waive("Key/lit_with_key")
    found = run()
    found.assert_outcomes(passed=1, failed=2)
    found.stdout.fnmatch_lines(["*waivers.toml:1:1: error: this waiver was written for another*"])
    Path("waivers.toml").unlink()
    said = ["--reason", "no hazard", "--decided-by", "engineer", "--until", "2999-01-01"]
    assert cli.run(["waive", "key.spec", "Key/lit_with_key", *said]) == 0
    found = run()
    found.assert_outcomes(passed=2, skipped=1)
    found.stdout.fnmatch_lines(["*WAIVED: VIOLATED: *engineer, until 2999-01-01*"])


@pytest.mark.long
def test_a_file_that_no_project_asks_is_left_alone(run: Run) -> None:
    assert "other.spec" not in run("--collect-only").stdout.str()
    Path("twohand.toml").unlink()
    assert run("--collect-only").ret is pytest.ExitCode.NO_TESTS_COLLECTED


@pytest.mark.long
def test_what_cannot_be_read_is_told_at_its_place(run: Run) -> None:
    Path("key.spec").write_text(SPEC.replace("once(key)", "once(kye)"), encoding="utf-8")
    found = run()
    found.assert_outcomes(errors=1)
    found.stdout.fnmatch_lines(["*key.spec:5:*: error: unknown name 'kye'*"])
    Path("twohand.toml").write_text("specs = [", encoding="utf-8")
    found = run("key.spec")
    found.assert_outcomes(errors=1)
    found.stdout.fnmatch_lines(["twohand.toml:1:*[[]malformed-toml[]]*"])


@pytest.mark.long
def test_the_items_of_a_spec_are_one_group_of_processes(
    run: Run, pytester: pytest.Pytester
) -> None:
    second = SPEC.replace("SPEC Key", "SPEC Lock").replace("lit_", "lock_")
    Path("lock.spec").write_text(second, encoding="utf-8")
    plugin = ("-p", "no:twohand", "-p", "twohand.pytest_plugin", "-p", "no:cacheprovider")
    found = pytester.runpytest_subprocess(*plugin, "-v", "-n", "2", "--dist", "loadfile")
    found.assert_outcomes(passed=4, failed=2)
    lines = re.findall(r"\[(gw\d)\].*?(PASSED|FAILED) (\w+)\.spec::", found.stdout.str())
    workers = {(worker, spec) for worker, _, spec in lines}
    assert len(lines) == 6
    assert len(workers) == 2
    marked = run("--collect-only", "-q", "-m", "xdist_group")
    assert marked.stdout.str().count("<AskedItem ") == 6


@pytest.mark.long
def test_specs_of_one_file_are_told_apart(run: Run) -> None:
    both = SPEC + SPEC.replace("SPEC Key", "SPEC Lock")
    Path("key.spec").write_text(both, encoding="utf-8")
    found = run("--collect-only", "-q")
    found.stdout.fnmatch_lines(["*Key/lit_by_key*", "*Key/all_else*", "*Lock/lit_with_key*"])


@pytest.mark.long
@pytest.mark.parametrize("name", ["stroke_without_end", "lid_press_type1", "tied_down_ladder"])
def test_a_requirement_comes_out_alone_as_among_the_others(name: str) -> None:
    """Or '-k' would change an outcome."""
    options = Options(effort=20.0, processes=1, causes=False, needless=False)
    (spec,) = load_specifications(ROOT / "specs" / "gallery" / f"{name}.spec")
    with open_pool(options) as pool:
        together = check(spec, options, None, pool).verdicts
        alone = [
            check(replace(spec, requirements=(each,)), options, None, pool).verdicts[0]
            for each in spec.requirements
        ]
    assert [each.outcome for each in alone] == [each.outcome for each in together]
    assert len(alone) > 2


def test_it_is_in_the_distribution() -> None:
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    found = tomllib.loads(text)["project"]["entry-points"]["pytest11"]
    assert found == {"twohand": "twohand.pytest_plugin"}
    assert import_module(found["twohand"]).pytest_collect_file
