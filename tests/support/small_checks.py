"""A block and its spec, written for one test and checked."""

from __future__ import annotations

from pathlib import Path

from twohand.analyses.check.check import check
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options
from twohand.evidence.verdict import Report
from twohand.specification.load import load_specification

OPTIONS = Options(effort=20.0, processes=1)


def report_of(
    folder: Path, pool: Pool, source: str, statements: str, options: Options = OPTIONS
) -> Report:
    """The report on the last block of ``source``, with the ``statements`` of a spec."""
    (folder / "lids.st").write_text(source, encoding="utf-8")
    text = f"SPEC Lids SOURCE 'lids.st'; BLOCK Lids; {statements} END_SPEC"
    (folder / "lids.spec").write_text(text, encoding="utf-8")
    return check(load_specification(folder / "lids.spec"), options, pool=pool)
