"""What a verdict does not say: stated with every report, so that no one reads more into it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from twohand.report.drawing.terminal import Terminal
from twohand.specification.model.specification import Specification
from twohand.specification.phrases import duration

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
SOUND_CONTACTS = (
    "Contacts are taken to show their hands, always and at once: no fault of contacts, feedback or "
    "supply (twohand faults assumes them), and no bounce (BOUNCE in the spec lets contacts bounce)."
)
STILL_CONTACTS = (
    "Contacts are taken to show their hands at once, apart from a fault: they do not bounce "
    "(BOUNCE in the spec lets them)."
)
BOUNCING = (
    "Contacts bounce for at most {time} after the sampling at which their hand is seen to have "
    "moved; apart from that and from a fault that is named they show their hands."
)
REACTION = (
    "A reaction in k scans as sampled truly takes less than k + 2 greatest scan times, from the "
    "hand to the output."
)
ONLY_LOGIC = (
    "This checks logic. It does not check wiring, hardware or distance, states no performance "
    "level and no category, and does not replace validation at the machine. Local codes and "
    "licensed practice decide."
)

NEXT_STEPS = (
    "try more time (--seconds), more memory (--memory), the readings of your platform "
    "(--platform 'READING ...') or one fixed --scan"
)


def surely_seen(specification: Specification) -> str:
    """The shortest press and release that the logic cannot miss."""
    longest = duration(specification.clocking.longest, specification.clocking)
    return f"a press or a release is surely seen only if it lasts longer than {longest}"


def _whose(names: Sequence[str]) -> str:
    """A few names, or how many there are."""
    return ", ".join(names) if len(names) <= NAMED else f"{len(names)} specs"


def caution_lines(specifications: Sequence[Specification], terminal: Terminal) -> list[str]:
    """The cautions for one or more checked specs, below a heading."""
    return below_heading(caution_texts(specifications), terminal)


def below_heading(texts: Sequence[str], terminal: Terminal) -> list[str]:
    """Cautions as lines below their heading."""
    return [terminal.heading("What this does not say"), *terminal.paragraphs(texts, 2)]


def caution_texts(specifications: Sequence[Specification]) -> list[str]:
    """One text for each caution; specs of which the same is said are named together."""
    texts = []
    for sentence, whose in _by_sentence(specifications, surely_seen):
        text = f"{sentence[0].upper()}{sentence[1:]}, the greatest scan time"
        whose = f" ({whose})" if whose else ""
        texts.append(f"{text}{whose}; what happens between two samplings is not.")
    texts.append(REACTION)
    sayings = [_of_power]
    if any(specification.hands for specification in specifications):
        sayings.append(_of_contacts)
    for said_of in sayings:
        for sentence, whose in _by_sentence(specifications, said_of):
            texts.append(f"{whose}: {sentence}" if whose else sentence)
    return [*texts, *left_out_sentences(specifications), LEFT_OUT, ONLY_LOGIC]


def _of_contacts(specification: Specification) -> str:
    if specification.bounce:
        return BOUNCING.format(time=duration(specification.bounce, specification.clocking))
    return SOUND_CONTACTS if specification.lines is None else STILL_CONTACTS


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


def left_out_sentences(specifications: Sequence[Specification]) -> list[str]:
    """One sentence for each spec whose program has something that is left out."""
    sentences = []
    for specification in specifications:
        notes = specification.program.left_out
        if notes:
            parts = [f"{note.what} ({note.span.source.path}:{note.span.line})" for note in notes]
            whose = f" by {specification.name}" if len(specifications) > 1 else ""
            sentences.append(f"Left out{whose}: {'; '.join(parts)}.")
    return sentences


def cautions_without_spec(
    own: Sequence[str], specifications: Sequence[Specification], power: str
) -> list[str]:
    """The report's ``own`` sentences, then what is said of every check; ``power`` says by what the
    supply can be let go instead of by POWER CYCLES in the spec."""
    others = {STEADY_POWER: STEADY_POWER.replace("POWER CYCLES in the spec", power)}
    usual = caution_texts(specifications)
    return [*own, *(others.get(text, text) for text in usual if text != REACTION)]
