"""Which changes mend a block: each is confirmed by a check of the text that it gives."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from twohand.analyses.audit.changes.subject import ChangeableSpec, load_changeable_specs
from twohand.analyses.check.check import check
from twohand.analyses.mend.exit_code import mend_code
from twohand.analyses.mend.mend import mend
from twohand.analyses.mend.results import MendSearch
from twohand.analyses.mend.same_question import asks_the_same
from twohand.analyses.mend.text import difference_lines
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Report
from twohand.report.exit_code import ExitCode
from twohand.specification.model.specification import Aim, Specification
from twohand.text.diagnostic import InputError

from tests.support.enumeration.checks_by_enumeration import Enumerated

OPTIONS = Options(processes=1, effort=20)
BLOCK = """FUNCTION_BLOCK B
VAR_INPUT a, b : BOOL; END_VAR
VAR_OUTPUT q : BOOL; END_VAR
{body}
END_FUNCTION_BLOCK
"""
SPEC = """SPEC S
    SOURCE 'b.st';
    SCAN T#1ms;
    HAND left = a;
    HAND right = b;
    OUTPUT q;
    PROPERTY held : q -> left AND right;
    REACHABLE starts : q;
END_SPEC
"""


def searched(subject: ChangeableSpec, pool: Pool, pairs: int = 0) -> MendSearch:
    return mend(subject, OPTIONS, lambda *_: None, pool, pairs)


def small(folder: Path, body: str) -> ChangeableSpec:
    (folder / "b.st").write_text(BLOCK.format(body=body), encoding="utf-8")
    (folder / "b.spec").write_text(SPEC, encoding="utf-8")
    (only,) = load_changeable_specs(folder / "b.spec")
    return only


def bodies(found: MendSearch) -> list[str]:
    texts = [found.subject.file_texts(each.changes)[0][1].text for each in found.mendings]
    return [text.split("END_VAR\n")[-1].split("\nEND_FUNC")[0] for text in texts]


def test_the_change_that_mends_is_found_and_one_that_stays_off_is_not(
    tmp_path: Path, pool: Pool
) -> None:
    found = searched(small(tmp_path, "q := a OR b;"), pool)
    assert bodies(found) == ["q := a AND b;"]
    assert mend_code(found) is ExitCode.ALL_PROVED
    lines = difference_lines(found.mendings[0], found)
    assert [line for line in lines if line[0] in "+-"][2:] == ["-q := a OR b;", "+q := a AND b;"]
    (changed,) = (found.subject.changed(each.changes) for each in found.mendings)
    assert changed is not None
    every = Enumerated(changed)
    assert not any(every.refuted(r.property) for r in changed.requirements if r.aim is Aim.HOLDS)


def test_no_change_mends_by_asking_or_assuming_something_else(tmp_path: Path) -> None:
    """A constant of the block may be part of what is asked, or of what is assumed."""
    block = BLOCK.replace("b : BOOL;", "b : BOOL; n : SINT;").replace(
        "VAR_OUTPUT", "VAR CONSTANT LIMIT : SINT := 5; END_VAR VAR_OUTPUT"
    )
    (tmp_path / "b.st").write_text(block.format(body="q := a AND n < 6;"), encoding="utf-8")
    for asked in ("PROPERTY low : q -> n < LIMIT;", "ASSUME n < LIMIT;"):
        spec = SPEC.replace("    OUTPUT q;", f"    {asked}\n    OUTPUT q;")
        (tmp_path / "b.spec").write_text(spec, encoding="utf-8")
        (subject,) = load_changeable_specs(tmp_path / "b.spec")
        by = {
            each.words: asks_the_same(subject.specification, changed)
            for each in subject.changes
            if (changed := subject.changed([each])) is not None
        }
        assert {words for words, same in by.items() if not same} == {
            "'5' becomes '6'",
            "'5' becomes '4'",
            "'5' becomes '2'",
            "'5' becomes '10'",
        }
        assert by["'6' becomes '5'"]
        assert by["'q' begins TRUE"]


def test_a_change_that_asks_something_else_is_not_even_tried(tmp_path: Path, pool: Pool) -> None:
    block = BLOCK.replace("b : BOOL;", "b : BOOL; n : SINT;").replace(
        "VAR_OUTPUT", "VAR CONSTANT LIMIT : SINT := 5; END_VAR VAR_OUTPUT"
    )
    (tmp_path / "b.st").write_text(block.format(body="q := a AND n < 6;"), encoding="utf-8")
    spec = SPEC.replace("left AND right", "n < LIMIT")
    (tmp_path / "b.spec").write_text(spec, encoding="utf-8")
    (subject,) = load_changeable_specs(tmp_path / "b.spec")
    few = replace(subject)
    wanted = ("'5' becomes '6'", "'6' becomes '5'")
    vars(few)["changes"] = [each for each in subject.changes if each.words in wanted]
    found = searched(few, pool)
    assert [each.changes[0].words for each in found.mendings] == ["'6' becomes '5'"]


@pytest.mark.long
def test_where_no_change_mends_two_are_tried(tmp_path: Path, pool: Pool) -> None:
    body = "q := a OR b;\nr := a OR b;"
    block = BLOCK.format(body=body).replace("OUTPUT q", "OUTPUT q, r")
    (tmp_path / "b.st").write_text(block, encoding="utf-8")
    spec = SPEC.replace("OUTPUT q", "OUTPUT q, r").replace("held : q", "held : q OR r")
    (tmp_path / "b.spec").write_text(spec, encoding="utf-8")
    (subject,) = load_changeable_specs(tmp_path / "b.spec")
    assert mend_code(searched(subject, pool)) is ExitCode.VIOLATED
    found = searched(subject, pool, pairs=200)
    assert bodies(found) == ["q := a AND b;\nr := a AND b;"]
    assert found.pairs <= 200


def test_what_is_not_violated_is_not_mended(tmp_path: Path, pool: Pool) -> None:
    with pytest.raises(InputError) as caught:
        searched(small(tmp_path, "q := a AND b;"), pool)
    assert caught.value.diagnostics[0].code == "nothing-to-mend"


def test_where_the_assumptions_may_contradict_each_other_it_is_open_what_mends(
    tmp_path: Path, pool: Pool, monkeypatch: pytest.MonkeyPatch
) -> None:
    subject = small(tmp_path, "q := a OR b;")

    def doubted(spec: Specification, *rest: Any, **named: Any) -> Report:
        report = check(spec, *rest, **named)
        own = spec.program is subject.specification.program
        return replace(report, doubt="that was not decided") if own else report

    monkeypatch.setattr("twohand.analyses.mend.mend.check", doubted)
    found = searched(subject, pool)
    assert not found.mendings
    assert mend_code(found) is ExitCode.UNDECIDED
