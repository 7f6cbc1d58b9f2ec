"""What a faulty input is: its files, the place of its fault, and what has to be said of it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

SPEC = "press.spec"
SOURCE = "press.st"

BLOCK = """TYPE Mode : (Idle, Stroke); END_TYPE
FUNCTION_BLOCK Press
VAR_INPUT
    leftPalm, rightPalm, stop : BOOL;
    speed : INT;
    flags : WORD;
END_VAR
VAR_OUTPUT
    enable : BOOL;
    strokes : INT;
END_VAR
VAR
    window : TON;
    mode : Mode;
    pause : TIME;
    count : UINT;
    {declarations}
END_VAR
    {body}
END_FUNCTION_BLOCK
"""
GOOD_BODY = "enable := leftPalm AND rightPalm AND NOT stop;"
STATEMENTS = {
    "SOURCE": "SOURCE 'press.st';",
    "SCAN": "SCAN T#10ms;",
    "HAND": "HAND left = leftPalm; HAND right = rightPalm;",
    "OUTPUT": "OUTPUT enable;",
    "REQUIRE": "REQUIRE TWO_HAND LOGIC TYPE I;",
}


@dataclass(frozen=True)
class Case:
    """``files`` by name, one of which may have the faulty place between « and »; where none has,
    the message names the spec without a place. ``help`` is a key phrase of the way out."""

    code: str
    help: str
    files: dict[str, str | bytes]
    message: str = ""

    def write(self, folder: Path) -> str:
        """Write the files; what the message has to begin with."""
        for name, content in self.files.items():
            data = content if isinstance(content, bytes) else content.encode()
            for mark in ("«", "»"):
                data = data.replace(mark.encode(self._encoding(name)), b"")
            (folder / name).write_bytes(data)
        marked = self._marked()
        if marked is None:
            return f"{SPEC}: error: "
        name, text = marked
        start = text.index("«")
        line = text.count("\n", 0, start) + 1
        return f"{name}:{line}:{start - text.rfind(chr(10), 0, start)}: error: "

    def place(self) -> str:
        """The faulty place, as far as its first line goes; empty where there is none."""
        marked = self._marked()
        if marked is None:
            return ""
        text = marked[1]
        return text[text.index("«") + 1 : text.index("»")].split("\n")[0]

    def _encoding(self, name: str) -> str:
        """Bytes are 8-bit text, if they have a marked place at all."""
        return "latin-1" if isinstance(self.files[name], bytes) else "utf-8"

    def _marked(self) -> tuple[str, str] | None:
        for name, content in self.files.items():
            text = content if isinstance(content, str) else content.decode("latin-1")
            if "«" in text and "»" in text:
                return name, text
        return None


def spec_text(more: str = "", without: str = "") -> str:
    """A good spec of the press, less some statements, and more ones."""
    kept = [text for word, text in STATEMENTS.items() if word not in without.split()]
    return "\n".join(["SPEC Press", *kept, more, "END_SPEC", ""])


def source_text(body: str = GOOD_BODY, declarations: str = "") -> str:
    """The press with this body."""
    return BLOCK.format(body=body, declarations=declarations)


def in_body(code: str, body: str, help_text: str, message: str = "") -> Case:
    return Case(code, help_text, {SPEC: spec_text(), SOURCE: source_text(body)}, message)


def in_declarations(code: str, declarations: str, help_text: str, message: str = "") -> Case:
    source = source_text(declarations=declarations)
    return Case(code, help_text, {SPEC: spec_text(), SOURCE: source}, message)


def in_source(code: str, source: str, help_text: str, message: str = "") -> Case:
    return Case(code, help_text, {SPEC: spec_text(), SOURCE: source}, message)


def in_spec(code: str, more: str, help_text: str, without: str = "", message: str = "") -> Case:
    files: dict[str, str | bytes] = {SPEC: spec_text(more, without), SOURCE: source_text()}
    return Case(code, help_text, files, message)


def whole_spec(code: str, text: str, help_text: str, message: str = "") -> Case:
    return Case(code, help_text, {SPEC: text, SOURCE: source_text()}, message)
