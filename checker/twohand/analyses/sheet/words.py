"""The words of a sheet. They are read at a machine: short, in order, and nothing in them leads a
hand to where it could be hurt.

Isolating, locking and proving absent, and who may do it: ISO 14118 and ISO 12100, 6.3.5.4 (from
memory); the rest is common practice."""

from __future__ import annotations

from twohand.analyses.sheet.rehearsal import APART, PAUSES, SECOND
from twohand.analyses.sheet.trial import (
    Aimed,
    Device,
    InputMove,
    NoTrial,
    OutputSeen,
    Trial,
    TrialStep,
)
from twohand.specification.model.specification import Specification, Stopping
from twohand.specification.phrases import listing, quoted

TITLE = "What to try by hand"
FIRST = (
    "For competent persons only, who know this machine and are charged with it. Local codes and "
    "the rules of the site decide; where they ask for more, do more.",
    "Nobody puts a hand, or anything held in one, into the hazard zone: in no line of this sheet, "
    "with energy or without.",
    "At the first deviation from what is printed: stop. The machine is out of use, is marked so, "
    "and stays so until somebody competent has found why.",
    "This sheet tries the logic as it was read and proved. It does not replace the validation of "
    "the machine, and says nothing of a line that was not tried.",
)
NOT_BEFORE = "Do not run the machine before this is settled"
NO_PART_2 = "There is no Part 2: something above is not settled, so nothing is tried with motion."
NOTHING_FOR_PART_2 = "There is no Part 2: no sequence that must pass was found."
PART_1 = "Part 1: without motion"
BEFORE_1 = (
    "Every energy that can move the machine is isolated, locked and proved absent; slide or load "
    "is blocked mechanically. Only the control has its supply. The outputs are watched where they "
    "are shown (at the output's lamp or with a meter), and nowhere else.",
    "No forcing of inputs in the controller: what is tried is tried from the contact on.",
    "An input beside the hands is brought to its value (TRUE or FALSE as the program reads it) by "
    "its own device or, where that cannot be, by a bridge or a wire taken off: counted, and "
    "touched only with the control circuit dead. A curtain, a mat or a scanner is never tried by "
    "reaching, or by holding anything, into what it guards.",
)
PART_1_CONTACTS = "Part 1, each contact taken off"
BEFORE_CONTACTS = (
    "Energy stays isolated as before. The control circuit is dead, and proved so, while a wire is "
    "touched: when it is taken off and when it is put back. One contact at a time.",
)
PART_2 = "Part 2: with motion"
BEFORE_2 = (
    "Only after every line of Part 1 passed and Part 1 is signed. Blocks, bridges and locks are "
    "off and counted. All safeguards are in place. Nobody is within reach of what moves; "
    "whoever presses stays at the actuators and reaches for nothing until everything stands still. "
    "A second person stands at the emergency stop and watches.",
    "Inputs beside the hands have to read as printed, by themselves. Where the motion changes one "
    "of them, the printed line has ended: let go.",
)
NO_PART_1 = "There is no line in Part 1, and nothing to sign."
NOT_MEASURED = "Nothing is measured: there is no Part 2."
HOW = (
    f"Every line begins anew: control off, everything let go, inputs as printed, control on. "
    f"Before the first step and between two steps pass {PAUSES[0]} s to {PAUSES[1]} s unless more "
    f"is printed. 'Together' is within {APART * 10 // SECOND / 10} s. What 'comes' or 'goes' does "
    "so within half a second and stays until the next step; what 'stays' does not even flash.",
)
MEASURED = "To be measured"
BEFORE_MEASURED = (
    "With an instrument for stopping times, under the conditions of Part 2, from where the "
    "instrument's instructions say, at the worst speed, load and position.",
)
NO_LINE = "For this there is no line"
BRANCHES = "Branches of the block that no line goes along"
LAST = "At the end"
COUNTED = "Wires taken off: ____  put back: ____    Bridges put on: ____  taken off: ____  (equal)"
CLOSING_1 = (
    COUNTED,
    "After that line 1.1 was repeated, with energy still isolated, and was as printed.",
)
LAST_LINES = (
    COUNTED,
    "After that the first line of the last part was repeated, and was as printed.",
    "The program in the controller was compared with the files below, by their hashes.",
)
SIGNED = "Part 1 passed, every line: name ______________ date __________ signature ______________"
SIGNED_2 = "Part 2 passed, every line: name ______________ date __________ signature ______________"
GENERATOR = (
    "needs a signal generator: what is done together has to be seen by the same scan, which hands "
    "cannot do"
)
PLAYED = (
    "Each line was played before it was written: on the executor, read by the direct evaluator, "
    "under every open reading of the platform, with several scan times, pauses and orders of hands."
)


