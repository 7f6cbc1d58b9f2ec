"""Requirements that fall to one and the same run, which is to be shown once."""

from __future__ import annotations

from collections.abc import Iterable

from twohand.evidence.verdict import Counterexample, Verdict


def firsts_of_runs(runs: Iterable[tuple[str, Counterexample | None]]) -> dict[str, str]:
    """For each name whose run came before under another one: the first name that has it."""
    known: list[tuple[str, Counterexample]] = []
    found = {}
    for name, run in runs:
        if run is None:
            continue
        first = next((each for each, other in known if is_same(run, other)), None)
        if first is None:
            known.append((name, run))
        else:
            found[name] = first
    return found


def firsts_of_violations(verdicts: Iterable[Verdict]) -> dict[str, str]:
    """The same of the runs of requirements that are violated."""
    return firsts_of_runs((each.requirement.identifier, each.counterexample) for each in verdicts)


def is_same(run: Counterexample, other: Counterexample) -> bool:
    """Whether two runs have the same scans, with every value and time, on the same readings, and
    are shown up to the same scan."""
    return (
        run.records == other.records
        and run.due == other.due
        and run.all_readings == other.all_readings
    )
