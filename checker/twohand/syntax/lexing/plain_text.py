"""A text with blanks in place of what only names or describes: comments, pragmas, and the frames
and marks of names that are common outside of the standard. Every offset stays what it was.

Names are marked in such texts: ``#name`` is a variable of the block, ``"name"`` anything else. The
marks are blanked here, and held against what the block declares where names are known
(``syntax.parsing.marked_names``).
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from twohand.syntax.lexing.data_blocks import changes
from twohand.syntax.lexing.keywords import BEFORE_NAMES, KEYWORDS, REFUSED
from twohand.text.comments import DESCRIPTION, IN_SINGLE_QUOTES, blank_comments
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_map import TranslatedText
from twohand.text.source_text import SourceText, Span

Forms = dict[str, Span]
"""What is outside of the standard and was blanked, with its first place."""

QUOTED = '"name"'
"""The form of names in which blanks may be."""

_QUOTED = r"\"[^\"\n]*\""
_HASH = r"(?<![\w#])#(?=[^\W\d]|\")"
_HEADS = "FUNCTION_BLOCK|FUNCTION|PROGRAM|ORGANIZATION_BLOCK|DATA_BLOCK|TYPE"
_MARKED = re.compile(
    rf"{IN_SINGLE_QUOTES}|(?P<mark>{_HASH}|{_QUOTED}(?=\s*(?::=|\.|\())|\b(?:{_HEADS})\s+{_QUOTED})",
    re.IGNORECASE,
)
"""What shows that quotes are those of names in a text."""
_NAMES = re.compile(rf"{IN_SINGLE_QUOTES}|(?P<hash>{_HASH})|(?P<quoted>{_QUOTED})")
_MARKED_WORD = re.compile(r"#(?P<local>\w+)|\"(?P<other>\w+)\"")
_NAME = re.compile(r"[^\W\d]\w*(?: \w+)*")

_KEYWORDS = (KEYWORDS | REFUSED.keys()) - BEFORE_NAMES

_OWN_NAME = r"[^\W\d]\w*"
_ABOUT = (
    r"VERSION\s*:(?!=)\s*[\w.]+|(?:AUTHOR|FAMILY|NAME)\s*:(?!=)[ \t]*(?:'[^'\n]*'|[^\s;:=']+)"
    r"|KNOW_HOW_PROTECT"
)
_HEAD = re.compile(
    rf"\b(?P<kind>{_HEADS})\s+(?P<name>{_OWN_NAME})(?P<result>\s*:\s*{_OWN_NAME})?"
    rf"(?P<about>(?:\s*(?:{_ABOUT}))*)(?P<begin>\s*\bBEGIN\b(?!\s*(?::=|[.(\[])))?",
    re.IGNORECASE,
)
_HEAD_IS_ALL = re.compile(
    rf"\b(?:{_HEADS})\s+(?:{_OWN_NAME}|{_QUOTED})(?:\s*:\s*(?:{_OWN_NAME}|{_QUOTED}))?"
    rf"(?:\s*(?:{_ABOUT}))*\s*\Z",
    re.IGNORECASE,
)
_BEGIN = re.compile(r"\bEND_VAR\s+(BEGIN)\b(?!\s*(?::=|[.(\[]))", re.IGNORECASE)
_BOUNDARY = re.compile(
    r"(?:;|:(?!=)|\b(?:BEGIN|THEN|ELSE|DO|OF|REPEAT|END_\w+))\s*\Z", re.IGNORECASE
)
_WORDS = ("_BLOCK", "TYPE", "VERSION", "AUTHOR", "FAMILY", "NAME", "KNOW_HOW", "BEGIN", "VOID")
_LOOKED_AT = 2_000
"""Characters before a line that show what it is."""


def plain_text(
    source: SourceText,
    problems: list[Diagnostic],
    passed_over: list[Span] | None = None,
    forms: Forms | None = None,
) -> str:
    """The text of a file, blanked; what is wrong is noted in ``problems``, as by
    ``blank_comments``. A translation has no such forms and is blanked of comments only."""
    if isinstance(source, TranslatedText):
        return blank_comments(source, problems, passed_over)
    return _Blanked(source, problems, {} if forms is None else forms).text(passed_over)


class _Blanked:
    def __init__(self, source: SourceText, problems: list[Diagnostic], forms: Forms) -> None:
        self._source = source
        self._problems = problems
        self._forms = forms
        self._regions: list[Span] = []

    def text(self, passed_over: list[Span] | None) -> str:
        upper = self._source.text.upper()
        lines = "REGION" in upper or "TITLE" in upper
        text = blank_comments(
            self._source, self._problems, passed_over, self._is_line if lines else None
        )
        for region in self._regions:
            self._problem("missing-end", "this REGION has no END_REGION", region,
                          "write END_REGION behind its last statement")  # fmt: skip
        described = DESCRIPTION.search(self._source.text) if "@" in upper else None
        if described is not None and not text[described.start() : described.end()].strip():
            self._note("a description between comments", *described.span())
        if "#" in text or '"' in text:
            text = self._with_plain_names(text)
        return self._with_plain_heads(text)

    def _note(self, form: str, start: int, end: int) -> None:
        self._forms.setdefault(form, Span(self._source, start, end))

    def _problem(self, code: str, message: str, span: Span, way: str) -> None:
        self._problems.append(Diagnostic(code, message, span, way))

    # --- lines that name a part of a body, or the block ------------------------------------------

    def _is_line(self, before: Sequence[str], found: re.Match[str]) -> bool:
        """REGION and END_REGION where a statement may begin, TITLE in the head of a unit."""
        line = found.group().strip()
        span = Span(self._source, found.end() - len(found.group().lstrip()), found.end())
        text = _end_of(before)
        begins = not text.strip() or _BOUNDARY.search(text) or _HEAD_IS_ALL.search(text)
        if line.upper() == "END_REGION":
            return bool(begins and self._regions and self._regions.pop())
        said = re.sub(r"^\w+", "", line)
        if ";" in said or ":=" in said:
            return False
        if line[:5].upper() == "TITLE":
            if _HEAD_IS_ALL.search(text) is None:
                return False
            self._note("TITLE", span.start, span.end)
            return True
        if not begins or re.match(r"\s*(?:[:=.,(\[]|\Z)", said):
            return False
        self._regions.append(span)
        self._note("REGION", span.start, span.end)
        return True

    # --- names -----------------------------------------------------------------------------------

    def _with_plain_names(self, text: str) -> str:
        if not any(found["mark"] for found in _MARKED.finditer(text)):
            return text
        pieces: list[str] = []
        position = 0
        for found in _NAMES.finditer(text):
            start, end = found.span()
            if found["hash"]:
                self._note("#name", start, end)
                keyword = self._keyword(text, start)
                end += len(keyword)
                plain = f" {'x' * len(keyword)}"
            elif found["quoted"]:
                plain = self._plain_name(text, start, end)
            else:
                continue
            pieces += (text[position:start], plain)
            position = end
        pieces.append(text[position:])
        return "".join(pieces)

    def _plain_name(self, text: str, start: int, end: int) -> str:
        """The name without its quotes; blanks in it are read as '_'."""
        name, span = text[start + 1 : end - 1], Span(self._source, start, end)
        if _NAME.fullmatch(name) is None:
            message = f"the checker does not read this name in quotes ({span.text})"
            way = "letters, digits, '_' and single blanks make a name that begins with a letter"
            self._problem("unsupported-quoted-name", message, span, way)
            return f" {'x' * len(name)} " if name else "  "
        self._note(QUOTED, start, end)
        if self._keyword(text, start):
            return f" {'x' * len(name)} "
        return f" {name.replace(' ', '_')} "

    def _keyword(self, text: str, start: int) -> str:
        """What is behind the mark, where it would be read as a keyword without it."""
        word = _MARKED_WORD.match(text, start)
        name = "" if word is None else word["local"] or word["other"]
        if word is None or name.upper() not in _KEYWORDS:
            return ""
        span = Span(self._source, start, word.end())
        message = f"'{span.text}' is a keyword without its mark and cannot be a name"
        way = f"choose another name, for instance {name}1"
        self._problem("keyword-as-name", message, span, way)
        return name

    # --- heads of units --------------------------------------------------------------------------

    def _with_plain_heads(self, text: str) -> str:
        upper = text.upper()
        if not any(word in upper for word in _WORDS):
            return text
        letters = list(text)
        for found in _HEAD.finditer(text):
            self._blank(letters, text, found, "about")
            self._blank(letters, text, found, "begin")
            result = found["result"]
            if result is not None and result.strip(" :\t\n").upper() == "VOID":
                self._blank(letters, text, found, "result")
        for found in _BEGIN.finditer(text):
            self._blank(letters, text, found, 1)
        return self._with_standard_frames("".join(letters))

    def _with_standard_frames(self, text: str) -> str:
        letters = list(text)
        for change in changes(text):
            letters[change.start : change.end] = change.text
            if change.form:
                self._note(change.form, change.start, change.end)
            if change.refused:
                said = self._source.text[change.start : change.end]
                begin = change.start + len(said) - len(said.lstrip())
                span = Span(self._source, begin, change.start + len(said.rstrip()))
                message = f"the checker does not read {change.refused}"
                way = (
                    "write NON_RETAIN before its members, and their values where they are declared"
                )
                self._problem("unsupported-data-block", message, span, way)
        return "".join(letters)

    def _blank(self, letters: list[str], text: str, found: re.Match[str], group: str | int) -> None:
        if not (found[group] or "").strip():
            return
        start, end = found.span(group)
        letters[start:end] = re.sub(r"[^\n]", " ", text[start:end])
        word = re.search(r"\w+", found[group])
        assert word is not None
        self._note(word.group().upper(), start + word.start(), start + word.end())


def _end_of(pieces: Sequence[str]) -> str:
    """What is right before a place, as far as it matters."""
    text = ""
    for piece in reversed(pieces):
        text = piece + text
        if len(text) > _LOOKED_AT and text.strip():
            break
    return text[-_LOOKED_AT:]


_UNIT_WORD = re.compile(r"\b(END_)?(FUNCTION_BLOCK|FUNCTION|PROGRAM)\b", re.IGNORECASE)


_LAST_STATEMENT = re.compile(r"(?:;|\bEND_(?!VAR\b)\w+)\s*\Z", re.IGNORECASE)


def unit_without_end(text: str) -> str | None:
    """The keyword of the only unit of a file (comments blanked) that ends with a statement, where
    no unit there has an end: as an editor's declaration and body pasted one behind the other."""
    words = _UNIT_WORD.findall(text)
    alone = len(words) == 1 and not words[0][0] and re.search(r"\bEND_VAR\b", text, re.IGNORECASE)
    return words[0][1].upper() if alone and _LAST_STATEMENT.search(text[-200:]) else None
