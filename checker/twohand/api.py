"""The functions of ``import twohand``; what they answer is described in ``twohand.results``.

Each loads the solver at its first call. Only one works at a time in a process: a call from a second
thread waits.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import replace
from os import PathLike
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Literal, TypeAlias

if TYPE_CHECKING:
    from twohand.analyses.audit.record import AuditResult
    from twohand.analyses.check.record import CheckResult
    from twohand.analyses.compare.record import CompareResult
    from twohand.analyses.faults.record import FaultsResult
    from twohand.analyses.inspect.check import Inspection
    from twohand.analyses.inspect.points import InspectionKind
    from twohand.analyses.inspect.record import InspectResult
    from twohand.analyses.inspect.subject import Subject
    from twohand.analyses.inspect.units import UnitOutcome
    from twohand.analyses.measure.record import MeasureResult
    from twohand.evidence.limits import Options
    from twohand.record.spec import LoadedSpec
    from twohand.text.diagnostic import Diagnostic

File: TypeAlias = str | PathLike[str]
StartMethod: TypeAlias = Literal["fork", "spawn"] | None

EFFORT = 60.0
EFFORT_TO_INSPECT = 5.0
SECONDS = 600.0
_alone = Lock()
"""The solver's terms and the start of worker processes belong to one thread at a time."""


def load(path: File) -> tuple[LoadedSpec, ...]:
    """The specs of a file: what would be checked, of which block, with nothing checked yet.

    Raises InputError where the file, or something that it names, cannot be used.
    """
    from twohand.record.spec import loaded_spec
    from twohand.specification.load import load_specifications

    with _alone:
        specifications = load_specifications(Path(path), str(path))
    return tuple(loaded_spec(each) for each in specifications)


def check(
    path: File,
    *,
    beyond_findings: bool = False,
    another: bool = False,
    effort: float = EFFORT,
    seconds: float = SECONDS,
    processes: int | None = None,
    memory: int | None = None,
    start_method: StartMethod = None,
) -> CheckResult:
    """Check the specs of a file, as ``twohand check`` does.

    ``beyond_findings``: where an overflow may happen, what holds if it wraps is asked as well.
    ``another``: where a requirement is violated, a run that differs in kind is looked for.
    ``effort`` is the work for each requirement, counted and never timed: about seconds of an
    ordinary machine; ``seconds`` is the wall time after which a question is cut whatever its
    effort, so that it may be answered another time. ``processes`` work at the same time (None: as
    many as there are processors, at most 8), each with at most ``memory`` megabytes (None: 4096).
    ``start_method`` None is what the system does best.

    Raises InputError where the file, or something that it names, cannot be used; ValueError for a
    limit that is none. Any other exception is a mistake in twohand: nothing is answered then.
    """
    options = _options(effort, seconds, processes, memory, start_method)
    options = replace(options, beyond=beyond_findings, another=another)
    from twohand.analyses.check.check import check as checked
    from twohand.analyses.check.record import check_result
    from twohand.evidence.limits import open_pool
    from twohand.specification.load import load_specifications

    with _alone:
        specifications = load_specifications(Path(path), str(path))
        with open_pool(options) as pool:
            return check_result([checked(each, options, None, pool) for each in specifications])


def measure(
    path: File,
    *,
    effort: float = EFFORT,
    seconds: float = SECONDS,
    processes: int | None = None,
    memory: int | None = None,
    start_method: StartMethod = None,
) -> MeasureResult:
    """Measure the figures of the specs of a file, as ``twohand measure`` does: lags, reactions,
    on-times. Limits and errors as those of ``check``."""
    options = _options(effort, seconds, processes, memory, start_method)
    from twohand.analyses.measure.figures import check_measurable
    from twohand.analyses.measure.measure import measure as measured
    from twohand.analyses.measure.record import measure_result
    from twohand.evidence.limits import open_pool
    from twohand.specification.load import load_specifications

    with _alone:
        specifications = load_specifications(Path(path), str(path))
        for each in specifications:
            check_measurable(each)
        with open_pool(options) as pool:
            return measure_result([measured(each, options, None, pool) for each in specifications])


