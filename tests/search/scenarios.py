"""Random scenarios of random two-hand specs, held against the definition: which scan sees what,
which readings make a difference, where something fails; and random runs written as scenarios."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from random import Random

from twohand.evidence.verdict import Counterexample
from twohand.program import Read, Variable
from twohand.program.durations import Scans, Units
from twohand.program.types import BOOL, Value
from twohand.scan.concrete import execute
from twohand.scan.scan_record import ScanRecord
from twohand.scenarios.model import Expected, Scenario
from twohand.scenarios.play import PlayedRun, play, runs_of
from twohand.scenarios.playing import executed
from twohand.scenarios.reading import resolve_scenarios
from twohand.scenarios.timing import Timing, timings
from twohand.scenarios.writing import scenario_text
from twohand.specification.logic import evaluate
from twohand.specification.model.specification import Aim, Requirement, Specification
from twohand.text.source_text import SourceText

from tests.search.verdicts import drawn
from tests.support.randomness.specs import SpecText

Event = tuple[int, str, bool]
"""Microseconds, the name of an input, and what is sampled from then on."""
Values = Mapping[str, Value]
SEEN: dict[str, Callable[[Values], bool]] = {
    "NOT stroke": lambda now: not now["stroke"],
    "left -> stroke": lambda now: bool(not now["left"] or now["stroke"]),
    "NOT (lamp AND right)": lambda now: not (now["lamp"] and now["right"]),
}


@dataclass(frozen=True)
class Drawn:
    events: tuple[Event, ...]
    elapsed: tuple[int, ...] | None
    seen: tuple[tuple[int | None, str], ...]
    end: int


def drawn_scenario(spec: Specification, random: Random) -> Drawn:
    names = [v.name for v in spec.program.inputs if v.type == BOOL and v is not spec.power]
    names += [] if spec.power is None else ["POWER"]
    unit = spec.clocking.unit // 1000
    shortest, longest = spec.clocking.shortest * unit, spec.clocking.longest * unit
    scans = random.randint(3, 10)
    elapsed = None
    if random.random() < 0.5:
        elapsed = tuple(random.choice((shortest, longest)) for _ in range(scans))
    end = sum(elapsed[1:]) if elapsed else scans * longest
    events = [
        (random.randint(0, end // 250) * 250, random.choice(names), random.random() < 0.6)
        for _ in range(random.randint(2, 9))
    ]
    if elapsed is None:
        events.append((random.randint(-3 * longest, -1), names[0], True))
    seen = [
        (random.choice((None, random.randint(0, end))), random.choice(list(SEEN))) for _ in range(2)
    ]
    return Drawn(tuple(events), elapsed, tuple(seen), end)


def text_of(drawn: Drawn) -> str:
    lines = ["SCENARIO drawn FOR 'a.spec';"]
    for time, name, value in drawn.events:
        change = f"POWER {'ON' if value else 'OFF'}" if name == "POWER" else ""
        time = max(time, 0) if change else time
        lines.append(f"AT T#{time}us {change or f'{_shown(name)} := {str(value).upper()}'};")
    for when, formula in drawn.seen:
        lines.append(f"{'ALWAYS' if when is None else f'AT T#{when}us'} EXPECT {formula};")
    if drawn.elapsed is None:
        lines.append(f"UNTIL T#{drawn.end}us;")
    else:
        lines.append(f"SCAN {', '.join(f'T#{each}us' for each in drawn.elapsed)};")
    return "\n".join([*lines, "END_SCENARIO", ""])


def _shown(name: str) -> str:
    return name.removeprefix("hand.")


# --- the definition -----------------------------------------------------------------------------


def sampled_at(time: int, spec: Specification, drawn: Drawn) -> dict[str, Value]:
    """What a scan at this time (microseconds) samples: of each input the last event that is not
    later; of two at one time the one that is said later."""
    found: dict[str, Value] = {v.name: False for v in spec.program.inputs if v.type == BOOL}
    for hand in spec.hands:
        for contact in hand.contacts:
            if not isinstance(contact, Read):
                (operand,) = contact.operands  # type: ignore[union-attr]
                found[operand.variable.name] = True  # type: ignore[union-attr]
    if spec.power is not None:
        found[spec.power.name] = True
    for at, name, value in sorted(drawn.events, key=lambda event: event[0]):
        at = max(at, 0) if name == "POWER" else at
        if at <= time:
            found |= dict(_set(name, value, spec))
    return found


def _set(name: str, value: bool, spec: Specification) -> Iterator[tuple[str, bool]]:
    """A hand moves all its contacts; an input is set by itself."""
    if name == "POWER" and spec.power is not None:
        yield spec.power.name, value
        return
    hands = [hand for hand in spec.hands if hand.name == _shown(name)]
    for hand in hands:
        for contact in hand.contacts:
            if isinstance(contact, Read):
                yield contact.variable.name, value
            else:
                yield contact.operands[0].variable.name, not value  # type: ignore[union-attr]
    if not hands:
        yield name, value


def expected_steps(
    run: PlayedRun, spec: Specification, drawn: Drawn
) -> tuple[list[tuple[Values, Units]], Scans]:
    unit = spec.clocking.unit // 1000
    records = run.execution.records
    steps = [(sampled_at(record.time * unit, spec, drawn), record.elapsed) for record in records]
    return steps, Scans(sum(record.time < 0 for record in records))


def check_times(run: PlayedRun, spec: Specification, drawn: Drawn) -> None:
    unit, clocking = spec.clocking.unit // 1000, spec.clocking
    scans = [record for record in run.execution.records if record.time >= 0]
    times = [record.time for record in scans]
    assert times == [sum(each.elapsed for each in scans[1 : n + 1]) for n in range(len(scans))]
    for each in run.execution.records:
        assert clocking.shortest <= each.elapsed <= clocking.longest
    cut = scans[-1].finding is not None
    if drawn.elapsed is not None:
        stated = [each // unit for each in drawn.elapsed]
        assert [each.elapsed for each in scans] == stated[: len(scans)]
        assert cut or len(scans) == len(stated)
        return
    assert cut or (times[-1] * unit >= drawn.end and all(t * unit < drawn.end for t in times[:-1]))
    only = {"shortest": clocking.shortest, "longest": clocking.longest}.get(run.timing.words)
    assert only is None or {each.elapsed for each in run.execution.records} == {only}
    earliest = min(time for time, _, _ in drawn.events)
    past = [record.time * unit for record in run.execution.records if record.time < 0]
    if earliest > -unit:  # no sample is between it and the first scan
        assert past == []
    else:
        assert past[0] < earliest


def failing(
    spec: Specification, scenario: Scenario, records: Sequence[ScanRecord], drawn: Drawn
) -> set[tuple[str, int]]:
    """By the definition: the first record up to which the run refutes a requirement, while every
    assumption holds; and the first in which something expected is not so."""
    unit, clocking = spec.clocking.unit // 1000, spec.clocking
    found = set()
    prefixes = [list(records[: n + 1]) for n in range(len(records))]
    whole = [[replace(record, finding=None) for record in each] for each in prefixes]
    kept = [
        all(evaluate.assumed(each.formula, run, clocking) for each in spec.assumptions)
        for run in whole
    ]
    for asked in spec.requirements:
        refuted = [
            evaluate.refuted_at(asked.property, each, clocking) is not None for each in prefixes
        ]
        if asked.aim is Aim.HOLDS and True in refuted and kept[refuted.index(True)]:
            found.add((asked.identifier, refuted.index(True)))
    for number, (when, formula) in enumerate(drawn.seen):
        at = [n for n, record in enumerate(records) if record.time * unit >= (when or 0)]
        chosen = at if when is None else at[:1]
        values = [(n, records[n]) for n in chosen]
        hand = {h.name: h.pressed for h in spec.hands}
        wrong = [n for n, each in values if each.finding or not SEEN[formula](_named(each, hand))]
        if not chosen or wrong:
            found.add((f"seen {number}", wrong[0] if wrong else len(records) - 1))
    if records[-1].finding is not None:
        found.add(("finding", len(records) - 1))
    return found


def _named(record: ScanRecord, hands: Mapping[str, object]) -> Values:
    named = {f"{name}": record.values.get(f"hand.{name}") for name in hands}
    return {**record.values, **{k: v for k, v in named.items() if v is not None}}


def told(scenario: Scenario, run: PlayedRun) -> set[tuple[str, int]]:
    found = set()
    for each in run.judgement.failures:
        if isinstance(each.about, Requirement):
            name = each.about.identifier
        elif isinstance(each.about, Expected):
            name = f"seen {scenario.expected.index(each.about)}"
        else:
            name = "finding"
        found.add((name, each.position))
    return found


# --- the checks ---------------------------------------------------------------------------------


def played_as_defined(
    seed: int, folder: Path, more: bool = False, draw: Callable[[int], SpecText] | None = None
) -> int:
    """How many runs were compared; AssertionError where one is not what the definition says."""
    spec = drawn(seed, folder / str(seed), more, draw)
    if spec is None:
        return 0
    random = Random(f"scenario {seed}")
    chosen = drawn_scenario(spec, random)
    source = SourceText("drawn.scenario", text_of(chosen))
    (scenario,) = resolve_scenarios(source, folder / str(seed))
    spec = scenario.specification
    compared = 0
    for timing in timings(spec.clocking, scenario.scan_times, 1, seed):
        runs = list(runs_of(scenario, timing))
        names = scenario.readings.open
        assert sum(2 ** (len(names) - len(run.readings)) for run in runs) == 2 ** len(names)
        assert len({tuple(run.readings.items()) for run in runs}) == len(runs)
        for run in runs:
            compared += 1
            check_times(run, spec, chosen)
            steps, past = expected_steps(run, spec, chosen)
            rest = {name: random.random() < 0.5 for name in names}
            readings = replace(scenario.readings, **{**rest, **run.readings})
            records = execute.run(
                spec.program, spec.clocking, readings, spec.loop_bound, steps, past
            )
            seen = [(each.values, each.finding) for each in run.execution.records]
            assert seen == [(each.values, each.finding) for each in records]
            assert told(scenario, run) == failing(spec, scenario, records, chosen)
    played = play(scenario, times=1, seed=seed)
    assert played.runs == compared
    return compared


def written_and_played(
    seed: int, folder: Path, more: bool = False, draw: Callable[[int], SpecText] | None = None
) -> bool:
    """A random run, written as a scenario and played, is that run: each value of each scan."""
    spec = drawn(seed, folder / str(seed), more, draw)
    if spec is None:
        return False
    random = Random(f"run {seed}")
    past = Scans(random.choice((0, 0, 1, 3)))
    readings = random.choice(spec.readings.choices())
    steps = [
        (
            {v.name: _any(v, random) for v in spec.program.inputs},
            Units(random.randint(spec.clocking.shortest, spec.clocking.longest)),
        )
        for _ in range(past + random.randint(1, 12))
    ]
    records = execute.run(spec.program, spec.clocking, readings, spec.loop_bound, steps, past)
    sampled = tuple(inputs for inputs, _ in steps[: len(records)])
    run = Counterexample(tuple(records), sampled=sampled)
    stated = {name: bool(getattr(readings, name)) for name in spec.readings.open}
    text = scenario_text("written", "'a.spec'", spec, run, stated)
    source = SourceText("written.scenario", text)
    (scenario,) = resolve_scenarios(source, folder / str(seed))
    (timing,) = timings(spec.clocking, scenario.scan_times, 8, 1)
    again = _executed(scenario, timing)
    assert [each.values for each in again] == [each.values for each in records], text
    assert [each.time for each in again] == [each.time for each in records]
    return True


def _executed(scenario: Scenario, timing: Timing) -> Sequence[ScanRecord]:
    return executed(scenario, timing, scenario.readings).records


def _any(variable: Variable, random: Random) -> Value:
    return random.random() < 0.5 if variable.type == BOOL else random.randint(0, 3)
