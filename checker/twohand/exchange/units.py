"""Functions, function blocks and programs of an exchange file, as pieces of structured text.

Element and attribute names of IEC 61131-10 are from memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from twohand.exchange.bodies import Body, body_of, words_in
from twohand.exchange.diagrams.effects import Callees
from twohand.exchange.rules import (
    Piece,
    attribute,
    flag,
    in_order,
    malformed,
    only,
    parts,
    said,
    unit_name,
    unsupported,
)
from twohand.exchange.types import type_name, variable
from twohand.files.xml_element import XmlElement
from twohand.text.source_text import Span

UNITS = {"FunctionBlock": "FUNCTION_BLOCK", "Program": "PROGRAM", "Function": "FUNCTION"}
"""The elements of units that are read, and the keyword of each."""

_PARAMETERS = {"InputVars": "VAR_INPUT", "OutputVars": "VAR_OUTPUT", "InoutVars": "VAR_IN_OUT"}
_VARIABLES = {
    "ExternalVars": "VAR_EXTERNAL",
    "Vars": "VAR",
    "TempVars": "VAR_TEMP",
    "GlobalVars": "VAR_GLOBAL",
}
_QUALIFIERS = {
    "constant": "CONSTANT",
    "retain": "RETAIN",
    "nonretain": "NON_RETAIN",
    "persistent": "PERSISTENT",
}
_ACCESS = ("public", "protected", "private", "internal")
_MEMBERS = ("Method", "Action")

Pieces = Iterator[Piece]


def unit(element: XmlElement, callees: Callees | None = None) -> Pieces:
    """A unit with its declarations, its body, its methods and actions. ``callees``: what is known
    of those that its diagrams call."""
    keyword = UNITS[element.name]
    members = _MEMBERS if element.name != "Function" else ()
    result = ("ResultType",) if element.name == "Function" else ()
    sections = ("Parameters", "ExternalVars", "Vars", "TempVars")
    list(parts(element, *sections, *result, *members, "MainBody",
               attributes=("name", "isAbstract", "isFinal")))  # fmt: skip
    for word in ("isAbstract", "isFinal"):
        if flag(element, word):
            raise unsupported(f"the checker does not read {word}", element.place_of(word),
                              "leave it out, if nothing extends this unit")  # fmt: skip
    yield from said(element.span, f"{keyword} ", unit_name(element))
    if result:
        yield from _result(element)
    yield from said(element.span, "\n", _sections(element))
    names = set(words_in(element))
    main = only(element, "MainBody")
    if main is None and not any(element.all(*_MEMBERS)):
        _refuse_empty(element)
    body = Body((), ()) if main is None else body_of(main, names, element, callees=callees)
    written = [
        (member, _member_body(member, names, element, callees)) for member in element.all(*members)
    ]
    hidden = [found.declarations for member, found in written if member.name == "Action"]
    yield from _hidden(element, [*body.declarations, *(piece for each in hidden for piece in each)])
    yield from body.statements
    for member, found in written:
        yield from _member(member, found)
    yield Piece(f"\nEND_{keyword}\n", _end(element, body))


def _refuse_empty(element: XmlElement) -> None:
    """InputError for a unit without a body that should give something: where a file has only the
    declarations, as those of a library may be, nothing is known of what it does."""
    parameters = only(element, "Parameters")
    given = [] if parameters is None else list(parameters.all("OutputVars", "InoutVars"))
    if element.name == "Function" or any(any(each.all("Variable")) for each in given):
        raise malformed("this unit has outputs, but no body that sets them", element.span,
                        "write a <MainBody>; one without statements does nothing")  # fmt: skip


def _end(element: XmlElement, body: Body) -> Span:
    """Where the end of a unit is reported: at that of its statements."""
    return body.statements[-1].place if body.statements else element.span


def _hidden(element: XmlElement, declarations: Sequence[Piece]) -> Pieces:
    """The last section, also where it is empty: what follows is a statement then, and nothing
    else."""
    return said(element.span, "VAR\n", declarations, "END_VAR\n")


def _result(element: XmlElement) -> Pieces:
    """The type of a function's result, beside or within its parameters."""
    parameters = only(element, "Parameters")
    owners = [element] if parameters is None else [element, parameters]
    found = [result for owner in owners for result in owner.all("ResultType")]
    if len(found) > 1:
        raise malformed("a function has one result", found[1].span, "leave one of them")
    for result in found:
        list(parts(result, "TypeName", "Type"))
        inner = only(result, "Type")
        owner = result if inner is None else inner
        list(parts(owner, "TypeName"))
        named = only(owner, "TypeName")
        if named is None:
            raise unsupported("the checker reads a result only by its type's name", owner.span,
                              "write <TypeName>BOOL</TypeName> for instance")  # fmt: skip
        yield from said(result.span, " : ", type_name(named))


