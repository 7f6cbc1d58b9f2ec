"""What a verdict does not say: stated with every report, so that no one reads more into it."""

from __future__ import annotations

from collections.abc import Sequence

from checker.report.left_out import left_out_sentences
from checker.report.numbers import duration
from checker.report.terminal import Paint, Terminal
from checker.temporal.requirement import Specification

LEFT_OUT = (
    "Left out of the model: input filters, bus time, output delay, other tasks and interrupts, "
    "forcing and online change, time counters that overflow after 24.8 or 49.7 days, wiring and "
    "wear. That the compiler and the PLC execute the text as modelled is taken for granted."
)
NAMED = 4
REACTION = (
    "A reaction in k scans as sampled truly takes less than k + 2 greatest scan times, from the "
    "hand to the output."
)
ONLY_LOGIC = (
    "This checks logic. It does not check wiring, hardware or distance, states no performance "
    "level and no category, and does not replace validation at the machine. Local codes and "
    "licensed practice decide."
)


def surely_seen(specification: Specification) -> str:
    """The shortest press and release that the logic cannot miss."""
    longest = duration(specification.clocking.longest, specification.clocking)
    return f"a press or a release is surely seen only if it lasts longer than {longest}"


def _whose(names: Sequence[str]) -> str:
    """A few names, or how many there are."""
    return ", ".join(names) if len(names) <= NAMED else f"{len(names)} specs"


def caution_lines(specifications: Sequence[Specification], terminal: Terminal) -> list[str]:
    """The cautions for one or more checked specs; those of one scan time are named together."""
    lines = [terminal.paint("What this does not say", Paint.STRONG)]
    seen: dict[str, list[str]] = {}
    for specification in specifications:
        seen.setdefault(surely_seen(specification), []).append(specification.name)
    for sentence, names in seen.items():
        text = f"{sentence[0].upper()}{sentence[1:]}, the greatest scan time"
        whose = f" ({_whose(names)})" if len(seen) > 1 else ""
        lines += terminal.wrap(f"{text}{whose}; what happens between two samplings is not.", 2)
    for text in (*left_out_sentences(specifications), REACTION, LEFT_OUT, ONLY_LOGIC):
        lines += terminal.wrap(text, 2)
    return lines
