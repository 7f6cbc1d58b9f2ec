"""JUnit XML: a suite for each spec, a case for each item.

The format has no standard; this is what its readers have in common: testsuites, testsuite,
testcase, and in it failure, error or skipped with a message (common practice).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from xml.etree import ElementTree

from twohand.formats.items import Item, ItemOutcome, SpecItems, harmless
from twohand.record.message import FilePlace, Message


def junit_text(
    specs: Iterable[SpecItems], problems: Sequence[Message], as_expected: bool = False
) -> str:
    """The document. What fails is a failure, what is open an error, and so is every file that
    could not be used; what is waived is skipped, for it is no pass either, and so is, with
    ``as_expected``, what EXPECT names."""
    root = ElementTree.Element("testsuites", name="twohand")
    for spec in specs:
        _suite(root, spec.name, [_case(each, spec.path, as_expected) for each in spec.items])
    if problems:
        _suite(root, "not usable", [_unusable(each) for each in problems])
    ElementTree.indent(root)
    return ElementTree.tostring(root, encoding="unicode", xml_declaration=False) + "\n"


def _suite(root: ElementTree.Element, name: str, cases: Sequence[ElementTree.Element]) -> None:
    counts = {
        word: str(sum(case.find(tag) is not None for case in cases))
        for word, tag in (("failures", "failure"), ("errors", "error"), ("skipped", "skipped"))
    }
    said = {"name": harmless(name), "tests": str(len(cases)), **counts}
    suite = ElementTree.SubElement(root, "testsuite", said)
    suite.extend(cases)


def _case(item: Item, path: str, as_expected: bool) -> ElementTree.Element:
    case = _named(item.identifier, path)
    if item.outcome is ItemOutcome.HOLDS:
        return case
    tag = "failure" if item.outcome is ItemOutcome.FAILS else "error"
    if item.waived or (as_expected and item.meant):
        tag = "skipped"
    text = f"WAIVED ({item.waived}): {item.text}" if item.waived else item.text
    _result(case, tag, text, f"{_where(item.place)}{text}")
    return case


def _unusable(said: Message) -> ElementTree.Element:
    place = said.place
    case = _named(said.code, place.path if place is not None else "twohand")
    where = "" if place is None else _where(place)
    way = f"\n{said.help}" if said.help else ""
    _result(case, "error", said.text, f"{where}{said.text}{way}")
    return case


def _where(place: FilePlace) -> str:
    return f"{place.path}:{place.line or 1}:{place.column or 1}: "


def _named(name: str, path: str) -> ElementTree.Element:
    return ElementTree.Element(
        "testcase", classname=harmless(path.replace("\\", "/")), name=harmless(name)
    )


def _result(case: ElementTree.Element, tag: str, message: str, text: str) -> None:
    found = ElementTree.SubElement(case, tag, message=harmless(message))
    found.text = "\n".join(harmless(line) for line in text.split("\n"))
