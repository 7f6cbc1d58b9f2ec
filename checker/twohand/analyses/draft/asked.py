"""What comes out of the requirements of a draft now, if every guess is right: by the check that
every spec has."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from twohand.analyses.draft.lines import Line
from twohand.analyses.draft.text import unmarked_text
from twohand.evidence.verdict import Outcome, Report, Verdict
from twohand.report.verdict_line import OUTCOME_WORDS, outcome_word
from twohand.specification.load import resolve_specification
from twohand.specification.model.specification import Specification
from twohand.specification.phrases import listing
from twohand.specification.reading.files import Texts
from twohand.specification.syntax.parse import parse_specification
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText

Check = Callable[[Specification], Report]


def with_answers(
    name: str, lines: Sequence[Line], folder: Path, shown: str, texts: Texts, check: Check
) -> list[Line]:
    """The lines, each requirement with its present outcome; ``folder`` is that of the spec, and
    ``texts`` are files that were read before."""
    asked = [each for each in lines if each.text and not each.missing and not each.alone]
    if not any(each.demand for each in asked):
        return list(lines)
    text = unmarked_text(name, asked)
    try:
        tree = parse_specification(SourceText(shown, text))
        report = check(resolve_specification(tree, folder, read=texts))
    except InputError as error:
        why = f"nothing, since {error.diagnostics[0].message}"
        return [replace(each, asked=why) if each.demand else each for each in lines]
    # The first line of that text is SPEC.
    found = {number: _answer(_of_line(report, number + 2), report) for number in range(len(asked))}
    answers = {id(each): found[number] for number, each in enumerate(asked)}
    return [replace(each, asked=answers.get(id(each), "")) if each.demand else each
            for each in lines]  # fmt: skip


def _of_line(report: Report, line: int) -> list[Verdict]:
    return [each for each in report.verdicts if each.requirement.span.line == line]


def _answer(verdicts: Sequence[Verdict], report: Report) -> str:
    """``3 PROVED, 1 VIOLATED (release_both)``, with what limits it."""
    by_word: Mapping[str, list[str]] = {
        word: [v.requirement.identifier for v in verdicts if outcome_word(v) == word]
        for word in OUTCOME_WORDS
    }
    proved = Outcome.PROVED.value
    parts = [
        f"{len(names)} {word}{'' if word == proved else f' ({listing(names)})'}"
        for word, names in by_word.items()
        if names
    ]
    text = ", ".join(parts)
    if report.findings:
        text += "; only until one of the findings that 'twohand inspect' shows"
    if report.never_on:
        text += f"; but {listing(list(report.never_on))} can never be on"
    return text
