"""An answer has the hash of every file that was read for it, of the bytes as they were read."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
import twohand
from twohand.files.reading import noting, read_source
from twohand.results import HashedFile

from tests.support.places import GALLERY

BLOCK = "FUNCTION_BLOCK Lid VAR_INPUT a : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR {} "
END = "END_FUNCTION_BLOCK"


def hashed(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def of(*paths: Path) -> list[HashedFile]:
    return [HashedFile(str(each), hashed(each)) for each in paths]


def spec(folder: Path, source: str, more: str = "") -> Path:
    path = folder / "lid.spec"
    path.write_text(
        f"SPEC Lid SOURCE {source}; SCAN T#10ms; {more} REACHABLE q; END_SPEC", encoding="utf-8"
    )
    return path


@pytest.mark.parametrize(
    "data",
    [
        b"q := a;\n",
        b"q := a;\r\n",
        b"\xef\xbb\xbfq := a; // \xc3\xa4\n",
        b"q := a; // \xe4\n",
        '<?xml version="1.0" encoding="utf-16"?><a/>'.encode("utf-16"),
    ],
)
def test_the_hash_is_that_of_the_bytes_on_disk(data: bytes, tmp_path: Path) -> None:
    path = tmp_path / "lid.st"
    path.write_bytes(data)
    assert read_source(path).sha256 == hashlib.sha256(data).hexdigest()


def test_the_spec_comes_first_and_then_what_it_names(tmp_path: Path) -> None:
    plant = tmp_path / "rod.st"
    plant.write_text(BLOCK.replace("Lid", "Rod").format("q := a;") + END, encoding="utf-8")
    block = tmp_path / "lid.st"
    block.write_text(BLOCK.format("q := a;") + END, encoding="utf-8")
    path = spec(tmp_path, "'lid.st'", "PLANT rod : Rod IN 'rod.st' (a := q);")
    (loaded,) = twohand.load(path)
    assert list(loaded.sources) == of(path, block, plant)


def test_a_file_of_a_folder_that_was_only_searched_counts(tmp_path: Path) -> None:
    folder = tmp_path / "logic"
    folder.mkdir()
    for name in ("Lid", "Other"):
        text = BLOCK.replace("Lid", name).format("q := a;") + END
        (folder / f"{name.lower()}.st").write_text(text, encoding="utf-8")
    path = spec(tmp_path, "'logic'", "BLOCK Lid;")
    (loaded,) = twohand.load(path)
    assert list(loaded.sources) == of(path, folder / "lid.st", folder / "other.st")
    assert loaded.program_paths == (str(folder / "lid.st"),)


def test_both_halves_of_a_block_count(tmp_path: Path) -> None:
    (tmp_path / "head.st").write_text(BLOCK.format(""), encoding="utf-8")
    (tmp_path / "body.st").write_text("q := a;\nIF a THEN q := a; END_IF\n", encoding="utf-8")
    path = spec(tmp_path, "'head.st', 'body.st'")
    (loaded,) = twohand.load(path)
    assert list(loaded.sources) == of(path, tmp_path / "head.st", tmp_path / "body.st")


def test_an_exchange_file_counts_as_it_is() -> None:
    path = GALLERY / "tied_down_ladder.spec"
    (loaded,) = twohand.load(path)
    assert list(loaded.sources) == of(path, GALLERY / "tied_down_ladder.xml")


def test_what_is_inspected_or_compared_has_its_files_and_no_options(tmp_path: Path) -> None:
    for name in ("old", "new"):
        (tmp_path / f"{name}.st").write_text(BLOCK.format("q := a;") + END, encoding="utf-8")
    old, new = tmp_path / "old.st", tmp_path / "new.st"
    limits = {"scan": "T#10ms", "effort": 5.0, "processes": 1}
    (block,) = twohand.inspect(old, **limits).blocks  # type: ignore[arg-type]
    assert list(block.sources) == of(old)
    found = twohand.compare(old, new, **limits)  # type: ignore[arg-type]
    assert [list(each.sources) for each in (found.first, found.second)] == [of(old), of(new)]


def test_every_file_that_is_read_is_noted_and_none_afterwards(tmp_path: Path) -> None:
    paths = [tmp_path / "text.st", tmp_path / "binary.st"]
    paths[0].write_bytes(b"q := a;")
    paths[1].write_bytes(b"q \0 a")
    noted: list[tuple[str, str]] = []
    with noting(noted):
        read_source(paths[0], "shown.st")
        with pytest.raises(twohand.InputError):
            read_source(paths[1])
    read_source(paths[0])
    assert noted == [("shown.st", hashed(paths[0])), (str(paths[1]), hashed(paths[1]))]
