"""Whatever an exchange file says, it ends in a program or in a told error, with its place."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator

import pytest
from twohand.exchange.file import structured_text_of
from twohand.files.reading import LONGEST_LINE, decode_source
from twohand.text.diagnostic import InputError
from twohand.text.source_map import TranslatedText
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.exchange_export import document
from tests.support.places import EXCHANGE_FILES
from tests.support.samples.exchange_samples import (
    block,
    body,
    load,
    problems,
    text_of,
    variable,
    variables,
)

SAMPLE = (EXCHANGE_FILES / "clamp.xml").read_bytes()
PIECES = re.compile(rb"<[^>]*>|\w+|\s+|.", re.DOTALL)


def told(data: bytes) -> str:
    """The first code of what is wrong with a file; '' where it is read."""
    try:
        source = decode_source(data, "a.xml")
        load_program([structured_text_of(source)], "Clamp")
    except InputError as error:
        for problem in error.diagnostics:
            assert problem.code
            assert problem.message
            assert problem.span is not None or problem.path
            if problem.span is not None:
                assert problem.span.source.path == "a.xml"
                assert problem.span.line >= 1
                assert 0 <= problem.span.start <= problem.span.end
        return error.diagnostics[0].code
    return ""


def cut(step: int) -> Iterator[bytes]:
    return (SAMPLE[:end] for end in range(0, len(SAMPLE) - 12, step))


def test_a_file_that_is_cut_off_is_told_so() -> None:
    codes = {told(data) for data in cut(293)}
    assert codes <= {"empty-file", "malformed-markup", "wrong-encoding"}


@pytest.mark.long
def test_a_file_that_is_cut_off_at_any_fiftieth_byte_is_told_so() -> None:
    codes = {told(data) for data in cut(49)}
    assert codes <= {"empty-file", "malformed-markup", "wrong-encoding"}


def mutated(chance: random.Random) -> bytes:
    """The sample with a few pieces left out, doubled, or put in place of others."""
    pieces = PIECES.findall(SAMPLE)
    for _ in range(chance.randrange(1, 4)):
        place = chance.randrange(len(pieces))
        other = chance.choice(pieces)
        pieces[place : place + chance.randrange(3)] = [other] * chance.randrange(3)
    return b"".join(pieces)


@pytest.mark.long
@pytest.mark.parametrize("seed", [3, 4])
def test_a_mutated_file_is_read_or_told(seed: int) -> None:
    chance = random.Random(seed)
    assert len({told(mutated(chance)) for _ in range(40)}) >= 3


@pytest.mark.nightly
def test_many_mutated_files_are_read_or_told() -> None:
    chance = random.Random(5)
    codes = {told(mutated(chance)) for _ in range(1_000)}
    assert len(codes) >= 10


ATTRIBUTES = re.compile(rb'(?<==")[^"]*(?=")')
HOSTILE = (
    b"x; y", b"1 (*", b"*) 2", b"a := 1", b"END_VAR", b"BOOL; END_VAR VAR z : BOOL", b"(", b"'",
    b"$'", b"//", b"{x}", b"", b" ", b"-1", b"99999999999999999999", b"&#10;END_VAR", b"\xc3\xa9",
    b"a__b", b"1 .. 2", b"[1]", b"f(x)", b"x.y",
)  # fmt: skip


def structure(text: str) -> list[str]:
    """The words of a translation that frame its units, types and sections."""
    words = re.findall(r"\b(?:END_)?(?:VAR\w*|TYPE|FUNCTION\w*|PROGRAM|CONFIGURATION)\b", text)
    return [word for word in words if word != "VARIABLE"]


def check_attribute(place: re.Match[bytes], hostile: bytes) -> None:
    """A value in the place of an attribute changes no frame, or is refused."""
    data = SAMPLE[: place.start()] + hostile + SAMPLE[place.end() :]
    told(data)
    try:
        found = structured_text_of(decode_source(data, "a.xml"))
    except InputError:
        return
    if isinstance(found, TranslatedText) and not found.refusals:
        assert structure(found.text) == structure(text_of(SAMPLE.decode()))


@pytest.mark.long
def test_no_attribute_says_more_than_a_name_or_a_value() -> None:
    places = list(ATTRIBUTES.finditer(SAMPLE))
    for number, hostile in enumerate(HOSTILE):
        check_attribute(places[(8 + 7 * number) % len(places)], hostile)


@pytest.mark.nightly
@pytest.mark.parametrize("hostile", HOSTILE, ids=repr)
def test_no_attribute_at_all_says_more_than_a_name_or_a_value(hostile: bytes) -> None:
    for place in ATTRIBUTES.finditer(SAMPLE):
        check_attribute(place, hostile)


def test_a_long_line_in_a_body_is_refused_at_its_place() -> None:
    statements = f"x := TRUE; {' ' * LONGEST_LINE}"
    (problem,) = problems(document(block(variables(variable("x")) + body(statements))))
    assert problem.code == "line-too-long"
    assert problem.span is not None
    assert problem.span.source.path == "a.xml"


@pytest.mark.long
def test_a_file_on_one_line_is_read() -> None:
    one_line = re.sub(r"\n\s*", " ", document(block(variables(variable("x")) + body("x := TRUE;"))))
    many = "".join(block(variables(variable("x")), f"B{n}") for n in range(2_000))
    assert (
        load(one_line.replace("</GlobalNamespace>", f"{many}</GlobalNamespace>"), "B").name == "B"
    )


def test_types_that_are_nested_deep_are_told() -> None:
    kind = "<TypeName>BOOL</TypeName>"
    for _ in range(70):
        kind = (
            '<InstantlyDefinedType xsi:type="ArrayTypeSpec"><DimensionSpec dimensionNumber="1">'
            f'<IndexRange lower="0" upper="0"/></DimensionSpec><BaseType>{kind}</BaseType>'
            "</InstantlyDefinedType>"
        )
    inside = variables(variable("x", f"<Type>{kind}</Type>"))
    assert problems(document(block(inside)))[0].code == "nested-too-deep"


def test_a_file_without_anything_in_it_is_told() -> None:
    assert [p.code for p in problems(document(""))] == ["no-block"]
    source = SourceText("a.xml", document("").replace("<Types>", "<AddData/><Types>"))
    assert structured_text_of(source).text == ""