def begin_words(trial: Trial) -> str:
    """What is so before the first step."""
    held = [quoted(m.name) for m in trial.at_first if m.device is Device.HAND and m.on]
    inputs = [f"'{m.name}' {_truth(m.on)}" for m in trial.at_first if m.device is Device.INPUT]
    said = [f"Inputs: {', '.join(inputs)}."] if inputs else []
    if trial.wire_off:
        said.append(f"Control circuit dead: take the contact's wire off at '{trial.wire_off}'.")
    said.append(f"Keep {listing(held)} pressed." if held else "Nothing is pressed.")
    return " ".join([*said, "Switch the control on."])


def step_words(step: TrialStep, hands: tuple[str, ...]) -> str:
    """What to do, with all ``hands`` of the spec."""
    wait = f"Wait {step.extra} s more, then: " if step.extra else ""
    pressed = [quoted(m.name) for m in step.moves if m.device is Device.HAND and m.on]
    let_go = [quoted(m.name) for m in step.moves if m.device is Device.HAND and not m.on]
    parts = []
    if pressed:
        together = " together" if len(pressed) > 1 else ""
        parts.append(f"press {listing(pressed)}{together} and keep pressed")
    if let_go and len(let_go) == len(hands):
        parts.append("let go of everything")
    elif let_go:
        parts.append(f"let go of {listing(let_go)} and keep the rest pressed")
    parts += [_input_words(m) for m in step.moves if m.device is Device.INPUT]
    text = wait + "; ".join(parts)
    return text[:1].upper() + text[1:] + "."


def end_words(trial: Trial) -> str:
    """What is to be done after the last step."""
    if trial.wire_off:
        return f"Control circuit dead: put the wire at '{trial.wire_off}' back, and count it."
    return ""


def seen_words(seen: OutputSeen, outputs: tuple[str, ...]) -> str:
    """What is to be seen."""
    if len(outputs) == 1:
        return f"{outputs[0]} {seen.value}"
    which = "at least one of" if seen.on else "each of"
    return f"{which} {', '.join(outputs)} {seen.value}"


def purpose_words(trial: Trial) -> str:
    """For what the line is there."""
    if trial.aim is Aimed.CONTACT:
        return "contact taken off"
    names = ", ".join(trial.requirements)
    return f"{trial.aim.value}: {names}" if names else trial.aim.value


def no_trial_words(each: NoTrial) -> str:
    return f"{each.what}: {each.why}"


def measured_lines(specification: Specification) -> tuple[str, ...]:
    """Times of the machine, with what the spec states."""
    stated = specification.stopping or Stopping()
    rows = (
        ("from the output's going off to the end of the dangerous movement", stated.machine),
        ("delay of the output device (relay, valve)", stated.output_device),
        ("delay of the input filter", stated.input_filter),
    )
    lines = []
    for what, time in rows:
        known = "not stated in the spec" if time is None else f"the spec states {_ms(time)} ms"
        if time is not None and what.startswith("from") and stated.logic_included:
            known += ", from the hand's release on"
        lines.append(f"{what}: {known}; measured ________ ms")
    return tuple(lines)


def _ms(nanoseconds: int) -> str:
    return f"{nanoseconds / 1_000_000:g}"


def _input_words(move: InputMove) -> str:
    return f"bring the input '{move.name}' to {_truth(move.on)}"


def _truth(on: bool) -> str:
    return "TRUE" if on else "FALSE"
