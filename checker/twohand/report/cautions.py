"""What a verdict does not say: stated with every report, so that no one reads more into it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from twohand.program.types import RealClasses
from twohand.report.drawing.terminal import Terminal
from twohand.specification.model.specification import Specification
from twohand.specification.phrases import count, duration, listing

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
    "level and no category, and does not replace validation at the machine. No verdict makes a "
    "standard controller fit for a safety function (a programmable controller is no well-tried "
    "component of category 1: ISO 13849-1, 6.2.4 NOTE 1, restated). Local codes and licensed "
    "practice decide."
)
RIGHT_NAMES = (
    "What is asked is asked of the hands and outputs that the spec names: whether these are the "
    "machine's, and all of them, nobody checks here."
)
PLANTS = (
    "{plants} is taken for the machine: it does what its program says and nothing else, which has "
    "to be true of the machine."
)
SEEN = (
    "A press or a release is surely seen only if it lasts longer than {longest}; what happens "
    "between two samplings is not."
)
CLOCK = (
    "TIME() shows one value throughout a scan, any value in the first one and after a restart, and "
    "comes round after 49.7 days (READING clock_is_signed says from where to where). It is taken "
    "to be exact: where it counts whole milliseconds, a difference may be one of them off."
)
REALS = (
    "Values of REAL and LREAL are told apart only as comparisons of inputs with constants do it. "
    "With not-a-number each comparison is taken to be FALSE, but for <> (IEEE 754-2019, 5.11); "
    "run-time errors of REAL and LREAL are not asked for."
)
UNCOMPUTED = (
    "Nothing is computed of REAL and LREAL: other comparisons may come out either way in each "
    "scan, and what is converted may be any number. What is proved is proved whatever they are; "
    "what a run needs them for stays undecided. Run-time errors of REAL and LREAL are not asked "
    "for."
)
OBSERVED = (
    "Of the platform somebody observed, and nothing proves: {readings}. Another firmware, task or "
    "compiler option may read it otherwise."
)
ALL_OF_THEM = "twohand manual cautions"
"""The command that shows every caution, whatever a spec has."""
BRIEFLY = (
    "Logic alone; presses up to {longest} may be missed{left}; what else it does not say: {all}"
)
OF_THE_GALLERY = (
    "This checks logic, of the hands and outputs that each spec names: no wiring, hardware or "
    "distance. It states no performance level and no category, makes no standard controller fit "
    "for a safety function, and replaces no validation at the machine. Presses up to the greatest "
    "scan time ({longest} in the slowest spec) may be missed. All cautions: {all}"
)

NEXT_STEPS = (
    "try more effort (--effort), more memory (--memory), the readings of your platform "
    "(--platform 'READING ...') or one fixed --scan"
)


@dataclass(frozen=True)
class SaidOfSpec:
    """What the cautions say of the spec of this ``name``: its greatest scan time, whether it names
    hands, or anything of the machine; then texts, '' where there is nothing to say."""

    name: str
    longest: str
    has_hands: bool
    names_machine: bool
    power: str
    plants: str
    clock: str
    reals: str
    uncomputed: str
    readings: str
    contacts: str
    left_out: str


def said_of(specification: Specification) -> SaidOfSpec:
    return SaidOfSpec(
        specification.name,
        _longest(specification),
        bool(specification.hands),
        bool(specification.hands or specification.outputs),
        _of_power(specification),
        _of_plants(specification),
        _of_clock(specification),
        _of_reals(specification),
        _of_uncomputed(specification),
        _of_readings(specification),
        _of_contacts(specification),
        _left_out(specification),
    )


def _longest(specification: Specification) -> str:
    return duration(specification.clocking.longest, specification.clocking)


def _surely_seen(said: Sequence[SaidOfSpec]) -> str:
    """The shortest press and release that the logic cannot miss, in one sentence for all."""
    times = _by_sentence((each.name, each.longest) for each in said)
    if len(times) == 1:
        return SEEN.format(longest=f"{times[0][0]}, the greatest scan time")
    listed = "; ".join(f"{time}: {whose}" for time, whose in times)
    return SEEN.format(longest=f"the greatest scan time ({listed})")


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
    return caution_texts_of([said_of(each) for each in specifications])


def caution_texts_of(said: Sequence[SaidOfSpec]) -> list[str]:
    """The same of what is said of each spec."""
    texts = [_surely_seen(said)] if said else []
    texts.append(REACTION)
    if any(each.names_machine for each in said):
        texts.append(RIGHT_NAMES)
    subjects = ["power", "plants", "clock", "reals", "uncomputed", "readings"]
    if any(each.has_hands for each in said):
        subjects.append("contacts")
    for subject in subjects:
        for sentence, whose in _by_sentence((e.name, getattr(e, subject)) for e in said):
            if sentence:
                texts.append(f"{whose}: {sentence}" if whose else sentence)
    return [*texts, *_left_out_of(said), LEFT_OUT, ONLY_LOGIC]


def _of_contacts(specification: Specification) -> str:
    if specification.bounce:
        return BOUNCING.format(time=duration(specification.bounce, specification.clocking))
    return SOUND_CONTACTS if specification.lines is None else STILL_CONTACTS


def _of_plants(specification: Specification) -> str:
    plants = specification.plants
    if not plants:
        return ""
    named = f"Each of the plants {listing(plants)}" if len(plants) > 1 else f"The plant {plants[0]}"
    return PLANTS.format(plants=named)


def _of_power(specification: Specification) -> str:
    return STEADY_POWER if specification.power is None else POWER_CYCLES


def _of_clock(specification: Specification) -> str:
    return "" if specification.program.clock is None else CLOCK


def _of_reals(specification: Specification) -> str:
    kinds = (variable.type for variable in specification.program.inputs)
    return REALS if any(isinstance(kind, RealClasses) for kind in kinds) else ""


def _of_uncomputed(specification: Specification) -> str:
    return UNCOMPUTED if specification.program.uncomputed else ""


def _of_readings(specification: Specification) -> str:
    by_observation: dict[str, list[str]] = {}
    for name, observation in specification.observed_readings:
        choice = str(specification.readings.stated[name]).upper()
        by_observation.setdefault(observation, []).append(f"{name} {choice}")
    said = [f"{listing(names)} ({whom})" for whom, names in by_observation.items()]
    return OBSERVED.format(readings="; ".join(said)) if said else ""


def _by_sentence(said: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    """Each sentence with the names of those it is said of ('' where it is all)."""
    seen: dict[str, list[str]] = {}
    for name, sentence in said:
        seen.setdefault(sentence, []).append(name)
    return [(sentence, _whose(names) if len(seen) > 1 else "") for sentence, names in seen.items()]


def brief_caution(specifications: Sequence[Specification]) -> str:
    """All of it in a line."""
    parts = sum(len(each.program.left_out) for each in specifications)
    left = f"; {count(parts, 'thing')} left out" if parts else ""
    return BRIEFLY.format(longest=_slowest(specifications), left=left, all=ALL_OF_THEM)


def gallery_caution(specifications: Sequence[Specification]) -> str:
    """What is said of the gallery, whose specs differ in everything else."""
    return OF_THE_GALLERY.format(longest=_slowest(specifications), all=ALL_OF_THEM)


def _slowest(specifications: Sequence[Specification]) -> str:
    """The greatest scan time of all."""
    slowest = max(specifications, key=lambda each: each.clocking.nanoseconds(each.clocking.longest))
    return _longest(slowest)


def left_out_sentences(specifications: Sequence[Specification]) -> list[str]:
    """One sentence for each spec whose program has something that is left out."""
    return _left_out_of([said_of(each) for each in specifications])


def _left_out_of(said: Sequence[SaidOfSpec]) -> list[str]:
    whose = [f" by {each.name}" if len(said) > 1 else "" for each in said]
    parts = [(each.left_out, by) for each, by in zip(said, whose, strict=True) if each.left_out]
    return [f"Left out{by}: {what}." for what, by in parts]


def _left_out(specification: Specification) -> str:
    notes = specification.program.left_out
    return "; ".join(f"{each.what} ({each.span.source.path}:{each.span.line})" for each in notes)


def cautions_without_spec(
    own: Sequence[str], specifications: Sequence[Specification], power: str
) -> list[str]:
    """The report's ``own`` sentences, then what is said of every check; ``power`` says by what the
    supply can be let go instead of by POWER CYCLES in the spec."""
    others = {STEADY_POWER: STEADY_POWER.replace("POWER CYCLES in the spec", power)}
    usual = caution_texts(specifications)
    left = (REACTION, RIGHT_NAMES)
    return [*own, *(others.get(text, text) for text in usual if text not in left)]