def faults(
    path: File,
    *,
    exclude: Iterable[str] = (),
    pairs: bool = True,
    effort: float = EFFORT,
    seconds: float = SECONDS,
    processes: int | None = None,
    memory: int | None = None,
    start_method: StartMethod = None,
) -> FaultsResult:
    """Check the specs of a file under every fault of contacts, feedback and supplies, as ``twohand
    faults`` does.

    ``exclude`` names faults to leave out, which then you answer for; ``pairs`` False asks for no
    second fault beside an unnoticed one. Limits and errors as those of ``check``.
    """
    options = _options(effort, seconds, processes, memory, start_method)
    from twohand.analyses.faults.cases import load_fault_analyses
    from twohand.analyses.faults.check import check_faults
    from twohand.analyses.faults.record import faults_result
    from twohand.evidence.limits import open_pool

    left_out = _texts(exclude, "exclude")
    with _alone:
        analyses = [each.without(left_out) for each in load_fault_analyses(Path(path), str(path))]
        with open_pool(options) as pool:
            return faults_result(
                [check_faults(each, options, _nothing_told, pool, pairs) for each in analyses]
            )


def audit(
    path: File,
    *,
    most: int | None = None,
    effort: float = EFFORT,
    seconds: float = SECONDS,
    processes: int | None = None,
    memory: int | None = None,
    start_method: StartMethod = None,
) -> AuditResult:
    """Ask the specs of a file of every small change of their blocks, as ``twohand audit`` does.

    ``most`` so many changes of each block are tried, at even distances in their order (None: all).
    Limits and errors as those of ``check``.
    """
    options = _options(effort, seconds, processes, memory, start_method)
    if most is not None and most < 1:
        raise ValueError("most has to be at least 1")
    from twohand.analyses.audit.changes.subject import load_changeable_specs
    from twohand.analyses.audit.check import audit as audited
    from twohand.analyses.audit.record import audit_result
    from twohand.evidence.limits import open_pool

    with _alone:
        subjects = load_changeable_specs(Path(path), str(path))
        with open_pool(options) as pool:
            return audit_result(
                [audited(each, options, _nothing_told, pool, most) for each in subjects]
            )


def inspect(
    path: File,
    *,
    block: str | None = None,
    scan: str | None = None,
    platform: Iterable[str] = (),
    free: Iterable[str] = (),
    kinds: Collection[InspectionKind] | None = None,
    effort: float = EFFORT_TO_INSPECT,
    seconds: float = SECONDS,
    processes: int | None = None,
    memory: int | None = None,
    start_method: StartMethod = None,
) -> InspectResult:
    """Look for what is wrong in the blocks of a source file, a folder or a spec file, whatever they
    are for, as ``twohand inspect`` does.

    ``block`` names the only one; ``scan`` (``T#10ms``, ``T#5ms..T#20ms``) and ``platform``
    (statements like ``READING ...``) are as in a spec; ``free`` names variables that others write
    between scans. A spec states all four itself: they cannot be given with one (ValueError).
    ``kinds`` None looks for all. Other limits and errors as those of ``check``. Of several units
    those that cannot be used are ``units`` that are refused; it is an error where ``block`` names
    one, or where none can be used.
    """
    options = _options(effort, seconds, processes, memory, start_method)
    stated = block, scan, _texts(platform, "platform"), _texts(free, "free")
    from twohand.analyses.inspect.check import inspect as inspected
    from twohand.analyses.inspect.points import InspectionKind
    from twohand.analyses.inspect.record import inspect_result
    from twohand.evidence.limits import open_pool

    wanted = [kind for kind in InspectionKind if kinds is None or kind in kinds]
    if not wanted:
        raise ValueError("kinds leaves nothing to look for")
    unread: list[Diagnostic] = []
    with _alone, open_pool(options) as pool:

        def answered(subject: Subject) -> Inspection:
            return inspected(subject, options, None, pool, wanted)

        return inspect_result([_outcomes(Path(path), stated, unread, answered)], unread)


