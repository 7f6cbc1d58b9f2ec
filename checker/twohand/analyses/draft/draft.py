"""What can be guessed of a block: from its text to its roles."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from twohand.analyses.draft.guessing.clues import Clues, clues_of, written_outside
from twohand.analyses.draft.guessing.hands import Found, find_hands, needed
from twohand.analyses.draft.guessing.levels import other_roles, ready_signal
from twohand.analyses.draft.guessing.names import hints
from twohand.analyses.draft.guessing.plants import plants_that_fit
from twohand.analyses.draft.guessing.walk import Walk
from twohand.analyses.draft.roles import Guess, Purpose, Roles, Signed, own_name
from twohand.analyses.inspect.subject import Subject, subject_of_block
from twohand.program import Program, Role, Variable
from twohand.program.effects import written
from twohand.program.types import Boolean
from twohand.specification.phrases import listing
from twohand.specification.reading.task_times import written_time
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

_NO_HANDS = "in the runs that were tried no two inputs were needed for a start"


@dataclass(frozen=True, eq=False)
class Drafted:
    """A block with its roles; ``scan`` is the scan time as text and ``scan_reason`` where it is
    from, ``scan_known`` whether a task of the sources says so. ``unused`` are Boolean inputs of
    which nothing was guessed."""

    program: Program
    roles: Roles
    scan: str
    scan_reason: str
    scan_known: bool
    unused: tuple[str, ...] = ()
    answers: tuple[str, ...] = ()
    """Plants of the sources that fit."""


def drafted(
    sources: Sequence[SourceText],
    block: str | None,
    searched: Sequence[SourceText] = (),
    notes: list[Diagnostic] | None = None,
    others: Sequence[str] = (),
) -> Drafted:
    """The roles of a block of these sources (None: the only one that can be meant), by what it
    does in runs, by its text and by its names; the same for the same input. ``others`` are blocks
    of the sources that may be plants.

    InputError with everything that is wrong with it, or where several blocks could be meant."""
    program = load_program(sources, block, notes=notes, searched=searched)
    outside = written_outside(program)
    subject = subject_of_block(
        sources, program.name, None, (), bool(searched), free=[v.name for v in outside]
    )
    intervals = {task.interval for task in program.tasks if task.interval is not None}
    clues = clues_of(subject.specification.program, _inputs(subject))
    walk = Walk(subject.specification, _outputs(subject.specification.program))
    roles = _roles(walk, clues, outside)
    used = {each.variable for guess in roles.others for each in guess.signals}
    used |= {v for hands in roles.hands for v in hands.variables}
    used |= {each.variable for each in roles.in_use}
    unused = tuple(own_name(v) for v in walk.inputs if v not in used)
    times = sorted(intervals)
    text = written_time(times[0]) if len(times) == 1 else ""
    if len(times) > 1:
        text = f"{written_time(times[0])}..{written_time(times[-1])}"
    plants = tuple(plants_that_fit(sources, searched, others, roles))
    return Drafted(program, roles, text, subject.scan_origin, bool(times), unused, plants)


def _inputs(subject: Subject) -> frozenset[Variable]:
    program = subject.specification.program
    given = (v for v in program.sampled if not v.uncomputed)
    return frozenset(v for v in given if isinstance(v.type, Boolean))


def _outputs(program: Program) -> tuple[Variable, ...]:
    """The Boolean outputs; where it has none, what it writes of what others read."""
    found = tuple(v for v in program.outputs if isinstance(v.type, Boolean))
    if found:
        return found
    changed = set(written(program.routine))
    shared = (Role.GLOBAL, Role.IN_OUT)
    return tuple(
        v
        for v in program.variables
        if v.role in shared and v in changed and isinstance(v.type, Boolean)
    )


def _roles(walk: Walk, clues: Clues, outside: Sequence[Variable]) -> Roles:
    found = find_hands(walk, clues)
    main = found.outputs[0] if found is not None else _main_output(walk)
    hands = found.hands if found is not None else ()
    taken = frozenset(v for each in hands for v in each.variables)
    where = found.where if found is not None else None
    in_use = found.in_use if found is not None else ()
    others: list[Guess] = []
    if main is not None:
        known = frozenset(each.variable for each in in_use)
        others = list(other_roles(walk, main, taken, where, known))
        resets = [each for each in others if each.role is Purpose.RESET]
        if resets:
            ready = ready_signal(walk, main, resets[0].signals[0].variable)
            others += [] if ready is None else [ready]
    return Roles(
        outputs=_output_guess(walk, found, main),
        hands=hands,
        hand_reasons=found.reasons if found is not None else (),
        in_use=in_use,
        where=where,
        why_no_hands="" if found is not None else _why_no_hands(walk, main),
        outside=tuple(map(_outside_guess, outside)),
        others=tuple(others),
        notes=tuple(_notes(clues, taken, main)),
    )


def _why_no_hands(walk: Walk, main: Variable | None) -> str:
    wanted = {} if main is None else needed(walk, main)
    if main is None or len(wanted) < 2:
        return _NO_HANDS
    names = listing([Signed(v, value).text for v, value in wanted.items()])
    return (
        f"every start of {main.name} that was seen had {names}; the logic does not show which of "
        "these are hands, and names do not either"
    )


def _main_output(walk: Walk) -> Variable | None:
    """The output that moves something, as far as can be seen: none that another one needs."""
    started = [each for each in walk.outputs if walk.starts[each]]
    needed = {n for each in started for n in walk.always_on_with[each] if n != each.name}
    ranked = sorted(
        started,
        key=lambda v: (hints(v.name, "signal"), v.name in needed, not hints(v.name, "output")),
    )
    return ranked[0] if ranked else None


def _output_guess(walk: Walk, found: Found | None, main: Variable | None) -> Guess | None:
    if found is not None:
        reason = "what the hands start"
        return Guess(Purpose.OUTPUT, tuple(map(Signed, found.outputs)), (reason,))
    if main is None:
        return None
    others = [v for v in walk.outputs if v is not main]
    reason = "it goes on in runs, and nothing shows that two hands start it"
    more = [f"other outputs: {listing([v.name for v in others])}"] if others else []
    return Guess(Purpose.OUTPUT, (Signed(main),), (reason, *more))


def _outside_guess(variable: Variable) -> Guess:
    reason = "the block reads it and never sets it: somebody else must write it between scans"
    return Guess(Purpose.OUTSIDE, (Signed(variable),), (reason,))


def _notes(clues: Clues, hands: frozenset[Variable], main: Variable | None) -> Iterator[str]:
    """What timers with a constant preset may be for."""
    for timer in clues.timers:
        if timer.preset is None:
            continue
        time = f"timer {timer.name} of {written_time(timer.preset)}"
        if len(timer.fed_by & hands) > 1:
            yield f"{time} is fed by the hands: it may be the window of their presses"
        elif main is not None and main in timer.fed_by:
            yield f"{time} is fed by {main.name}: it may limit how long that is on"
