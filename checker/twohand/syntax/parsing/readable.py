"""Units without those of their parts that cannot be read: methods, properties and actions, and
declarations of pointers and references."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from twohand.syntax import tree
from twohand.syntax.parsing.parse import parse_part
from twohand.text.comments import STRING, WITHOUT_END
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_text import SourceText

_NAME = r"[^\W\d]\w*"
_MODIFIERS = r"(?:(?:PUBLIC|PRIVATE|PROTECTED|INTERNAL|ABSTRACT|FINAL|OVERRIDE)\s+)*"
_MEMBERS = re.compile(
    rf"{STRING}|(?<![\w.#])(?P<kind>METHOD|PROPERTY|ACTION)\s+{_MODIFIERS}(?P<name>{_NAME})"
    r"|(?<![\w.#])END_(?P<end>METHOD|PROPERTY|ACTION)\b"
    r"|(?<![\w.#])(?P<other>(?:END_)?(?:FUNCTION_BLOCK|PROGRAM|FUNCTION))\b",
    re.IGNORECASE,
)
_BEFORE = re.compile(r"(?:;|\bEND_\w+|\bACTIONS)\s*\Z", re.IGNORECASE)
_HEAD = re.compile(
    rf"\b(?:FUNCTION_BLOCK|PROGRAM)\s+{_MODIFIERS}{_NAME}"
    rf"(?:\s+(?:EXTENDS|IMPLEMENTS)\s+{_NAME}(?:\s*[.,]\s*{_NAME})*)*\s*\Z",
    re.IGNORECASE,
)
_LOOKED_AT = 400
"""Characters before a member that show whether one may begin there."""

_SECTION = re.compile(
    rf"{STRING}|(?<![\w.#])(?P<begin>VAR|VAR_TEMP|STRUCT)\b(?P<words>(?:\s+(?:CONSTANT|RETAIN"
    r"|NON_RETAIN|PERSISTENT|PUBLIC|PRIVATE|PROTECTED|INTERNAL)\b)*)|(?<![\w.#])(?P<end>END_VAR"
    r"|END_STRUCT)\b",
    re.IGNORECASE,
)
_DECLARATION = re.compile(
    rf"\s*(?P<names>{_NAME}(?:\s*,\s*{_NAME})*)\s*:\s*"
    rf"(?:(?:POINTER|REFERENCE)\s+TO|REF_TO)\b[^;:']*(?::=[^;']*)?;",
    re.IGNORECASE,
)
_TO_ITS_END = re.compile(rf"(?:[^;'\"]++|{STRING})*+;")
_ENDS_SECTION = re.compile(r"\b(?:END_\w+|VAR\w*|STRUCT)\b", re.IGNORECASE)
_AT_START = frozenset({"FB_INIT", "FB_REINIT", "FB_EXIT"})
"""Methods that the platform calls."""

_OPENS = re.compile(r"\{\s*[#$%!@]?\s*(?:if|ifdef|ifndef)\b", re.IGNORECASE)
_CLOSES = re.compile(r"\{\s*[#$%!@]?\s*(?:end_if|endif)\b", re.IGNORECASE)
_IDENTIFIERS = re.compile(rf"{STRING}|({_NAME})")


@dataclass(frozen=True, eq=False)
class UnreadPart:
    """A part of a unit's text that cannot be read, and why; ``kind`` is METHOD, PROPERTY or ACTION,
    or VAR for a declaration."""

    kind: str
    names: tuple[str, ...]
    start: int
    end: int
    problems: tuple[Diagnostic, ...] = field(default=(), repr=False)

    @property
    def keys(self) -> frozenset[str]:
        """What it declares, in upper case."""
        return frozenset(name.upper() for name in self.names)


def parse_readable(
    source: SourceText, text: str, start: int, end: int, problems: Sequence[Diagnostic]
) -> tuple[tree.SourceFile, tuple[UnreadPart, ...]]:
    """As ``parse_part``, but without the parts in which everything is that is wrong. Whoever uses
    the tree must see that nothing names these parts. InputError where something is wrong
    elsewhere."""
    parts: tuple[UnreadPart, ...] = ()
    first: InputError | None = None
    while True:
        outside = [each for each in problems if not any(_is_in(each, part) for part in parts)]
        try:
            return parse_part(source, without(text, parts), start, end, outside), parts
        except InputError as error:
            first = first or error
            more = _parts_with(error.diagnostics, text, start, end, parts)
        if not more or not all(_is_whole(part, source) for part in more):
            raise first
        parts += more


def without(text: str, parts: Sequence[UnreadPart]) -> str:
    """The text with blanks in place of the parts. Of a member its name and END word stay: where
    it is must be right, and is looked at as it is of any other."""
    for part in parts:
        said = text[part.start : part.end]
        head, end = _stub(part, said)
        blank = re.sub(r"[^\n]", " ", said[len(head) : len(said) - len(end)])
        if part.kind == "PROPERTY":
            blank = f":x{blank[2:]}"
        text = f"{text[: part.start]}{head}{blank}{end}{text[part.end :]}"
    return text


def _stub(part: UnreadPart, said: str) -> tuple[str, str]:
    """What is left of a part: its beginning, as far as its name, and its end."""
    if part.kind == "VAR":
        return "", ""
    found = re.match(rf"{part.kind}\s+{_MODIFIERS}{_NAME}", said, re.IGNORECASE)
    assert found is not None
    return found.group(), said[-len(f"END_{part.kind}") :]


def names_in(text: str) -> frozenset[str]:
    """Every name in a text, in upper case."""
    return frozenset(found[1].upper() for found in _IDENTIFIERS.finditer(text) if found[1])


def _parts_with(
    problems: Sequence[Diagnostic], text: str, start: int, end: int, known: Sequence[UnreadPart]
) -> tuple[UnreadPart, ...]:
    """Those parts in which problems are, but for those known; none where a problem leaves nothing
    to read."""
    if any(problem.code in WITHOUT_END for problem in problems):
        return ()
    found: list[UnreadPart] = []
    begun = {part.start for part in known}
    for part in (*_members(text, start, end), *_declarations(text, start, end)):
        inside = tuple(problem for problem in problems if _is_in(problem, part))
        within = any(other.start <= part.start < other.end for other in (*known, *found))
        if inside and part.start not in begun and not within:
            found.append(replace(part, problems=inside))
    return tuple(found)


def _is_in(problem: Diagnostic, part: UnreadPart) -> bool:
    span = problem.span
    return span is not None and part.start <= span.start and span.end <= part.end


def _is_whole(part: UnreadPart, source: SourceText) -> bool:
    """Whether nothing begins in the part that ends outside of it, nor is it called by the
    platform."""
    said = source.text[part.start : part.end]
    if part.kind == "PROPERTY" and ":" not in said:
        return False
    return len(_OPENS.findall(said)) == len(_CLOSES.findall(said)) and not part.keys & _AT_START


def _members(text: str, start: int, end: int) -> Iterator[UnreadPart]:
    """Methods, properties and actions, from their first word to their END word."""
    begun: re.Match[str] | None = None
    for found in _MEMBERS.finditer(text, start, end):
        if found["kind"] and begun is None:
            before = text[start : found.start()].rstrip()[-_LOOKED_AT:]
            if _BEFORE.search(before) or _HEAD.search(before):
                begun = found
        elif found["end"] and begun is not None:
            kind = begun["kind"].upper()
            if found["end"].upper() == kind:
                yield UnreadPart(kind, (begun["name"],), begun.start(), found.end())
            begun = None
        elif found["other"] or (found["kind"] and begun is not None):
            begun = None


def _declarations(text: str, start: int, end: int) -> Iterator[UnreadPart]:
    """Declarations of pointers and references among the variables of a unit, not its parameters,
    and among the members of structures."""
    for found in _SECTION.finditer(text, start, end):
        position = found.end()
        if not found["begin"]:
            continue
        while (declared := _TO_ITS_END.match(text, position, end)) is not None:
            pointer = _DECLARATION.match(text, position, declared.end())
            if pointer is not None:
                names = tuple(re.findall(_NAME, pointer["names"]))
                yield UnreadPart("VAR", names, pointer.start(), pointer.end())
            elif _ENDS_SECTION.search(declared[0]):
                break
            position = declared.end()
