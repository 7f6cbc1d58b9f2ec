"""Two programs as one, both run in each scan on the same inputs.

Inputs of the same name (any letter case, further names of global variables included) and type are
one input of the whole. A program that only reads it reads that one; one that changes it too (an
in-out parameter, a global variable that others write as well) has a variable of its own, which gets
what was sampled at the beginning of each scan, before either program runs. All other inputs stay
free, each for its program alone. Nothing else is shared: neither program can see what the other one
does, and a RETURN leaves its own routine only.

What a program shows are its outputs, its in-out parameters and the global variables that it
writes, all as they are at the end of the scan.

A finding ends the scan of both, the first program's before the second has run. The two can thus be
compared only in runs without a finding; whether there can be one has to be asked as well.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, field, replace

from twohand.program.effects import written
from twohand.program.nodes import Assign, CallBlock, Read, Routine
from twohand.program.program import Program
from twohand.program.renaming import Renamed, renamed
from twohand.program.types import Enumeration, RealClasses, Type
from twohand.program.variables import Role, Variable
from twohand.text.source_text import SourceText, Span

PREFIXES = ("first.", "second.")
Pair = tuple[Variable, Variable]


@dataclass(frozen=True, eq=False)
class ProductProgram:
    """``program`` runs ``first`` and then ``second``, copies of what was given: their variables
    have names of their own. ``shared`` are the inputs of both: the program's, then that of each
    original."""

    program: Program
    first: Renamed
    second: Renamed
    prefixes: tuple[str, str]
    shared: tuple[tuple[Variable, Variable, Variable], ...] = field(repr=False)

    def alone(self, which: int) -> Program:
        """The same with only the first (0) or the second (1) of the two calls."""
        *sampled, first, second = self.program.routine.body
        call = (first, second)[which]
        return replace(self.program, routine=Routine((), (*sampled, call)))


@dataclass(frozen=True, eq=False)
class Matching:
    """What two programs have under one name; ``unlike`` are the pairs of different types,
    ``only_first`` and ``only_second`` what the other one has not."""

    pairs: tuple[Pair, ...]
    unlike: tuple[Pair, ...]
    only_first: tuple[Variable, ...]
    only_second: tuple[Variable, ...]


def product_program(
    first: Program,
    second: Program,
    prefixes: tuple[str, str] = PREFIXES,
    separate: Collection[str] = (),
) -> ProductProgram:
    """Both as one program. Each one's variables are named with its prefix (not empty), inputs of
    both without; prefixes that names of the programs begin with get longer. ``separate`` are names
    (of the first program) of inputs that the two shall not share."""
    apart = {name.casefold() for name in separate}
    pairs = [p for p in match_inputs(first, second).pairs if p[0].name.casefold() not in apart]
    if apart:  # what is made of the inputs is not the same either
        pairs = [pair for pair in pairs if not pair[0].uncomputed]
    chosen = _free(prefixes, [first, second])
    inputs = {pair: replace(pair[0], role=Role.INPUT, retain=False) for pair in pairs}
    copies = (
        _copy(first, {own[0]: whole for own, whole in inputs.items()}, chosen[0]),
        _copy(second, {own[1]: whole for own, whole in inputs.items()}, chosen[1]),
    )
    shared = tuple((whole, *pair) for pair, whole in inputs.items())
    whole = _joined(copies[0].program, copies[1].program, list(_sampled(shared, copies)), shared)
    aliases = _aliases(shared, first, second)
    whole = replace(whole, aliases={**whole.aliases, **aliases})
    return ProductProgram(whole, *copies, chosen, shared)


def match_inputs(first: Program, second: Program) -> Matching:
    """The inputs of both; a shared variable that one program only reads matches one that the
    other one writes as well. The clock is there for both, whether both read it or not."""
    found = _matching(first, _for_both(first), second, _for_both(second))
    alone = (
        [v for v in side if not v.keeps_clock and not v.uncomputed]
        for side in (found.only_first, found.only_second)
    )
    only_first, only_second = map(tuple, alone)
    return replace(found, only_first=only_first, only_second=only_second)


def _for_both(program: Program) -> tuple[Variable, ...]:
    """The inputs that may be those of another program as well."""
    return tuple(v for v in program.inputs if not v.uncomputed or v.shared_text)


def match_shown(first: Program, second: Program) -> Matching:
    """What both show at the end of a scan."""
    return _matching(first, shown(first), second, shown(second))


def shown(program: Program) -> tuple[Variable, ...]:
    """What others can see of a program at the end of a scan, besides what was sampled."""
    sampled = set(program.sampled)
    visible = (
        *program.outputs,
        *(v for v in program.inputs if not v.keeps_clock and not v.uncomputed),
        *(v for v in program.variables if v.role is Role.GLOBAL),
    )
    return tuple(v for v in dict.fromkeys(visible) if v not in sampled)


def same_type(first: Type, second: Type) -> bool:
    """Whether values of the two mean the same; enumerations by the names of their values."""
    if isinstance(first, RealClasses) or isinstance(second, RealClasses):
        return first == second
    if isinstance(first, Enumeration) and isinstance(second, Enumeration):
        return _members(first) == _members(second)
    return first == second


def _members(kind: Enumeration) -> set[tuple[str, int]]:
    return {(name.casefold(), number) for name, number in kind.values}


def _matching(
    first: Program,
    firsts: tuple[Variable, ...],
    second: Program,
    seconds: tuple[Variable, ...],
) -> Matching:
    left = dict.fromkeys(seconds)
    known = _by_name(second, seconds)
    pairs: list[Pair] = []
    unlike: list[Pair] = []
    alone = []
    for variable in firsts:
        found = [known.get(name) for name in _names(first, variable)]
        other = next((each for each in found if each in left), None)
        if other is None:
            alone.append(variable)
            continue
        del left[other]
        (pairs if same_type(variable.type, other.type) else unlike).append((variable, other))
    return Matching(tuple(pairs), tuple(unlike), tuple(alone), tuple(left))


def counterpart(program: Program, variable: Variable, other: Program) -> Variable | None:
    """What another program has under a name of a variable of this one, whatever it is there."""
    known = _by_name(other, other.variables)
    return next((known[name] for name in _names(program, variable) if name in known), None)


def _by_name(program: Program, variables: tuple[Variable, ...]) -> dict[str, Variable]:
    """The variables by all their names; a name of several is none's."""
    found: dict[str, list[Variable]] = {}
    for variable in variables:
        for name in _names(program, variable):
            found.setdefault(name, []).append(variable)
    return {name: few[0] for name, few in found.items() if len(few) == 1}


