"""An audit and a search for mending changes: data, document and page say what was found."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
import twohand
from twohand.analyses.audit.changes.subject import load_changeable_specs
from twohand.analyses.audit.record import AuditResult
from twohand.analyses.documents import AUDIT, MENDING, AuditOptions, MendOptions
from twohand.analyses.mend.mend import mend
from twohand.analyses.mend.record import MendResult, mend_result
from twohand.evidence.limits import Options, open_pool
from twohand.formats.page.page import page_text
from twohand.formats.page.signature import reasons_against
from twohand.record.document import WholeAnswer, document
from twohand.report.exit_code import ExitCode
from twohand.results import HowDifferent, Notice, Noticing, Outcome

from tests.formats.page.pages import MADE, answers, below, read, text_of
from tests.support.schemas import schema

BLOCK = """FUNCTION_BLOCK B
VAR_INPUT a, b : BOOL; END_VAR
VAR_OUTPUT q : BOOL; END_VAR
q := {body};
END_FUNCTION_BLOCK
"""
SPEC = """SPEC S
    SOURCE 'b.st';
    SCAN T#1ms;
    HAND left = a;
    HAND right = b;
    OUTPUT q;
    PROPERTY held : q -> a;
    PROPERTY empty : a AND q AND NOT a -> q;
    PROPERTY never : NOT q;
    REACHABLE starts : q;
