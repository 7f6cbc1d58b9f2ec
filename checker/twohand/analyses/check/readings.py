"""Readings of the platform that decide a verdict, as warnings with the way to settle them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from twohand.evidence.verdict import Verdict
from twohand.specification.phrases import listing, quoted
from twohand.text.diagnostic import Diagnostic, Severity


def reading_warnings(verdicts: Sequence[Verdict]) -> tuple[Diagnostic, ...]:
    """One warning for each reading, with the verdicts that would be others under another one."""
    hanging: dict[str, list[Verdict]] = {}
    for verdict in verdicts:
        for name in _deciding(verdict):
            hanging.setdefault(name, []).append(verdict)
    return tuple(_warning(name, found) for name, found in hanging.items())


def _deciding(verdict: Verdict) -> Iterator[str]:
    run = verdict.counterexample
    chosen: Mapping[str, bool] = verdict.readings
    if run is not None and run.reading_decides:
        chosen = run.readings
    yield from chosen


def _warning(name: str, found: Sequence[Verdict]) -> Diagnostic:
    requirements = [verdict.requirement for verdict in found]
    names = listing([quoted(requirement.identifier) for requirement in requirements])
    return Diagnostic(
        "reading-decides",
        f"what is said of {names} hangs on how the platform reads '{name}'",
        requirements[0].span,
        f"find out how yours does and write READING {name} TRUE; or FALSE;",
        severity=Severity.WARNING,
    )
