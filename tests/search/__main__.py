"""``python -m tests.search --minutes N``: every random check in turn, each with a new seed.

``python -m tests.search NAME SEED`` does one again. The exit code is 1 where something was found.
"""

from __future__ import annotations

import argparse
import sys
import time
import traceback
from itertools import cycle
from pathlib import Path
from random import SystemRandom
from tempfile import TemporaryDirectory

from tests.search.checks import CHECKS


def holds(name: str, seed: int) -> bool:
    """Whether a check finds nothing; what it finds is printed, with the way to find it again."""
    with TemporaryDirectory() as folder:
        try:
            CHECKS[name](seed, Path(folder))
        except Exception:  # whatever is raised is a find
            traceback.print_exc()
            print(f"found: python -m tests.search {name} {seed}", flush=True)
            return False
    return True


def search(minutes: float) -> int:
    """How many finds there are until the time is over; every check is done at least once."""
    random, end = SystemRandom(), time.monotonic() + 60 * minutes
    done = found = 0
    for name in cycle(CHECKS):
        if done >= len(CHECKS) and time.monotonic() > end:
            break
        found += not holds(name, random.randrange(10**6, 10**9))
        done += 1
    print(f"{done} checks with new seeds, {found} finds")
    return found


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.search", description=__doc__)
    parser.add_argument("name", nargs="?", choices=CHECKS, metavar="NAME", help=", ".join(CHECKS))
    parser.add_argument("seed", nargs="?", type=int, metavar="SEED")
    parser.add_argument("--minutes", type=float, default=10.0)
    options = parser.parse_args()
    if options.name is not None:
        if options.seed is None:
            parser.error("the seed is missing")
        sys.exit(0 if holds(options.name, options.seed) else 1)
    sys.exit(1 if search(options.minutes) else 0)


if __name__ == "__main__":
    main()
