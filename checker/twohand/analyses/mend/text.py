"""Mending changes as text: differences of source lines, with the verdicts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from difflib import SequenceMatcher

from twohand.analyses.audit.comparison import SAME
from twohand.analyses.audit.words import STRUCTURED_TEXT
from twohand.analyses.mend.results import Mending, MendSearch
from twohand.report.cautions import caution_texts
from twohand.report.drawing.source_line import address
from twohand.report.drawing.terminal import Terminal
from twohand.report.run import run_lines
from twohand.report.summary import specification_lines
from twohand.report.verdict_line import verdict_lines
from twohand.specification.phrases import count, listing

SPEC_NOT_MACHINE = (
    "A mended block is one of which this spec is proved. Whether the spec says what the machine "
    "needs, nobody checked, and so a change is something to think about: nothing was written."
)
SMALL_CHANGES = (
    "Looked for were the small changes of 'twohand audit', one and then two at a time. The right "
    "change may be another one, and none of these may be it."
)
SAME_OUTPUTS = (
    "proved: for as long as a run of the block has broken no requirement, the changed block shows "
    "the same in every scan"
)
NO_OTHER_OUTPUT = (
    "proved: for as long as a run of the block has broken no requirement, no output is on that is "
    "off in the block; usual runs (hands pressed together, let go, pressed again) were executed "
    "and show the same; this run, in which the block breaks nothing, ends with another value "
    "of {names}"
)


def mend_lines(found: MendSearch, terminal: Terminal, details: bool = False) -> list[str]:
    """Everything but the cautions; ``details`` shows whole runs."""
    lines = specification_lines(found.subject.specification, terminal)
    violated = listing([verdict.requirement.identifier for verdict in found.violated])
    lines += terminal.wrap(f"violated: {violated}", 2, 4)
    lines += terminal.wrap(summary_sentence(found), 2, 4)
    for number, mending in enumerate(found.mendings, 1):
        lines += ["", *_mending_lines(number, mending, found, terminal, details)]
    return lines


def summary_sentence(found: MendSearch) -> str:
    """How many were tried, and how many of them mend it."""
    tried = count(found.singles, "change")
    if found.pairs:
        tried += f" and {count(found.pairs, 'pair')}"
    mends = len(found.mendings)
    text = f"none among {tried} tried mends it"
    if mends:
        which = "change" if len(found.mendings[0].changes) == 1 else "pair"
        text = f"{count(mends, which)} found among {tried} tried"
    notes = []
    if found.left:
        notes.append(f"{count(found.left, 'more pair')} not tried (--most-pairs)")
    if found.still_open:
        notes.append(f"{len(found.still_open)} undecided")
    return "; ".join([text, *notes])


def _mending_lines(
    number: int, mending: Mending, found: MendSearch, terminal: Terminal, details: bool
) -> Iterator[str]:
    for change in mending.changes:
        title = f"{number}. {address(change.span)}: {change.kind.value}: {change.words}"
        yield from terminal.wrap(title, 0, 3)
    if any(change.translated for change in mending.changes):
        yield from terminal.wrap(STRUCTURED_TEXT, 2)
    for line in difference_lines(mending, found):
        yield f"  {terminal.shown(line)}"
    for verdict in mending.report.verdicts:
        plain = replace(verdict, requirement=replace(verdict.requirement, stated=False))
        yield from verdict_lines(plain, mending.report, terminal, brief=True)
    differs = mending.off_where_on
    if differs is None:
        yield from terminal.wrap(SAME_OUTPUTS, 2, 4)
        return
    names = listing(differs.names)
    yield from terminal.wrap(NO_OTHER_OUTPUT.format(names=names), 2, 4)
    spec, asked = differs.beside.comparison.specification, differs.beside.requirement(SAME)
    yield from run_lines(differs.run, spec, asked, terminal, "differs", details)


def difference_lines(mending: Mending, found: MendSearch) -> list[str]:
    """A unified difference of the lines, of the structured text where the file has another form."""
    lines: list[str] = []
    for before, after in found.subject.file_texts(mending.changes):
        lines += [f"--- {before.path}", f"+++ {before.path}"]
        lines += unified_lines(before.text.splitlines(), after.text.splitlines())
    return lines


def unified_lines(before: Sequence[str], after: Sequence[str]) -> Iterator[str]:
    """As ``difflib.unified_diff`` without its head: that takes lines which a long text often has
    for noise, and then shows as changed what is not."""
    same = SequenceMatcher(None, before, after, autojunk=False)
    for group in same.get_grouped_opcodes(3):
        first, last = group[0], group[-1]
        sides = (_lines_of(first[1], last[2]), _lines_of(first[3], last[4]))
        yield f"@@ -{sides[0]} +{sides[1]} @@"
        for tag, start, end, new_start, new_end in group:
            if tag == "equal":
                yield from (f" {line}" for line in before[start:end])
                continue
            yield from (f"-{line}" for line in before[start:end])
            yield from (f"+{line}" for line in after[new_start:new_end])


def _lines_of(start: int, end: int) -> str:
    """Which lines: the first one and how many, as the form has it."""
    count_of = end - start
    if count_of == 1:
        return f"{start + 1}"
    return f"{start + 1 if count_of else start},{count_of}"


def mend_cautions(found: Sequence[MendSearch]) -> list[str]:
    """Sentences; what is said of every check comes last."""
    usual = caution_texts([each.subject.specification for each in found])
    return [SPEC_NOT_MACHINE, SMALL_CHANGES, *usual]


def mend_total(found: Sequence[MendSearch]) -> str:
    """Of all specs of a file."""
    names = (each.subject.specification.name for each in found)
    said = zip(names, map(summary_sentence, found), strict=True)
    return "; ".join(f"{name}: {sentence}" for name, sentence in said)
