"""XML files around structured text: a unit's declaration in one element, its statements in another.

Such a file is known by its structure: below the root is an element with a name that has a
declaration in it. Members are elements of the same form within it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from twohand.exchange.bodies import check_statements, without_comments, words_in
from twohand.exchange.rules import Piece, malformed, unsupported
from twohand.files.index import SEGMENT_WORDS
from twohand.files.xml_element import XmlElement
from twohand.text.comments import STRING
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_map import TextMaker
from twohand.text.source_text import Span
from twohand.text.split_units import located_problems

Pieces = Iterator[Piece]

_ACCESS = r"(?:\s+(?:PUBLIC|PRIVATE|PROTECTED|INTERNAL|ABSTRACT|FINAL|OVERRIDE))*"
_HEAD = re.compile(
    rf"\s*(FUNCTION_BLOCK|FUNCTION|PROGRAM|INTERFACE|METHOD|PROPERTY|TYPE|VAR_GLOBAL)\b{_ACCESS}"
    r"\s+([^\W\d]\w*)?",
    re.IGNORECASE,
)
_FRAME = re.compile(
    r"\bEND_(?!VAR\b|STRUCT\b|UNION\b)\w+|\b(?:FUNCTION_BLOCK|FUNCTION|PROGRAM)\b"
    r"|\b(?:METHOD|PROPERTY|ACTIONS?|INTERFACE|CONFIGURATION|RESOURCE|NAMESPACE|CLASS)\s+[^\W\d]",
    re.IGNORECASE,
)
"""What begins or ends something else; some of these words may be names of variables."""

_STRINGS = re.compile(STRING)
_WHOLE = ("TYPE", "VAR_GLOBAL")
_TEXTS = ("Declaration", "Implementation", "ST")
_ACCESSORS = ("Get", "Set")
_CHARTS = ("SFC", "Transition")


def is_wrapped(root: XmlElement) -> bool:
    """Whether an XML document has declarations of structured text, by its structure."""
    return any(_declaration(child) is not None for child in _named(root))


def wrapped_units(root: XmlElement, maker: TextMaker) -> None:
    """The units, types and global variables of a document; those that are not read are refused
    under their names. InputError for text outside of them that could be one."""
    units = [element for element in _named(root) if _declaration(element) is not None]
    for element in root.children:
        if element in units:
            _unit_or_refusal(element, maker)
            continue
        for each in (element, *element.below()):
            if each.name in _TEXTS and each.text.strip():
                message = f"the text in this <{each.name}> belongs to no unit"
                raise malformed(message, each.span, "put it into an element with a Name")


def _named(element: XmlElement) -> Iterator[XmlElement]:
    return (child for child in element.children if child.attributes.get("Name", "").strip())


def _declaration(element: XmlElement) -> XmlElement | None:
    found = list(element.all("Declaration"))
    return found[0] if len(found) == 1 else None


def _unit_or_refusal(element: XmlElement, maker: TextMaker) -> None:
    try:
        pieces = list(_unit(element))
    except InputError as error:
        _refuse(element, maker, located_problems(error.diagnostics))
        return
    for piece in pieces:
        maker.add(*piece)


def _refuse(element: XmlElement, maker: TextMaker, problems: list[Diagnostic]) -> None:
    """A part under the element's name, with all names in it."""
    declared = _declaration(element)
    found = _HEAD.match(_plain(declared)) if declared is not None else None
    kind = found[1].upper() if found is not None else "FUNCTION_BLOCK"
    kind = kind if kind in SEGMENT_WORDS and kind != "VAR_GLOBAL" else "FUNCTION_BLOCK"
    name = (found[2] if found is not None else None) or element.attributes["Name"].strip()
    words = [word for word in words_in(element) if word not in SEGMENT_WORDS]
    own = name if re.fullmatch(r"[^\W\d]\w*", name) else "Unnamed"
    inner = " ".join(f": {word}" for word in dict.fromkeys(words))
    maker.refuse(f"{kind} {own} {inner} END_{kind}", element.span, problems)
    maker.add("\n", element.span)


def _plain(element: XmlElement) -> str:
    """The text of an element without its comments and strings."""
    maker = TextMaker(element.span.source)
    for part in element.characters:
        maker.add(part.text, part.span)
    return _STRINGS.sub("''", without_comments(maker.text()))


# --- units --------------------------------------------------------------------------------------


def _unit(element: XmlElement) -> Pieces:
    declared = _declaration(element)
    assert declared is not None
    head = _head(declared)
    kind = head[1].upper()
    if kind in _WHOLE:
        _check_children(element, "Declaration")
        yield from _text(declared)
        return
    if kind in ("METHOD", "PROPERTY") or head[2] is None:
        raise malformed(f"{kind} is no unit of its own", declared.text_place,
                        "write FUNCTION_BLOCK, FUNCTION or PROGRAM and its name")  # fmt: skip
    yield from _text(declared)
    yield Piece("VAR\nEND_VAR\n" if kind != "INTERFACE" else "", element.span)
    if kind == "INTERFACE":
        for child in element.children:
            for body in child.below():
                if body.name == "ST" and body.text.strip():
                    raise unsupported("an interface has no statements", body.span, "remove them")
    else:
        yield from _implementation(element)
        yield from _members(element)
    yield Piece(f"\nEND_{kind}\n", _last(element, declared))


