"""What is wrong with an XML document, in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from xml.parsers.expat import errors

from twohand.files.xml_element import XmlElement
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import SourceText, Span

_MESSAGES = {
    errors.XML_ERROR_SYNTAX: ("nothing that XML allows is here", ""),
    errors.XML_ERROR_INVALID_TOKEN: (
        "this is no XML",
        "'<' and '&' in text are written &lt; and &amp;; a value is in quotes",
    ),
    errors.XML_ERROR_DUPLICATE_ATTRIBUTE: ("this attribute occurs twice in one tag", ""),
    errors.XML_ERROR_JUNK_AFTER_DOC_ELEMENT: (
        "something follows the end of the document",
        "an XML file has one outermost element",
    ),
    errors.XML_ERROR_UNDEFINED_ENTITY: (
        "XML has no such character reference",
        "it knows &lt; &gt; &amp; &apos; &quot;, and numbers such as &#160;",
    ),
    errors.XML_ERROR_BAD_CHAR_REF: ("this number is that of no character", ""),
    errors.XML_ERROR_MISPLACED_XML_PI: (
        "<?xml ...?> is at the very beginning of a file, or nowhere",
        "remove what comes before it",
    ),
    errors.XML_ERROR_UNBOUND_PREFIX: (
        "this prefix has no namespace",
        "declare it with xmlns:",
    ),
}
_CUT_OFF = {
    errors.XML_ERROR_NO_ELEMENTS,
    errors.XML_ERROR_UNCLOSED_TOKEN,
    errors.XML_ERROR_PARTIAL_CHAR,
    errors.XML_ERROR_UNCLOSED_CDATA_SECTION,
}
_WHOLE_AGAIN = "export the file again, or mend it with the tool that wrote it"


def malformed(source: SourceText, at: int, code: int, tags: Sequence[XmlElement]) -> InputError:
    """The error for what the parser refuses at ``at`` with its ``code``, within ``tags``."""
    name = errors.messages.get(code, "")
    related: tuple[tuple[Span, str], ...] = ()
    if tags:
        related = ((tags[-1].span, f"<{tags[-1].name}> begins here"),)
    if name in _CUT_OFF:
        within = f" within <{tags[-1].name}>" if tags else ""
        message, help_text = f"the XML ends{within} before it is complete", _WHOLE_AGAIN
    elif name == errors.XML_ERROR_TAG_MISMATCH and tags:
        message = f"this ends another element than <{tags[-1].name}>, which is open"
        help_text = f"write </{tags[-1].name}> here, or remove the tag"
    else:
        message, help_text = _MESSAGES.get(name, (f"this is no well-formed XML ({name})", ""))
        related = ()
    return _error("malformed-markup", message, _place(source, at), help_text, related)


def unsafe(source: SourceText, at: int) -> InputError:
    """The error for a document type, at or before ``at``."""
    start = source.text.rfind("<!DOCTYPE", 0, at + len("<!DOCTYPE"))
    place = Span(source, start, start + len("<!DOCTYPE")) if start >= 0 else _place(source, at)
    message = "the checker does not read XML with a document type, which could draw in other files"
    way = "remove <!DOCTYPE ...>; an exchange file needs none"
    return _error("unsafe-markup", message, place, way)


def too_deep(span: Span, most: int) -> InputError:
    message = f"the elements are nested more than {most} levels deep"
    return _error("nested-too-deep", message, span, _WHOLE_AGAIN)


def too_large(span: Span, most: int) -> InputError:
    message = f"the file has more than {most} elements, attributes and texts"
    return _error("text-too-large", message, span, "export the units of the block alone")


def _place(source: SourceText, at: int) -> Span:
    """One character; the last one of the text where ``at`` is behind it."""
    at = min(at, max(len(source.text.rstrip()), 1) - 1)
    return Span(source, at, at + 1)


def _error(
    code: str, message: str, span: Span, help_text: str, related: tuple[tuple[Span, str], ...] = ()
) -> InputError:
    help_text = help_text or _WHOLE_AGAIN
    return wrong(code, message, span, help_text, related)
