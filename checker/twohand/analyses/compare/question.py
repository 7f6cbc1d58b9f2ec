"""Two versions of a block, and the question whether they show the same in every scan."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from twohand.analyses.compare.options import NO_SCAN_STATED, USUAL_SCAN, ComparisonOptions
from twohand.program import Operation, Operator, Program, Read, Role, Task, Variable
from twohand.program.product import (
    Matching,
    Pair,
    ProductProgram,
    counterpart,
    match_inputs,
    match_shown,
    product_program,
    shown,
)
from twohand.program.types import BOOL, RealClasses
from twohand.specification.load import stated_specification
from twohand.specification.logic.formula import Always, Atom, Formula, History
from twohand.specification.model.specification import Requirement, Specification
from twohand.specification.problems import Problems
from twohand.specification.reading.command_line import PLATFORM, Limits, stated_parts
from twohand.specification.reading.outside import resolve_scan_start
from twohand.specification.reading.task_times import written_time
from twohand.specification.surroundings.composition import Composition
from twohand.specification.surroundings.power import POWER_ON, power_cycles
from twohand.specification.surroundings.scan_start import ScanStart
from twohand.specification.syntax import nodes as spec
from twohand.specification.syntax.formulas import start_name
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_text import Span
from twohand.typecheck.reals.inputs import with_common_classes

_STATED = Limits(
    (*PLATFORM, spec.AssumeStatement, spec.OutsideStatement),
    "not-in-a-comparison",
    "this says nothing in a comparison",
    "state SCAN, ASSUME, READING, INTEGERS, LOOPS, UNIT or OUTSIDE",
)
COMMON = "with --common only what both have is compared, and the other inputs are free"
_OF_BLOCK = (Role.INPUT, Role.OUTPUT, Role.IN_OUT)


@dataclass(frozen=True, eq=False)
class Comparison:
    """``specification`` asks for each of ``pairs`` whether the two stay equal, in this order, and
    counts as saying something where they ever change. ``scan_origin`` says where the scan time is
    from; ``inputs`` and ``shown`` have what is free for one of the two alone, and not compared."""

    first: Program
    second: Program
    both: ProductProgram
    specification: Specification
    pairs: tuple[Pair, ...]
    scan_origin: str
    inputs: Matching = field(repr=False)
    shown: Matching = field(repr=False)

    def asked(self, number: int) -> str:
        """What is asked of a pair in every scan, with the names that the two have in runs."""
        first, second = _copies(self.both, self.pairs[number])
        return f"{first.name} = {second.name}"


def resolve_comparison(first: Program, second: Program, options: ComparisonOptions) -> Comparison:
    """InputError with everything that has no counterpart, or is wrong in the options."""
    problems = Problems()
    scan, origin = _scan(first, second, options)
    lines = [f"SCAN {scan}", *(f"ASSUME {text}" for text in options.assume), *options.platform]
    parts = stated_parts("comparison", lines, _STATED, problems)
    first, second = with_common_classes(first, second)
    place = parts.tree.name.span
    first, second = (
        _surrounded(each, place, resolve_scan_start(parts, each, problems), options.power)
        for each in (first, second)
    )
    inputs, outputs = match_inputs(first, second), match_shown(first, second)
    if not options.common:
        _check(inputs, first, second, "unmatched-input", problems)
        _check(outputs, first, second, "unmatched-output", problems)
    both = product_program(first, second)
    pairs = tuple(pair for pair in outputs.pairs if len(set(_copies(both, pair))) > 1)
    if not pairs and not problems.errors:
        problems.errors.append(_nothing_in_common(first, second))
    specification = replace(
        stated_specification(both.program, parts, problems, assume=True),
        requirements=tuple(_equal(pair, both) for pair in pairs),
        power=both.program.variable(POWER_ON) if options.power else None,
        equivalent=both.prefixes,
    )
    return Comparison(first, second, both, specification, pairs, origin, inputs, outputs)


def _copies(both: ProductProgram, pair: Pair) -> Pair:
    """The two variables as the program of both has them."""
    return both.first.variables[pair[0]], both.second.variables[pair[1]]


def _surrounded(program: Program, place: Span, start: ScanStart, power: bool) -> Program:
    """What others write, they also see."""
    cycles = power_cycles(program, shown(program), place) if power else None
    whole = Composition(program, place, power=cycles, start=start).program
    seen = dict.fromkeys([*whole.outputs, *(v for v in whole.variables if v in start.outside)])
    return replace(whole, outputs=tuple(seen))


# --- what is asked ----------------------------------------------------------------------------


def _equal(pair: Pair, both: ProductProgram) -> Requirement:
    """That the two are equal in every scan; it says something where they change. What others write
    does so at the beginning of each."""
    copies = _copies(both, pair)
    name = pair[0].name
    first, second = (Read(copy, copy.span) for copy in copies)
    equal = Operation(Operator.EQUAL, (first, second), BOOL, pair[0].span)
    outside = both.program.variable(start_name(pair[0].name)) is not None
    asked = Always(Atom(equal), trigger=None if outside else _changes(copies[0]))
    sentence = f"'{name}' is the same in both in every scan"
    return Requirement(f"same_{name}", sentence, asked, pair[0].span)


def _changes(variable: Variable) -> Formula:
    """It is not what it was in the scan before."""
    read = Read(variable, variable.span)
    before = replace(variable, name=f"prev({variable.name})", role=Role.LOCAL)
    now_and_then = (read, Read(before, variable.span))
    unequal = Operation(Operator.UNEQUAL, now_and_then, BOOL, variable.span)
    return Atom(unequal, (History(before, read),))


# --- the options -------------------------------------------------------------------------------


def _scan(first: Program, second: Program, options: ComparisonOptions) -> tuple[str, str]:
    """The scan time as text, and where it is from."""
    if options.scan is not None:
        return options.scan, "as --scan says"
    intervals = [{task.interval for task in _timed(program)} for program in (first, second)]
    if intervals[0] == intervals[1] and len(intervals[0]) == 1:
        (interval,) = intervals[0]
        assert interval is not None
        return written_time(interval), "the INTERVAL of the tasks of both"
    if intervals[0] or intervals[1]:
        return USUAL_SCAN, f"{NO_SCAN_STATED}the tasks have not one INTERVAL in both"
    return USUAL_SCAN, f"{NO_SCAN_STATED}no task with an INTERVAL in both"


def _timed(program: Program) -> Iterator[Task]:
    return (task for task in program.tasks if task.interval is not None)


# --- what has no counterpart ------------------------------------------------------------------


def file_of(program: Program) -> str:
    """The file in which the block is declared."""
    declared = [v.span.source.path for v in program.variables if v.role in _OF_BLOCK]
    return next(iter([*declared, *(source.path for source in program.sources)]), "")


def _nothing_in_common(first: Program, second: Program) -> Diagnostic:
    path = file_of(second)
    message = f"'{second.name}' has no output in common with '{first.name}' ({file_of(first)})"
    way = "name two versions of one block"
    return Diagnostic("nothing-to-compare", message, path=path, help=way)


def _check(found: Matching, first: Program, second: Program, code: str, problems: Problems) -> None:
    def unlike(code: str, one: Variable, two: Variable, message: str, way: str) -> None:
        related = ((one.span, "in the first"),)
        problems.errors.append(Diagnostic(code, message, two.span, way, related))

    for one, two in found.unlike:
        message = f"'{one.name}' is {one.type.name} in the first and {two.type.name} in the second"
        unlike("unlike-types", one, two, message, f"give it one type in both; {COMMON}")
    for one, two in found.pairs:
        places = first.addresses.get(one.name, ""), second.addresses.get(two.name, "")
        if all(places) and places[0] != places[1]:
            message = (
                f"'{one.name}' is at {places[0]} in the first and at {places[1]} in the second"
            )
            way = "give it one address in both; with --common names are compared, wherever they are"
            unlike("unlike-addresses", one, two, message, way)
    sides = ((found.only_first, first, second), (found.only_second, second, first))
    for alone, own, other in sides:
        for variable in alone:
            if isinstance(variable.type, RealClasses) and _leaves_out(other, variable):
                continue
            known = counterpart(own, variable, other)
            there = "nothing of this name" if known is None else f"it as {_kind(known, other)}"
            message = (
                f"'{variable.name}' is {_kind(variable, own)} of '{own.name}' ({file_of(own)}), "
                f"and '{other.name}' ({file_of(other)}) has {there}"
            )
            problems.error(code, message, variable.span, COMMON)


def _leaves_out(program: Program, variable: Variable) -> bool:
    """Whether it has the input too, and compares nothing with it."""
    name = variable.name.casefold()
    return any((note.variable or "").casefold() == name for note in program.left_out)


def _kind(variable: Variable, program: Program) -> str:
    """What it is to the block, in words."""
    if variable.role is Role.IN_OUT:
        return "an in-out parameter"
    if variable.role is Role.GLOBAL and variable not in program.sampled:
        return "a written global variable"
    if variable in program.inputs:
        return "an input"
    return "an output" if variable in program.outputs else "a variable of its own"