def compare(
    first: File,
    second: File,
    *,
    block: str | None = None,
    blocks: tuple[str, str] | None = None,
    scan: str | None = None,
    assume: Iterable[str] = (),
    platform: Iterable[str] = (),
    common: bool = False,
    power_cycles: bool = False,
    effort: float = EFFORT,
    seconds: float = SECONDS,
    processes: int | None = None,
    memory: int | None = None,
    start_method: StartMethod = None,
) -> CompareResult:
    """Whether two versions of a block, in source files or folders, show the same in every scan, as
    ``twohand compare`` does.

    ``block`` names it, or ``blocks`` the one of each; ``scan``, ``assume`` (formulas over inputs)
    and ``platform`` are as in a spec; ``common`` compares only what both have; with
    ``power_cycles`` the supply may go and come back. Limits and errors as those of ``check``.
    """
    options = _options(effort, seconds, processes, memory, start_method)
    if block is not None and blocks is not None:
        raise ValueError("block and blocks exclude each other")
    from twohand.analyses.compare.check import compare as compared
    from twohand.analyses.compare.load import load_comparison
    from twohand.analyses.compare.options import ComparisonOptions, Version
    from twohand.analyses.compare.record import compare_result

    names = blocks or (block, block)
    assumed, stated = _texts(assume, "assume"), _texts(platform, "platform")
    wishes = ComparisonOptions(scan, assumed, stated, common, power_cycles)
    with _alone:
        sides = Version(str(first), names[0]), Version(str(second), names[1])
        return compare_result(compared(load_comparison(*sides, wishes), options))


def _options(
    effort: float,
    seconds: float,
    processes: int | None,
    memory: int | None,
    start_method: StartMethod,
) -> Options:
    from twohand.evidence.limits import Options

    for name, most in (("effort", effort), ("seconds", seconds)):
        if not most > 0:
            raise ValueError(f"{name} has to be more than nothing")
    for name, limit in (("processes", processes), ("memory", memory)):
        if limit is not None and limit < 1:
            raise ValueError(f"{name} has to be at least 1")
    if start_method not in (None, "fork", "spawn"):
        raise ValueError("start_method has to be 'fork' or 'spawn'")
    options = Options(effort=effort, seconds=seconds, start_method=start_method)
    if processes is not None:
        options = replace(options, processes=processes)
    return options if memory is None else replace(options, memory=memory)


def _texts(given: Iterable[str], name: str) -> tuple[str, ...]:
    if isinstance(given, str):  # each of its letters would count as one
        raise ValueError(f"{name} is several texts, not one")
    return tuple(given)


def _nothing_told(*_: object) -> None:
    """Progress that nobody looks at."""


def _outcomes(
    path: Path,
    stated: tuple[str | None, str | None, tuple[str, ...], tuple[str, ...]],
    unread: list[Diagnostic],
    inspected: Callable[[Subject], Inspection],
) -> Sequence[UnitOutcome]:
    """What becomes of the units of a path; InputError where none of them can be used."""
    from twohand.analyses.inspect.subject import library_of, subjects_of_spec
    from twohand.analyses.inspect.units import (
        check_freed,
        outcome_of_spec,
        outcomes_of,
        units_code,
    )
    from twohand.files.suffixes import SPECIFICATION
    from twohand.report.exit_code import ExitCode
    from twohand.text.diagnostic import InputError

    if path.suffix.lower() == SPECIFICATION:
        if any(stated):
            raise ValueError("a spec states its block, its scan time and its platform itself")
        return [outcome_of_spec(inspected(each)) for each in subjects_of_spec(path, str(path))]
    block, scan, platform, free = stated
    library = library_of(path, str(path), block, unread)
    found = list(outcomes_of(library, (scan, platform, free), inspected))
    if units_code(found) is ExitCode.UNUSABLE:
        raise InputError(dict.fromkeys(p for each in found for p in each.problems))
    check_freed(free, found)
    return found
