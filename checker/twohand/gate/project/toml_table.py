"""Reading a TOML document of ours: every key is known, of its kind, and told by its place."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from twohand.gate.project.toml_places import KeyPath, KeyPlace, toml_places
from twohand.text.diagnostic import Diagnostic, InputError, wrong
from twohand.text.source_text import SourceText, Span
from twohand.text.suggestions import nearest

_AT = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")


@dataclass(frozen=True)
class TomlText:
    """A text with its place."""

    text: str
    span: Span


@dataclass
class TomlTable:
    """One table: ``values`` as they were read. What is wrong goes to ``problems``, which all
    tables of a document have in common."""

    source: SourceText
    values: Mapping[str, Any]
    path: KeyPath
    places: Mapping[KeyPath, KeyPlace]
    problems: list[Diagnostic] = field(default_factory=list)
    where: str = ""
    """What the table is of, for messages: "in '[outputs]'", or nothing."""

    def expect(self, *names: str) -> None:
        """Complains of every key that is none of these."""
        for key in self.values:
            if key not in names:
                close = nearest(key, names)
                way = f"did you mean '{close}'?" if close else f"known is {', '.join(names)}"
                message = f"unknown key '{key}'{self.where}"
                self._problem("unknown-key", message, self.place(key).key, way)

    def require(self, *names: str) -> bool:
        """Whether all of these are there; complains of each that is not."""
        missing = [name for name in names if name not in self.values]
        for name in missing:
            message = f"'{name}' is missing{self.where}"
            self._problem("missing-key", message, self.span, f"write {name} = ...")
        return not missing

    @property
    def span(self) -> Span:
        """Where the table begins."""
        place = self.places.get(self.path)
        return Span(self.source, 0, 1) if place is None else place.key

    def place(self, *keys: str | int) -> KeyPlace:
        return self.places.get((*self.path, *keys)) or KeyPlace(self.span, self.span)

    def text(self, name: str) -> TomlText | None:
        value = self.values.get(name)
        if value is None:
            return None
        if isinstance(value, str) and value.strip():
            return TomlText(value, self.place(name).value)
        self._kind(name, "a text that is not empty", f'{name} = "..."')
        return None

    def texts(self, name: str) -> tuple[TomlText, ...]:
        """An array of texts; () where there is none."""
        values = self.values.get(name, [])
        if isinstance(values, list) and all(isinstance(v, str) and v.strip() for v in values):
            return tuple(TomlText(v, self.place(name, i).value) for i, v in enumerate(values))
        self._kind(name, "an array of texts that are not empty", f'{name} = ["...", "..."]')
        return ()

    def number(self, name: str, low: float, high: float) -> float | None:
        """Above ``low``, up to ``high``."""
        value = self.values.get(name)
        if value is None:
            return None
        real = isinstance(value, int | float) and not isinstance(value, bool)
        if real and low < value <= high:
            return float(value)
        self._kind(name, f"a number above {low:,.0f}, up to {high:,.0f}", f"{name} = 60")
        return None

    def day(self, name: str) -> date | None:
        value = self.values.get(name)
        if value is None:
            return None
        if isinstance(value, date) and not isinstance(value, datetime):
            return value
        self._kind(name, "a date", f"{name} = 2027-01-31 (without quotes)")
        return None

    def table(self, name: str) -> TomlTable:
        """The table of this name; an empty one where there is none."""
        value = self.values.get(name, {})
        if not isinstance(value, dict):
            self._kind(name, "a table", f"[{name}]")
            value = {}
        return self._inner(value, (*self.path, name), f" in '{name}'")

    def tables(self, name: str) -> Iterator[TomlTable]:
        """The tables of an array of this name."""
        values = self.values.get(name, [])
        if not isinstance(values, list) or not all(isinstance(each, dict) for each in values):
            self._kind(name, "an array of tables", f"[[{name}]]")
            return
        for number, value in enumerate(values):
            yield self._inner(value, (*self.path, name, number), f" in '{name}'")

    def _inner(self, value: Mapping[str, Any], path: KeyPath, where: str) -> TomlTable:
        return TomlTable(self.source, value, path, self.places, self.problems, where)

    def _kind(self, name: str, wanted: str, way: str) -> None:
        message = f"'{name}' wants {wanted}"
        self._problem("wrong-kind-of-value", message, self.place(name).value, f"write {way}")

    def _problem(self, code: str, message: str, span: Span, way: str) -> None:
        self.problems.append(Diagnostic(code, message, span, way))


def toml_table(source: SourceText) -> TomlTable:
    """A whole document; InputError where the text is no TOML."""
    try:
        values = tomllib.loads(source.text)
        places = toml_places(source)
    except RecursionError:
        raise wrong("malformed-toml", "this is nested too deeply", None, path=source.path) from None
    except ValueError as error:
        raise _malformed(str(error), source) from None
    return TomlTable(source, values, (), places)


def _malformed(said: str, source: SourceText) -> InputError:
    """As the standard library says it, at the place that it names."""
    found = _AT.search(said)
    message = _AT.sub("", said)
    message = f"this is no TOML: {message[:1].lower()}{message[1:]}"
    way = "write key = value; texts are in quotes"
    if found is None:
        return wrong("malformed-toml", message, None, way, path=source.path)
    start = len(source.text)
    if found[1] is not None:
        start = source.line_starts[int(found[1]) - 1] + int(found[2]) - 1
    start = max(0, min(start, len(source.text.rstrip()) - 1))
    return wrong("malformed-toml", message, Span(source, start, start + 1), way)
