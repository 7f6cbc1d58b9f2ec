"""Exchange files of IEC 61131-10 (XML), and XML around structured text, as structured text; every
place is reported in the XML.

What cannot be read there and could carry logic leaves a part that is refused where it is needed;
it has the names in it, so that it counts among what may write a global variable. Element and
attribute names are from memory.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import partial

from twohand.exchange.bodies import words_in
from twohand.exchange.callees import Neighbours
from twohand.exchange.older.deviations import passed_over, without_blanks
from twohand.exchange.older.units import project
from twohand.exchange.rules import Piece, check_attributes, only, parts, unit_name, unsupported
from twohand.exchange.tasks import configuration
from twohand.exchange.types import data_type
from twohand.exchange.units import UNITS, unit
from twohand.exchange.wrapped_text import is_wrapped, wrapped_units
from twohand.files.index import SEGMENT_WORDS
from twohand.files.reading import check_lines
from twohand.files.xml_element import XmlElement
from twohand.files.xml_reader import (
    NAMESPACE,
    OLDER_NAMESPACES,
    is_exchange_root,
    is_markup,
    is_older_root,
    read_markup,
)
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_map import TextMaker
from twohand.text.source_text import SourceText
from twohand.text.split_units import located_problems

Form = Callable[[XmlElement], Iterator[Piece]]

_IN_NAMESPACE = (*UNITS, "DataTypeDecl", "Class", "Interface", "NamespaceDecl")
_FRAMES = {
    **{name: (keyword, f"END_{keyword}") for name, keyword in UNITS.items()},
    "DataTypeDecl": ("TYPE", "END_TYPE"),
    "Class": ("CLASS", "END_CLASS"),
    "Interface": ("INTERFACE", "END_INTERFACE"),
    "Configuration": ("CONFIGURATION", "END_CONFIGURATION"),
}
_NOT_READ = {
    "Class": ("unsupported-object", "classes", "make it a FUNCTION_BLOCK with methods"),
    "Interface": ("unsupported-exchange-content", "interfaces of exchange files",
                  "declare instances of the block itself"),
}  # fmt: skip


def structured_text_of(source: SourceText) -> SourceText:
    """The same as structured text (``TranslatedText``); a text that is no XML as it is.
    InputError for XML that is no exchange file, or has something of unknown meaning outside of
    units, types and configurations."""
    if not is_markup(source):
        return source
    root = read_markup(source)
    maker = TextMaker(source)
    if is_wrapped(root):
        wrapped_units(root, maker)
    elif not is_exchange_root((root.namespace, root.name)):
        raise InputError(_other_format(root))
    elif is_older_root((root.namespace, root.name)):
        _older_project(root, maker)
    else:
        _project(root, maker)
    translated = maker.text()
    try:
        check_lines(translated)
    except InputError as error:
        raise InputError(located_problems(error.diagnostics)) from None
    return translated


def _other_format(root: XmlElement) -> Diagnostic:
    of = f"of the namespace '{root.namespace}'" if root.namespace else "without a namespace"
    message = f"the checker does not read XML that begins with <{root.name}> {of}"
    way = (
        f'it reads exchange files of IEC 61131-10, <Project xmlns="{NAMESPACE}">, and of the '
        f'older schema, <project xmlns="{OLDER_NAMESPACES[-1]}">; export one, or structured text'
    )
    return Diagnostic("unsupported-exchange-format", message, root.span, way)


def _project(root: XmlElement, maker: TextMaker) -> None:
    known = ("FileHeader", "ContentHeader", "Types", "Instances")
    list(parts(root, *known, attributes=("schemaVersion",)))  # the headers carry no logic
    types, instances = only(root, "Types"), only(root, "Instances")
    if types is not None:
        list(parts(types, "GlobalNamespace"))
        space = only(types, "GlobalNamespace")
        if space is not None:
            children = list(parts(space, *_IN_NAMESPACE))
            form = partial(unit, callees=Neighbours(children))
            for child in children:
                _declared(child, maker, form)
    if instances is not None:
        for child in parts(instances, "Configuration"):
            _read_or_refuse(child, maker, configuration)


def _older_project(root: XmlElement, maker: TextMaker) -> None:
    """A project of the older schema, as the elements that it means."""
    maker.deviate((*without_blanks(root), *passed_over(root)))
    units, configurations = project(root)
    neighbours = Neighbours(found.element for found in units if found.error is None)
    form = partial(unit, callees=neighbours)
    for found in (*units, *configurations):
        if found.error is not None:
            unit_name(found.element)
            _refuse(found.element, maker, found.error)
        elif found.element.name == "Configuration":
            _read_or_refuse(found.element, maker, configuration)
        else:
            _declared(found.element, maker, form)


def _declared(element: XmlElement, maker: TextMaker, of_unit: Form) -> None:
    """A unit, a type, or what is not read."""
    if element.name == "NamespaceDecl":
        _namespace(element, maker)
    elif element.name in _NOT_READ:
        code, what, way = _NOT_READ[element.name]
        error = unsupported(f"the checker does not read {what}", element.span, way, code)
        _refuse(element, maker, error)
    else:
        form = data_type if element.name == "DataTypeDecl" else of_unit
        _read_or_refuse(element, maker, form)


def _namespace(element: XmlElement, maker: TextMaker) -> None:
    """A namespace: everything in it is refused by its own name."""
    check_attributes(element, ("name", "accessSpecifier"))
    error = unsupported(
        f"the checker does not read namespaces ({element.attributes.get('name', '')})",
        element.span,
        "put the unit outside of any namespace",
        "unsupported-namespace",
    )
    waiting = [element]
    while waiting:
        for child in parts(waiting.pop(), *_IN_NAMESPACE, attributes=("name", "accessSpecifier")):
            if child.name == "NamespaceDecl":
                waiting.append(child)
            else:
                _refuse(child, maker, error)


def _read_or_refuse(element: XmlElement, maker: TextMaker, form: Form) -> None:
    """The element as text; where it has something that is not read, a part that is refused."""
    unit_name(element)
    try:
        pieces = list(form(element))
    except InputError as error:
        _refuse(element, maker, error)
        return
    for piece in pieces:
        maker.add(*piece)


def _refuse(element: XmlElement, maker: TextMaker, error: InputError) -> None:
    """A part under the element's name, with all types and all other names in it."""
    begin, end = _FRAMES[element.name]
    name = unit_name(element).text
    types = [f": {word}" for word in _types_in(element)]
    values = [word for word in _enumerators_in(element) if word.upper() not in SEGMENT_WORDS]
    inner = [word for word in words_in(element) if word not in SEGMENT_WORDS]
    words = " ".join([*types, *dict.fromkeys(inner)])
    colon = f" : ({', '.join(values)})" if element.name == "DataTypeDecl" else ""
    maker.refuse(f"{begin} {name}{colon} {words} {end}", element.span, error.diagnostics)
    maker.add("\n", element.span)


def _types_in(element: XmlElement) -> Iterator[str]:
    for each in element.below():
        names = [each.text] if each.name == "TypeName" else []
        names.append(each.attributes.get("typeName", ""))
        for name in names:
            found = re.fullmatch(r"\s*([^\W\d]\w*)\s*", name)
            if found is not None and found[1].upper() not in SEGMENT_WORDS:
                yield found[1]


def _enumerators_in(element: XmlElement) -> Iterator[str]:
    for each in element.below():
        name = each.attributes.get("name", "")
        if each.name == "Enumerator" and re.fullmatch(r"[^\W\d]\w*", name):
            yield name
