"""Where files of the older schema are not what it asks for, and are read as they are meant.

What real files do is common practice: names with blanks, tasks with an interval of no time, ladders
whose left power rail is not drawn.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from twohand.files.xml_element import Characters, XmlElement
from twohand.text.source_text import Span

NO_INTERVAL = ("PT0S", "T#0s", "T#0ms", "")
_HEADERS = ("fileHeader", "contentHeader", "addData")
_NAMES = ("name", "typeName", "formalParameter")
_WITH_BLANKS = re.compile(r"[^\W\d]\w*(?: \w+)+")
_WRITTEN = ("expression", "variable", "inOutVariable")
"""Elements whose text is the name of a variable, or a formula."""


def without_blanks(root: XmlElement) -> list[tuple[str, Span]]:
    """Puts ``_`` for the blanks of names, in place; where they were."""
    found: list[tuple[str, Span]] = []
    waiting = [root]
    while waiting:
        element = waiting.pop()
        if element.name not in _HEADERS:
            element.children[:] = [_without_blanks(child, found) for child in element.children]
            waiting.extend(element.children)
    return found


def _without_blanks(element: XmlElement, found: list[tuple[str, Span]]) -> XmlElement:
    words = [
        word for word in _NAMES if _WITH_BLANKS.fullmatch(element.attributes.get(word, "").strip())
    ]
    if words and element.name not in _HEADERS:
        found.extend(("a name with blanks, read as '_'", element.place_of(word)) for word in words)
        mended = {word: element.attributes[word].strip().replace(" ", "_") for word in words}
        element = replace(element, attributes={**element.attributes, **mended})
    if element.name in _WRITTEN and _WITH_BLANKS.fullmatch(element.text.strip()):
        place = element.characters[0].span.through(element.characters[-1].span)
        text = Characters(element.text.strip().replace(" ", "_"), place)
        element = replace(element, characters=[text])
    return element


def passed_over(root: XmlElement) -> Iterator[tuple[str, Span]]:
    """What else there is of that in a project, and where."""
    for element in root.below():
        if element.name == "task" and element.attributes.get("interval") in NO_INTERVAL:
            yield "an interval of no time, which says nothing of when", element.place_of("interval")
        if element.name == "LD" and element.children and element.first("leftPowerRail") is None:
            yield "a ladder without a left power rail, read as if it had one", element.span
