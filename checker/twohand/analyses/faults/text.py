"""A fault analysis as text: the table requirement x fault, what is lost, and second faults."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from twohand.analyses.faults.table import Cell as CellOfRow
from twohand.analyses.faults.table import FaultRow, FaultTable, Standing
from twohand.analyses.faults.words import (
    AFTERWARDS,
    BEGINS,
    CONTROL_RELIABILITY,
    DETECTION,
    ENDING,
    EXCLUSION,
    MEANINGS,
    NOTICED,
    NOTICED_BY,
    OFF_AFTER,
    SOURCES,
    TILL_END,
    WORDS,
    asked_sentence,
    lasting,
    lost,
    lost_by_ending,
    undecided,
)
from twohand.evidence.verdict import FindingVerdict, Outcome, Verdict
from twohand.report.drawing.diagnostics import diagnostic_lines
from twohand.report.drawing.source_line import file_and_line
from twohand.report.drawing.terminal import Paint, Terminal, rows_that_fit, text_width
from twohand.report.summary import all_warnings, outputs_and_findings, specification_lines
from twohand.report.verdict_line import possibility
from twohand.specification.model.fault import Kept
from twohand.specification.model.specification import Aim
from twohand.specification.phrases import count, listing, wall_time, written

PAIRS_LEFT = "Second faults were left out (--single), although this type asks for them."
Cell = tuple[str, Paint]
GAP = 2


def fault_lines(table: FaultTable, terminal: Terminal) -> list[str]:
    """Everything about one spec but its cautions."""
    lines = specification_lines(table.sound.specification, terminal)
    lines += terminal.wrap(asked_sentence(table), 2)
    lines += outputs_and_findings(table.sound, terminal)
    lines += ["", *_table_lines(table, terminal), ""]
    lines += terminal.paragraphs((*_legend(table), SOURCES), 2, 4)
    for section in (_lost_lines, _control_lines, _pair_lines, _note_lines):
        found = section(table, terminal)
        lines += ["", *found] if found else []
    for warning in all_warnings(table.sound):
        lines += ["", *diagnostic_lines(warning, terminal)]
    return [*lines, "", *terminal.wrap(conclusion(table), 2)]


# --- the table ----------------------------------------------------------------------------------


def _table_lines(table: FaultTable, terminal: Terminal) -> list[str]:
    """A row for each fault, a column for each requirement; wide tables in several blocks."""
    headings = [_heading(requirement.identifier) for requirement in table.requirements]
    beside = bool(table.sound.specification.outputs)
    headings += [_heading(word) for word in AFTERWARDS if beside]
    rows = [("no fault", _sound_cells(table))]
    for row in table.rows:
        rows.append((row.title, _cells(row)))
        rows += [_ending(before, ending, row) for before, ending in row.differing]
    labels = min(max(text_width(title) for title, _ in rows), terminal.width // 2)
    widths = [
        max(text_width(word) for word in [*heading, *(cells[number][0] for _, cells in rows)])
        for number, heading in enumerate(headings)
    ]
    lines: list[str] = []
    together = len(AFTERWARDS) if beside else 0
    for columns in _blocks(widths, terminal.width - labels - 2, together):
        lines += [""] if lines else []
        block = _Block(columns, widths, labels, terminal)
        height = max(len(headings[number]) for number in columns)
        for level in range(height):
            words = [([""] * (height - len(heading)) + heading)[level] for heading in headings]
            title = "fault" if level == height - 1 else ""
            lines.append(block.line(title, [(word, Paint.STRONG) for word in words], True))
        lines += [block.line(title, cells) for title, cells in rows if block.says(title, cells)]
    return lines


def _heading(identifier: str) -> list[str]:
    """An identifier in lines of its own, so that the columns are narrow."""
    words = identifier.replace(" ", "_").split("_")
    return [f"{word}_" for word in words[:-1]] + words[-1:] if " " not in identifier else words


def _sound_cells(table: FaultTable) -> list[Cell]:
    outcomes = {v.requirement.identifier: v.outcome for v in table.sound.verdicts}
    words = {
        Outcome.PROVED: WORDS[Standing.PROVED],
        Outcome.VIOLATED: WORDS[Standing.VIOLATED],
        Outcome.VACUOUS: ("vacuous", Paint.BAD),
        Outcome.UNDECIDED: WORDS[Standing.UNDECIDED],
    }
    cells = [words[outcomes[requirement.identifier]] for requirement in table.requirements]
    nothing: Cell = ("", Paint.STRONG)
    return [*cells, nothing, nothing]


def _cells(row: FaultRow) -> list[Cell]:
    never = row.shows is not None and row.shows.outcome is Outcome.VACUOUS
    off = lasting(_outcome(row.stays_off), [_outcome(each.stays_off) for each in row.ending])
    seen = lasting(_outcome(row.noticed), [_outcome(each.noticed) for each in row.ending])
    if never and seen[0] == "no":
        seen = ("no, never shows", Paint.OPEN)
    return [*(WORDS[cell.standing] for cell in row.cells), off, seen]


def _outcome(verdict: Verdict | None) -> Outcome | None:
    return None if verdict is None else verdict.outcome


def _ending(before: FaultRow, ending: FaultRow, row: FaultRow) -> tuple[str, list[Cell]]:
    """What is otherwise where the fault ends, below its ``row``."""
    changed = ending.other_cells(before)
    standings = {name: WORDS[cell.standing] for name, cell in changed.items()}
    nothing: Cell = ("", Paint.STRONG)
    words = [standings.get(cell.requirement.identifier, nothing) for cell in row.cells]
    return f"  {ending.faults[0].course.value}", [*words, nothing, nothing]


def _blocks(widths: Sequence[int], room: int, together: int) -> list[list[int]]:
    """Columns that fit side by side; the last ``together`` of them are not torn apart."""
    alone = len(widths) - together
    groups = [*([number] for number in range(alone)), [*range(alone, len(widths))]]
    rows = rows_that_fit(groups, lambda group: sum(widths[n] + GAP for n in group), room)
    return [[number for group in row for number in group] for row in rows]


@dataclass(frozen=True)
class _Block:
    """Columns side by side, behind the titles of the rows."""

    columns: Sequence[int]
    widths: Sequence[int]
    labels: int
    terminal: Terminal

    def says(self, title: str, cells: Sequence[Cell]) -> bool:
        """Whether it is a row of its own, or one of a fault that ends with a word in it."""
        return not title.startswith(" ") or any(cells[number][0] for number in self.columns)

    def line(self, title: str, cells: Sequence[Cell], heading: bool = False) -> str:
        terminal = self.terminal
        label = terminal.pad(terminal.clip(terminal.shown(title), self.labels), self.labels)
        line = f"  {terminal.paint(label, Paint.STRONG) if heading else label}"
        for number in self.columns:
            word, paint = cells[number]
            shown = terminal.shown(word)
            space = " " * (self.widths[number] - len(shown))
            line += f"{' ' * GAP}{terminal.paint(shown, paint)}{space}"
        return line.rstrip()


def _legend(table: FaultTable) -> list[str]:
    shown = [*table.rows, *(ending for row in table.rows for _, ending in row.differing)]
    standings = {cell.standing for row in shown for cell in row.cells}
    lines = [f"{text}." for standing, text in MEANINGS.items() if standing in standings]
    lines += [ENDING] if any(row.differing for row in table.rows) else []
    specification = table.sound.specification
    if not specification.outputs:
        return lines
    lines.append(OFF_AFTER)
    if specification.notice is None:
        lines.append(NOTICED)
    else:
        lines.append(NOTICED_BY.format(notice=written(specification.notice.span)))
    words = {word for row in table.rows for word, _ in _cells(row)[-len(AFTERWARDS) :]}
    return [*lines, TILL_END] if "till it ends" in words else lines


# --- below the table ----------------------------------------------------------------------------


def _lost_lines(table: FaultTable, terminal: Terminal) -> list[str]:
    """What a single fault costs, with the way to its run."""
    texts: list[str] = []
    for row in table.rows:
        texts += _cost_lines(row, row.cells, row.findings)
        for before, ending in row.differing:
            cells = ending.other_cells(before).values()
            texts += _cost_lines(ending, cells, ending.other_findings(before))
    ended = [each for row in table.rows for _, each in row.differing]
    costly = next((row for row in (*table.rows, *ended) if lost(row)), None)
    if costly is not None:
        texts.append("A run in full: --trace FAULT REQUIREMENT, for instance")
    lines = terminal.paragraphs(texts, 2, 4)
    if costly is not None:
        lines.append(terminal.shown(f"    --trace {costly.identifier} {lost(costly)[0]}"))
    return [terminal.heading("What single faults cost"), *lines] if lines else []


def _cost_lines(
    row: FaultRow, cells: Iterable[CellOfRow], findings: Iterable[FindingVerdict]
) -> list[str]:
    texts = [
        f"{row.title}: {cell.verdict.seen or cell.requirement.identifier}"
        for cell in cells
        if cell.standing is Standing.VIOLATED and cell.verdict is not None
    ]
    return texts + [
        f"{row.title}: {possibility(found)} at {file_and_line(found.finding.span)}"
        for found in findings
    ]


def _control_lines(table: FaultTable, terminal: Terminal) -> list[str]:
    """What control reliability asks of any single failure: the stop, a further stroke, and whether
    it is detected. Of a spec that asks for a stop of an output."""
    stops = {each.identifier for each in table.requirements if each.stops}
    if not stops or not table.sound.specification.outputs:
        return []
    prevented = [_stop_of(row, stops) for row in table.rows]
    further = [(row.title, row.stays_off.outcome) for row in table.rows if row.stays_off]
    unseen = [(row.title, row.noticed.outcome) for row in table.rows if row.noticed]
    texts = [
        f"a fault prevents the stop ({listing(sorted(stops))}): {_of_faults(prevented)}",
        f"a fault allows a further stroke: {_of_faults(further)}",
        f"a fault may stay undetected until the next start: {_of_faults(unseen)}",
    ]
    if table.kept is Kept.KEPT and not all(row.surely_noticed for row in table.rows):
        texts[-1] += f". {DETECTION}"
    heading = terminal.heading("Control reliability")
    return [heading, *terminal.paragraphs([CONTROL_RELIABILITY, *texts], 2, 4)]


def _stop_of(row: FaultRow, stops: set[str]) -> tuple[str, Outcome]:
    """Whether the fault that stays prevents it, or else one that ends."""
    outcomes = []
    for each in (row, *row.ending):
        standings = {cell.standing for cell in each.cells if cell.requirement.identifier in stops}
        if standings & {Standing.VIOLATED, Standing.LOST_ALLOWED, Standing.WITHOUT_FAULT}:
            return each.title, Outcome.VIOLATED
        outcomes += [Outcome.UNDECIDED] if Standing.UNDECIDED in standings else []
    return row.title, Outcome.UNDECIDED if outcomes else Outcome.PROVED


def _of_faults(asked: Sequence[tuple[str, Outcome]]) -> str:
    """For how many faults something is violated, for which, and for which that is open."""
    found = [title for title, outcome in asked if outcome is Outcome.VIOLATED]
    open_ones = [title for title, outcome in asked if outcome is Outcome.UNDECIDED]
    text = f"{len(found) or 'none'} of {len(asked)}"
    text += f": {listing(found)}" if found else ""
    return text + (f"; undecided: {listing(open_ones)}" if open_ones else "")


def _pair_lines(table: FaultTable, terminal: Terminal) -> list[str]:
    """Second faults beside those that may stay unnoticed."""
    if not table.combined:
        asked = table.kept is Kept.KEPT_AND_NOTICED
        return terminal.wrap(PAIRS_LEFT, 2) if asked else []
    lines = [terminal.heading("A second fault beside one that is not noticed")]
    firsts = {pair.faults[0] for pair in table.pairs}
    if not firsts:
        text = "no fault keeps what is asked and may stay unnoticed; there is none to combine"
        return [*lines, *terminal.wrap(text, 2)]
    bad = [pair for pair in table.pairs if lost(pair) or pair.findings]
    open_pairs = [pair for pair in table.pairs if undecided(pair)]
    text = (
        f"{count(len(firsts), 'fault')} that may stay unnoticed, each with a second one that "
        f"begins with it or later: {count(len(table.pairs), 'pair')}, "
    )
    text += f"of which {len(bad)} cost something" if bad else "none of which costs anything"
    lines += terminal.wrap(text, 2)
    texts = [f"{_then(pair)}: {listing(lost(pair)) or 'a finding'}" for pair in bad]
    texts += [f"{_then(pair)}: undecided: {listing(undecided(pair))}" for pair in open_pairs]
    return [*lines, *terminal.paragraphs(texts, 4, 6)]


def _then(pair: FaultRow) -> str:
    first, second = pair.faults
    return f"{first.title}, then {second.title}"


def _note_lines(table: FaultTable, terminal: Terminal) -> list[str]:
    """What the table does not cover."""
    lines = table.analysis.lines
    notes = [BEGINS]
    excluded = table.analysis.excluded
    if excluded:
        names = listing([fault.title for fault in excluded])
        notes.append(f"Excluded, and not looked at: {names}. {EXCLUSION}")
    if lines.apart:
        names = listing([variable.name for variable in lines.apart])
        notes.append(
            f"No fault is assumed at {names}: neither a contact of a hand nor feedback of a "
            "plant; a SUPPLY that names such an input includes it."
        )
    if lines.unsupplied:
        names = listing([variable.name for variable in lines.unsupplied])
        notes.append(f"No SUPPLY names {names}: no loss of voltage is assumed there.")
    reachable = [
        verdict.requirement.identifier
        for verdict in table.sound.verdicts
        if verdict.requirement.aim is Aim.REACHABLE
    ]
    if reachable:
        names = listing(reachable)
        notes.append(f"{names}: what can be reached without a fault is reached while none began.")
    return terminal.paragraphs(notes, 2, 4)


def conclusion(table: FaultTable) -> str:
    """One sentence about one spec."""
    rows = table.rows
    costly = [row for row in rows if lost(row)]
    text = f"{count(len(rows), 'single fault')}: "
    every = [each for row in (*rows, *table.pairs) for each in (row, *row.ending)]
    doubt = any(undecided(row) for row in every)
    none = "none was found to cost a requirement" if doubt else "none costs a requirement"
    text += f"{len(costly)} cost a requirement" if costly else none
    if costly and table.kept is Kept.MAY_BE_LOST:
        text += ", which this type allows"
    more = sum(bool(lost_by_ending(row)) for row in rows)
    if more:
        text += f"; {more} cost more if they end"
    before = [v for v in table.sound.verdicts if v.outcome is Outcome.VIOLATED]
    if before:
        text += f"; {len(before)} violated without any fault"
    asked = [row for row in rows if row.noticed is not None]
    unnoticed = sum(not row.surely_noticed for row in asked)
    if asked:
        text += f"; {unnoticed} may stay unnoticed before the next start"
    if doubt:
        text += "; something is undecided"
    return f"{text} ({wall_time(table.seconds)})"