def _last(element: XmlElement, declared: XmlElement) -> Span:
    bodies = [each for each in element.below() if each.name == "ST" and each.text.strip()]
    place = (bodies[-1] if bodies else declared).text_place
    return Span(place.source, max(place.start, place.end - 1), place.end)


def _head(declared: XmlElement) -> re.Match[str]:
    """What a declaration begins with; InputError where it has more than one unit in it."""
    text = _plain(declared)
    head = _HEAD.match(text)
    if head is None:
        raise malformed("this declaration begins with no unit, type or variables",
                        declared.text_place, "write for instance FUNCTION_BLOCK Name")  # fmt: skip
    further = _FRAME.search(text, head.end(1))
    if further is not None and head[1].upper() not in _WHOLE:
        message = (
            f"{further.group().split()[0].upper()} does not belong in the declaration of a unit"
        )
        raise malformed(message, declared.text_place, "write one unit in each declaration")
    return head


def _text(element: XmlElement) -> Pieces:
    for child in element.children:
        raise unsupported(f"<{child.name}> does not belong in text", child.span, "remove it")
    for part in element.characters:
        yield Piece(part.text.replace("\r", "\n"), part.span)
    yield Piece("\n", element.span)


def _implementation(element: XmlElement) -> Pieces:
    """The statements; InputError where they are in another language."""
    found = list(element.all("Implementation"))
    if len(found) > 1:
        raise malformed("there is more than one <Implementation>", found[1].span, "leave one")
    for owner in found:
        for child in owner.children:
            if child.name != "ST":
                code = "unsupported-chart" if child.name in _CHARTS else "unsupported-graphical"
                message = f"the checker does not read the language <{child.name}>"
                raise unsupported(message, child.span, "write the body as structured text", code)
            check_statements([Piece(part.text, part.span) for part in child.characters], child.span)
            yield from _text(child)


def _check_children(element: XmlElement, *names: str) -> None:
    """InputError for a child with text of another name."""
    for child in element.children:
        if child.name not in names and any(each.text.strip() for each in (child, *child.below())):
            raise unsupported(f"the checker does not read <{child.name}> in <{element.name}>",
                              child.span, "write it as structured text")  # fmt: skip


def _members(element: XmlElement) -> Pieces:
    """Methods, properties and actions; elements without text say nothing of logic."""
    for child in element.children:
        if child.name in ("Declaration", "Implementation"):
            continue
        declared = _declaration(child)
        if child.name in _CHARTS:
            raise unsupported("the checker does not read sequential function charts", child.span,
                              "use CASE over an enumeration", "unsupported-chart")  # fmt: skip
        if declared is not None:
            yield from _member(child, declared)
        elif any(child.all("Implementation")):
            name = child.attributes.get("Name", "")
            if not re.fullmatch(r"[^\W\d]\w*", name):
                raise malformed("an action needs a name", child.span, 'write Name="..."')
            yield Piece(f"\nACTION {name}:\n", child.span)
            yield from _implementation(child)
            yield Piece("\nEND_ACTION\n", child.span)
        elif any(each.text.strip() for each in (child, *child.below())):
            raise unsupported(f"the checker does not read <{child.name}> in <{element.name}>",
                              child.span, "write it as structured text")  # fmt: skip


def _member(element: XmlElement, declared: XmlElement) -> Pieces:
    kind = _head(declared)[1].upper()
    if kind not in ("METHOD", "PROPERTY"):
        raise malformed(f"{kind} does not belong in a unit", declared.text_place,
                        "write METHOD or PROPERTY")  # fmt: skip
    yield Piece("\n", declared.span)
    yield from _text(declared)
    if kind == "METHOD":
        yield Piece("VAR\nEND_VAR\n", declared.span)
        yield from _implementation(element)
    for child in element.children:
        if child.name in _ACCESSORS and kind == "PROPERTY":
            yield Piece(f"\n{child.name.upper()}\n", child.span)
            for inner in child.all("Declaration"):
                _check_variables(inner)
                yield from _text(inner)
            yield Piece("VAR\nEND_VAR\n", child.span)
            yield from _implementation(child)
            yield Piece(f"\nEND_{child.name.upper()}\n", child.span)
        elif child.name not in ("Declaration", "Implementation"):
            _check_children(element, "Declaration", "Implementation")
    yield Piece(f"\nEND_{kind}\n", declared.span)


def _check_variables(declared: XmlElement) -> None:
    """InputError for more than variables in the declaration of an accessor."""
    further = _FRAME.search(_plain(declared))
    if further is not None:
        message = f"{further.group().split()[0].upper()} does not belong here"
        raise malformed(message, declared.text_place, "write variables only")