END_SPEC
"""
MOST = 6
AUDITED = AuditOptions(60.0, 600.0, None, MOST)
MENDED = MendOptions(60.0, 600.0, None, 0)


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    folder = tmp_path_factory.mktemp("changed")
    (folder / "b.st").write_text(BLOCK.format(body="a AND b"), encoding="utf-8")
    (folder / "b.spec").write_text(SPEC, encoding="utf-8")
    with pytest.MonkeyPatch.context() as monkeypatch:
        monkeypatch.chdir(folder)
        yield folder


@pytest.fixture(scope="module")
def audited(files: Path) -> AuditResult:
    return twohand.audit("b.spec", most=MOST, processes=1)


@pytest.fixture(scope="module")
def mended(tmp_path_factory: pytest.TempPathFactory) -> MendResult:
    folder = tmp_path_factory.mktemp("mended")
    (folder / "b.st").write_text(BLOCK.format(body="a OR b"), encoding="utf-8")
    spec = "".join(
        line
        for line in SPEC.splitlines(keepends=True)
        if "empty" not in line and "never" not in line
    )
    (folder / "b.spec").write_text(spec.replace("q -> a", "q -> a AND b"), encoding="utf-8")
    (subject,) = load_changeable_specs(folder / "b.spec")
    few = replace(subject)
    vars(few)["changes"] = [e for e in subject.changes if e.words == "'OR' becomes 'AND'"]
    options = Options(processes=1, effort=20)
    with open_pool(options) as pool:
        return mend_result([mend(few, options, lambda *_: None, pool, 0)])


def audit_answer(found: AuditResult) -> WholeAnswer:
    return WholeAnswer(AUDIT, AUDITED, (), found, found.exit_code, (), MADE)


def mend_answer(found: MendResult) -> WholeAnswer:
    return WholeAnswer(MENDING, MENDED, (), found, found.exit_code, (), MADE)


def test_what_does_not_notice_a_change_is_passed_on_as_no_proof(audited: AuditResult) -> None:
    """``empty`` says nothing of any block, and the engine proves it of each."""
    (spec,) = audited.specs
    assert {each.asked.name: (each.outcome, each.able) for each in spec.requirements} == {
        "held": (Outcome.PROVED, True),
        "empty": (Outcome.VACUOUS, True),
        "never": (Outcome.VIOLATED, False),
        "starts": (Outcome.PROVED, True),
    }
    assert {dict(each.answers)["empty"] for each in spec.changes} == {Notice.NOTHING}
    assert not {"PROVED"} & {each.value for each in Notice}
    assert len(spec.changes) + spec.refused == MOST
    standings = {each.change.words: each.standing for each in spec.changes}
    assert Noticing.UNNOTICED in standings.values()
    for each in spec.changes:
        said = {answer for _, answer in each.answers}
        assert (each.standing is Noticing.NOTICED) == bool(said & {Notice.VIOLATED, Notice.VACUOUS})
        assert (each.run is not None) == (each.standing is Noticing.UNNOTICED)
    assert spec.noticed == sum(e is Noticing.NOTICED for e in standings.values())
    assert {each.differs: each.names for each in spec.changes if each.run} == {
        HowDifferent.LETS_ON: ("q",),
        HowDifferent.KEEPS_OFF: ("q",),
    }
    held = spec.requirements[0]
    assert held.noticed == sum(
        dict(each.answers)["held"] is not Notice.NOTHING for each in spec.changes
    )


def test_the_documents_are_those_of_their_schemas(audited: AuditResult, mended: MendResult) -> None:
    for whole, kind in ((audit_answer(audited), "audit"), (mend_answer(mended), "mending")):
        assert list(schema(kind).iter_errors(document(whole))) == []


def test_a_page_of_an_audit_has_each_change_and_shows_those_that_nobody_notices(
    audited: AuditResult,
) -> None:
    (spec,) = audited.specs
    found = read(page_text(audit_answer(audited)))
    (table,) = below(found, "table", class_="faults")
    rows = [[text_of(cell) for cell in row] for row in below(table, "tr")]
    assert rows[0] == ["Change", "held", "empty", "starts", "Outcome"]
    assert rows[1][-1] == str(spec.noticed)
    assert len(rows) == 2 + len(spec.changes)
    for each, row in zip(spec.changes, rows[2:], strict=True):
        assert each.change.words in row[0]
        assert [cell == "–" for cell in row[1:-1]] == [
            answer is Notice.NOTHING for _, answer in each.answers
        ]
    unnoticed = [each for each in spec.changes if each.standing is Noticing.UNNOTICED]
    assert unnoticed
    assert len([*below(found, "svg")]) == len(unnoticed)
    assert answers(found).count("NOT noticed") == 3 * len(unnoticed)
    text = text_of(found)
    assert all(each.seen in text for each in unnoticed)
    assert "twohand audit b.spec --most 6 --effort 60" in text


def test_what_is_not_noticed_or_open_keeps_an_audit_from_being_signed(
    audited: AuditResult,
) -> None:
    (spec,) = audited.specs
    able = tuple(each for each in spec.requirements if each.able)
    noticed = tuple(replace(each, standing=Noticing.NOTICED) for each in spec.changes)
    clean = replace(spec, requirements=able, changes=noticed, left=0, counted=MOST)

    def reasons(**changes: object) -> str:
        specs = (replace(clean, **changes),)
        answer = replace(audited, specs=specs, exit_code=ExitCode.ALL_PROVED)
        return "; ".join(reasons_against(audit_answer(answer)))

    assert reasons() == ""
    words = {
        Noticing.UNNOTICED: "S: not noticed: ",
        Noticing.UNSURE: "S: not noticed, if not the same: ",
        Noticing.OPEN: "S: undecided: ",
    }
    for standing, said in words.items():
        first = replace(noticed[0], standing=standing)
        assert reasons(changes=(first, *noticed[1:])) == said + first.change.words
    assert "not proved of the block itself: never" in reasons(requirements=spec.requirements)
    assert "not tried: 3 more changes" in reasons(left=3)
    assert "no change could be noticed" in reasons(counted=0)


def test_a_page_of_a_mended_block_has_the_lines_and_is_never_signed(mended: MendResult) -> None:
    (spec,) = mended.specs
    (mending,) = spec.mendings
    assert mending.shows_same
    assert mending.run is None
    assert {each.outcome for each in mending.requirements} == {Outcome.PROVED}
    assert [line for line in mending.difference if line[0] in "+-"][2:] == [
        "-q := a OR b;",
        "+q := a AND b;",
    ]
    found = read(page_text(mend_answer(mended)))
    text = text_of(found)
    assert all(text_of_line in text for text_of_line in ("-q := a OR b;", "+q := a AND b;"))
    assert answers(found) == ["MENDS"] * 2
    assert "nothing was written" in text
    assert mended.exit_code is ExitCode.ALL_PROVED
    assert reasons_against(mend_answer(mended)) == ("S: VIOLATED: held",)
