"""A project file is found from the spec, read whole, and told by its places where it is wrong."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from twohand.commands import main as cli
from twohand.files.confinement import confined_to
from twohand.gate.project.new_project import project_text, spec_files_below
from twohand.gate.project.project_file import ProjectFile, find_project_file
from twohand.text.diagnostic import InputError

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A project with two specs, one of them in a folder of examples; elsewhere is worked."""
    root = tmp_path / "project"
    for name in ("press.spec", "logic/examples/wrong.spec", "logic/lid.spec"):
        write(root / name, "SPEC")
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.chdir(elsewhere)
    return root


def write(path: Path, text: str) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def project(folder: Path, text: str, name: str = "twohand.toml") -> ProjectFile:
    write(folder / name, text)
    found = find_project_file(folder / "press.spec")
    assert found is not None
    return found


def test_it_is_found_upwards_from_the_spec_and_never_from_the_working_folder(
    folder: Path,
) -> None:
    write(Path("twohand.toml"), 'specs = ["."]')
    assert find_project_file(folder / "press.spec") is None
    write(folder / "twohand.toml", 'specs = ["."]\neffort = 5')
    found = find_project_file(folder / "logic" / "examples" / "wrong.spec")
    assert found is not None
    assert (found.folder, found.effort) == (folder.resolve(), 5)


def test_the_nearest_one_counts(folder: Path) -> None:
    write(folder / "twohand.toml", 'specs = ["."]')
    write(folder / "logic" / "pyproject.toml", '[tool.twohand]\nspecs = ["lid.spec"]')
    found = find_project_file(folder / "logic" / "lid.spec")
    assert found is not None
    assert found.folder == (folder / "logic").resolve()


def test_a_file_of_other_tools_is_none(folder: Path) -> None:
    write(folder / "logic" / "pyproject.toml", "[tool.other]\nexlude = 1")
    write(folder / "twohand.toml", 'specs = ["."]')
    found = find_project_file(folder / "logic" / "lid.spec")
    assert found is not None
    assert found.folder == folder.resolve()


def test_none_is_read_outside_of_the_folder_of_confinement(folder: Path) -> None:
    write(folder / "twohand.toml", 'specs = ["."]')
    with confined_to(folder / "logic"):
        assert find_project_file(folder / "logic" / "lid.spec") is None


def test_it_asks_what_it_names_but_for_what_it_excludes(folder: Path) -> None:
    found = project(folder, 'specs = ["logic"]\nexclude = ["logic/examples"]\nfaults = ["logic"]')
    assert found.asks(folder / "logic" / "lid.spec")
    assert not found.asks(folder / "press.spec")
    assert not found.asks(folder / "logic" / "examples" / "wrong.spec")
    assert found.asks_faults(folder / "logic" / "lid.spec")
    assert not found.inspects(folder / "logic" / "lid.spec")


def test_hidden_folders_and_installed_environments_are_none_of_it(folder: Path) -> None:
    hidden = write(folder / ".git" / "old.spec", "SPEC")
    installed = write(folder / "env" / "lib" / "gallery.spec", "SPEC")
    write(folder / "env" / "pyvenv.cfg", "")
    found = project(folder, 'specs = ["."]')
    assert [found.asks(each) for each in (hidden, installed, folder / "press.spec")] == [
        False,
        False,
        True,
    ]
    names = [each.relative_to(folder).as_posix() for each in spec_files_below(folder)]
    assert names == ["press.spec", "logic/lid.spec", "logic/examples/wrong.spec"]


WHOLE = """
specs = ["."]
exclude = ["logic/examples"]
effort = 7.5
confined = "."
inspections = ["logic"]
faults = ["press.spec"]
waivers = "gate/waived.toml"
[outputs]
json = "out/review.json"
[[figures]]
spec = "press.spec"
figure = "Press/reaction/left"
at_most = "T#1.5s"
"""


def test_everything_that_it_says_is_read(folder: Path) -> None:
    found = project(folder, WHOLE)
    root = folder.resolve()
    (limit,) = found.limits_of(folder / "press.spec")
    assert (limit.figure, limit.at_most, limit.at_least) == (
        "Press/reaction/left",
        1_500_000_000,
        None,
    )
    assert found.effort == 7.5
    assert found.confined == root / "."
    assert found.waivers == root / "gate" / "waived.toml"
    assert (found.outputs.json, found.outputs.junit) == (root / "out" / "review.json", None)
    assert found.inspects(folder / "logic" / "lid.spec")
    assert not found.limits_of(folder / "logic" / "lid.spec")


def test_what_the_table_of_another_file_says_is_the_same(folder: Path) -> None:
    found = project(folder, '[tool.twohand]\nspecs = ["logic"]', "pyproject.toml")
    assert found.asks(folder / "logic" / "lid.spec")


