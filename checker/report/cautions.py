"""What a verdict does not say: stated with every report, so that no one reads more into it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from checker.report.numbers import duration
from checker.report.terminal import Paint, Terminal
from checker.temporal.requirement import Specification

LEFT_OUT = (
    "Left out of the model: input filters, bus time, output delay, other tasks and interrupts, "
    "forcing and online change, time counters that overflow after 24.8 or 49.7 days, wiring and "
    "wear. That the compiler and the PLC execute the text as modelled is taken for granted."
)
STEADY_POWER = (
    "A loss of power is not modelled: the controller has its supply from the first scan on, and "
    "what it does when that comes back is not checked (POWER CYCLES in the spec lets it go)."
)
POWER_CYCLES = (
    "Power goes and comes back between two scans, never within one; outputs are off without it, "
    "and retained values come back intact, all others begin again."
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
    """The cautions for one or more checked specs; those of which the same is said are named
    together."""
    lines = [terminal.paint("What this does not say", Paint.STRONG)]
    for sentence, whose in _by_sentence(specifications, surely_seen):
        text = f"{sentence[0].upper()}{sentence[1:]}, the greatest scan time"
        whose = f" ({whose})" if whose else ""
        lines += terminal.wrap(f"{text}{whose}; what happens between two samplings is not.", 2)
    lines += terminal.wrap(REACTION, 2)
    for sentence, whose in _by_sentence(specifications, _of_power):
        lines += terminal.wrap(f"{whose}: {sentence}" if whose else sentence, 2)
    for text in (LEFT_OUT, ONLY_LOGIC):
        lines += terminal.wrap(text, 2)
    return lines


def _of_power(specification: Specification) -> str:
    return STEADY_POWER if specification.power is None else POWER_CYCLES


def _by_sentence(
    specifications: Sequence[Specification], said_of: Callable[[Specification], str]
) -> list[tuple[str, str]]:
    """What is said of the specs, each sentence with those it is said of ('' where it is all)."""
    seen: dict[str, list[str]] = {}
    for specification in specifications:
        seen.setdefault(said_of(specification), []).append(specification.name)
    return [(sentence, _whose(names) if len(seen) > 1 else "") for sentence, names in seen.items()]
