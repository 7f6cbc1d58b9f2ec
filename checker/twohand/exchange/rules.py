"""What every element of an exchange file must keep to, so that nothing in it is skipped and no
name or value in it says more than a name or a value.

Element and attribute names of IEC 61131-10 are from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from twohand.files.xml_element import XmlElement
from twohand.syntax import tree
from twohand.syntax.lexing.keywords import BEFORE_NAMES, KEYWORDS, REFUSED
from twohand.syntax.parsing.parse import parse_source
from twohand.text.comments import blank_comments
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import SourceText, Span

WITHOUT_LOGIC = ("Documentation", "AddData")
"""Elements that may occur in any other: comments, and data of the tool that wrote the file."""

_HARMLESS = frozenset({"globalId"})
"""Attributes that may occur in any element: the mark by which a tool knows it again."""

_WITH_KIND = frozenset({"UserDefinedTypeSpec", "InstantlyDefinedType", "BodyContent"})
"""Elements whose xsi:type is looked at by those who read them."""

_NAME = re.compile(r"[^\W\d]\w*")
_NO_VALUE = (KEYWORDS | REFUSED.keys()) - {"TRUE", "FALSE"}
_PLAIN_VALUE = re.compile(r"[+-]?\w[\w#]*(?:\.\w+)*")


class Piece(NamedTuple):
    """A piece of structured text and the place that it comes from."""

    text: str
    place: Span


def said(place: Span, *parts: str | Piece | Iterable[Piece]) -> Iterator[Piece]:
    """The parts one behind the other; those that are texts come from ``place``."""
    for part in parts:
        if isinstance(part, str):
            yield Piece(part, place)
        elif isinstance(part, Piece):
            yield part
        else:
            yield from part


def unsupported(message: str, place: Span, way: str, code: str = "") -> InputError:
    """The error for something that an exchange file may say and the checker does not read."""
    return wrong(code or "unsupported-exchange-content", message, place, way)


def malformed(message: str, place: Span, way: str) -> InputError:
    """The error for something that no exchange file may say."""
    return wrong("malformed-exchange-content", message, place, way)


def parts(
    element: XmlElement, *children: str, attributes: Iterable[str] = ()
) -> Iterator[XmlElement]:
    """The children of an element, which may be of the names ``children`` only; nothing but those
    ``attributes`` may occur in it, and no text. InputError for anything else."""
    check_attributes(element, attributes)
    check_no_text(element)
    for child in element.children:
        if child.namespace != element.namespace:
            message = f"<{child.name}> is of another namespace than the exchange format"
            way = "export the file without it, if it carries no logic"
            raise unsupported(message, child.span, way)
        if child.name in children:
            yield child
        elif child.name not in WITHOUT_LOGIC:
            raise _unknown_child(child, element)


def none_in(element: XmlElement, attributes: Iterable[str] = ()) -> None:
    """InputError where an element has a child, text or an attribute that it may not have."""
    for _ in parts(element, attributes=attributes):
        raise AssertionError("no child may be there")


def check_attributes(element: XmlElement, known: Iterable[str]) -> None:
    """InputError where an element has an attribute, or a kind (xsi:type), of unknown meaning."""
    if element.kind and element.name not in _WITH_KIND:
        message = f"the checker does not read a <{element.name}> of the kind '{element.kind}'"
        raise unsupported(message, element.span, "leave xsi:type out, if it carries no logic")
    allowed = {*known, *_HARMLESS}
    for name in element.attributes:
        if name not in allowed:
            message = f'the checker does not know what {name}="..." in <{element.name}> says'
            way = "leave it out, if it carries no logic"
            raise unsupported(message, element.place_of(name), way)


def check_no_text(element: XmlElement) -> None:
    if element.text.strip():
        way = "remove it, or put it into the element that it belongs to"
        raise malformed(f"text does not belong in <{element.name}>", element.text_place, way)


def _unknown_child(child: XmlElement, owner: XmlElement) -> InputError:
    shown = f"<{child.name}> in <{owner.name}>"
    way = "write it in another way, or export it as structured text"
    return unsupported(f"the checker does not read {shown} of an exchange file", child.span, way)


def only(element: XmlElement, name: str) -> XmlElement | None:
    """The one child of a name; None where there is none. InputError where there are several."""
    found = list(element.all(name))
    if len(found) > 1:
        raise malformed(
            f"<{element.name}> has more than one <{name}>", found[1].span, "leave one of them"
        )
    return found[0] if found else None


def needed(element: XmlElement, name: str) -> XmlElement:
    """The one child of a name."""
    found = only(element, name)
    if found is None:
        raise malformed(f"<{element.name}> needs a <{name}>", element.span, f"write <{name}> in it")
    return found


# --- names and values ---------------------------------------------------------------------------


def attribute(element: XmlElement, name: str) -> Piece:
    """The value of an attribute that must be there."""
    value = element.attributes.get(name)
    if value is None:
        raise malformed(
            f"<{element.name}> needs an attribute {name}", element.span, f'write {name}="..."'
        )
    return Piece(value, element.place_of(name))


def flag(element: XmlElement, name: str) -> bool:
    """An attribute that is true or false; false where it is missing (XML Schema, 3.2.2)."""
    value = element.attributes.get(name, "false").strip()
    if value not in ("true", "false", "1", "0"):
        raise malformed(f"'{value}' is neither true nor false", element.place_of(name),
                        f'write {name}="true" or {name}="false"')  # fmt: skip
    return value in ("true", "1")


def whole_number(piece: Piece, what: str) -> int:
    if not re.fullmatch(r"[0-9]{1,9}", piece.text.strip()):
        raise malformed(f"'{piece.text}' is no {what}", piece.place, "write a whole number")
    return int(piece.text)


def in_order(elements: Sequence[XmlElement], numbers: str, what: str) -> list[XmlElement]:
    """The elements as an attribute numbers them; in their order, where none has it."""
    lacking = [each for each in elements if numbers not in each.attributes]
    if len(lacking) == len(elements):
        return list(elements)
    if lacking:
        raise malformed(f"this {what} has no {numbers}, but others have", lacking[0].span,
                        "give it to all or to none")  # fmt: skip
    orders: dict[int, XmlElement] = {}
    for each in elements:
        piece = attribute(each, numbers)
        order = whole_number(piece, "place in an order")
        if order in orders:
            raise malformed(f"two of the kind {what} have the place {order}", piece.place,
                            "number all of them in one row")  # fmt: skip
        orders[order] = each
    return [orders[order] for order in sorted(orders)]


def name_of(element: XmlElement, attribute_name: str = "name") -> Piece:
    """A name in an attribute."""
    return checked_name(attribute(element, attribute_name))


def unit_name(element: XmlElement) -> Piece:
    """The name of a unit, a type or a configuration; no word that could occur before such a
    name."""
    piece = name_of(element)
    if piece.text.upper() in BEFORE_NAMES:
        raise _keyword(piece)
    return piece


def checked_name(piece: Piece) -> Piece:
    """The piece, if it is one name and no keyword."""
    text, place = piece
    if not _NAME.fullmatch(text):
        way = "a name is made of letters A to Z, digits and '_', and begins with a letter"
        raise wrong("malformed-name", f"'{text}' cannot be a name", place, way)
    if text.upper() in REFUSED or text.upper() in KEYWORDS - BEFORE_NAMES:
        raise _keyword(piece)
    return piece


def _keyword(piece: Piece) -> InputError:
    text, place = piece
    message = f"'{text}' is a keyword and cannot be a name"
    return wrong("keyword-as-name", message, place, f"choose another name, for instance {text}1")


def checked_value(piece: Piece) -> Piece:
    """The piece, if it is one expression and nothing besides."""
    text, place = piece
    words = re.split(r"[.#]", text.upper().lstrip("+-"))
    plain = _PLAIN_VALUE.fullmatch(text) is not None
    if (plain and not any(word in _NO_VALUE for word in words)) or expression_of(text) is not None:
        return piece
    raise malformed(
        f"'{text}' is no value", place, "write a literal, a constant, or an expression of these"
    )


@lru_cache(maxsize=4096)
def expression_of(text: str) -> tree.Expression | None:
    """What a text is as the value of exactly one declaration, without comments."""
    source = SourceText("", f"FUNCTION_BLOCK b VAR v : INT := {text}; END_VAR END_FUNCTION_BLOCK")
    try:
        if blank_comments(source) != source.text:
            return None
        units = parse_source(source).units
    except InputError:
        return None
    if len(units) != 1 or len(units[0].sections) != 1 or units[0].body or units[0].members:
        return None
    declared = units[0].sections[0].declarations
    if len(declared) != 1 or len(declared[0].names) != 1:
        return None
    value = declared[0].initial
    return None if isinstance(value, tree.ArrayValues | tree.PinValues) else value
