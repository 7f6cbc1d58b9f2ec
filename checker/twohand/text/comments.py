"""Comments and pragmas: blanked before lexing, so that every offset stays what it was.

``(* *)`` and ``/* */`` nest, each within its own kind (IEC 61131-3 Ed. 3); ``//`` ends with its
line. Pragmas and attributes are passed over, but for those that choose among texts, hold code, or
say how variables begin and what is called when.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from twohand.text.diagnostic import Diagnostic, InputError, wrong
from twohand.text.source_text import SourceText, Span

_START = re.compile(r"\(\*|/\*|//|\{|'|\"|\*\)|\*/")
_START_OR_LINE = re.compile(
    rf"{_START.pattern}|(?P<line>^[ \t]*(?:REGION\b|TITLE[ \t]*=)[^\n]*|\bEND_REGION\b)",
    re.IGNORECASE | re.MULTILINE,
)
_PIECE = {"(*": re.compile(r"\(\*|\*\)"), "/*": re.compile(r"/\*|\*/")}
IN_SINGLE_QUOTES = r"'(?:\$.|[^$'\n])*'"
_IN_DOUBLE_QUOTES = r"\"(?:\$.|[^$\"\n])*\""
STRING = f"{IN_SINGLE_QUOTES}|{_IN_DOUBLE_QUOTES}"
"""A character string with both its quotes, as a pattern."""

_STRING = {"'": re.compile(IN_SINGLE_QUOTES), '"': re.compile(_IN_DOUBLE_QUOTES)}
_ATTRIBUTE = re.compile(r"\{\s*attribute\s+'([^'\n]*)'\s*(?::=\s*'[^'\n]*'\s*)?\}", re.IGNORECASE)
_VALUES = re.compile(r"\{(\s*\w+\s*:=\s*'[^'\n]*'\s*(?:;\s*\w+\s*:=\s*'[^'\n]*'\s*)*;?\s*)\}")
"""``{Key := 'x'; Other := '1.0'}``, which is no code where a declaration follows."""
_DECLARES = re.compile(
    r"(?:\s|\(\*[^*]*\*\)|//[^\n]*\n)*"
    r"(?::(?!=)|AT\b|(?:VERSION|AUTHOR|FAMILY|NAME)\s*:(?!=)|TITLE\s*=|VAR(?:_\w+)?\b|STRUCT\b)",
    re.IGNORECASE,
)
DESCRIPTION = re.compile(r"\(\*\s*@(\w+)@\s*:\s*DESCRIPTION\s*\*\)", re.IGNORECASE)
_TAIL = re.compile(r"\(\*\w+:(?:[^*]|\*(?!\)))*\*\)(?:\s*\(\*(?:[^*]|\*(?!\)))*\*\))*\s*\Z")
_CONDITIONAL = re.compile(
    r"\{\s*[#$%!@]?\s*(?:if|ifdef|ifndef|elsif|elif|else|elseif|end_if|endif|define|undefine|undef"
    r"|include|conditional)\b",
    re.IGNORECASE,
)
_ACTING = re.compile(r"init|call|virtual|retain|persist", re.IGNORECASE)
"""In the names of attributes that change how variables begin or what is called."""


WITHOUT_END = frozenset({"unterminated-comment", "unterminated-pragma"})
"""What leaves nothing of a file to read."""

MOST_PROBLEMS = 50
"""Of one file; more help nobody."""

LineRule = Callable[[Sequence[str], "re.Match[str]"], bool]
"""Whether a line that begins like one that only names something is one; what is before it, in
pieces, decides."""

UNREADABLE = "\0"
"""Replaces a quote without end."""

_UNREADABLE_STRING = re.compile(r"[^\n]*?(?=[);,\s]*(?:\n|\Z))")
"""What a quote without end makes unreadable: its line, but for signs that end a statement."""


def blank_comments(
    source: SourceText,
    problems: list[Diagnostic] | None = None,
    passed_over: list[Span] | None = None,
    is_line: LineRule | None = None,
) -> str:
    """The text with spaces in place of comments and pragmas (line ends stay).

    A comment, pragma or string without end, and a pragma that may change what the program does,
    are noted in ``problems`` and passed over; without ``problems``, InputError for the first.
    ``passed_over`` gets the places of all other pragmas. With ``is_line``
    the lines that it says yes to are blanked too (``REGION name``).
    """
    text = source.text
    pieces: list[str] = []
    position = 0
    pattern = _START if is_line is None else _START_OR_LINE
    while found := pattern.search(text, position):
        start, mark = found.start(), found.group()
        if is_line is not None and found.lastgroup == "line":
            pieces.append(text[position:start])
            word = len(mark) - len(mark.lstrip()) + 1
            passes = is_line(pieces, found)
            pieces.append(" " * len(mark) if passes else mark[:word])
            position = found.end() if passes else start + word
            continue
        quoted = mark in _STRING
        try:
            end = _end_of(source, start, mark)
        except InputError as error:
            if problems is None or len(problems) >= MOST_PROBLEMS:
                raise
            problems.extend(error.diagnostics)
            end, quoted = _end_of_unreadable(text, start, mark), False
        else:
            if mark == "{" and passed_over is not None:
                passed_over.append(Span(source, start, end))
        pieces.append(text[position:start])
        passage = text[start:end]
        pieces.append(passage if quoted else re.sub(r"[^\n]", " ", passage))
        if mark in _STRING and not quoted:
            pieces[-1] = f"{UNREADABLE}{pieces[-1][1:]}"
        position = end
    pieces.append(text[position:])
    return "".join(pieces)


def _end_of_unreadable(text: str, start: int, mark: str) -> int:
    if mark in _STRING:
        found = _UNREADABLE_STRING.match(text, start)
        return max(start + 1, found.end() if found else start)
    if mark in ("*)", "*/"):
        return start + 2
    end = text.find("}", start) + 1 if mark == "{" else 0
    return end or len(text)


def _end_of(source: SourceText, start: int, mark: str) -> int:
    text = source.text
    if mark == "//":
        end = text.find("\n", start)
        return len(text) if end < 0 else end
    if mark in _PIECE:
        return _end_of_comment(source, start, mark)
    if mark in _STRING:
        quoted = _STRING[mark].match(text, start)
        if quoted is None:
            raise _error(source, start, 1, "unterminated-string", "this quote is not closed",
                         f"close it with {mark} in the same line")  # fmt: skip
        return quoted.end()
    if mark == "{":
        return _end_of_pragma(source, start)
    raise _error(source, start, 2, "stray-comment-end", f"'{mark}' closes no comment",
                 "remove it, or open the comment before it")  # fmt: skip


def _end_of_comment(source: SourceText, start: int, mark: str) -> int:
    description = DESCRIPTION.match(source.text, start)
    if description is not None:
        return _end_of_description(source, description)
    depth = 0
    for found in _PIECE[mark].finditer(source.text, start):
        depth += 1 if found.group() == mark else -1
        if depth == 0:
            return found.end()
    if _is_tail(source.text, start):
        return len(source.text)
    closing = "*)" if mark == "(*" else "*/"
    raise _error(source, start, 2, "unterminated-comment", "this comment is not closed",
                 f"close it with {closing}; as comments nest, each {mark} needs one")  # fmt: skip


def _end_of_description(source: SourceText, begin: re.Match[str]) -> int:
    """Free text up to the comment that says so."""
    end = re.compile(rf"\(\*\s*@{begin[1]}@\s*:\s*END_DESCRIPTION\s*\*\)", re.IGNORECASE).search(
        source.text, begin.end()
    )
    if end is None:
        message = "this description is not closed"
        way = f"close it with (*@{begin[1]}@:END_DESCRIPTION*)"
        raise _error(source, begin.start(), 2, "unterminated-comment", message, way)
    return end.end()


def _is_tail(text: str, start: int) -> bool:
    """Whether a comment with a mark (``(*DBG:...``) and others are all that is left of a file, also
    where comments do not nest: then nothing is hidden, however its signs are paired."""
    return _TAIL.match(text, start) is not None


def _end_of_pragma(source: SourceText, start: int) -> int:
    """An attribute's values may have braces; any other pragma ends with the first one."""
    attribute = _ATTRIBUTE.match(source.text, start)
    end = attribute.end() if attribute else source.text.find("}", start) + 1
    if end == 0:
        raise _error(source, start, 1, "unterminated-pragma", "this pragma is not closed",
                     "close it with }")  # fmt: skip
    length = end - start
    if _CONDITIONAL.match(source.text, start):
        raise _error(source, start, length, "unsupported-conditional-compilation",
                     "the checker does not read conditional compilation",
                     "leave only the text that is compiled for the machine, and remove the "
                     "pragmas around it")  # fmt: skip
    values = None if attribute else _VALUES.match(source.text, start)
    if values is not None and _DECLARES.match(source.text, end) and values.end() == end:
        names = re.findall(r"(\w+)\s*:=", values[1])
        acting = next((name for name in names if _ACTING.search(name)), None)
        if acting is None:
            return end
        message = f"the attribute '{acting}' may change how variables begin or what is called"
        raise _error(source, start, length, "unsupported-pragma", message,
                     "remove it if it does not")  # fmt: skip
    if attribute and _ACTING.search(attribute[1]):
        message = f"the attribute '{attribute[1]}' may change how variables begin or what is called"
        way = "remove it if it does not"
        raise _error(source, start, length, "unsupported-pragma", message, way)
    if not attribute and ";" in source.text[start:end]:
        raise _error(source, start, length, "unsupported-pragma", "this pragma may hold code",
                     "remove it if it does not; other pragmas are passed over")  # fmt: skip
    return end


def _error(
    source: SourceText, start: int, length: int, code: str, message: str, help_text: str
) -> InputError:
    return wrong(code, message, Span(source, start, start + length), help_text)
