"""XML to elements, each with its place in the file.

The parser (expat, without document types and so without entities of its own) says what is
where; what lies between two of its events is text, and is taken from the file itself, so that
every character keeps its place.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple
from xml.parsers.expat import ExpatError

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import DefusedXMLParser

from twohand.files.xml_element import Characters, XmlElement
from twohand.files.xml_errors import malformed, too_deep, too_large, unsafe
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import SourceText, Span

MOST_PARTS = 300_000
"""Elements, attributes and runs of text of one file; an exchange file of 10 MB has fewer."""

DEEPEST_MARKUP = 256
"""Elements in elements; what tools write has thirty."""

NAMESPACE = "www.iec.ch/public/TC65SC65BWG7TF10"
"""Of IEC 61131-10 (from memory)."""

OLDER_NAMESPACES = ("http://www.plcopen.org/xml/tc6_0200", "http://www.plcopen.org/xml/tc6_0201")
"""Of the older open exchange schema, TC6 2.0 and 2.01."""

SCHEMA_INSTANCE = "http://www.w3.org/2001/XMLSchema-instance"
"""The namespace of ``xsi:type`` (W3C XML Schema, 2.6)."""

_OF_XML = "http://www.w3.org/XML/1998/namespace}"
_OF_SCHEMA = tuple(
    f"{SCHEMA_INSTANCE}}}{name}" for name in ("type", "schemaLocation", "noNamespaceSchemaLocation")
)

_TAG = re.compile(r"<(?:[^\"'>]|\"[^\"]*\"|'[^']*')*>")
_VALUE = re.compile(r"=\s*[\"']")
_REFERENCE = re.compile(r"&([^;]*);")
_PREDEFINED = {"lt": "<", "gt": ">", "amp": "&", "apos": "'", "quot": '"'}


def is_markup(source: SourceText) -> bool:
    """Whether a text is XML; no structured text begins with its first character."""
    return source.text.lstrip("\ufeff \t\r\n").startswith("<")


def read_markup(source: SourceText) -> XmlElement:
    """The root of an XML document. InputError where it is not well-formed (``malformed-markup``),
    has a document type or entities (``unsafe-markup``), or is too large or too deep."""
    return _Reader(source).read()


def root_of(source: SourceText) -> tuple[str, str] | None:
    """Namespace and name of the root of an XML document; None where there is none to be read.
    What follows the root's tag is not looked at."""
    if not is_markup(source):
        return None
    try:
        _Reader(source, root_only=True).read()
    except _RootSeen as found:
        return found.namespace, found.name
    except InputError:
        return None
    return None


def is_exchange_root(found: tuple[str, str] | None) -> bool:
    """Whether namespace and name are those of the root of an exchange file."""
    return found == (NAMESPACE, "Project") or is_older_root(found)


def is_older_root(found: tuple[str, str] | None) -> bool:
    """Whether they are those of one in the older schema."""
    return found is not None and found[0] in OLDER_NAMESPACES and found[1] == "project"


class _RootSeen(Exception):  # noqa: N818 (no error: it ends the reading)
    def __init__(self, namespace: str, name: str) -> None:
        self.namespace, self.name = namespace, name


class _Open(NamedTuple):
    """An element whose end is not reached, and the namespaces known in it, by their prefixes."""

    element: XmlElement
    prefixes: Mapping[str, str]


