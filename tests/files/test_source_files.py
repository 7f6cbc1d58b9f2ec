"""How source files are read, and which are refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.files.reading import decode_source, read_source, source_files
from twohand.text.diagnostic import InputError


def test_text_that_is_not_utf8_is_read_as_eight_bit_text() -> None:
    data = "(* Öffner, 5 €, ß *)".encode("cp1252")
    assert decode_source(data, "b.st").text == "(* Öffner, 5 €, ß *)"
    assert decode_source(b"(* \x81 *)", "b.st").text == "(* \x81 *)"


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "empty-file"),
        (b" \n ", "empty-file"),
        (b"\xef\xbb\xbf", "empty-file"),
        (b"ab\0c", "binary-file"),
    ],
)
def test_a_file_without_text_is_refused(data: bytes, code: str) -> None:
    with pytest.raises(InputError) as caught:
        decode_source(data, "b.st")
    assert caught.value.diagnostics[0].code == code
    assert caught.value.diagnostics[0].path == "b.st"


def test_a_missing_file_a_folder_and_a_huge_file_are_refused(tmp_path: Path) -> None:
    huge = tmp_path / "huge.st"
    with huge.open("wb") as file:
        file.truncate(10_000_001)
    for path, code in (
        (tmp_path / "none.st", "missing-file"),
        (tmp_path, "not-a-file"),
        (huge, "file-too-large"),
        (Path("bad\0name"), "unreadable-file"),
    ):
        with pytest.raises(InputError) as caught:
            read_source(path)
        assert caught.value.diagnostics[0].code == code


def test_a_file_is_shown_as_the_user_wrote_it(tmp_path: Path) -> None:
    (tmp_path / "b.st").write_text("PROGRAM p END_PROGRAM")
    assert read_source(tmp_path / "b.st", "./b.st").path == "./b.st"


def test_files_of_other_endings_are_looked_at_by_what_is_in_them(tmp_path: Path) -> None:
    files = {
        "a.exp": "(* ours *)\nFUNCTION_BLOCK A\nEND_FUNCTION_BLOCK\n",
        "b.scl": 'FUNCTION_BLOCK "B"\nBEGIN\nEND_FUNCTION_BLOCK\n',
        "c.db": 'DATA_BLOCK "D"\nNON_RETAIN\nSTRUCT x : BOOL; END_STRUCT;\nEND_DATA_BLOCK\n',
        "d.db": "SQLite format 3\0 FUNCTION_BLOCK",
        "e.exp": "set of measured values: function, program",
        "f.var": "VAR_GLOBAL g : BOOL; END_VAR\n",
        "g.txt": "FUNCTION_BLOCK G\nEND_FUNCTION_BLOCK\n",
    }
    for name, text in files.items():
        (tmp_path / name).write_bytes(text.encode())
    assert [file.name for file in source_files(tmp_path)] == ["a.exp", "b.scl", "c.db", "f.var"]
