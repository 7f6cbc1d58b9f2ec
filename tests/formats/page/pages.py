"""Answers made by hand, their pages, and what html5lib reads there.

html5lib parses as browsers do (https://html.spec.whatwg.org/multipage/parsing.html); what it had to
mend is an error of the page.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from xml.etree.ElementTree import Element

import html5lib
from twohand.analyses.check.record import CheckedSpec, CheckResult, checked_spec
from twohand.analyses.documents import CHECK, CheckOptions
from twohand.evidence.verdict import Verdict
from twohand.formats.page.page import page_text
from twohand.record.document import Made, WholeAnswer
from twohand.record.judged import Judged
from twohand.record.message import Message
from twohand.report.exit_code import ExitCode, worst

from tests.support.samples.report_samples import report

MADE = Made("twohand 0", "3.11", (("z3", "4"),), "a machine", 1, "2026-01-02T03:04:05", 1.5, ())
OPTIONS = CheckOptions(60.0, 600.0, None, False, False, False)
CAUTION = "This checks logic."


def checked(*verdicts: Verdict, **changes: object) -> CheckedSpec:
    """``changes`` are of its report."""
    return checked_spec(report(*verdicts, **changes))


def answered(
    *specs: CheckedSpec,
    problems: Iterable[Message] = (),
    code: ExitCode | None = None,
    **changes: object,
) -> WholeAnswer:
    """``code``: of the command (default: that of the answer); ``changes`` are of the whole."""
    answer = CheckResult(worst(each.exit_code for each in specs), specs, (CAUTION,))
    whole = WholeAnswer(
        CHECK,
        OPTIONS,
        tuple(each for spec in specs for each in spec.spec.sources),
        answer,
        answer.exit_code if code is None else code,
        tuple(problems),
        MADE,
    )
    return replace(whole, **changes)


def other_answer(whole: WholeAnswer, answer: Judged) -> WholeAnswer:
    return replace(whole, answer=answer, exit_code=answer.exit_code)


def read(text: str) -> Element:
    """The document; AssertionError where a browser would have to mend it."""
    parser = html5lib.HTMLParser(namespaceHTMLElements=False)
    found: Element = parser.parse(text)
    assert parser.errors == []
    return found


def page(whole: WholeAnswer) -> Element:
    return read(page_text(whole))


def text_of(element: Element) -> str:
    """Where names may be broken, they are whole here."""
    return " ".join(" ".join(element.itertext()).split()).replace("_ ", "_")


def below(element: Element, tag: str, **attributes: str) -> Iterator[Element]:
    """Elements of this tag, of SVG as well; ``class_`` has to be among the classes."""
    wanted = attributes.pop("class_", "")
    for each in element.iter():
        plain = str(each.tag).rpartition("}")[2]
        classes = each.get("class", "").split()
        if plain == tag and (not wanted or wanted in classes):
            yield each


def answers(element: Element) -> list[str]:
    """The words of all answers below."""
    return [text_of(each) for each in below(element, "span", class_="answer")]