class _Reader:
    """One document; ``_mark`` is where the text behind the last tag, comment or the like begins."""

    def __init__(self, source: SourceText, root_only: bool = False) -> None:
        self.source = source
        self._text = source.text
        self._data = source.text.encode("utf-8", "surrogatepass")
        self._byte = self._character = 0
        self._mark = 0
        self._parts = 0
        self._root_only = root_only
        self._open: list[_Open] = []
        self._root: XmlElement | None = None
        self._prefixes: dict[str, str] = {}
        self._parser = DefusedXMLParser(
            target=object(), encoding="utf-8", forbid_dtd=True
        ).parser  # the text is decoded already: what the file says of its encoding is passed over
        self._parser.buffer_text = False
        self._parser.DefaultHandlerExpand = None
        self._parser.StartNamespaceDeclHandler = self._declare
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end
        self._parser.CommentHandler = lambda text: self._pass("<!--", "-->")
        self._parser.ProcessingInstructionHandler = lambda target, text: self._pass("<?", "?>")
        self._parser.StartCdataSectionHandler = self._section

    def read(self) -> XmlElement:
        self._check_size()
        try:
            self._parser.Parse(self._data, True)
        except ExpatError as error:
            at = self._position(min(max(self._parser.ErrorByteIndex, 0), len(self._data)))
            tags = [each.element for each in self._open]
            raise malformed(self.source, at, error.code, tags) from None
        except DefusedXmlException:
            raise unsafe(self.source, self._position(self._parser.CurrentByteIndex)) from None
        assert self._root is not None, "expat takes no document without a root"
        return self._root

    def _check_size(self) -> None:
        """InputError for more attributes than the parser should be made to collect."""
        for number, found in enumerate(_VALUE.finditer(self._text)):
            if number == MOST_PARTS:
                raise too_large(Span(self.source, found.start(), found.end()), MOST_PARTS)

    def _position(self, byte: int) -> int:
        """The offset in the text of an offset in its bytes; they are asked for in their order."""
        if len(self._data) == len(self._text):
            return byte
        if byte < self._byte:
            self._byte = self._character = 0
        piece = self._data[self._byte : byte]
        self._character += len(piece.decode("utf-8", "ignore"))
        self._byte = byte
        return self._character

    def _here(self) -> int:
        return self._position(self._parser.CurrentByteIndex)

    # --- what the parser reports -------------------------------------------------------------

    def _declare(self, prefix: str | None, namespace: str | None) -> None:
        """A namespace of the element that begins next."""
        self._prefixes[prefix or ""] = namespace or ""

    def _start(self, full_name: str, listed: Sequence[str]) -> None:
        namespace, _, name = full_name.rpartition("}")
        if self._root_only:
            raise _RootSeen(namespace, name)
        start = self._here()
        tag = _TAG.match(self._text, start)
        assert tag is not None, "the parser saw a tag here"
        span = Span(self.source, start, tag.end())
        self._count(1 + len(listed) // 2, span)
        if self._open:
            self._run(start)
        outer: Mapping[str, str] = self._open[-1].prefixes if self._open else {}
        prefixes = {**outer, **self._prefixes} if self._prefixes else outer
        self._prefixes = {}
        pairs = list(zip(listed[::2], listed[1::2], strict=True))
        own = {
            f"{{{key}" if "}" in key else key: value
            for key, value in pairs
            if key not in _OF_SCHEMA and not key.startswith(_OF_XML)
        }
        kinds = [value for key, value in pairs if key == f"{SCHEMA_INSTANCE}}}type"]
        kind = self._kind(kinds[0], namespace, prefixes, span) if kinds else ""
        if len(self._open) >= DEEPEST_MARKUP:
            raise too_deep(span, DEEPEST_MARKUP)
        element = XmlElement(name, namespace, kind, own, [], [], span)
        self._open.append(_Open(element, prefixes))
        self._mark = tag.end()

    def _kind(self, value: str, namespace: str, prefixes: Mapping[str, str], span: Span) -> str:
        """The type that ``xsi:type`` names; with its namespace, where that is not the element's."""
        prefix, colon, name = value.strip().rpartition(":")
        undeclared = not colon and "" not in prefixes  # as some tools write it
        if undeclared or prefixes.get(prefix) == namespace:
            return name
        if prefix in prefixes:
            return f"{{{prefixes[prefix]}}}{name}"
        message = f"the prefix '{prefix}' of the type '{value.strip()}' has no namespace"
        way = f"declare it with xmlns:{prefix}, or write the type without prefix"
        raise wrong("malformed-markup", message, span, way)

    def _end(self, full_name: str) -> None:
        if not self._open[-1].element.span.text.endswith("/>"):
            end = self._here()
            self._run(end)
            self._mark = self._text.index(">", end) + 1
        closed = self._open.pop().element
        if self._open:
            self._open[-1].element.children.append(closed)
        else:
            self._root = closed

    def _pass(self, begin: str, end: str) -> None:
        """A comment or an instruction to a program; neither is part of what the file says."""
        start = self._here()
        if self._open:
            self._run(start)
        self._mark = self._text.index(end, start + len(begin)) + len(end)

    def _section(self) -> None:
        """Text in which nothing but its own end is markup."""
        start = self._here()
        self._run(start)
        begin = start + len("<![CDATA[")
        end = self._text.find("]]>", begin)
        if end < 0:
            return  # the parser reports that it has no end
        self._add(self._text[begin:end], begin, end)
        self._mark = end + len("]]>")

    # --- text ---------------------------------------------------------------------------------

    def _run(self, end: int) -> None:
        """The text from the mark to ``end``."""
        for text, start, stop in _pieces(self._text, self._mark, end):
            self._add(text, start, stop)

    def _add(self, text: str, start: int, end: int) -> None:
        if text:
            span = Span(self.source, start, end)
            self._count(1, span)
            self._open[-1].element.characters.append(Characters(text, span))

    def _count(self, parts: int, span: Span) -> None:
        self._parts += parts
        if self._parts > MOST_PARTS:
            raise too_large(span, MOST_PARTS)


def _pieces(text: str, start: int, end: int) -> Iterator[tuple[str, int, int]]:
    """Text as it is meant, and the place of each piece: ``&lt;`` is a piece of its own."""
    for found in _REFERENCE.finditer(text, start, end):
        yield text[start : found.start()], start, found.start()
        yield _meant(found[1]), found.start(), found.end()
        start = found.end()
    yield text[start:end], start, end


def _meant(name: str) -> str:
    """The character that a reference means; the parser has refused those of other names."""
    if name.startswith("#x"):
        return chr(int(name[2:], 16))
    if name.startswith("#"):
        return chr(int(name[1:]))
    return _PREDEFINED[name]
