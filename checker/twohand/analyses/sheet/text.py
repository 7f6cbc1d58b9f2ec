"""A sheet as plain text, to be printed on A4: at most 88 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence

from twohand.analyses.sheet import words
from twohand.analyses.sheet.trial import NoTrial, Sheet, Trial
from twohand.record.plain import relative_path

WIDTH = 88
_DO = 46
_FIELDS = "seen: ______ "


def sheet_text(sheet: Sheet) -> str:
    """All of it; the same sheet gives the same text."""
    lines = [f"{words.TITLE}: {sheet.name}", "=" * WIDTH, *_paragraphs(words.FIRST)]
    if sheet.not_before:
        lines += [*_heading(words.NOT_BEFORE), *_listed(sheet.not_before)]
    lines += [*_heading(words.PART_1), *_paragraphs((*words.BEFORE_1, *words.HOW))]
    lines += _trials(sheet.still, sheet, "1")
    lines += [*_heading(words.PART_1_CONTACTS), *_paragraphs(words.BEFORE_CONTACTS)]
    lines += [*_trials(sheet.contacts, sheet, "1C"), ""]
    lines += [*_paragraphs(closing(sheet)), sign_words(sheet)]
    if sheet.moving:
        lines += [*_heading(words.PART_2), *_paragraphs(words.BEFORE_2)]
        lines += [*_trials(sheet.moving, sheet, "2"), "", words.SIGNED_2]
    else:
        lines += [*_heading(words.PART_2), *_paragraphs((part_2_is_missing(sheet),))]
    lines += [*_heading(words.MEASURED), *_paragraphs(measured(sheet))]
    lines += [*_heading(words.LAST), *_paragraphs(words.LAST_LINES)]
    lines += [*_heading(words.NO_LINE), *_listed(sheet.without)]
    lines += [*_heading(words.BRANCHES), *_paragraphs((branches_sentence(sheet),))]
    lines += _listed(sheet.uncovered, empty=False)
    lines += [
        *_heading("What is proved, by name"),
        *_paragraphs(f"{n}: {s}" for n, s in sheet.asked),
    ]
    lines += [*_heading("Of these files"), *_paragraphs((words.PLAYED,)), *foot(sheet)]
    return "\n".join([*lines, ""])


def branches_sentence(sheet: Sheet) -> str:
    """How many are gone along."""
    gone = sheet.branches - len(sheet.uncovered)
    return f"{gone} of {sheet.branches} are gone along by some line, whatever the platform."


def closing(sheet: Sheet) -> tuple[str, ...]:
    """What is done before Part 1 is signed."""
    return words.CLOSING_1 if sheet.still else ()


def sign_words(sheet: Sheet) -> str:
    """Where Part 1 is signed, if there is anything to sign."""
    return words.SIGNED if sheet.still else words.NO_PART_1


def part_2_is_missing(sheet: Sheet) -> str:
    """What stands where Part 2 would; '' where there is one."""
    if sheet.moving:
        return ""
    return words.NO_PART_2 if sheet.not_before else words.NOTHING_FOR_PART_2


def measured(sheet: Sheet) -> tuple[str, ...]:
    """What is measured, under the conditions of Part 2 alone."""
    if not sheet.moving:
        return (words.NOT_MEASURED,)
    return (*words.BEFORE_MEASURED, *sheet.to_measure)


def foot(sheet: Sheet) -> list[str]:
    """The files with their hashes, and what made this."""
    files = [f"{each.sha256}  {relative_path(each.path)}" for each in sheet.files]
    return [*files, f"made by twohand {sheet.version}"]


def _heading(text: str) -> list[str]:
    return ["", text, "-" * len(text)]


def _paragraphs(texts: Iterable[str]) -> Iterator[str]:
    for text in texts:
        yield from textwrap.wrap(text, WIDTH, initial_indent="- ", subsequent_indent="  ")


def _listed(entries: Sequence[NoTrial], empty: bool = True) -> list[str]:
    texts = [words.no_trial_words(each) for each in entries]
    return list(_paragraphs(texts or (["nothing"] if empty else [])))


def _trials(trials: Sequence[Trial], sheet: Sheet, part: str) -> Iterator[str]:
    for number, trial in enumerate(trials, 1):
        yield ""
        name = f"{part}.{number}  {trial.title}"
        yield from textwrap.wrap(name, WIDTH, subsequent_indent="     ")
        yield from _indented(f"({words.purpose_words(trial)})")
        if trial.needs_generator:
            yield from _indented(f"! {words.GENERATOR}")
        first = words.begin_words(trial)
        yield from _row("0", first, words.seen_words(trial.seen_first, sheet.outputs))
        for at, step in enumerate(trial.steps, 1):
            seen = words.seen_words(step.seen, sheet.outputs)
            yield from _row(str(at), words.step_words(step, sheet.hands), seen)
        if words.end_words(trial):
            yield from _row("", words.end_words(trial), "")
        yield "     who: __________________   date: ______________"


def _indented(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent="     ", subsequent_indent="     ")


def _row(number: str, do: str, seen: str) -> Iterator[str]:
    left = textwrap.wrap(do, _DO)
    right = textwrap.wrap(seen, WIDTH - _DO - len(_FIELDS) - 9)
    for at in range(max(len(left), len(right))):
        what = left[at] if at < len(left) else ""
        shown = right[at] if at < len(right) else ""
        field = _FIELDS.strip() if at == 0 and seen else ""
        mark = number if at == 0 else ""
        space = WIDTH - _DO - len(_FIELDS) - 9
        yield f"  {mark:>2} {what:<{_DO}} {shown:<{space}}  {field}".rstrip()
