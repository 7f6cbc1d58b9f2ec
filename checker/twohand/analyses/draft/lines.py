"""The lines of a drafted spec."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from twohand.analyses.compare.options import USUAL_SCAN
from twohand.analyses.draft.draft import Drafted
from twohand.analyses.draft.machines import MACHINES, Demand, MachineKind
from twohand.analyses.draft.roles import Guess, Purpose, Roles, Signed
from twohand.specification.phrases import listing
from twohand.specification.syntax.parse import parse_specification
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText


@dataclass(frozen=True)
class Line:
    """A statement (without its semicolon; '' for comments alone) with what is said above it.
    ``missing``: it says what could not be guessed. ``demand``: it is a requirement, of which
    ``asked`` says what came out now ('' where it was not asked). ``alone``: it speaks of hands
    that are missing, so that it cannot be asked."""

    text: str = ""
    comments: tuple[str, ...] = ()
    guessed: bool = False
    missing: bool = False
    demand: bool = False
    alone: bool = False
    asked: str = ""


_NEEDED = {
    Purpose.HAND: "which inputs are the hands: HAND left = ...; HAND right = ...;",
    Purpose.STROKE_END: "which signal comes on at the end of a stroke",
    Purpose.START: "which input starts it",
    Purpose.READY: "what says that the safeguards have been reset",
    Purpose.GUARD: "which inputs are the safeguards",
}
_OPTIONAL = {
    Purpose.GUARD: "no guard was found; of one write REQUIRE stop (condition := NOT ...);",
    Purpose.STOP: "no stop was found; of one write REQUIRE stop (condition := ...);",
    Purpose.RESET: "no reset was found; of one write REQUIRE manual_reset (...);",
}


def draft_lines(found: Drafted, source: str, machine: MachineKind | None) -> list[Line]:
    """All lines of the spec; ``source`` is its file or folder as it has to name it."""
    roles = found.roles
    scan = found.scan or USUAL_SCAN
    reason = (
        "from the INTERVAL of its tasks"
        if found.scan_known
        else "no task says how often the block runs: state what the controller does"
    )
    lines = [
        _source(source),
        Line(f"BLOCK {found.program.name}"),
        Line(f"SCAN {scan}", (reason,), guessed=True),
        *_outside(roles),
        *(_hands(found) if roles.hands or machine is None or machine.hands else ()),
        *_outputs(roles),
        *_stops(roles),
        *_limits(roles),
        *_beside(found),
        *_demands(roles, machine),
    ]
    return [line if line.missing else _readable(line) for line in lines]


def spec_name(block: str) -> str:
    """The name of the spec: that of the block, where a spec may bear it."""
    try:
        parse_specification(SourceText("draft", f"SPEC {block} BLOCK b; END_SPEC"))
    except InputError:
        return f"Drafted_{block}" if block.isidentifier() else "Drafted"
    return block


def _source(path: str) -> Line:
    quote = '"' if "'" in path else "'"
    plain = quote not in path and path.isprintable() and "$" not in path
    if not plain:
        return missing("SOURCE: the name of the file cannot be written in a spec")
    return Line(f"SOURCE {quote}{path}{quote}")


def _readable(line: Line) -> Line:
    """What cannot be written in a spec (a name with blanks) is said to be missing."""
    if not line.text:
        return line
    try:
        parse_specification(SourceText("draft", f"SPEC draft {line.text}; END_SPEC"))
    except InputError:
        return missing(f"this cannot be written so: {line.text}", line.comments)
    return line


def missing(what: str, comments: tuple[str, ...] = ()) -> Line:
    text = what.replace("'", "").replace("$", "").replace("\n", " ")
    return Line(f"MISSING '{text}'", comments, missing=True)


def _outside(roles: Roles) -> Iterator[Line]:
    for guess in roles.outside:
        yield Line(f"OUTSIDE {guess.text}", guess.reasons, guessed=True)


# --- hands and outputs --------------------------------------------------------------------------


def hand_names(roles: Roles, taken: Iterable[str]) -> list[tuple[str, str]]:
    """The names of the hands of each station, none of which the program has."""
    known = {name.casefold() for name in taken} | {n.casefold().split(".")[0] for n in taken}

    def free(name: str) -> str:
        tries = (name, f"{name}_hand", *(f"{name}_hand_{number}" for number in range(2, 1000)))
        return next(each for each in tries if each not in known)

    several = len(roles.hands) > 1
    words = ["first", "second", "third"] if several else [""]
    prefixes = [f"{word}_" if word else "" for word in words]
    return [
        (free(f"{before}left"), free(f"{before}right"))
        for before, _ in zip(prefixes, roles.hands, strict=False)
    ]


def _hands(found: Drafted) -> Iterator[Line]:
    roles = found.roles
    if not roles.hands:
        yield missing(_NEEDED[Purpose.HAND], (roles.why_no_hands,))
        return
    names = hand_names(roles, [v.name for v in found.program.variables])
    for number, (hands, (left, right)) in enumerate(zip(roles.hands, names, strict=True)):
        comments = roles.hand_reasons if not number else ()
        yield Line(f"HAND {left} = {_contacts(hands.left)}", comments, guessed=True)
        yield Line(f"HAND {right} = {_contacts(hands.right)}", guessed=True)
    if len(roles.hands) > 1:
        for number, (left, right) in enumerate(names):
            comments = ()
            if roles.in_use:
                use = roles.in_use[number]
                comments = (
                    f"starts were seen without these hands while {use.negated.text}: if the "
                    f"station is not in use then, write WHEN {use.text} behind it",
                )
            station = left.removesuffix("left") if left.endswith("left") else f"{left}_"
            name = f"{station}station"
            yield Line(f"STATION {name} = {left}, {right}", comments, guessed=True)


def _contacts(contacts: Sequence[Signed]) -> str:
    return ", ".join(each.text for each in contacts)


def _outputs(roles: Roles) -> Iterator[Line]:
    guess = roles.outputs
    if guess is None:
        why = "no Boolean output went on in the runs that were tried"
        yield missing("which output moves the machine: OUTPUT ...;", (why,))
        return
    names = ", ".join(each.name for each in guess.signals)
    yield Line(f"OUTPUT {names}", guess.reasons, guessed=True)


# --- what else was seen -------------------------------------------------------------------------


def _stops(roles: Roles) -> Iterator[Line]:
    guards = [(each.signals[0].negated.text, each) for each in roles.of(Purpose.GUARD)]
    stops = [(each.text, each) for each in roles.of(Purpose.STOP)]
    for text, guess in (*guards, *stops):
        yield Line(f"STOPPED_BY {text}", guess.reasons, guessed=True)


def _limits(roles: Roles) -> Iterator[Line]:
    """What would limit a requirement is never drafted: it is for the user to state."""
    for guess in roles.of(Purpose.HARMLESS):
        yield Line(
            "",
            (
                f"if nobody can be hurt while {guess.text}, write HAZARD "
                f"{guess.signals[0].negated.text};",
                *guess.reasons,
            ),
        )
    for guess in roles.of(Purpose.MODE):
        say = f"{guess.text} may be a mode"
        way = "a requirement of one mode ends with WHEN ..."
        yield Line("", (f"{say}; {way}", *guess.reasons))


_TOLD = {
    Purpose.STROKE_END: "{0} may say that the stroke is at its end",
    Purpose.RESET: "{0} may be the reset",
    Purpose.READY: "{0} may say that somebody has reset the safeguards",
    Purpose.START: "{0} may be what starts it",
}


def _beside(found: Drafted) -> Iterator[Line]:
    """Roles that have no statement of their own, timers, and inputs without a role."""
    for role, words in _TOLD.items():
        for guess in found.roles.of(role):
            yield Line("", (words.format(guess.text), *guess.reasons))
    for note in (*found.roles.notes, *found.answers):
        yield Line("", (note,))
    if found.unused:
        yield Line("", (f"nothing was guessed of {listing(list(found.unused))}",))


# --- requirements -------------------------------------------------------------------------------


def _demands(roles: Roles, machine: MachineKind | None) -> Iterator[Line]:
    if machine is None:
        kinds = listing([each.word for each in MACHINES], "or")
        comments = tuple(f"--machine {each.word}: {each.what}" for each in MACHINES)
        text = f"what is required of this machine: draft again with --machine {kinds}, or write it"
        yield missing(text, comments)
        return
    for demand in machine.demands:
        guesses: Sequence[Guess | None] = [None]
        if demand.each is not None:
            guesses = roles.of(demand.each)
            if not guesses:
                yield Line("", (_OPTIONAL[demand.each],))
                continue
        if demand.each is Purpose.RESET:
            guesses = guesses[:1]
        for guess in guesses:
            yield _demand(demand, guess, roles)


def _demand(demand: Demand, guess: Guess | None, roles: Roles) -> Line:
    lacking = [role for role in demand.needs if not _known(role, roles)]
    if lacking and lacking != [Purpose.HAND]:
        ways = listing([_NEEDED[role] for role in lacking])
        text = re.sub(r"\{\w+\}", "...", demand.text)
        return missing(f"REQUIRE {text}, which needs to know {ways}", (demand.source,))
    parts = {role: roles.of(role) for role in (Purpose.STROKE_END, Purpose.START, Purpose.READY)}
    texts = {role.value: found[0].text for role, found in parts.items() if found}
    if guess is not None:
        signal = guess.signals[0]
        texts[guess.role.value] = guess.text
        texts["guard"] = signal.negated.text
    guards = [each.text for each in roles.of(Purpose.GUARD)]
    stops = [each.signals[0].negated.text for each in roles.of(Purpose.STOP)]
    texts["safe"] = " AND ".join((*guards, *stops))
    text = demand.text.format(**texts)
    label = ""
    if guess is not None and guess.role in (Purpose.GUARD, Purpose.STOP):
        name = guess.signals[0].name
        label = f"off_by_{name} : " if name.isidentifier() else ""
    others = [each.text for each in parts[Purpose.STROKE_END][1:]] if "complete" in text else []
    more = (f"or is the end shown by {listing(others, 'or')}?",) if others else ()
    comments = (demand.source, *more)
    guessed = "{" in demand.text
    return Line(
        f"REQUIRE {label}{text}", comments, guessed, demand=True, alone=Purpose.HAND in lacking
    )


def _known(role: Purpose, roles: Roles) -> bool:
    if role is Purpose.GUARD:
        return bool(roles.of(Purpose.GUARD) or roles.of(Purpose.STOP))
    return bool(roles.hands) if role is Purpose.HAND else bool(roles.of(role))
