"""Bytes of an XML document to text (W3C XML 1.0, 4.3.3 and annex F)."""

from __future__ import annotations

import codecs
import re

from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import SourceText, Span

_WIDE = (
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
    (b"<\0", "utf-16-le"),
    (b"\0<", "utf-16-be"),
)
_DECLARED = re.compile(rb"<\?xml\s[^>]*?\bencoding\s*=\s*[\"']([\w.:-]+)[\"']")
_READ = {
    "utf-8": "utf-8",
    "utf8": "utf-8",
    "utf-16": "utf-8",  # as some tools write it; bytes of UTF-16 do not come here
    "us-ascii": "ascii",
    "ascii": "ascii",
    "iso-8859-1": "latin-1",
    "iso-8859-15": "iso-8859-15",
    "windows-1252": "cp1252",
}
"""Encodings by the name that the declaration gives, with that of the codec."""


def markup_text(data: bytes, shown: str, errors: str = "strict") -> str | None:
    """The text of a document, in the encoding that it declares (UTF-8 where it declares none);
    None for bytes that do not begin as XML. InputError (``wrong-encoding``) for bytes that are
    none of the encoding (unless ``errors`` is "ignore"), or an encoding that is not read."""
    for mark, codec in _WIDE:
        if data.startswith(mark) and not data.startswith(codecs.BOM_UTF32_LE):
            text = _decoded(data, codec, "UTF-16", shown, errors)
            return text if text.lstrip("\ufeff \t\r\n").startswith("<") else None
    marked = data.startswith(codecs.BOM_UTF8)
    plain = data.removeprefix(codecs.BOM_UTF8)
    if not plain.lstrip(b" \t\r\n").startswith(b"<"):
        return None
    found = _DECLARED.match(plain.lstrip(b" \t\r\n"))
    name = found[1].decode("ascii") if found is not None else "UTF-8"
    codec = "utf-8" if marked else _READ.get(name.lower(), "")
    if not codec:
        problem = f"the checker does not read XML in the encoding {name}"
        raise _wrong(data, shown, max(data.find(name.encode()), 0), len(name), problem)
    return _decoded(plain, codec, name, shown, errors)


def _decoded(data: bytes, codec: str, name: str, shown: str, errors: str) -> str:
    try:
        return data.decode(codec, errors).removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        problem = f"this is no character of {name}, the encoding of the file"
        raise _wrong(data, shown, error.start, 1, problem) from None


def _wrong(data: bytes, shown: str, at: int, length: int, problem: str) -> InputError:
    source = SourceText(shown, data.decode("latin-1").replace("\0", " "))
    message = 'save the file as UTF-8, and let it declare that: encoding="UTF-8"'
    return wrong("wrong-encoding", problem, Span(source, at, at + length), message)