WRONG = [
    ('specs = ["."]\n«exlude» = []', "unknown-key", "did you mean 'exclude'?"),
    ('specs = ["."]\n«zzz» = []', "unknown-key", "known is specs, exclude"),
    ('specs = ["."]\n[outputs]\n«jason» = "a"', "unknown-key", "did you mean 'json'?"),
    ('specs = ["."]\noutputs.«junti» = "a"', "unknown-key", "did you mean 'junit'?"),
    ("«e»ffort = 1", "missing-key", "write specs = ..."),
    ('specs = «"press.spec"»', "wrong-kind-of-value", 'write specs = ["...", "..."]'),
    ('specs = ["."]\neffort = «true»', "wrong-kind-of-value", "write effort = 60"),
    ('specs = ["."]\neffort = «0»', "wrong-kind-of-value", "write effort = 60"),
    ('specs = ["."]\neffort = «nan»', "wrong-kind-of-value", "write effort = 60"),
    ('specs = ["."]\nconfined = «"  "»', "wrong-kind-of-value", "write confined"),
    ('specs = ["."]\nconfined = «"no"»', "missing-file", 'confined = "."'),
    ('specs = [".", «"pres.spec"»]', "missing-file", "from the folder of the project file on"),
    ('specs = ["."]\nexclude = [«".."»]', "outside-project", "reaches no further"),
    ('specs = ["."]\nexclude = [«"/etc"»]', "outside-project", "reaches no further"),
    ('specs = ["."]\nexclude = [«"a\\u0000b"»]', "outside-project", "reaches no further"),
    ('specs = ["."]\n«[[figures]]»\nspec = "press.spec"\nfigure = "a"', "missing-key", "at_most"),
    (
        'specs = ["."]\n[[figures]]\nspec = "press.spec"\nfigure = "a"\nat_most = «"200 ms"»',
        "malformed-duration",
        "T#500ms",
    ),
    (
        'specs = ["."]\n[[figures]]\nspec = "press.spec"\nfigure = "a"\nat_least = «"T#2x"»',
        "malformed-duration",
        "T#500ms",
    ),
    (
        'specs = ["."]\n[[figures]]\nspec = «"logic"»\nfigure = "a"\nat_most = "T#1s"',
        "not-a-file",
        "name the spec file",
    ),
    ('specs = ["."]\nwaivers = «"../w.toml"»', "outside-project", "reaches no further"),
    ('specs = ["."]\n«f»igures = 1', "wrong-kind-of-value", "write [[figures]]"),
    ('specs = ["."]\noutputs = «1»', "wrong-kind-of-value", "write [outputs]"),
    ('specs = ["."]«]»', "malformed-toml", "write key = value"),
    ('specs = ["."]\nspecs = [".«"»', "malformed-toml", "write key = value"),
]


@pytest.mark.parametrize(("text", "code", "way"), WRONG, ids=[each[0][-40:] for each in WRONG])
def test_what_is_wrong_is_told_at_its_place_with_a_way_out(
    text: str, code: str, way: str, folder: Path, capsys: Capture
) -> None:
    start = text.index("«")
    line, column = text.count("\n", 0, start) + 1, start - text.rfind("\n", 0, start)
    write(folder / "twohand.toml", text.replace("«", "").replace("»", ""))
    os.chdir(folder)
    assert cli.run(["init", "--ascii"]) == 2
    first, shown, marks, *more = capsys.readouterr().err.splitlines()
    if "igures = 1" not in text:
        assert first.startswith(f"twohand.toml:{line}:{column}: error: ")
        marked = shown[marks.index("^") : marks.rindex("^") + 1]
        assert marked == text[start + 1 : text.index("»")]
    assert first.endswith(f"[{code}]")
    assert way in " ".join(" ".join(more).split())


def test_everything_that_is_wrong_is_told(folder: Path) -> None:
    with pytest.raises(InputError) as raised:
        project(folder, 'spec = ["."]\neffort = "much"\n[outputs]\npage = 1')
    codes = [each.code for each in raised.value.diagnostics]
    assert codes == ["unknown-key", "missing-key", "unknown-key", "wrong-kind-of-value"]


def test_two_project_files_in_one_folder_are_refused(folder: Path) -> None:
    write(folder / "pyproject.toml", '[tool.twohand]\nspecs = ["."]')
    with pytest.raises(InputError) as raised:
        project(folder, 'specs = ["."]')
    assert [each.code for each in raised.value.diagnostics] == ["two-project-files"]


@pytest.mark.parametrize("text", ["a = " + "[" * 5_000, "a = 1" + "0" * 5_000])
def test_a_text_that_nobody_writes_is_refused(text: str, folder: Path) -> None:
    with pytest.raises(InputError) as raised:
        project(folder, text)
    assert {each.code for each in raised.value.diagnostics} <= {"malformed-toml", "unknown-key",
                                                              "missing-key"}  # fmt: skip


# --- a new one ----------------------------------------------------------------------------------


def test_a_new_one_asks_every_spec_that_is_there(folder: Path, capsys: Capture) -> None:
    os.chdir(folder)
    assert cli.run(["init"]) == 0
    assert "twohand.toml is written, for 3 specs" in capsys.readouterr().out
    found = find_project_file(Path("press.spec"))
    assert found is not None
    assert all(found.asks(each) for each in spec_files_below(folder))
    before = Path("twohand.toml").read_bytes()
    assert cli.run(["init"]) == 0
    assert "is there already, and asks 3 specs of the 3 below" in capsys.readouterr().out
    assert Path("twohand.toml").read_bytes() == before


def test_a_new_one_names_the_folders_that_have_specs(folder: Path) -> None:
    text = project_text(folder, [folder / 'a "b"/x.spec', folder / "logic/y/z.spec"])
    assert 'specs = ["a \\"b\\"", "logic"]' in text


def test_none_is_begun_where_there_is_no_spec(tmp_path: Path, capsys: Capture) -> None:
    (tmp_path / "none").mkdir()
    assert cli.run(["init", str(tmp_path / "none")]) == 2
    assert "[no-spec-files]" in capsys.readouterr().err
    assert not list((tmp_path / "none").iterdir())
    assert cli.run(["init", str(tmp_path / "nowhere")]) == 2
    assert "[missing-file]" in capsys.readouterr().err
