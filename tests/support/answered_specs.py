"""Spec files named after what checking them gives, without a check; as a program, the command line
that answers so."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from pathlib import Path

from twohand.commands import main as cli
from twohand.commands.shared.session import Session
from twohand.evidence.verdict import Report
from twohand.specification.model.specification import Expectation
from twohand.text.diagnostic import Diagnostic, InputError

from tests.support.places import ROOT
from tests.support.samples.report_samples import proved, report, undecided, violated

Answer = Report | Exception | KeyboardInterrupt


ANSWERS: dict[str, Answer] = {
    "good": report(proved()),
    "bad": report(proved(), violated()),
    "meant": report(violated(Expectation.VIOLATED)),
    "open": report(proved(), undecided()),
    "empty": report(),
    "broken": InputError(Diagnostic("missing-word", "END_SPEC is missing", path="broken.spec")),
    "crash": ValueError("the engines contradict each other\nmore"),
    "stopped": KeyboardInterrupt(),
}


def answer(session: object, path: Path, shown: str) -> Iterator[Report]:
    found = ANSWERS[path.stem]
    if isinstance(found, BaseException):
        raise found
    yield found


COMMAND = [sys.executable, "-m", "tests.support.answered_specs"]


def surroundings(**others: str) -> dict[str, str]:
    """The environment in which ``COMMAND`` runs, from any folder."""
    return {**os.environ, "PYTHONPATH": str(ROOT), **others}


if __name__ == "__main__":
    Session.check = answer  # type: ignore[method-assign, assignment]
    cli.main()
