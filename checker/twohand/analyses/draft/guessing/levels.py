"""The roles of the other inputs, by what they do to an output: guard, stop, end of the stroke,
the harmless part of it, reset, mode."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from twohand.analyses.draft.guessing.hands import needed
from twohand.analyses.draft.guessing.names import hints
from twohand.analyses.draft.guessing.walk import Again, Walk
from twohand.analyses.draft.roles import Guess, Purpose, Signed, own_name
from twohand.program import Role, Variable
from twohand.program.types import Boolean

_BY_NAME = (
    Purpose.STOP,
    Purpose.GUARD,
    Purpose.RESET,
    Purpose.STROKE_END,
    Purpose.HARMLESS,
    Purpose.MODE,
)
"""The roles that a name alone may hint at, in the order in which they are tried."""


@dataclass(frozen=True)
class _Use:
    """What one input did: the ``value`` that it had in every start (None: either), the values that
    ended the output as it came to them, and those with which the output stayed on."""

    value: bool | None
    ended: frozenset[bool]
    stayed: frozenset[bool]


def other_roles(
    walk: Walk,
    output: Variable,
    hands: frozenset[Variable],
    where: Signed | None,
    known: frozenset[Variable],
) -> Iterator[Guess]:
    """A guess for each Boolean input that is no hand and shows a use or bears a name; ``known``
    are those whose use is known already."""
    if where is not None:
        reason = f"{output.name} started without the hands while it was {_word(not where.value)}"
        yield Guess(Purpose.MODE, (where,), (reason,))
    apart = {*hands, *known, *([] if where is None else [where.variable])}
    rest = [v for v in walk.inputs if v not in apart]
    harmless = _harmless(walk, output, hands, rest)
    if harmless is not None:
        yield harmless
        rest = [v for v in rest if v is not harmless.signals[0].variable]
    wanted = needed(walk, output, where)
    alone = not hands and len([v for v in wanted if v in rest]) == 1
    for variable in rest:
        if alone and wanted.get(variable) is True and not _listed(variable):
            reason = f"nothing else was needed for a start of {output.name}"
            yield Guess(Purpose.START, (Signed(variable),), (reason,))
            continue
        use = _use(walk, output, variable, wanted)
        guess = _by_use(walk, output, variable, use) or _by_name(variable)
        if guess is not None:
            yield guess


def _use(walk: Walk, output: Variable, variable: Variable, wanted: Mapping[Variable, bool]) -> _Use:
    ended: set[bool] = set()
    stayed: set[bool] = set()
    for moment in walk.on[output]:
        answer = walk.stays(output, moment, variable)
        if answer is not None:
            (stayed if answer else ended).add(not moment.inputs[variable.name])
    return _Use(wanted.get(variable), frozenset(ended), frozenset(stayed))


def _by_use(walk: Walk, output: Variable, variable: Variable, use: _Use) -> Guess | None:
    name = output.name
    if use.value is not None:
        return _level(walk, output, variable, use.value, use)
    edges = use.ended - use.stayed
    if len(edges) == 1:
        (value,) = edges
        reason = (
            f"{name} went off as it became {_word(value)}, and starts were seen with both values"
        )
        for role in (Purpose.GUARD, Purpose.STOP):
            if hints(variable.name, role.value) and not hints(variable.name, "stroke_end"):
                signal = Signed(variable, value is (role is Purpose.STOP))
                return Guess(role, (signal,), (reason, "so is it named"))
        return Guess(Purpose.STROKE_END, (Signed(variable, value),), (reason,))
    if walk.starts[output] and not walk.starts_with(output, variable, False):
        reason = f"{name} never went on in a run in which this was never TRUE"
        return Guess(Purpose.RESET, (Signed(variable),), (reason,))
    return None


def _level(
    walk: Walk, output: Variable, variable: Variable, value: bool, use: _Use
) -> Guess | None:
    """The role of an input that has one value in every start."""
    name, word, other = output.name, _word(value), _word(not value)
    ends = (not value) in use.ended - use.stayed
    reasons = [f"it was {word} in every start of {name} that was seen"]
    if ends:
        reasons.append(f"{name} went off as it became {other}")
    elif walk.again(output, variable) is Again.STAYED_OFF and not _listed(variable):
        reasons.append(f"{name} went on again only after it was {other} again, as far as tried")
        return Guess(Purpose.START, (Signed(variable, value),), tuple(reasons))
    elif (not value) in use.stayed:
        sometimes = "at times " if (not value) in use.ended else ""
        reasons.append(f"{name} {sometimes}did NOT go off as it became {other}")
    else:
        reasons.append(f"whether {name} goes off as it becomes {other} was not seen")
    named = next((role for role in _BY_NAME if hints(variable.name, role.value)), None)
    if named in (Purpose.STROKE_END, Purpose.RESET, Purpose.HARMLESS, Purpose.MODE):
        named = Purpose.STROKE_END if named is Purpose.STROKE_END and not value and ends else None
    if named is not None:
        reasons.append("so is it named")
    role = named or (Purpose.GUARD if value else Purpose.STOP)
    return Guess(role, (Signed(variable, value is (role is Purpose.GUARD)),), tuple(reasons))


def _listed(variable: Variable) -> bool:
    return any(hints(variable.name, role.value) for role in (Purpose.GUARD, Purpose.STOP))


def _by_name(variable: Variable) -> Guess | None:
    """By its name alone; the value is not known then, and TRUE is what names say mostly."""
    for role in _BY_NAME:
        if hints(own_name(variable), role.value):
            reason = "by its name alone: no use of it was seen, nor which value means so"
            return Guess(role, (Signed(variable),), (reason,))
    return None


def _harmless(
    walk: Walk, output: Variable, hands: frozenset[Variable], rest: Sequence[Variable]
) -> Guess | None:
    """An input that says whether a release of a hand ends the output."""
    seen: list[tuple[Mapping[str, object], bool]] = []
    for moment in walk.on[output]:
        for variable in walk.inputs:
            answer = walk.stays(output, moment, variable) if variable in hands else None
            if answer is not None:
                seen.append((moment.inputs, answer))
    for variable in rest:
        stayed = {bool(inputs[variable.name]) for inputs, answer in seen if answer}
        ended = {bool(inputs[variable.name]) for inputs, answer in seen if not answer}
        if len(stayed) == len(ended) == 1 and stayed != ended:
            (value,) = stayed
            reason = (
                f"{output.name} stayed on after a release only while this was {_word(value)}, "
                "and went off only while it was not"
            )
            return Guess(Purpose.HARMLESS, (Signed(variable, value),), (reason,))
    return None


def ready_signal(walk: Walk, output: Variable, reset: Variable) -> Guess | None:
    """What says that somebody has reset: it is on whenever the output is, and never was in the
    runs that begin it without the reset."""
    states = {each.name: each for each in walk.program.variables}
    always = [states[name] for name in walk.state_names if name in walk.always_on_with[output]]
    usable = [
        v
        for v in always
        if v is not output
        and isinstance(v.type, Boolean)
        and v.role in (Role.OUTPUT, Role.LOCAL)
        and "." not in v.name
        and not walk.ever_on_with(v, output, reset, False)
    ]
    usable.sort(key=lambda v: (v.role is not Role.OUTPUT, not hints(v.name, "ready")))
    if not usable:
        return None
    reason = (
        f"it was TRUE in every scan with {output.name}, and never without {reset.name} before it"
    )
    return Guess(Purpose.READY, (Signed(usable[0]),), (reason,))


def _word(value: bool) -> str:
    return "TRUE" if value else "FALSE"
