"""Bodies of an exchange file's units: statements as they are in it, and diagrams as statements.

Element and attribute names of IEC 61131-10 are from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from twohand.exchange.diagrams.effects import Callees, UnitVariables, surroundings_of
from twohand.exchange.diagrams.networks import NETWORKS, translate_networks
from twohand.exchange.rules import Piece, check_attributes, needed, parts, unsupported
from twohand.files.xml_element import XmlElement
from twohand.syntax.lexing.keywords import BEFORE_NAMES, EXPRESSION_KEYWORDS, KEYWORDS
from twohand.text.comments import blank_comments
from twohand.text.diagnostic import Diagnostic, InputError, wrong
from twohand.text.source_map import TextMaker
from twohand.text.source_text import SourceText, Span
from twohand.text.split_units import located, located_problems

_WORD = re.compile(r"'(?:\$.|[^$'\n])*'|\"(?:\$.|[^$\"\n])*\"|(?<![\w.%#])[^\W\d]\w*")
_MENTIONED = re.compile(r"%?[^\W\d]\w*(?:\.\d+)*")
_FOR_STATEMENTS = (
    "IF THEN ELSIF ELSE END_IF CASE OF END_CASE FOR TO BY DO END_FOR WHILE END_WHILE REPEAT UNTIL "
    "END_REPEAT EXIT CONTINUE RETURN THIS SUPER"
)
_OF_A_FRAME = KEYWORDS - EXPRESSION_KEYWORDS - BEFORE_NAMES - frozenset(_FOR_STATEMENTS.split())
_REFUSED = {
    "IL": ("unsupported-instruction-list", "instruction lists"),
    "SFC": ("unsupported-chart", "sequential function charts"),
}


class Body(NamedTuple):
    """``declarations`` are hidden variables of the unit that the statements need."""

    declarations: tuple[Piece, ...]
    statements: tuple[Piece, ...]


def without_comments(source: SourceText) -> str:
    """The text of a file's element, its comments blanked; InputError where one has no end."""
    problems: list[Diagnostic] = []
    try:
        text = blank_comments(source, problems)
    except InputError as error:
        raise InputError(located_problems(error.diagnostics)) from None
    if problems:
        raise InputError(located_problems(problems))
    return text


def body_of(
    element: XmlElement,
    names: set[str],
    *owners: XmlElement,
    callees: Callees | None = None,
) -> Body:
    """The body in a MainBody of the last of the ``owners``, which is a unit, or a unit and its
    method or action. ``names`` are all names of the unit in upper case, to which those of hidden
    variables are added. ``callees``: what is known of what a diagram calls."""
    list(parts(element, "BodyContent"))
    content = needed(element, "BodyContent")
    if content.kind == "ST":
        return Body((), tuple(_statements(content)))
    if content.kind in NETWORKS:
        return _networks(content, names, surroundings_of(*owners, callees=callees))
    code, what = _REFUSED.get(
        content.kind, ("unsupported-graphical", f"bodies of the kind '{content.kind}'")
    )
    message = f"the checker does not read {what}"
    raise unsupported(message, content.span, "write the body as structured text", code)


def _networks(content: XmlElement, names: set[str], known: UnitVariables) -> Body:
    """A ladder or function-block diagram."""
    found = translate_networks(content, names, known)
    check_statements(found.declarations, content.span)
    check_statements(found.statements, content.span)
    names.update(piece.text.split()[0].upper() for piece in found.declarations)
    return Body(found.declarations, found.statements)


def words_in(element: XmlElement) -> Iterator[str]:
    """Every name and address that occurs in an element, in upper case."""
    for each in (element, *element.below()):
        for text in (*each.attributes.values(), each.text):
            yield from (found.group().upper() for found in _MENTIONED.finditer(text))


def _statements(content: XmlElement) -> Iterator[Piece]:
    """The text of a body, character by character; InputError where it is more than statements."""
    list(parts(content, "ST"))
    text = needed(content, "ST")
    check_attributes(text, ())
    for child in text.children:
        raise unsupported(
            f"<{child.name}> does not belong in structured text", child.span, "remove it"
        )
    pieces = [Piece(part.text.replace("\r", "\n"), part.span) for part in text.characters]
    check_statements(pieces, text.span)
    yield from pieces
    yield Piece("\n", _last_character(text))


def _last_character(text: XmlElement) -> Span:
    """Where a body ends, to say what is missing there."""
    whole = text.text_place
    return Span(whole.source, whole.end - 1, whole.end)


def check_statements(pieces: Iterable[Piece], place: Span) -> None:
    """A body that leaves a comment open, or has the words of a unit's frame in it, could change
    what is around it."""
    maker = TextMaker(place.source)
    for piece in pieces:
        maker.add(*piece)
    maker.add("\n", place)
    source = maker.text()
    text = without_comments(source)
    for found in _WORD.finditer(text):
        word = found.group().upper()
        if word in _OF_A_FRAME:
            message = f"{word} does not belong in the body of an exchange file"
            way = "variables and units have elements of their own"
            raise wrong(
                "misplaced-section", message, located(Span(source, found.start(), found.end())), way
            )
