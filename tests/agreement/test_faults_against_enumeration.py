"""Faults that stay, that end and that come back, on random blocks: the program text around a block
does what current in wires does, and the table says what visiting every state says."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from twohand.analyses.faults.cases import FaultAnalysis, load_fault_analyses
from twohand.analyses.faults.check import check_faults
from twohand.analyses.faults.requirements import NOTICED, OFF_AFTER, after_fault
from twohand.analyses.faults.table import FaultRow
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options, open_pool
from twohand.evidence.verdict import Outcome
from twohand.program.types import BOOL
from twohand.scan.concrete.execute import Machine
from twohand.specification.load import load_specification
from twohand.specification.model.fault import Fault, FaultCourse, FaultKind
from twohand.specification.model.specification import Lines, Specification
from twohand.text.diagnostic import InputError

from tests.support.enumeration.checks_by_enumeration import Enumerated
from tests.support.enumeration.enumerate_states import TooManyStatesError
from tests.support.meaning.faulty_lines import FaultyLines
from tests.support.randomness.specs import drawn_spec
from tests.support.tiers import nightly

OPTIONS = Options(effort=30.0, processes=1)
MOST_INPUTS = 4
ASKED = 3
"""Of each row so many answers have a second opinion."""
MORE = ("", "SUPPLY one = left;", "SUPPLY one = left, right;", "NOTICE NOT lamp;", "NOTICE armed;")


def drawn(seed: int, folder: Path) -> FaultAnalysis | None:
    """None where the changed tokens make no program."""
    text = drawn_spec(seed)
    spec = text.spec.replace("OUTPUT", f"{Random(seed).choice(MORE)} OUTPUT", 1)
    folder.mkdir(parents=True)
    for name, content in (("block.st", text.block), ("rod.st", text.plant), ("a.spec", spec)):
        (folder / name).write_text(content, encoding="utf-8")
    try:
        return load_fault_analyses(folder / "a.spec")[0]
    except InputError:
        return None


# --- the program text around a block --------------------------------------------------------------


def compared_scans(direct: Specification, analysed: FaultAnalysis, fault: Fault, seed: int) -> int:
    """Runs the block with its inputs given by the lines, and the wired one, some times; the number
    of scans in which the fault made a difference."""
    random = Random(f"{seed} {fault.identifier}")
    wired = analysed.under(fault)
    return sum(compared_run(direct, wired, analysed.lines, fault, random) for _ in range(8))


def compared_run(
    direct: Specification, wired: Specification, lines: Lines, fault: Fault, random: Random
) -> int:
    readings, elapsed = random.choice(wired.readings.choices()), wired.clocking.longest
    bare = Machine(direct.program, wired.clocking, readings)
    whole = Machine(wired.program, wired.clocking, readings)
    faulty, sound = FaultyLines(lines, fault), FaultyLines(lines, fault)
    (chooses,) = (v.name for v in wired.program.inputs if v.name.startswith("fault."))
    free = [v.name for v in wired.program.inputs if v.type == BOOL]
    values = dict.fromkeys(free, False)
    written: dict[str, object] = {}
    shown = 0
    for _ in range(20):
        values = {n: random.random() < 0.6 if random.random() < 0.4 else values[n] for n in free}
        hands = {hand.name: values[f"hand.{hand.name}"] for hand in wired.hands}
        names = {v.name: f"sound.{v.name}" for v in direct.program.inputs}
        fed = {n: values[s] if s in values else values.get(n, False) for n, s in names.items()}
        given = faulty.scan(hands, fed, written, values[chooses])
        one, other = bare.scan(given, elapsed), whole.scan(values, elapsed)
        assert (one.finding is None) is (other.finding is None)
        if one.finding is not None:
            break
        written = one.values
        assert one.values == {name: other.values[name] for name in one.values}
        shown += given != sound.scan(hands, fed, {}, chosen=False)
    return shown


@pytest.mark.long
@pytest.mark.parametrize("seeds", [range(4), range(10, 40)])
def test_a_fault_does_to_a_random_block_what_current_in_its_wires_does(
    seeds: range, tmp_path: Path
) -> None:
    shown: Counter[tuple[FaultKind, FaultCourse]] = Counter()
    for seed in seeds:
        analysed = drawn(seed, tmp_path / str(seed))
        if analysed is None or analysed.sound.plants:
            continue
        direct = load_specification(tmp_path / str(seed) / "a.spec")
        for kind in {fault.kind: None for fault in analysed.faults}:
            fault = Random(seed).choice([each for each in analysed.faults if each.kind is kind])
            for course in FaultCourse:
                faulty = fault.as_it(course)
                shown[kind, course] += compared_scans(direct, analysed, faulty, seed)
    kinds = set(FaultKind) - {FaultKind.STUCK_FALSE, FaultKind.STUCK_TRUE}
    assert min(shown[kind, course] for kind in kinds for course in FaultCourse) >= 3


# --- the table ------------------------------------------------------------------------------------


def compare_row(analysed: FaultAnalysis, row: FaultRow) -> Counter[str]:
    """AssertionError where the row says something else than the enumeration."""
    specification = analysed.under(*row.faults)
    every = Enumerated(specification)
    counts: Counter[str] = Counter()
    asked = {each.identifier: each for each in specification.requirements}
    told = {cell.requirement.identifier: cell.verdict for cell in row.cells}
    beside = {each.identifier: each for each in after_fault(specification).all}
    pairs = [(asked[name], verdict) for name, verdict in told.items() if verdict is not None]
    pairs += [(beside[name], verdict) for name, verdict in (
        (OFF_AFTER, row.stays_off), (NOTICED, row.noticed)) if verdict is not None]  # fmt: skip
    for requirement, verdict in Random(row.identifier).sample(pairs, min(ASKED, len(pairs))):
        try:
            refuted = every.refuted(requirement.property)
        except TooManyStatesError:
            continue
        counts[f"{row.faults[0].course.name} {verdict.outcome.name}"] += 1
        if refuted is not None and verdict.outcome is not Outcome.UNDECIDED:
            assert refuted is (verdict.outcome is Outcome.VIOLATED), (row.title, requirement)
    return counts


def compared_tables(seeds: range, folder: Path, pool: Pool) -> Counter[str]:
    counts: Counter[str] = Counter()
    for seed in seeds:
        analysed = drawn(seed, folder / str(seed))
        if analysed is None:
            continue
        chosen = Random(seed).choice(analysed.faults)
        if len(analysed.under(chosen).program.inputs) > MOST_INPUTS:
            continue
        few = replace(analysed, excluded=tuple(f for f in analysed.faults if f != chosen))
        try:
            table = check_faults(few, OPTIONS, lambda *_: None, pool, combine=False)
        except InputError:
            continue  # assumptions that contradict each other, hands that are never apart
        for row in table.rows:
            for each in (row, *row.ending):
                counts += compare_row(few, each)
            counts["differing"] += bool(row.differing)
    return counts


@pytest.mark.long
@pytest.mark.parametrize("seeds", [range(100, 106), nightly(range(100, 112))])
def test_the_table_says_of_each_course_what_visiting_every_state_says(
    seeds: range, tmp_path: Path
) -> None:
    with open_pool(OPTIONS) as pool:
        counts = compared_tables(seeds, tmp_path, pool)
    for course in FaultCourse:
        assert counts[f"{course.name} PROVED"] >= 1
        assert counts[f"{course.name} VIOLATED"] >= 1
    assert counts["differing"] >= 1
