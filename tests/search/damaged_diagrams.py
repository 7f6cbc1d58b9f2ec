"""One random diagram with something changed, lost or doubled: it is read, or refused in its
file."""

from __future__ import annotations

import random
import re

from twohand.exchange.file import structured_text_of
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.randomness.diagrams import random_file

_VALUE = re.compile(r'"[^"<>]*"')
_POINT = re.compile(r"<\w+[^<>]*/>")
_OBJECT = re.compile(r"  <(FbdObject|LdObject).*?</\1>\n", re.DOTALL)
_WORDS = (
    "|1|2|true|rising|a|u|n|EN|ENO|IN1|Q|TON|SR|AND|Mix|t|x|set|T#5ms|-1|s.Q1|MUX|INT_TO_BOOL|"
    "Return|Connector|Coil|Block|DataSink|i[1]|%IX0.0|B|a;b|(* a|u := v"
)
_OTHERS = _WORDS.split("|")
HEAD = 300
"""The first characters of a file, with its namespaces, stay."""


def damaged(xml: str, lot: random.Random) -> str:
    head, body = xml[:HEAD], xml[HEAD:]
    form = lot.random()
    if form < 0.6:
        values = list(_VALUE.finditer(body))
        old = lot.choice(values)
        new = f'"{lot.choice(_OTHERS)}"' if lot.random() < 0.6 else lot.choice(values).group()
        return head + body[: old.start()] + new + body[old.end() :]
    if form < 0.8:
        point = lot.choice(list(_POINT.finditer(body)))
        return head + body[: point.start()] + body[point.end() :]
    element = lot.choice(list(_OBJECT.finditer(body)))
    again = element.group() if lot.random() < 0.3 else ""
    return head + body[: element.start()] + again * 2 + body[element.end() :]


def refused(xml: str) -> bool:
    """Whether a file is refused, and with a place in it. Syntax errors would tell of text that no
    file has."""
    try:
        load_program([structured_text_of(SourceText("a.xml", xml))], "B")
    except InputError as error:
        for problem in error.diagnostics:
            assert problem.span is None or problem.span.source.path == "a.xml"
            assert "expected" not in problem.message
        return True
    return False


def damaged_file(seed: int) -> str:
    lot = random.Random(seed)
    xml = random_file(lot, lot.choice(("LD", "FBD")))
    for _ in range(lot.randint(1, 3)):
        xml = damaged(xml, lot)
    return xml