def _member(element: XmlElement, body: Body) -> Pieces:
    """A method or an action."""
    yield from said(element.span, f"\n{element.name.upper()} ", _access(element))
    yield unit_name(element)
    if element.name == "Method":
        yield from _result(element)
        yield from said(element.span, "\n", _sections(element))
        yield from _hidden(element, body.declarations)
    else:
        yield Piece(":\n", element.span)
    yield from body.statements
    yield Piece(f"\nEND_{element.name.upper()}\n", _end(element, body))


def _member_body(
    element: XmlElement, names: set[str], owner: XmlElement, callees: Callees | None
) -> Body:
    """The body of a method or an action of ``owner``."""
    method = element.name == "Method"
    sections = ("Parameters", "Vars", "TempVars", "ExternalVars", "ResultType") if method else ()
    list(parts(element, *sections, "MainBody", "Body",
               attributes=("name", *(("accessSpecifier",) if method else ()))))  # fmt: skip
    mains = list(element.all("MainBody", "Body"))
    if len(mains) != 1:
        raise malformed(f"this {element.name} needs one body", element.span, "write a <MainBody>")
    owners = (owner, element) if method else (owner,)
    body = body_of(mains[0], names, *owners, callees=callees)
    for text, place in body.declarations:
        if method and "_TRIG" in text.upper():
            raise unsupported("an edge in the diagram of a method is not read", place,
                              "put the edge into the body of the block")  # fmt: skip
    return body


# --- sections ---------------------------------------------------------------------------------


def _sections(element: XmlElement) -> Pieces:
    parameters = only(element, "Parameters")
    if parameters is not None:
        yield from _parameters(parameters)
    for section in element.all(*_VARIABLES):
        yield from variables(section)


def variables(section: XmlElement) -> Pieces:
    """Vars, TempVars, ExternalVars or GlobalVars."""
    declared = list(_declared(section))
    yield from _section(_VARIABLES[section.name], section, declared)


def _declared(section: XmlElement) -> Pieces:
    for child in parts(section, "Variable", attributes=("accessSpecifier", *_QUALIFIERS)):
        yield from variable(child)


def _parameters(element: XmlElement) -> Pieces:
    """Inputs, outputs and in-out parameters in the order of their set, in which arguments without
    names go to them."""
    sections: dict[XmlElement, XmlElement] = {}
    for section in parts(element, *_PARAMETERS, "ResultType"):
        if section.name in _PARAMETERS:
            inside = parts(section, "Variable", attributes=tuple(_QUALIFIERS))
            sections.update((child, section) for child in inside)
    ordered = in_order(list(sections), "orderWithinParamSet", "parameter")
    found = [(sections[child], child) for child in ordered]
    position = 0
    while position < len(found):
        section = found[position][0]
        declared: list[Piece] = []
        while position < len(found) and found[position][0] is section:
            declared.extend(variable(found[position][1], edges=section.name == "InputVars"))
            position += 1
        yield from _section(_PARAMETERS[section.name], section, declared)


def _section(keyword: str, section: XmlElement, declared: Sequence[Piece]) -> Pieces:
    yield from said(section.span, f"{keyword} ", _access(section))
    for word, qualifier in _QUALIFIERS.items():
        if flag(section, word):
            yield Piece(f"{qualifier} ", section.place_of(word))
    yield from said(section.span, "\n", declared, "END_VAR\n")


def _access(element: XmlElement) -> Pieces:
    if "accessSpecifier" not in element.attributes:
        return
    piece = attribute(element, "accessSpecifier")
    if piece.text.strip().lower() not in _ACCESS:
        raise malformed(f"'{piece.text}' says nothing of access", piece.place,
                        f"write one of {', '.join(_ACCESS)}")  # fmt: skip
    yield Piece(f"{piece.text.strip().upper()} ", piece.place)
