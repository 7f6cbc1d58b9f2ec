"""XML is read as an independent reader reads it, and every character keeps its place."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Iterator
from itertools import chain, pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from twohand.files.reading import decode_source
from twohand.files.xml_element import XmlElement
from twohand.files.xml_reader import is_markup, read_markup, root_of
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_text import SourceText

XSI = 'xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance"'


def read(text: str) -> XmlElement:
    return read_markup(SourceText("a.xml", text))


def refused(text: str) -> Diagnostic:
    with pytest.raises(InputError) as caught:
        read(text)
    (problem,) = caught.value.diagnostics
    assert problem.span is not None
    assert problem.help
    assert problem.span.source.line(problem.span.line) or problem.span.source.text[-1] == "\n"
    return problem


def places(element: XmlElement) -> Iterator[tuple[str, str, int, int]]:
    """Each run of text with its spelling, line and column, in the order of the file."""
    for each in (element, *element.below()):
        for piece in each.characters:
            yield piece.text, piece.span.text, piece.span.line, piece.span.column


# --- places -------------------------------------------------------------------------------------


def test_every_character_is_told_where_it_stands() -> None:
    root = read(
        "<?xml version='1.0'?>\n<!-- Öl --><a>é&lt;&#233;<b/>x\n\ty<!-- c -->z"
        "<![CDATA[<ü&amp;]]>w<?p q?>v</a>"
    )
    assert list(places(root)) == [
        ("é", "é", 2, 15),
        ("<", "&lt;", 2, 16),
        ("é", "&#233;", 2, 20),
        ("x\n\ty", "x\n\ty", 2, 30),
        ("z", "z", 3, 13),
        ("<ü&amp;", "<ü&amp;", 3, 23),
        ("w", "w", 3, 33),
        ("v", "v", 3, 41),
    ]
    assert root.text == "é<éx\n\tyz<ü&amp;wv"


@pytest.mark.parametrize("comment", ["<!-->-->", "<!--->x-->", "<!---->", "<!-- > ]]> -->"])
def test_a_comment_ends_where_xml_ends_it(comment: str) -> None:
    assert read(f"<a>x{comment}y</a>").text == "xy"


def test_the_place_of_an_attribute_is_its_value() -> None:
    root = read("<a\n  name = 'é \"x\"'\n\tother=\"name='1' &lt;\"/>")
    assert root.attributes == {"name": 'é "x"', "other": "name='1' <"}
    assert root.place_of("name").text == 'é "x"'
    assert (root.place_of("other").line, root.place_of("other").column) == (3, 9)
    assert root.place_of("missing") == root.span


def test_the_place_of_a_text_is_without_the_space_around_it() -> None:
    root = read("<a> \n  BO<!-- -->OL&#32; </a>")
    assert root.text_place.text == "BO<!-- -->OL"
    assert read("<a>  </a>").text_place.text == "<a>"


def test_a_tag_ends_behind_its_last_quote() -> None:
    root = read("<a x='>' y=\"/>\"><b/></a>")
    assert root.span.text == "<a x='>' y=\"/>\">"
    assert [child.span.text for child in root.children] == ["<b/>"]


# --- names, namespaces, kinds --------------------------------------------------------------------


def test_prefixes_of_names_and_kinds_are_resolved() -> None:
    root = read(f'<p:a xmlns:p="u" {XSI} xsi:type="p:ST" p:x="1" y="2"><b xmlns="v"/></p:a>')
    assert (root.name, root.namespace, root.kind) == ("a", "u", "ST")
    assert root.attributes == {"{u}x": "1", "y": "2"}
    assert root.place_of("{u}x").text == "1"
    assert [(child.name, child.namespace) for child in root.children] == [("b", "v")]


def test_a_kind_of_another_namespace_is_another_kind() -> None:
    root = read(f'<a xmlns="u" xmlns:o="v" {XSI} xsi:type="o:ST"/>')
    assert root.kind == "{v}ST"
    assert read(f'<p:a xmlns:p="u" xmlns="v" {XSI} xsi:type="ST"/>').kind == "{v}ST"
    assert read(f'<p:a xmlns:p="u" {XSI} xsi:type="ST"/>').kind == "ST"
    assert refused(f'<a xmlns="u" {XSI} xsi:type="o:ST"/>').code == "malformed-markup"


def test_the_first_tag_is_enough_to_know_a_root() -> None:
    assert root_of(SourceText("a", '<?xml version="1.0"?><p:a xmlns:p="u"><broken')) == ("u", "a")
    assert root_of(SourceText("a", "<broken")) is None
    assert root_of(SourceText("a", "x := 1;")) is None
    assert is_markup(SourceText("a", "\ufeff \n<a/>"))
    assert not is_markup(SourceText("a", "(* <a/> *)"))


# --- what is refused ----------------------------------------------------------------------------

MALFORMED = [
    ("<a", 1, 1, "ends before"),
    ("<a>\n<b>", 2, 3, "ends within <b>"),
    ("<a>\n <b></a>", 2, 7, "another element than <b>"),
    ("<a b=1/>", 1, 6, "no XML"),
    ("<a>\n&nbsp;</a>", 2, 1, "no such character reference"),
    ("<a/>\nx", 2, 1, "follows the end"),
    (' <?xml version="1.0"?><a/>', 1, 2, "very beginning"),
    ("<p:a/>", 1, 1, "no namespace"),
    ("<a b='1' b='2'/>", 1, 10, "twice"),
    ("<a>é\x01</a>", 1, 5, "no XML"),
    ("<a>é\ud800</a>", 1, 5, "no XML"),
    ("<a>&#0;</a>", 1, 4, "of no character"),
    ("<a>]]></a>", 1, 6, "no XML"),
    ("<a><![CDATA[x</a>", 1, 17, "ends"),
    ("<", 1, 1, "ends before"),
]


@pytest.mark.parametrize(("text", "line", "column", "words"), MALFORMED)
def test_what_is_no_xml_is_told_at_its_place(text: str, line: int, column: int, words: str) -> None:
    problem = refused(text)
    assert problem.span is not None
    assert (problem.code, problem.span.line, problem.span.column) == (
        "malformed-markup", line, column,
    )  # fmt: skip
    assert words in problem.message


BOMB = "".join(
    ["<!DOCTYPE a [\n<!ENTITY e0 'laugh'>"]
    + [f"<!ENTITY e{n} '{f'&e{n - 1};' * 10}'>" for n in range(1, 12)]
    + ["]><a>&e11;</a>"]
)


@pytest.mark.parametrize(
    "text",
    [
        BOMB,
        "<!-- <!DOCTYPE x> -->\n<!DOCTYPE a SYSTEM 'file:///etc/passwd'><a/>",
        "<!DOCTYPE a [<!ENTITY x SYSTEM 'http://localhost/x'>]><a>&x;</a>",
        "<!DOCTYPE a [<!ENTITY % p SYSTEM 'x'> %p;]><a/>",
        "<!DOCTYPE a><a/>",
    ],
    ids=["bomb", "file", "network", "parameter", "plain"],
)
def test_a_document_type_is_refused(text: str) -> None:
    problem = refused(text)
    assert problem.span is not None
    assert problem.code == "unsafe-markup"
    assert problem.span.text == "<!DOCTYPE"
    assert problem.span.start in (0, 22)


def test_what_is_too_deep_or_too_large_is_refused() -> None:
    assert refused("<a>" * 10_000).code == "nested-too-deep"
    assert refused("<a>" * 257 + "</a>" * 257).code == "nested-too-deep"
    assert read("<a>" * 256 + "</a>" * 256).children
    assert refused("<a " + "a='' " * 300_001).code == "text-too-large"


@pytest.mark.long
@pytest.mark.parametrize(
    "piece", ["<b/>", "&lt;", "<?a?>é", "x\n", "<!---->", "<b c='d'>", "<![CDATA[]]>"]
)
def test_ten_megabytes_are_read_or_refused(piece: str) -> None:
    text = f"<a>{piece * (9_999_000 // len(piece.encode()))}</a>"
    with contextlib.suppress(InputError):
        read(text)


# --- encodings ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "data",
    [
        "<a>é</a>".encode(),
        "\ufeff<a>é</a>".encode(),
        "<a>é</a>".encode("utf-16"),
        "\ufeff<a>é</a>".encode("utf-16-be"),
        "<a>é</a>".encode("utf-16-le"),
        '<?xml version="1.0" encoding="utf-16"?><a>é</a>'.encode("utf-16"),
        '<?xml version="1.0" encoding="utf-16"?><a>é</a>'.encode(),
        "<?xml version='1.0' encoding='ISO-8859-1'?><a>é</a>".encode("latin-1"),
        "<?xml version='1.0' encoding='windows-1252'?><a>é</a>".encode("cp1252"),
        "\ufeff<?xml version='1.0' encoding='ISO-8859-1'?><a>é</a>".encode(),
    ],
)
def test_a_document_is_read_in_the_encoding_that_it_has(data: bytes) -> None:
    assert read_markup(decode_source(data, "a.xml")).text == "é"


@pytest.mark.parametrize(
    ("data", "column"),
    [
        (b"<a>\n<b>\xe9</b></a>", 4),
        (b"<?xml version='1.0' encoding='ISO-2022-JP'?>\n<a/>", 31),
        (b"<?xml version='1.0' encoding='us-ascii'?><a>\xc3\xa9</a>", 45),
    ],
)
def test_bytes_of_another_encoding_are_refused(data: bytes, column: int) -> None:
    with pytest.raises(InputError) as caught:
        decode_source(data, "a.xml")
    (problem,) = caught.value.diagnostics
    assert problem.code == "wrong-encoding"
    assert problem.span is not None
    assert problem.span.column == column


def test_line_ends_count_as_one_and_long_lines_are_read() -> None:
    root = read_markup(decode_source(b"<a>\r\n<b>x\ry</b>\r\n</a>", "a.xml"))
    assert [piece for piece in places(root) if piece[0].strip()] == [("x\ny", "x\ny", 2, 4)]
    assert len(read_markup(decode_source(b"<a>" + b"x" * 200_000 + b"</a>", "a.xml")).text) > 1e5


# --- against an independent reader ----------------------------------------------------------------

TEXTS = st.text(st.sampled_from("ab é\n\t\r;:=<>&'\"]€😀(*"), max_size=8)
NAMES = st.sampled_from(["a", "b", "Größe", "x-1", "_y.z"])


def escaped(text: str) -> str:
    table = {"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "\r": "&#13;", "é": "&#xE9;"}
    return "".join(table.get(character, character) for character in text)


@st.composite
def documents(draw: st.DrawFn, depth: int = 3) -> str:
    """An element with attributes, text in all its spellings, comments and children."""
    name = draw(NAMES)
    given = draw(st.dictionaries(NAMES, TEXTS, max_size=2))
    attributes = "".join(
        f' {key}="{escaped(value)}"' if draw(st.booleans()) else f"\n{key} = \"{escaped(value)}\""
        for key, value in given.items()
    )  # fmt: skip
    parts = []
    for _ in range(draw(st.integers(0, 4))):
        kind = draw(st.integers(0, 4))
        if kind == 0 and depth:
            parts.append(draw(documents(depth - 1)))
        elif kind == 1:
            parts.append("<![CDATA[" + draw(TEXTS).replace("]]>", "").replace("\r", "") + "]]>")
        elif kind == 2:
            parts.append(draw(st.sampled_from(["<!-- x -->", "<?p q?>", "<!---->", "<!--<b>-->"])))
        else:
            parts.append(escaped(draw(TEXTS)))
    if not parts and draw(st.booleans()):
        return f"<{name}{attributes}/>"
    return f"<{name}{attributes}>{''.join(parts)}</{name}\n>"


def same(found: XmlElement, wanted: ElementTree.Element) -> None:
    own = [wanted.text or "", *(child.tail or "" for child in wanted)]
    assert found.name == wanted.tag
    assert found.attributes == wanted.attrib
    assert found.text == "".join(own)
    assert len(found.children) == len(wanted)
    for child, other in zip(found.children, wanted, strict=True):
        same(child, other)


def check_places(root: XmlElement) -> None:
    """Runs stand in their order, and each is spelt as it is meant or by a reference."""
    pieces = sorted(
        chain.from_iterable(each.characters for each in (root, *root.below())),
        key=lambda piece: piece.span.start,
    )
    for piece, following in pairwise(pieces):
        assert piece.span.end <= following.span.start
    for piece in pieces:
        reference = re.fullmatch(r"&#?\w+;", piece.span.text)
        assert piece.text == piece.span.text or (reference and len(piece.text) == 1)
    for each in (root, *root.below()):
        assert each.span.text.startswith(f"<{each.name}")
        assert each.span.text.endswith(">")
        for name in each.attributes:
            before = root.span.source.text[: each.place_of(name).start]
            assert re.search(rf"[\s]{re.escape(name)}\s*=\s*\"$", before)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(documents())
def test_a_document_says_what_an_independent_reader_finds_in_it(text: str) -> None:
    root = read(text)
    same(root, ElementTree.fromstring(text))
    check_places(root)
