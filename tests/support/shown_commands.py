"""The commands that a page of Markdown shows, with their files and what they are said to print; and
its programs."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from tests.support.places import PACKAGE, ROOT

PAGES = (ROOT / "README.md", *sorted((PACKAGE / "manual").glob("*.md")))
FILES = ("st", "spec", "toml", "scenario", "csv")
LEFT_OUT = "..."
_VARYING = (
    (re.compile(r"\(\d+(\.\d+)? s\)"), "(TIME)"),
    (re.compile(r", \d+(\.\d+)? (s|min)$"), ", TIME"),
    (re.compile(r"\bcvc5 \d+(\.\d+)+"), "cvc5 VERSION"),
)


@dataclass(frozen=True)
class Block:
    """A fenced block; ``line`` is that of its first fence, from 1."""

    page: str
    line: int
    language: str
    title: str
    lines: tuple[str, ...]

    @property
    def place(self) -> str:
        return f"{self.page}:{self.line}"


@dataclass(frozen=True)
class ShownCommand:
    """A command with its whole output, and the files that the page has given until then."""

    place: str
    arguments: tuple[str, ...]
    output: tuple[str, ...]
    files: dict[str, str]
    exit_code: int = 0
    folder: str = ""
    long: bool = False


@dataclass(frozen=True)
class ShownProgram:
    """A program in Python, and the files that the page has given until then."""

    place: str
    text: str
    files: dict[str, str]


def blocks_of(page: Path) -> list[Block]:
    """Every fenced block of a page, in its order."""
    found: list[Block] = []
    begin, heading, inside = 0, "", list[str]()
    for number, line in enumerate(page.read_text(encoding="utf-8").split("\n"), 1):
        if not line.startswith("```"):
            inside.append(line)
        elif not begin:
            begin, heading, inside = number, line.strip("`"), []
        else:
            language, _, title = heading.partition(" ")
            found.append(Block(page.name, begin, language, title, tuple(inside)))
            begin = 0
    assert not begin, f"{page.name}:{begin}: this block has no end"
    return found


def commands_of(blocks: list[Block]) -> Iterator[ShownCommand]:
    """The commands of a page; AssertionError for a block that is none of the convention."""
    for block, files in _with_files(blocks):
        if block.language == "console":
            yield from (replace(each, files=files) for each in _shown(block))


def programs_of(blocks: list[Block]) -> list[ShownProgram]:
    """The programs of a page."""
    return [
        ShownProgram(block.place, "\n".join(block.lines), files)
        for block, files in _with_files(blocks)
        if block.language == "python"
    ]


def _with_files(blocks: list[Block]) -> Iterator[tuple[Block, dict[str, str]]]:
    """The blocks that are no files, with the files of the page as they are there."""
    files: dict[str, str] = {}
    for block in blocks:
        if block.language in FILES:
            files = {**files, block.title: "\n".join(block.lines) + "\n"}
        elif block.language == "diff":
            files = {**files, block.title: changed(files[block.title], block)}
        else:
            assert block.language in ("console", "python"), f"{block.place}: what is this?"
            yield block, files


def changed(text: str, block: Block) -> str:
    """A file after the changes of a block."""
    lines = text.split("\n")
    place = 0
    for line in block.lines:
        kind, content = line[:1], line[1:]
        if kind == "-":
            assert lines.count(content) == 1, f"{block.place}: {content!r} does not occur once"
            place = lines.index(content)
            del lines[place]
        elif kind == "+":
            lines.insert(place, content)
            place += 1
        else:
            assert lines.count(content) == 1, f"{block.place}: {content!r} does not occur once"
            place = lines.index(content) + 1
    return "\n".join(lines)


def _shown(block: Block) -> Iterator[ShownCommand]:
    words = block.title.split()
    code = int(words[words.index("exit") + 1]) if "exit" in words else 0
    folder = words[words.index("in") + 1] if "in" in words else ""
    starts = [i for i, line in enumerate(block.lines) if line.startswith("$ ")]
    assert starts[:1] == [0], f"{block.place}: the first line is no command"
    for start, end in zip(starts, [*starts[1:], len(block.lines)], strict=True):
        program, *arguments = shlex.split(block.lines[start].removeprefix("$ "))
        assert program == "twohand", f"{block.place}: {program} is another program"
        yield ShownCommand(
            f"{block.page}:{block.line + 1 + start}",
            tuple(arguments),
            block.lines[start + 1 : end],
            {},
            code,
            folder,
            "long" in words,
        )


def shows(shown: tuple[str, ...], printed: list[str]) -> bool:
    """Whether the lines of a page are what was printed, apart from what the page leaves out."""
    parts = [
        r"(?:[^\n]*\n)+?" if line.strip() == LEFT_OUT else re.escape(_settled(line)) + r"\n"
        for line in shown
    ]
    text = "".join(f"{_settled(line)}\n" for line in printed)
    return re.fullmatch("".join(parts), text) is not None


def _settled(line: str) -> str:
    """A line without what differs from run to run and between installations."""
    for pattern, name in _VARYING:
        line = pattern.sub(name, line)
    return line.rstrip()
