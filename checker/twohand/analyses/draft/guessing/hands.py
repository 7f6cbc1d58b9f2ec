"""Which inputs are the hands, and which outputs they start."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from twohand.analyses.draft.guessing.clues import Clues
from twohand.analyses.draft.guessing.names import hints, same_stem
from twohand.analyses.draft.guessing.walk import Again, Walk
from twohand.analyses.draft.roles import Hands, Signed
from twohand.program import Variable
from twohand.specification.phrases import listing

Unit = tuple[Signed, ...]
"""The contacts of one hand."""
_RENEWED, _JOINED, _ALIKE, _RELEASED, _NAMED = 3, 2, 2, 1, 1
"""What the signs weigh: use in the logic more than names."""
_ENOUGH = 2
"""Of use in the logic; names alone make no hand."""
_MOST_NEEDED = 16
_MOST_MODES = 32
_FEW = 4
"""So many hands can be exchanged with each other, to see whether that makes a difference."""


@dataclass(frozen=True)
class Found:
    """Hands that were found for outputs, with what shows them; ``where`` is the mode in which."""

    outputs: tuple[Variable, ...]
    hands: tuple[Hands, ...]
    reasons: tuple[str, ...]
    weight: int
    where: Signed | None = None
    in_use: tuple[Signed, ...] = ()
    """What says of each of several hands that their station is in use."""


@dataclass(frozen=True)
class _Pair:
    units: tuple[Unit, Unit]
    weight: int
    named: int
    renewed: bool
    """Whether one of its inputs at least has to be off before a new start."""
    reasons: tuple[str, ...]


def find_hands(walk: Walk, clues: Clues) -> Found | None:
    """The hands by the output that shows them best; None where no output does."""
    moving = [each for each in walk.outputs if not hints(each.name, "signal")]
    found = [each for output in moving if (each := _of_output(output, walk, clues, None))]
    if not found:
        found = [
            each
            for output in moving
            for mode in _modes(output, walk)
            if (each := _of_output(output, walk, clues, mode))
        ]
    if not found:
        return None
    best = max(found, key=lambda each: each.weight)
    same = [
        each
        for each in found
        if each is best
        or ((each.hands, each.where) == (best.hands, best.where) and _only_with(each, walk))
    ]
    outputs = tuple(output for each in same for output in each.outputs)
    apart = _instead(best, found)
    if apart is not None:
        reason = "either pair alone starts it: two stations, of which one is enough"
        hands = (*best.hands, *apart.hands)
        return Found(outputs, hands, (*best.reasons, *apart.reasons, reason), best.weight)
    selected = _selected(best, found)
    if selected:
        hands = tuple(hand for each in (best, *selected) for hand in each.hands)
        reasons = tuple(dict.fromkeys(r for each in (best, *selected) for r in each.reasons))
        where = tuple(each.where for each in (best, *selected) if each.where is not None)
        return Found(outputs, hands, reasons, best.weight, None, where)
    return Found(outputs, best.hands, best.reasons, best.weight, best.where)


def _only_with(found: Found, walk: Walk) -> bool:
    """Whether the output was only ever on while the hands were: what stays on shows something."""
    contacts = [each for hand in found.hands for each in (*hand.left, *hand.right)]
    places = [(walk.inputs.index(each.variable), each.value) for each in contacts]
    return all(
        vector[place] is value
        for output in found.outputs
        for vector in walk.with_output[output]
        for place, value in places
    )


def _modes(output: Variable, walk: Walk) -> Iterator[Signed]:
    """Each value of each input with which starts were seen, and without which too."""
    always = needed(walk, output)
    if len(walk.inputs) > _MOST_MODES:
        return
    for value in (True, False):
        yield from (Signed(v, value) for v in walk.inputs if v not in always)


def _instead(best: Found, found: Sequence[Found]) -> Found | None:
    """Hands that start the output while the best ones do not, and the other way round."""
    return next(
        (
            each
            for each in found
            if best.where is not None
            and each.where is not None
            and each.outputs == best.outputs
            and each.where.variable in best.hands[0].variables
            and best.where.variable in each.hands[0].variables
        ),
        None,
    )


def _selected(best: Found, found: Sequence[Found]) -> list[Found]:
    """Stations that are in use only where an input of their own says so, besides the first."""
    if best.where is None or not best.where.value:
        return []
    taken = {*best.hands[0].variables, best.where.variable}
    return [
        each
        for each in found
        if each.outputs == best.outputs
        and each.where is not None
        and each.where.value
        and not taken & {*each.hands[0].variables, each.where.variable}
        and each.weight >= best.weight - _NAMED
    ][:1]


def needed(walk: Walk, output: Variable, where: Signed | None = None) -> dict[Variable, bool]:
    """The inputs that had one value in every start that was seen."""
    every = walk.vectors[output]
    if where is not None:
        place = walk.inputs.index(where.variable)
        every = {each for each in every if each[place] is where.value}
    if not every or output not in walk.probed:
        return {}
    columns = zip(walk.inputs, zip(*every, strict=True), strict=True)
    return {
        v: values[0]
        for v, values in columns
        if len(set(values)) == 1 and (where is None or v is not where.variable)
    }


def _of_output(output: Variable, walk: Walk, clues: Clues, where: Signed | None) -> Found | None:
    # What somebody writes between scans is no contact of a hand.
    wanted = {v: b for v, b in needed(walk, output, where).items() if not v.surroundings}
    if not 2 <= len(wanted) <= _MOST_NEEDED:
        return None
    fixed = {} if where is None else {where.variable: where.value}
    again = {v: walk.again(output, v, fixed) for v in wanted}
    renewed = {v for v, answer in again.items() if answer is Again.STAYED_OFF}
    pairs = list(_pairs(output, wanted, renewed, walk, clues, where))
    usable = [each for each in pairs if each.weight - each.named >= _ENOUGH]
    chosen = _chosen(usable)
    if not chosen:
        return None
    hands = tuple(_sided(*each.units) for each in chosen)
    pressed = sum(each.value for hand in hands for each in (hand.left[0], hand.right[0]))
    weight = sum(each.weight for each in chosen) + pressed
    return Found((output,), hands, _merged(chosen, output), weight, where)


def _pairs(
    output: Variable,
    wanted: Mapping[Variable, bool],
    renewed: set[Variable],
    walk: Walk,
    clues: Clues,
    where: Signed | None,
) -> Iterator[_Pair]:
    """Every two of the inputs that a start needs, with what speaks for them."""
    units = _units(wanted, clues)
    for one, other in combinations(units, 2):
        if [each.value for each in one] != [each.value for each in other]:
            continue
        weight, reasons = 0, []
        names = [contact.variable.name for contact in (*one, *other)]
        state = "TRUE" if one[0].value else "FALSE"
        both = f"{one[0].variable.name} and {other[0].variable.name}"
        start = f"start of {output.name}{'' if where is None else f' with {where.text}'}"
        reasons.append(f"both {both} were {state} in every {start} that was seen")
        if all(each.variable in renewed for each in (*one, *other)):
            weight += _RENEWED
            off = "FALSE" if one[0].value else "TRUE"
            reasons.append(f"it went on again only after each was {off} again, as far as tried")
        crossed = [frozenset((a.variable, b.variable)) for a in one for b in other]
        if any(clues.joined[each] for each in crossed):
            weight += _JOINED
            reasons.append("the logic joins these two and no other input")
        elif any(clues.released[each] for each in crossed):
            weight += _RELEASED
            reasons.append("the logic asks whether both of them are off")
        elif len(one) > 1:
            weight += _JOINED
            reasons.append("each has two contacts")
        exchange = [(a.variable, b.variable) for a, b in zip(one, other, strict=True)]
        if (weight or len(units) <= _FEW) and walk.alike(output, exchange):
            weight += _ALIKE
            reasons.append(f"exchanged, they did the same to {output.name}")
        named = _NAMED * all(hints(name, "hand") for name in names)
        named += _NAMED * (_side(one) * _side(other) < 0)
        if named:
            reasons.append("so are they named")
        some = any(each.variable in renewed for each in (*one, *other))
        yield _Pair((one, other), weight + named, named, some, tuple(reasons))


def _units(wanted: Mapping[Variable, bool], clues: Clues) -> list[Unit]:
    """The inputs as contacts of hands: two that contradict each other are those of one."""
    left = list(wanted)
    units: list[Unit] = []
    while left:
        first = left.pop(0)
        partners = [
            v
            for v in left
            if wanted[v] is not wanted[first]
            and (clues.differing[frozenset((first, v))] or same_stem(v.name, first.name))
        ]
        partners.sort(key=lambda v: -clues.differing[frozenset((first, v))])
        contacts = [first, *partners[:1]]
        left = [v for v in left if v not in contacts]
        contacts.sort(key=lambda v: not wanted[v])  # the contact that closes comes first
        units.append(tuple(Signed(v, wanted[v]) for v in contacts))
    return units


def _chosen(pairs: Sequence[_Pair]) -> list[_Pair]:
    """The best pair; two that have nothing in common are the stations of two operators. Where
    two are as good and share an input, the logic does not show which it is."""
    ranked = sorted(pairs, key=lambda each: -each.weight)
    if not ranked:
        return []
    first = ranked[0]
    equal = [each for each in ranked[1:] if each.weight == first.weight]
    apart = [each for each in ranked[1:] if not set(each.units) & set(first.units)]
    if any(set(each.units) & set(first.units) for each in equal):
        return []
    stations = [each for each in apart if each.weight - each.named >= _ENOUGH]
    for other in stations:
        if other.weight == first.weight or (
            other.renewed and other.weight >= first.weight - _RENEWED
        ):
            return [first, other]
    return [first]


def _side(unit: Unit) -> int:
    """-1 for what is named as left, 1 for right, else 0."""
    names = [each.variable.name for each in unit]
    return any(hints(n, "right") for n in names) - any(hints(n, "left") for n in names)


def _sided(one: Unit, other: Unit) -> Hands:
    return Hands(other, one) if _side(one) > _side(other) else Hands(one, other)


def _merged(pairs: Sequence[_Pair], output: Variable) -> tuple[str, ...]:
    reasons = [reason for each in pairs for reason in each.reasons]
    if len(pairs) > 1:
        names = [u[0].variable.name for each in pairs for u in each.units]
        reasons.append(f"two pairs, {listing(names)}: the stations of two operators")
    return tuple(dict.fromkeys(reasons))
