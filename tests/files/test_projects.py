"""SOURCE with several files and folders: what the block needs is read, whatever lies beside it."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.files.index import index_of
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Specification
from twohand.syntax.parsing.parse import parse_part
from twohand.text.diagnostic import InputError, Severity
from twohand.text.source_text import SourceText

SPEC = """SPEC Press
SOURCE {source};
BLOCK Press;
SCAN T#10ms;
HAND left = leftPalm; HAND right = rightPalm;
OUTPUT enable;
REQUIRE TWO_HAND LOGIC TYPE I;
END_SPEC
"""
PRESS = """FUNCTION_BLOCK Press
VAR_INPUT leftPalm, rightPalm : BOOL; END_VAR
VAR_OUTPUT enable : BOOL; END_VAR
VAR guard : Guard; mode : Mode; shut : BOOL; END_VAR
{body}
enable := leftPalm AND rightPalm;
END_FUNCTION_BLOCK
"""
GUARD = """FUNCTION_BLOCK Guard
VAR_INPUT shut : BOOL; END_VAR
VAR_OUTPUT safe : BOOL; END_VAR
safe := shut;
END_FUNCTION_BLOCK
"""
MODE = "TYPE Mode : (Idle, Stroke); END_TYPE\n"
BROKEN = "FUNCTION_BLOCK Lamp\nVAR on : BOOL; END_VAR\non = TRUE\nEND_FUNCTION_BLOCK\n"


def write(folder: Path, files: dict[str, str], source: str = "'lib'", body: str = "") -> Path:
    contents = {"lib/main/press.st": PRESS.format(body=body), "lib/guard.ST": GUARD}
    contents |= {"lib/types/mode.st": MODE} | files
    for name, text in contents.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode())
    spec = folder / "press.spec"
    spec.write_text(SPEC.format(source=source), encoding="utf-8")
    return spec


def codes(spec: Path) -> list[str]:
    with pytest.raises(InputError) as caught:
        load_specification(spec)
    return [problem.code for problem in caught.value.diagnostics]


def load(spec: Path) -> Specification:
    return load_specification(spec)


def test_a_folder_gives_the_block_what_it_needs(tmp_path: Path) -> None:
    loaded = load(write(tmp_path, {"lib/other.st": GUARD.replace("Guard", "Other")}))
    assert [Path(s.path).name for s in loaded.program.sources] == [
        "guard.ST",
        "press.st",
        "mode.st",
    ]


def test_a_structure_is_found_by_its_own_name_where_it_extends_another(tmp_path: Path) -> None:
    mode = "TYPE Mode EXTENDS Level : STRUCT deep : BOOL; END_STRUCT; END_TYPE\n"
    (segment,) = index_of(SourceText("mode.st", mode)).segments
    assert set(segment.keys) == {"MODE"}
    files = {
        "lib/types/mode.st": mode,
        "lib/level.st": "TYPE Level : STRUCT high : BOOL; END_STRUCT; END_TYPE\n",
    }
    loaded = load(write(tmp_path, files, body="shut := mode.high OR mode.deep;"))
    read = {Path(source.path).name for source in loaded.program.sources}
    assert read == {"press.st", "guard.ST", "mode.st", "level.st"}


def test_a_path_may_be_written_with_either_slash(tmp_path: Path) -> None:
    source = r"'lib\main\press.st', 'lib/guard.ST', 'lib\types'"
    assert load(write(tmp_path, {}, source)).program.name == "Press"


def test_a_broken_file_that_nothing_needs_does_not_stop_the_check(tmp_path: Path) -> None:
    loaded = load(write(tmp_path, {"lib/lamp.st": BROKEN}))
    assert loaded.program.name == "Press"


@pytest.mark.parametrize(
    "text",
    ["FUNCTION_BLOCK Lamp (* no end", "FUNCTION_BLOCK Lamp\nIF on THEN\n", "\0\0", " \n"],
)
def test_a_file_that_cannot_be_read_is_noted(text: str, tmp_path: Path) -> None:
    loaded = load(write(tmp_path, {"lib/lamp.st": text}))
    (note,) = loaded.warnings
    assert note.severity is Severity.NOTE
    assert note.path.endswith("lamp.st")


def test_a_broken_file_that_is_needed_is_told_with_all_its_errors(tmp_path: Path) -> None:
    guard = GUARD.replace("safe := shut;", "safe = shut\nsafe := ;")
    with pytest.raises(InputError) as caught:
        load(write(tmp_path, {"lib/guard.ST": guard}))
    found = caught.value.diagnostics
    assert [d.code for d in found] == [
        "equals-for-assignment",
        "missing-semicolon",
        "missing-expression",
    ]
    assert all(d.span and d.span.source.path.endswith("guard.ST") for d in found)


def test_a_type_error_in_another_file_points_there(tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        load(write(tmp_path, {"lib/guard.ST": GUARD.replace(":= shut", ":= 5")}, body="guard();"))
    (found,) = caught.value.diagnostics
    assert found.span
    assert found.span.source.path.endswith("guard.ST")


def test_an_unknown_block_names_the_files_looked_at(tmp_path: Path) -> None:
    spec = write(tmp_path, {}, "'lib/main', 'lib/types/mode.st'")
    with pytest.raises(InputError) as caught:
        load(spec)
    (found,) = caught.value.diagnostics
    assert found.code == "unknown-type"
    assert "press.st" in found.help
    assert "mode.st" in found.help


def test_the_nearest_block_of_any_file_is_offered(tmp_path: Path) -> None:
    spec = write(tmp_path, {"lib/guard.ST": GUARD.replace("Guard", "Guards")})
    with pytest.raises(InputError) as caught:
        load(spec)
    assert caught.value.diagnostics[0].help == "did you mean 'Guards'?"


def test_a_block_in_two_files_is_an_error_only_where_it_is_needed(tmp_path: Path) -> None:
    lamp = BROKEN.replace("on = TRUE", "on := TRUE;")
    assert load(write(tmp_path, {"lib/a.st": lamp, "lib/b.st": lamp})).program.name == "Press"
    assert codes(write(tmp_path, {"lib/copy.st": GUARD})) == ["duplicate-name"]


def test_what_cannot_be_read_in_a_named_file_is_noted(tmp_path: Path) -> None:
    (note,) = load(write(tmp_path, {"lamp.st": BROKEN}, "'lib', 'lamp.st'")).warnings
    assert (note.code, note.severity) == ("unread-unit", Severity.NOTE)
    assert note.span
    assert note.span.line == 3


def test_hidden_folders_and_other_files_are_passed_over(tmp_path: Path) -> None:
    files = {"lib/.git/guard.st": GUARD, "lib/notes.txt": GUARD, "lib/.guard.st": GUARD}
    assert load(write(tmp_path, files)).warnings == ()


GLOBALS = "VAR_GLOBAL shutDown : BOOL; END_VAR\n"
WRITER = "PROGRAM Panel\nshutDown := NOT shutDown;\nEND_PROGRAM\n"
READER = "PROGRAM Panel\nVAR x : BOOL; END_VAR\nx := shutDown;\nEND_PROGRAM\n"


@pytest.mark.parametrize(
    ("panel", "changed"),
    [
        (WRITER, True),
        (READER, False),
        (WRITER.replace("NOT", "NOT NOT ;"), True),  # not readable: it may write
    ],
)
def test_what_a_unit_that_is_not_part_of_the_block_writes_is_an_input(
    panel: str, changed: bool, tmp_path: Path
) -> None:
    files = {"lib/globals.st": GLOBALS, "lib/panel.st": panel}
    program = load(write(tmp_path, files, body="shutDown := shutDown OR shut;")).program
    assert [v.name for v in program.changed_inputs] == (["shutDown"] if changed else [])


def notes(folder: Path, files: dict[str, str]) -> list[tuple[str, str]]:
    found = load(write(folder, {f"lib/{name}": text for name, text in files.items()})).warnings
    assert all(note.severity is Severity.NOTE for note in found)
    return [(note.code, note.message) for note in found]


def unit(name: str, *inner: str, text: str = "") -> str:
    declared = "".join(f"i{n} : {each}; " for n, each in enumerate(inner))
    body = f"VAR {declared}x : BOOL; END_VAR x := TRUE; {text}"
    return f"FUNCTION_BLOCK {name} {body} END_FUNCTION_BLOCK\n"


def test_a_unit_that_several_files_declare_is_told(tmp_path: Path) -> None:
    found = notes(tmp_path, {"a.st": unit("Lamp"), "b.st": unit("LAMP")})
    assert [code for code, _ in found] == ["duplicate-name"]
    message = found[0][1]
    assert "'LAMP' is declared by" in message
    assert "a.st' too; nothing that is checked needs it" in message


def test_units_that_have_each_other_in_them_are_told(tmp_path: Path) -> None:
    files = {"a.st": unit("A", "B"), "b.st": unit("B", "C"), "c.st": unit("C", "A", "D")}
    ((code, message),) = notes(tmp_path, files | {"d.st": unit("D")})
    assert code == "recursion"
    assert message == (
        "'A' has 'B' has 'C' has 'A' in it, without an end; nothing that is checked needs it"
    )


@pytest.mark.parametrize(
    "text",
    ["// i : A;\n", "(* i : A; *)\n", "{attribute ': A'}\n", "CASE 1 OF 1: A(); END_CASE"],
)
def test_what_only_looks_like_a_circle_is_none(text: str, tmp_path: Path) -> None:
    files = {"a.st": unit("A", "B"), "b.st": unit("B", text=text)}
    assert notes(tmp_path, files) == []


@pytest.mark.parametrize(
    "text", ["(* FUNCTION_BLOCK X END_FUNCTION_BLOCK *)", "x := 'FUNCTION_BLOCK X';", "x := 1;"]
)
def test_a_file_that_declares_nothing_is_told(text: str, tmp_path: Path) -> None:
    ((code, message),) = notes(tmp_path, {"notes.st": text})
    assert code == "unread-file"
    assert message.startswith("this file declares no unit, type or global variable")


def test_only_what_is_needed_is_parsed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    others = {f"lib/many/b{n}.st": GUARD.replace("Guard", f"Other{n}") for n in range(100)}
    spec = write(tmp_path, others)
    parsed: list[str] = []

    def counted(*arguments: object) -> object:
        parsed.append(str(arguments[0]))
        return parse_part(*arguments)  # type: ignore[arg-type]

    monkeypatch.setattr("twohand.files.parsed_parts.parse_part", counted)
    load(spec)
    assert len(parsed) == 3
