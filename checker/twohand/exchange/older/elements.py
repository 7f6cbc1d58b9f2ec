"""What an element of the older schema may hold, and how one of IEC 61131-10 is made of it.

Nothing is skipped but comments, what is drawn, and added data that declares no logic.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from twohand.exchange.rules import Piece, attribute, check_attributes, check_no_text, unsupported
from twohand.files.xml_element import Characters, XmlElement
from twohand.files.xml_reader import NAMESPACE
from twohand.text.source_text import Span

_DRAWN = ("height", "width", "localId", "x", "y", "color", "colour")
"""Attributes of how something is drawn, or by which a tool knows it again."""

_NAMES = (
    "pou pous method action transition property getaccessor setaccessor accessor body st il ld fbd"
    " sfc cfc datatype datatypes globalvars variable configuration resource task pouinstance"
)
_LOGIC = frozenset(_NAMES.split())
"""Names of elements, in lower case, that declare or do something wherever they are."""

_ACTING = re.compile(r"init|call|virtual|retain|persist", re.IGNORECASE)
"""In the names of attributes that change how variables begin or what is called."""


def parts(
    element: XmlElement, *children: str, attributes: Iterable[str] = ()
) -> Iterator[XmlElement]:
    """The children of an element, which may be of the names ``children`` only; InputError for
    anything else that could carry logic."""
    check_attributes(element, (*attributes, *_DRAWN))
    check_no_text(element)
    for child in element.children:
        if child.name == "documentation":
            continue
        if child.name == "addData":
            check_added(child)
        elif child.namespace != element.namespace:
            message = f"<{child.name}> is of another namespace than the exchange format"
            raise unsupported(message, child.span, "export the file without it")
        elif child.name in children:
            yield child
        else:
            raise unsupported(
                f"the checker does not read <{child.name}> in <{element.name}> of an exchange file",
                child.span,
                "write it in another way, or export it as structured text",
            )


def all_parts(
    element: XmlElement, *children: str, attributes: Iterable[str] = ()
) -> list[XmlElement]:
    return list(parts(element, *children, attributes=attributes))


def check_added(element: XmlElement) -> None:
    """InputError for added data that holds logic, or text that could be some."""
    for each in element.below():
        if each.name.lower() in _LOGIC:
            message = f"the checker does not read <{each.name}> in <addData>"
            way = "export the file without it, or write it as structured text"
            raise unsupported(message, each.span, way)
        if each.name.lower() == "attribute" and _ACTING.search(str(dict(each.attributes))):
            message = "this attribute may change how variables begin or what is called"
            raise unsupported(message, each.span, "remove it if it does not", "unsupported-pragma")
    for each in element.below():
        plain = each.name.lower() in ("interfaceasplaintext", "xhtml", "p")
        if not plain and re.search(r":=|;", each.text):
            message = f"the text of <{each.name}> in <addData> may hold code"
            raise unsupported(message, each.text_place, "export the file without it")


def made(
    name: str,
    source: XmlElement,
    children: Sequence[XmlElement] = (),
    attributes: Mapping[str, str] | None = None,
    kind: str = "",
    places: Mapping[str, Span] | None = None,
) -> XmlElement:
    """An element of IEC 61131-10 that says what ``source`` says; ``places`` are those of
    attributes that are elsewhere in the file, or have another name there."""
    return XmlElement(
        name, NAMESPACE, kind, dict(attributes or {}), list(children), [], source.span,
        dict(places or {}),
    )  # fmt: skip


def with_text(name: str, source: XmlElement, text: str, place: Span) -> XmlElement:
    element = made(name, source)
    element.characters.append(Characters(text, place))
    return element


def renamed(source: XmlElement, **names: str) -> tuple[dict[str, str], dict[str, Span]]:
    """The attributes of ``source`` under other names (``new="old"``), and their places."""
    found = {new: old for new, old in names.items() if old in source.attributes}
    return (
        {new: source.attributes[old].strip() for new, old in found.items()},
        {new: source.place_of(old) for new, old in found.items()},
    )


def text_of(element: XmlElement) -> Piece:
    """The text of an element that has nothing else."""
    all_parts_without_text(element)
    return Piece(element.text.strip(), element.text_place)


def all_parts_without_text(element: XmlElement) -> None:
    check_attributes(element, _DRAWN)
    for child in element.children:
        raise unsupported(
            f"the checker does not read <{child.name}> in <{element.name}>", child.span, "remove it"
        )


def is_given(element: XmlElement, name: str) -> bool:
    """Whether an attribute of the kind edge or storage asks for something."""
    return element.attributes.get(name, "none").strip() not in ("none", "")


def needed_attribute(element: XmlElement, name: str) -> Piece:
    text, place = attribute(element, name)
    return Piece(text.strip(), place)
