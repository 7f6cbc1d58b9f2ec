"""``python -m tests.manual.gallery_shares``: audits specs of the gallery, for the manual's table.

Each row is written as it is counted (of the specs that are named, or of those that have no row).
``--check`` writes nothing and ends with 1 where a row is another one. What is counted depends on
no clock and no load, unless a question is cut after ten minutes.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Iterator
from dataclasses import astuple, dataclass

from twohand.analyses.audit.changes.subject import load_changeable_specs
from twohand.analyses.audit.check import audit
from twohand.analyses.audit.results import Audit, Noticing
from twohand.analyses.audit.words import difference_sentence
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options, open_pool
from twohand.text.diagnostic import InputError

from tests.support.places import GALLERY, PACKAGE

PAGE = PACKAGE / "manual" / "audit.md"
HEADING = (
    "| spec | noticed | not noticed | undecided | the same | finding |\n|---|---|---|---|---|---|\n"
)


@dataclass(frozen=True)
class Share:
    """A row: counts of the changes of a spec's block, by what became of them."""

    spec: str
    noticed: int
    not_noticed: int
    undecided: int
    same: int
    finding: int

    @property
    def line(self) -> str:
        return f"| `{self.spec}` | {' | '.join(map(str, astuple(self)[1:]))} |\n"


def share_of(name: str, found: Audit) -> Share:
    counts = [
        len(found.of(*standings))
        for standings in (
            (Noticing.NOTICED,),
            (Noticing.UNNOTICED, Noticing.UNSURE),
            (Noticing.OPEN,),
            (Noticing.SAME,),
            (Noticing.FINDING,),
        )
    ]
    return Share(name, *counts)


def counted(name: str, options: Options, pool: Pool) -> Share:
    """InputError for a spec that cannot be audited. What is not noticed is printed."""
    (subject,) = load_changeable_specs(GALLERY / f"{name}.spec")
    found = audit(subject, options, lambda *_: None, pool)
    for row in (*found.unnoticed, *found.of(Noticing.UNSURE, Noticing.OPEN)):
        place = f"{row.change.span.line}:{row.change.span.column}"
        print(f"  {place} {row.change.words}: {difference_sentence(row)}", flush=True)
    return share_of(name, found)


def stored() -> dict[str, Share]:
    """The rows of the manual."""
    table = PAGE.read_text(encoding="utf-8").partition(HEADING)[2]
    found = {}
    for line in table.splitlines():
        if not line.startswith("| `"):
            break
        name, *counts = (cell.strip(" `") for cell in line.strip("|").split("|"))
        found[name] = Share(name, *map(int, counts))
    return found


def row_holds(seed: int, pool: Pool) -> None:
    """AssertionError where a row of the manual, chosen by the seed, is another one."""
    rows = sorted(stored().values(), key=lambda each: each.spec)
    row = rows[seed % len(rows)]
    assert counted(row.spec, Options(processes=1), pool) == row


def store(share: Share) -> None:
    """The row, in the order of the names."""
    rows = stored() | {share.spec: share}
    before, heading, behind = PAGE.read_text(encoding="utf-8").partition(HEADING)
    rest = behind.partition("\n\n")[2]
    table = "".join(rows[name].line for name in sorted(rows))
    PAGE.write_text(f"{before}{heading}{table}\n{rest}", encoding="utf-8")


def _counted(names: Iterable[str]) -> Iterator[Share]:
    options = Options()
    for name in names:
        with open_pool(options) as pool:
            try:
                yield counted(name, options, pool)
            except InputError as error:
                print(f"{name}: {error.diagnostics[0].message}", flush=True)


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.manual.gallery_shares")
    parser.add_argument("names", nargs="*", metavar="SPEC")
    parser.add_argument("--check", action="store_true")
    options = parser.parse_args()
    every = sorted(path.stem for path in GALLERY.glob("*.spec"))
    names = options.names or [each for each in every if options.check == (each in stored())]
    wrong = 0
    for share in _counted(names):
        print(share.line, end="", flush=True)
        if not options.check:
            store(share)
        elif share != stored().get(share.spec):
            print("  the manual has another row", flush=True)
            wrong += 1
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
