"""The files of a revision and of the index are those that git has, and no others."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from twohand.commands import main as cli
from twohand.files.confinement import confined_to
from twohand.gate.revisions import Repository, file_at_revision, split_revision
from twohand.text.diagnostic import InputError

from tests.gate.repositories import SETTINGS, TriedRepository, begun

BLOCK = """FUNCTION_BLOCK B
VAR_INPUT a : BOOL; END_VAR
VAR_OUTPUT q : BOOL; END_VAR
q := a;
END_FUNCTION_BLOCK
"""


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> TriedRepository:
    for name, value in SETTINGS.items():
        monkeypatch.setenv(name, value)
    found = begun(tmp_path / "top")
    monkeypatch.chdir(found.top)
    return found


def texts(folder: Path) -> dict[str, str]:
    return {
        each.relative_to(folder).as_posix(): each.read_text(encoding="utf-8")
        for each in folder.rglob("*")
        if each.is_file()
    }


def refused(work: Callable[[], object]) -> tuple[str, str]:
    with pytest.raises(InputError) as raised:
        work()
    (problem,) = raised.value.diagnostics
    return problem.code, problem.help


def test_the_files_of_a_commit_are_those_that_were_committed(repository: TriedRepository) -> None:
    first = repository.commit(a__st="1", b__st="1")
    (repository.top / "b.st").unlink()
    repository.commit(a__st="2")
    repository.write("new.st", "3")
    repository.write("a.st", "4")
    with Repository.around(Path()).files(first) as folder:
        assert texts(folder) == {"a.st": "1", "b.st": "1"}
        kept = folder
    assert not kept.exists()
    assert (repository.top / "a.st").read_text(encoding="utf-8") == "4"


def test_the_files_of_the_index_are_those_that_are_staged(repository: TriedRepository) -> None:
    repository.commit(a__st="1", b__st="1")
    repository.write("a.st", "2")
    repository.git("add", "a.st")
    repository.write("a.st", "3")
    repository.write("b.st", "3")
    repository.write("new.st", "3")
    repository.write("meant.st", "3")
    repository.git("add", "--intent-to-add", "meant.st")
    before = repository.git("status", "--porcelain")
    with Repository.around(Path()).files(None) as folder:
        assert texts(folder) == {"a.st": "2", "b.st": "1"}
    assert repository.git("status", "--porcelain") == before


def test_what_is_left_out_of_archives_and_of_a_sparse_tree_is_there(
    repository: TriedRepository,
) -> None:
    """Or specs could be passed over by a line of .gitattributes."""
    commit = repository.commit(a__st="1")
    repository.write(".gitattributes", "specs export-ignore\n*.st export-subst\n")
    repository.write("specs/b.st", "$Format:%H$")
    commit = repository.commit()
    repository.git("sparse-checkout", "set", "--no-cone", "/a.st")
    assert not (repository.top / "specs").exists()
    for wanted in (commit, None):
        with Repository.around(Path()).files(wanted) as folder:
            assert texts(folder)["specs/b.st"] == "$Format:%H$"


def test_a_file_of_a_revision_is_named_as_git_names_it(
    repository: TriedRepository, monkeypatch: pytest.MonkeyPatch
) -> None:
    repository.write("logic/a.st", "1")
    repository.write("logic/deep/b.st", "1")
    repository.commit()
    repository.write("logic/a.st", "2")
    monkeypatch.chdir(repository.top / "logic")
    for name in ("logic/a.st", "./a.st", "logic/deep/../a.st"):
        with file_at_revision("HEAD", name) as path:
            assert path.read_text(encoding="utf-8") == "1"
    with file_at_revision("HEAD", "logic") as path:
        assert set(texts(path)) == {"a.st", "deep/b.st"}
    for name in ("a.st", "../outside.st", ".", "./../../x", ":(glob)*"):
        with pytest.raises(InputError) as raised, file_at_revision("HEAD", name):
            pass
        assert [each.code for each in raised.value.diagnostics] == ["missing-file"]


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("HEAD~2:press.st", ("HEAD~2", "press.st")),
        ("origin/main:./a:b.st", ("origin/main", "./a:b.st")),
        ("press.st", None),
        ("C:\\logic\\press.st", None),
        (":press.st", None),
        ("HEAD:", None),
        ("there:it.st", None),
    ],
)
def test_a_path_is_one_of_a_revision_where_it_names_one_and_is_not_there(
    text: str, parts: tuple[str, str] | None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    try:
        Path("there:it.st").touch()
    except OSError:
        pytest.skip("no file has such a name here")
    assert split_revision(text) == parts


def test_what_git_cannot_give_is_told_with_a_way_out(
    repository: TriedRepository, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    repository.commit(a__st="1")
    here = Repository.around(Path())
    assert refused(lambda: here.commit("HED"))[0] == "unknown-revision"
    assert refused(lambda: here.commit("--all"))[0] == "unknown-revision"
    assert refused(lambda: here.commit("HEAD:a.st"))[0] == "unknown-revision"
    outside = tmp_path / "outside"
    outside.mkdir()
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    assert refused(lambda: Repository.around(outside))[0] == "no-repository"
    monkeypatch.setenv("PATH", str(outside))
    assert refused(lambda: Repository.around(Path()))[0] == "no-git"


def test_where_histories_went_apart_is_found(repository: TriedRepository) -> None:
    base = repository.commit(a__st="1")
    repository.git("switch", "--quiet", "--create", "other")
    repository.commit(a__st="2")
    repository.git("switch", "--quiet", "main")
    repository.commit(b__st="1")
    assert Repository.around(Path()).merge_base("other") == base
    repository.git("switch", "--quiet", "--orphan", "alone")
    repository.commit(c__st="1")
    code, way = refused(lambda: Repository.around(Path()).merge_base("main"))
    assert (code, way) == ("no-merge-base", "name a revision of the same history")


def test_a_shallow_clone_is_told_how_to_fetch_the_rest(
    repository: TriedRepository, tmp_path: Path
) -> None:
    first = repository.commit(a__st="1")
    repository.commit(a__st="2")
    source = repository.top.as_uri()
    repository.git("clone", "--quiet", "--depth", "1", source, str(tmp_path / "clone"))
    clone = Repository.around(tmp_path / "clone")
    code, way = refused(lambda: clone.merge_base(first))
    assert (code, way.endswith("git fetch --unshallow")) == ("unknown-revision", True)


def test_an_index_with_an_unfinished_merge_is_refused(repository: TriedRepository) -> None:
    repository.commit(a__st="1")
    repository.git("switch", "--quiet", "--create", "other")
    repository.commit(a__st="2")
    repository.git("switch", "--quiet", "main")
    repository.commit(a__st="3")
    with pytest.raises(Exception, match="merge"):
        repository.git("merge", "other")

    def staged() -> None:
        with Repository.around(Path()).files(None):
            pass

    assert refused(staged)[0] == "git-failed"


@pytest.mark.long
def test_a_block_is_compared_with_its_former_self(
    repository: TriedRepository, capsys: pytest.CaptureFixture[str]
) -> None:
    repository.commit(b__st=BLOCK)
    repository.write("b.st", BLOCK.replace("q := a", "q := NOT a"))
    assert cli.run(["compare", "HEAD:b.st", "b.st", "--scan", "T#10ms"]) == 1
    assert "HEAD:b.st:4:1: this set first.q" in capsys.readouterr().out
    assert cli.run(["compare", "HED:b.st", "b.st"]) == 2
    assert "[unknown-revision]" in capsys.readouterr().err


def test_a_revision_lies_outside_of_the_folder_of_confinement(repository: TriedRepository) -> None:
    repository.commit(b__st=BLOCK)
    assert cli.run(["compare", "HEAD:b.st", "b.st", "--confined", "."]) == 2
    with confined_to(Path()), file_at_revision("HEAD", "b.st") as path:
        assert path.is_file()
