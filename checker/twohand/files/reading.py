"""Reading source files from disk."""

from __future__ import annotations

import hashlib
import os
import re
import stat
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import replace
from pathlib import Path

from twohand.files.confinement import is_outside, opened, refusal
from twohand.files.suffixes import BY_CONTENT, MARKUP, STRUCTURED_TEXT
from twohand.files.xml_encoding import markup_text
from twohand.files.xml_reader import is_exchange_root, root_of
from twohand.text.diagnostic import Diagnostic, InputError, Severity, wrong
from twohand.text.resources import is_folder
from twohand.text.source_text import SourceText, Span
from twohand.text.suggestions import nearest

_HEAD = 65_536
"""Bytes in which a document's first tag is looked for."""

_FIRST = 64
_DECLARATION = re.compile(
    rb"<Declaration>\s*(?:<!\[CDATA\[)?\s*"
    rb"(?:(?:\{[^}]*\}|//[^\n]*\n|\(\*.{0,2000}?\*\))\s*)*"
    rb"(?:FUNCTION_BLOCK|FUNCTION|PROGRAM|TYPE|VAR_GLOBAL|INTERFACE)\b",
    re.IGNORECASE | re.DOTALL,
)
_FIRST_WORD = re.compile(
    rb"^\s*(?:FUNCTION_BLOCK|FUNCTION|PROGRAM|TYPE|VAR_GLOBAL|CONFIGURATION|INTERFACE"
    rb"|ORGANIZATION_BLOCK|DATA_BLOCK)\b",
    re.IGNORECASE | re.MULTILINE,
)

MOST_FILES = 10_000
"""In one folder and all below it."""

LONGEST_LINE = 100_000
"""Characters; what people write has a hundred."""

LARGEST_FILE = 10_000_000
"""Bytes; a hand-written program is a thousand times smaller."""


_noted: ContextVar[list[tuple[str, str]] | None] = ContextVar("noted", default=None)


@contextmanager
def noting(files: list[tuple[str, str]]) -> Iterator[None]:
    """Within, ``files`` get the path and the SHA-256 of every file that is read, also of one that
    turns out to be of no use."""
    before = _noted.set(files)
    try:
        yield
    finally:
        _noted.reset(before)


def read_source(path: Path, shown: str | None = None) -> SourceText:
    """The text of a file: UTF-8 with or without mark, else 8-bit text; line ends become ``\\n``.
    ``shown`` is the path to show (default: as given). InputError where it cannot be used."""
    data = _read_bytes(path, shown or str(path))
    noted = _noted.get()
    if noted is not None:
        noted.append((shown or str(path), _sha256(data)))
    return decode_source(data, shown or str(path))


def decode_source(data: bytes, shown: str) -> SourceText:
    """The same for bytes already read."""
    if not data.removeprefix(b"\xef\xbb\xbf").strip():
        raise _unusable(
            "empty-file", "the file is empty", shown, "write its text, or name another file"
        )
    text = markup_text(data, shown)
    if text is not None:  # lines as long as a tool writes them
        return SourceText(shown, with_plain_line_ends(text), sha256=_sha256(data))
    if b"\0" in data:
        message = "the file is not text (it has NUL bytes)"
        raise _unusable("binary-file", message, shown, "save it as UTF-8 text")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1") if _has_undefined(data) else data.decode("cp1252")
    source = SourceText(shown, with_plain_line_ends(text), sha256=_sha256(data))
    check_lines(source)
    return source


def _sha256(data: bytes) -> str:
    """Of the file as it is on disk, so that other tools compute the same."""
    return hashlib.sha256(data, usedforsecurity=False).hexdigest()


