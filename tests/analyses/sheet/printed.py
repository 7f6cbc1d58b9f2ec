"""A second reading of a sheet: what is printed for people, in the language of scenarios."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from html import unescape

from twohand.scenarios.play import PlayedScenario, play
from twohand.scenarios.reading import resolve_scenarios
from twohand.specification.model.specification import Specification
from twohand.text.source_text import SourceText

from tests.support.places import GALLERY

ROW = re.compile(r"<tr><td>(\d*)</td><td>(.*?)</td><td>(.*?)</td>")
NAMES = re.compile(r"'(\w+)'")
PAUSE, SKEW = 1500, 100
"""Milliseconds: other ones than those with which a line is played before it is written."""


@dataclass(frozen=True)
class PrintedLine:
    """What to do and what is to be seen, row by row, as a person reads it."""

    title: str
    rows: tuple[tuple[str, str], ...]

    @property
    def wire(self) -> str:
        found = re.search(r"take the contact's wire off at '(\w+)'", self.rows[0][0])
        return found.group(1) if found else ""


def printed_lines(page: str) -> Iterator[PrintedLine]:
    for section in page.split('<section class="trial">')[1:]:
        title = re.search(r"<h3>(.*?)</h3>", section)
        assert title is not None
        rows = [(unescape(do), unescape(seen)) for at, do, seen in ROW.findall(section) if at]
        yield PrintedLine(unescape(title.group(1)), tuple(rows))


def scenario_text(line: PrintedLine, spec: Specification, file: str) -> str:
    """The line in the language of scenarios."""
    contacts = {hand.name: hand.contacts for hand in spec.hands}
    outputs = " OR ".join(variable.name for variable in spec.outputs)
    first, seen = line.rows[0]
    given = re.findall(r"'(\w+)' (TRUE|FALSE)", first)
    held = re.search(r"Keep (.*?) pressed", first)
    lines = [f"SCENARIO line FOR '{file}';"]
    pressed = NAMES.findall(held.group(1)) if held else []
    for name, value in [*given, *((each, "TRUE") for each in pressed)]:
        lines += [f"INITIALLY {each};" for each in _set(name, value, contacts, line.wire)]
    if line.wire:
        lines.append(f"INITIALLY {line.wire} := FALSE;")
    time, begins = 0, []
    for do, _ in line.rows[1:]:
        more = re.match(r"Wait (\d+) s more, then: ", do)
        time += PAUSE + (1000 * int(more.group(1)) if more else 0)
        begins.append(time)
        for number, (name, value) in enumerate(_moves(do, list(contacts))):
            at = time + SKEW * number
            lines += [f"AT T#{at}ms {each};" for each in _set(name, value, contacts, line.wire)]
    ends = [*begins, time + PAUSE]
    all_seen = [seen, *(words for _, words in line.rows[1:])]
    for begin, end, words in zip([0, *begins], ends, all_seen, strict=True):
        on = re.search(r"(stays|comes|goes) (ON|OFF)$", words)
        assert on is not None, words
        start = begin if on.group(1) == "stays" else begin + 500
        truth = "" if on.group(2) == "ON" else "NOT "
        lines.append(f"AT T#{start}ms..T#{end - 1}ms EXPECT {truth}({outputs});")
    return "\n".join([*lines, "END_SCENARIO", ""])


def _moves(do: str, hands: Sequence[str]) -> list[tuple[str, str]]:
    """Everything that the words of one step move, and what it becomes."""
    do = re.sub(r"^Wait \d+ s more, then: ", "", do)
    if do in ("Let go of everything.", "let go of everything."):
        return [(hand, "FALSE") for hand in hands]
    alone = re.fullmatch(r"[Ll]et go of (.*) and keep the rest pressed\.", do)
    if alone:
        return [(name, "FALSE") for name in NAMES.findall(alone.group(1))]
    pressed = re.fullmatch(r"[Pp]ress (.*?)( together)? and keep pressed\.", do)
    if pressed:
        return [(name, "TRUE") for name in NAMES.findall(pressed.group(1))]
    brought = re.fullmatch(r"[Bb]ring the input '(\w+)' to (TRUE|FALSE)\.", do)
    assert brought is not None, do
    return [(brought.group(1), brought.group(2))]


def _set(name: str, value: str, contacts: dict[str, tuple[object, ...]], wire: str) -> list[str]:
    """With a wire off the contacts of a hand one by one, else by the hand's name."""
    if name not in contacts or not wire:
        return [f"{name} := {value}"]
    found = []
    for contact in contacts[name]:
        text = contact.span.text  # type: ignore[attr-defined]
        own = text.removeprefix("NOT ").strip()
        turned = {"TRUE": "FALSE", "FALSE": "TRUE"}[value] if text.startswith("NOT ") else value
        if own != wire:
            found.append(f"{own} := {turned}")
    return found


def played_line(line: PrintedLine, spec: Specification, file: str, seed: int = 7) -> PlayedScenario:
    """Under every reading, by the room of scenarios alone."""
    source = SourceText("line.scenario", scenario_text(line, spec, file))
    (scenario,) = resolve_scenarios(source, GALLERY)
    kept = () if line.wire else spec.assumptions
    bare = replace(spec, requirements=(), assumptions=kept)
    return play(replace(scenario, specification=bare), times=1, seed=seed)
