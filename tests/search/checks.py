"""Every random check by its name; each takes a seed and an empty folder, and raises what it
finds."""

from __future__ import annotations

import atexit
from collections.abc import Callable
from functools import cache
from pathlib import Path
from random import Random

from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options, open_pool
from twohand.text.diagnostic import InputError

from tests.fuzz import check_derived
from tests.manual.gallery_shares import row_holds
from tests.search import (
    audits,
    diagrams,
    engine,
    figures,
    gallery_mendings,
    gallery_sheets,
    inspections,
    killed_runs,
    mendings,
    monitors,
    scenarios,
    verdicts,
    versions,
    waivers,
)
from tests.search.arithmetic import check_agreement
from tests.search.damaged_diagrams import damaged_file, refused
from tests.search.damaged_inputs import check_damaged
from tests.search.drafts import draft_is_a_spec
from tests.search.marks import marks_change_nothing
from tests.search.reals import check_reals, check_uncomputed
from tests.support.meaning.side_by_side import run_block
from tests.support.randomness.blocks_with_a_past import past_case
from tests.support.randomness.clock_readings import clocked_case
from tests.support.randomness.running_counters import running_case
from tests.support.randomness.small_blocks import small_case
from tests.support.randomness.written_outside import drawn_with_outside

Check = Callable[[int, Path], object]


@cache
def workers() -> Pool:
    """One pool for all checks that need one; it ends with the program."""
    pool = open_pool(Options(processes=1)).__enter__()
    atexit.register(pool.close)
    return pool


def formula(seed: int, _: Path) -> None:
    random, clocking = monitors.chosen(seed)
    monitors.check_formula(random, monitors.ENCODINGS[clocking], traces=5)
    monitors.check_property(random, monitors.ENCODINGS[clocking], traces=5)
    monitors.check_assumption(random, monitors.ENCODINGS[clocking], traces=5)


def diagram(seed: int, _: Path) -> None:
    for kind in ("LD", "FBD"):
        code = diagrams.compared(seed, kind)
        assert code in {"same", "open-evaluation-order", "wire-without-type"}, code


def inspection(seed: int, _: Path) -> None:
    inspections.compare_block(seed, workers())


def version(seed: int, _: Path) -> None:
    try:
        versions.agreed([seed], workers())
    except InputError as error:  # a constant may leave its type
        if {each.code for each in error.diagnostics} - {"value-out-of-range"}:
            raise


CHECKS: dict[str, Check] = {
    "waivers": lambda seed, _: waivers.fitting(seed),
    "killed-runs": killed_runs.killed,
    "both-rooms": lambda seed, _: run_block(seed),
    "both-rooms-with-power-cycles": lambda seed, _: run_block(seed, power=True),
    "both-rooms-with-a-clock": lambda seed, _: run_block(seed, seed % 2 == 0, clocked=True),
    "both-rooms-with-reals": lambda seed, _: run_block(seed, seed % 2 == 0, measured=True),
    "reals": lambda seed, _: check_reals(seed),
    "uncomputed-reals": lambda seed, _: check_uncomputed(seed),
    "formulas": formula,
    "arithmetic": lambda seed, folder: check_agreement(folder, seed, 40),
    "engine": lambda seed, _: engine.compare(small_case(seed, False), True),
    "engine-with-power-cycles": lambda seed, _: engine.compare(small_case(seed, True), True),
    "engine-with-a-past": lambda seed, _: engine.compare(past_case(seed), True),
    "engine-with-a-clock": lambda seed, _: engine.compare(clocked_case(seed, seed % 3 == 0), True),
    "engine-with-a-running-counter": lambda seed, _: engine.compare(
        running_case(seed, seed % 3 == 0), True
    ),
    "diagrams": diagram,
    "damaged-diagrams": lambda seed, _: refused(damaged_file(seed)),
    "damaged-inputs": check_damaged,
    "grammar": lambda seed, _: check_derived(Random(seed)),
    "verdicts": lambda seed, folder: verdicts.compared([seed], folder, workers()),
    "verdicts-with-bounce": lambda seed, folder: verdicts.compared([seed], folder, workers(), True),
    "verdicts-with-outside": lambda seed, folder: verdicts.compared(
        [seed], folder, workers(), draw=drawn_with_outside
    ),
    "audits": lambda seed, folder: audits.compared_specs([seed], folder, workers()),
    "kept-behaviour": lambda seed, folder: mendings.kept_compared([seed], folder, workers()),
    "gallery-mendings": lambda seed, folder: gallery_mendings.mended_at(seed, folder, workers()),
    "gallery-sheets": gallery_sheets.played_sheets,
    "gallery-shares": lambda seed, _: row_holds(seed, workers()),
    "figures": lambda seed, folder: figures.compared(folder, range(seed, seed + 1)),
    "inspections": inspection,
    "drafts": lambda seed, _: draft_is_a_spec(seed),
    "marks": lambda seed, _: marks_change_nothing(seed),
    "versions": version,
    "scenarios": scenarios.played_as_defined,
    "scenarios-with-bounce": lambda seed, folder: scenarios.played_as_defined(seed, folder, True),
    "kept-runs": scenarios.written_and_played,
    "kept-runs-with-bounce": lambda seed, folder: scenarios.written_and_played(seed, folder, True),
    "kept-runs-with-outside": lambda seed, folder: scenarios.written_and_played(
        seed, folder, draw=drawn_with_outside
    ),
}
