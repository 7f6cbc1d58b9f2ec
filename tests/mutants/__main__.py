"""``python -m tests.mutants``: changes the code that decides, place by place, in a copy of the
checkout, and prints the changes that no test notices by a failing assertion (exit code 1)."""

from __future__ import annotations

import argparse
import os
import re
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from queue import Queue

from tests.mutants.mutant import Mutant
from tests.mutants.rooms import MUTANTS
from tests.mutants.running import Copy, Found, Result
from tests.mutants.strict import PASSED


def unfit(mutants: Sequence[Mutant], copy: Copy) -> list[str]:
    """The named tests that do not pass as the code is, not even once more by themselves."""
    named = list(dict.fromkeys(test for mutant in mutants for test in mutant.tests))
    outcomes = copy.outcomes(named, to_the_end=True) or {}
    failed = _not_passed(outcomes)
    if failed:
        again = [test.removeprefix("tests/") for test in failed]
        failed = _not_passed(copy.outcomes(again, to_the_end=True) or outcomes)
    ran = [test.removeprefix("tests/") for test in outcomes]
    absent = [name for name in named if not any(_within(test, name) for test in ran)]
    return [*failed, *(f"{name} (nothing ran)" for name in absent)]


def _not_passed(outcomes: Mapping[str, str]) -> list[str]:
    return [test for test, outcome in outcomes.items() if outcome != PASSED]


def _within(test: str, name: str) -> bool:
    return test == name or test.startswith((f"{name}::", f"{name}[", f"{name}/"))


def tried(mutants: Sequence[Mutant], copies: Sequence[Copy]) -> list[Result]:
    """Each in whichever copy is free."""
    free: Queue[Copy] = Queue()
    for copy in copies:
        free.put(copy)

    def one(mutant: Mutant) -> Result:
        copy = free.get()
        try:
            result = copy.tried(mutant)
        finally:
            free.put(copy)
        by = f" by {result.by}" if result.by else ""
        print(f"{result.seconds:5.1f} s  {mutant.identifier}: {result.found.value}{by}", flush=True)
        return result

    with ThreadPoolExecutor(len(copies)) as threads:
        return list(threads.map(one, mutants))


def total(results: Sequence[Result], equivalent: Sequence[Mutant], seconds: float) -> int:
    """Prints what is left; the exit code."""
    survivors = [each for each in results if each.found is not Found.FOUND]
    rooms = Counter(each.mutant.room for each in results)
    print(f"\n{len(results)} changes ({', '.join(f'{n} {r}' for r, n in rooms.items())})", end="")
    times = os.times()
    spent = times.children_user + times.children_system
    print(f", {len(survivors)} not found, {seconds:.0f} s (CPU: {spent:.0f} s)")
    for mutant in equivalent:
        print(f"equivalent: {mutant.identifier}: {mutant.equivalent}")
    for each in survivors:
        print(f"NOT FOUND: {each.mutant.identifier}: {each.found.value}")
    return 1 if survivors else 0


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("--only", metavar="PATTERN", default="", help="what the name has in it")
    parser.add_argument("--list", action="store_true", help="names only")
    parser.add_argument("--jobs", type=int, default=2, metavar="N")
    options = parser.parse_args()
    chosen = [m for m in MUTANTS if re.search(options.only, f"{m.room} {m.identifier}")]
    if options.list:
        print("\n".join(f"{mutant.room}  {mutant.identifier}" for mutant in chosen))
        return 0
    if not chosen:
        parser.error(f"no change has '{options.only}' in its name")
    began = time.monotonic()
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        copies = [Copy(Path(folder) / str(number)) for number in range(max(1, options.jobs))]
        equivalent = [mutant for mutant in chosen if mutant.equivalent]
        changes = [mutant for mutant in chosen if not mutant.equivalent]
        problems = unfit(changes, copies[0])
        if problems or not changes:
            print("\n".join([copies[0].output, "these tests do not pass unchanged:", *problems]))
            return 2
        results = tried(changes, copies)
    return total(results, equivalent, time.monotonic() - began)


if __name__ == "__main__":
    sys.exit(main())
