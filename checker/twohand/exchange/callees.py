"""Whether the units that a diagram calls can touch anything but what the call hands to them.

Only what the same exchange file shows counts; of all else nothing is known here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from twohand.exchange.diagrams.effects import Callees, UnitVariables, members_of, surroundings_of
from twohand.files.xml_element import XmlElement
from twohand.program.standard_blocks import BLOCKS_BY_NAME, FUNCTION_NAMES, FUNCTIONS_WITHOUT_MODEL
from twohand.program.types import ELEMENTARY
from twohand.syntax.lexing.keywords import KEYWORDS, UNMODELLED
from twohand.text.comments import blank_comments
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.expressions.conversions import is_conversion

_DEEPEST = 64
"""Units in units; of what is deeper nothing is said."""

_UNITS = ("FunctionBlock", "Function")
_FROM_OUTSIDE = ("ExternalVars", "GlobalVars", "Address")
_OPERANDS = ("operand", "identifier", "instanceName")
_LENGTH = re.compile(r"\s*[\[(].*")
_STRING = re.compile(r"'(?:\$.|[^$'])*'|\"(?:\$.|[^$\"])*\"", re.DOTALL)
_SIGN = re.compile(r"[()]|(?<![\w.%#])[^\W\d]\w*")
_BEHIND = re.compile(r"\s*(:=|=>|#|\()?")


class Neighbours(Callees):
    """The units and types of an exchange file."""

    def __init__(self, elements: Iterable[XmlElement]) -> None:
        self._elements = {each.attributes.get("name", "").upper(): each for each in elements}
        self._confined: dict[str, bool] = {}
        self._depth = 0

    def confined(self, name: str) -> bool:
        """Whether what has this name, in upper case, be it a function or a type of variables, runs
        without any variable but its own and those that are passed to it."""
        if name in ELEMENTARY or name in UNMODELLED or name in BLOCKS_BY_NAME:
            return True
        if name not in self._confined:
            self._confined[name] = False  # for what has itself in it
            element = self._elements.get(name)
            self._depth += 1
            if element is not None and self._depth <= _DEEPEST:
                self._confined[name] = self._keeps_to_itself(element)
            self._depth -= 1
        return self._confined[name]

    def type_of(self, unit: str, pin: str) -> str | None:
        element = self._elements.get(unit)
        if element is None or element.name not in _UNITS:
            return None
        found = [p for p in element.below() if p.name in ("ResultType", "Parameters", "OutputVars")]
        if pin == unit:
            return next((_named(each) for each in found if each.name == "ResultType"), None)
        outputs = (
            each
            for section in found
            if section.name == "OutputVars"
            for each in section.all("Variable")
        )
        kinds = [
            each.first("Type") for each in outputs if each.attributes.get("name", "").upper() == pin
        ]
        return _named(kinds[0]) if len(kinds) == 1 and kinds[0] is not None else None

    def _keeps_to_itself(self, element: XmlElement) -> bool:
        types = [each.text.strip().upper() for each in element.below() if each.name == "TypeName"]
        outside = any(each.name in _FROM_OUTSIDE for each in element.below())
        if outside or not all(self.confined(_LENGTH.sub("", name)) for name in types):
            return False
        if element.name == "DataTypeDecl":
            return True
        bodies = [(element, surroundings_of(element))]
        bodies += [(each, surroundings_of(element, each)) for each in members_of(element)]
        return element.name in _UNITS and all(self._body(*body) for body in bodies)

    def _body(self, owner: XmlElement, known: UnitVariables) -> bool:
        for part in owner.all("MainBody", "Body"):
            for each in part.below():
                if "%" in each.text or any("%" in value for value in each.attributes.values()):
                    return False
                if not all(self._is_own(name, call, known) for name, call in _names(each)):
                    return False
        return True

    def _is_own(self, name: str, call: bool, known: UnitVariables) -> bool:
        if name in known.own or name in known.in_outs or name in KEYWORDS:
            return True
        standard = name in FUNCTION_NAMES or name in FUNCTIONS_WITHOUT_MODEL
        return call and (
            standard or is_conversion(name) or name in known.members or self.confined(name)
        )


def _named(element: XmlElement) -> str | None:
    """The name of a type; None where it is spelt out."""
    inner = element.first("Type") or element
    name = inner.first("TypeName")
    text = "" if name is None else name.text.strip()
    return text if re.fullmatch(r"[^\W\d]\w*", text) else None


def _names(element: XmlElement) -> Iterator[tuple[str, bool]]:
    """The names that an element of a body uses, in upper case, and whether they are called."""
    if element.name == "ST":
        yield from _names_in(element.text)
    for attribute in _OPERANDS:
        yield from _names_in(element.attributes.get(attribute, ""))
    if element.kind == "Block" and "instanceName" not in element.attributes:
        yield element.attributes.get("typeName", "").strip().upper(), True


def _names_in(text: str) -> Iterator[tuple[str, bool]]:
    """The first names of variables and the names of functions in structured text."""
    try:
        plain = blank_comments(SourceText("", text))
    except InputError:
        yield "", False  # no name of anybody
        return
    depth = 0
    plain = _STRING.sub(" ", plain)
    for found in _SIGN.finditer(plain):
        if found.group() in "()":
            depth += 1 if found.group() == "(" else -1
            continue
        behind = _BEHIND.match(plain, found.end())
        sign = behind[1] if behind is not None else None
        if sign != "#" and not (depth and sign in (":=", "=>")):
            yield found.group().upper(), sign == "("