def with_plain_line_ends(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def check_lines(source: SourceText) -> None:
    """InputError for a line that nobody wrote."""
    start = 0
    while start + LONGEST_LINE < len(source.text):
        end = source.text.rfind("\n", start, start + LONGEST_LINE + 1)
        if end < 0:
            message = f"this line has more than {LONGEST_LINE} characters"
            way = "break it into several"
            raise wrong("line-too-long", message, Span(source, start, start + 1), way)
        start = end + 1


def source_files(folder: Path) -> list[Path]:
    """The files of structured text and the exchange files below a folder, sorted; hidden folders
    are passed over, and links to folders are not followed. InputError where there are none, or
    too many, or one below cannot be listed."""
    if is_outside(folder):
        raise InputError(refusal(str(folder)))
    found: list[Path] = []
    for place, folders, files in os.walk(folder, onerror=_unlisted):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        found.extend(file for name in files if _is_source(file := Path(place, name)))
        if len(found) > MOST_FILES:
            message = f"the folder has more than {MOST_FILES} source files"
            way = "name a smaller folder, or the files"
            raise _unusable("too-many-files", message, str(folder), way)
    if not found:
        message = "there is no source file in this folder"
        way = f"source files end in {', '.join(STRUCTURED_TEXT)}, exchange files in {MARKUP}"
        raise _unusable("no-source-files", message, str(folder), way)
    return sorted(found, key=lambda path: path.as_posix().casefold())


def _unlisted(error: OSError) -> None:
    message = f"the folder cannot be read: {error.strerror}"
    way = "see that it may be read, or name the files"
    raise _unusable("unreadable-path", message, str(error.filename), way)


def readable(
    files: Iterable[Path], read: Callable[[Path], SourceText], notes: list[Diagnostic]
) -> list[SourceText]:
    """The texts of those of a folder's files that can be read; the others are noted."""
    found: list[SourceText] = []
    for file in files:
        try:
            found.append(read(file))
        except InputError as error:
            notes.extend(
                replace(problem, severity=Severity.NOTE, help="nothing is taken from this file")
                for problem in error.diagnostics
            )
    return found


def _is_source(file: Path) -> bool:
    name = file.name.lower()
    if name.startswith(".") or _is_pipe_or_device(file):
        return False
    if name.endswith(STRUCTURED_TEXT):
        return True
    if name.endswith(BY_CONTENT) and _has_units(file):
        return True
    return (name.endswith(MARKUP) and _is_exchange_file(file)) or _is_wrapped_text(file)


def _is_pipe_or_device(file: Path) -> bool:
    """Where reading might wait for ever; what cannot be read at all is reported as it is read."""
    try:
        mode = file.stat().st_mode
    except OSError:
        return False
    return not (stat.S_ISREG(mode) or stat.S_ISDIR(mode))


def _has_units(file: Path) -> bool:
    """Whether the beginning of a file has the first word of a unit at the start of a line; one
    that may not be read is refused as it is read."""
    if is_outside(file):
        return True
    try:
        with opened(file) as stream:
            head = stream.read(_HEAD)
    except OSError:
        return False
    return b"\0" not in head and _FIRST_WORD.search(head) is not None


def _is_wrapped_text(file: Path) -> bool:
    """Whether the beginning of a file, whatever its ending, is that of XML around a declaration."""
    if is_outside(file):
        return False
    try:
        with opened(file) as stream:
            head = stream.read(_FIRST)
            if not head.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"<"):
                return False
            head += stream.read(_HEAD)
    except OSError:
        return False
    return _DECLARATION.search(head) is not None


def _is_exchange_file(file: Path) -> bool:
    """Whether the beginning of a file is that of an exchange file, in whatever encoding; one that
    may not be read is refused as it is read."""
    if is_outside(file):
        return True
    try:
        with opened(file) as stream:
            head = stream.read(_HEAD)
    except OSError:
        return False
    try:
        text = markup_text(head, str(file), "ignore") or ""
    except InputError:
        text = head.decode("latin-1")
    return is_exchange_root(root_of(SourceText(str(file), text)))


def _has_undefined(data: bytes) -> bool:
    return any(byte in data for byte in b"\x81\x8d\x8f\x90\x9d")


def nearby(path: Path) -> str:
    """The file of the same folder that may have been meant, or that there is no folder."""
    try:
        names = [file.name for file in path.parent.iterdir() if file.suffix == path.suffix]
    except OSError:
        return "there is no such folder either"
    close = nearest(path.name, names)
    return f"did you mean '{close}'?" if close is not None else ""


def read_data(path: Path, most: int) -> bytes:
    """The bytes of a file that may have so many; InputError where it cannot be used."""
    return _read_bytes(path, str(path), most)


def content_hash(path: Path) -> str:
    """The SHA-256 of a file's bytes; '' where it cannot be read. It is not noted as read."""
    try:
        return _sha256(_read_bytes(path, str(path)))
    except InputError:
        return ""


def _read_bytes(path: Path, shown: str, most: int = LARGEST_FILE) -> bytes:
    if is_outside(path):
        raise InputError(refusal(shown))
    try:
        if is_folder(path):
            raise _unusable(
                "not-a-file", "this is a folder, not a file", shown, "name a file in it"
            )
        if _is_pipe_or_device(path):
            message = "this is a pipe or a device, not a file: reading it might never end"
            raise _unusable("not-a-file", message, shown, "save the text as a file, and name that")
        with opened(path) as stream:
            data = stream.read(most + 1)
        if len(data) > most:
            message = f"the file is larger than {most // 1_000_000} MB"
            raise _unusable("file-too-large", message, shown, "name the files of the block alone")
        return data
    except FileNotFoundError:
        raise _unusable("missing-file", "there is no such file", shown, nearby(path)) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        message = f"the file cannot be read: {reason}"
        way = "see that it exists and may be read"
        raise _unusable("unreadable-file", message, shown, way) from None


def _unusable(code: str, message: str, shown: str, help_text: str = "") -> InputError:
    return wrong(code, message, None, help_text, path=shown)