def _names(program: Program, variable: Variable) -> list[str]:
    """With small letters: its own, further ones, and a global one's without its list, which is
    named like the file and thus another one in another version of the file."""
    name = variable.name.casefold()
    further = [key for key, true in program.aliases.items() if true == variable.name]
    lists = {each.title.casefold() for each in program.sources}
    short = [
        key.removeprefix(f"{each}.")
        for key in further
        for each in lists
        if key.startswith(f"{each}.")
    ]
    return list(dict.fromkeys([name, *further, *short]))


def _free(prefixes: tuple[str, str], programs: list[Program]) -> tuple[str, str]:
    """The prefixes, longer where a name begins with one of them."""
    names = [v.name.casefold() for each in programs for v in each.variables]
    names += [instance.name.casefold() for each in programs for instance in each.instances]
    first, second = prefixes
    while any(f"{name}.".startswith((first.casefold(), second.casefold())) for name in names):
        first, second = (f"{prefix.removesuffix('.')}_." for prefix in (first, second))
    return first, second


def _copy(program: Program, inputs: dict[Variable, Variable], prefix: str) -> Renamed:
    """What the program itself changes is its own."""
    changed = set(written(program.routine))
    read = {own: whole for own, whole in inputs.items() if own not in changed}
    return renamed(program, prefix, read)


def _sampled(
    shared: tuple[tuple[Variable, Variable, Variable], ...], copies: tuple[Renamed, Renamed]
) -> Iterator[Assign]:
    """What a program changes of the inputs gets what was sampled."""
    for whole, *originals in shared:
        for original, copy in zip(originals, copies, strict=True):
            own = copy.variables[original]
            if own is not whole:
                yield Assign(own, Read(whole, original.span), original.span)


def _joined(
    first: Program,
    second: Program,
    sampled: list[Assign],
    shared: tuple[tuple[Variable, Variable, Variable], ...],
) -> Program:
    inputs = [whole for whole, _, _ in shared]
    driven = {*inputs, *(assign.target for assign in sampled)}
    parts = (first, second)
    calls = [CallBlock(each.name, (), each.routine, (), _place(each)) for each in parts]
    own = [v for part in parts for v in part.inputs if v not in driven]
    notes = {(note.what, note.span): note for part in parts for note in part.left_out}
    return Program(
        name=f"{first.name} and {second.name}",
        inputs=(*inputs, *own),
        outputs=tuple(v for part in parts for v in part.outputs),
        variables=tuple(dict.fromkeys([*inputs, *first.variables, *second.variables])),
        instances=(*first.instances, *second.instances),
        routine=Routine((), (*sampled, *calls)),
        constants={**second.constants, **first.constants},
        enumerations={**second.enumerations, **first.enumerations},
        sources=tuple(dict.fromkeys(source for part in parts for source in part.sources)),
        read=tuple(dict.fromkeys(source for part in parts for source in part.read)),
        left_out=tuple(notes.values()),
        tasks=(*first.tasks, *second.tasks),
        changed_inputs=frozenset(v for v in own for part in parts if v in part.changed_inputs),
        aliases={**second.aliases, **first.aliases},
    )


def _aliases(
    shared: tuple[tuple[Variable, Variable, Variable], ...], first: Program, second: Program
) -> dict[str, str]:
    """An input of both can be named as either program names it."""
    names: dict[str, str] = {}
    for program, number in ((second, 2), (first, 1)):
        wholes = {row[number].name.casefold(): row[0].name for row in shared}
        names |= wholes
        for further, name in program.aliases.items():
            if name.casefold() in wholes:
                names[further] = wholes[name.casefold()]
    own = {whole.name.casefold() for whole, _, _ in shared}
    return {key: name for key, name in names.items() if key not in own}


def _place(program: Program) -> Span:
    """Of the program's call, which nobody wrote."""
    source = program.sources[0] if program.sources else SourceText(program.name, "")
    return Span(source, 0, 0)
