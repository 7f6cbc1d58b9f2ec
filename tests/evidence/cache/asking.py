"""Questions about a small block, asked with a cache as the pool asks them, in this process."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from twohand.analyses.measure.figures import FigureKind, figures_of
from twohand.analyses.measure.query import FindExtreme
from twohand.engine.jobs import Problem
from twohand.evidence.cache.answers import AnswerCache, Use
from twohand.evidence.cache.folder import CacheFolder
from twohand.evidence.encoding import Encoding
from twohand.evidence.proofs.query import Query, QueryResult

from tests.support.samples.check_samples import logic, specification
from tests.support.samples.measured_blocks import FIXED, HANDS, block

LATCH = logic(
    "IF b THEN n := 0; ELSIF a AND n < 3 THEN n := n + 1; END_IF; q := n > 1;", more="n : SINT;"
)
ASKED = "PROPERTY held : q -> once(a); PROPERTY wrong : q -> a; PROPERTY not_now : b -> NOT q;"
EFFORT = 20.0
TEXT = Problem("a text")


@dataclass
class Asked:
    """``fresh`` are the engine's own answers to the questions."""

    root: Path
    questions: list[Query]
    fresh: list[QueryResult]

    @property
    def cache(self) -> AnswerCache:
        return AnswerCache(CacheFolder(self.root), 10.0)

    def entry(self, number: int) -> Path:
        """The file of the answer to a question."""
        cache = self.cache
        recalled = cache.recalled(self.questions[number])
        assert recalled is not None
        return cache.folder.path(cache.key(self.questions[number]))

    def forge(self, number: int, change: Callable[[dict[str, Any]], object]) -> None:
        """The entry with its answer changed, and with the right hash."""
        path = self.entry(number)
        whole = json.loads(path.read_bytes().partition(b"\n")[0])
        changed = change(whole["answer"])
        whole["answer"] = whole["answer"] if changed is None else changed
        line = json.dumps(whole, sort_keys=True).encode()
        path.write_bytes(line + b"\n" + hashlib.sha256(line).hexdigest().encode() + b"\n")


def answered(cache: AnswerCache, job: Any) -> Any:
    """The answer with the cache, as the pool asks for it."""
    recalled = cache.recalled(job)
    if recalled is not None:
        result = recalled()
        if cache.holds(recalled, result):
            return result
    result = job()
    cache.keep(job, result)
    return result


def without_times(result: QueryResult) -> QueryResult:
    return replace(result, seconds=0.0, spent=False)


def asked_once(folder: Path) -> Asked:
    """The block's three questions, asked with an empty cache: proved, violated, proved."""
    questions = Encoding(specification(folder, LATCH, ASKED))
    numbers = [questions.bad(each.property) for each in questions.specification.requirements]
    problem = questions.problem()
    jobs = [Query(problem, number, EFFORT) for number in numbers]
    found = Asked(folder / "kept", jobs, [])
    found.fresh = [without_times(answered(found.cache, job)) for job in jobs]
    return found


def held(cache: AnswerCache) -> tuple[int, int]:
    """How many kept answers held, and how many were dropped."""
    return cache.uses[Use.HELD], cache.uses[Use.DROPPED]


@dataclass(frozen=True)
class Keepable:
    """A job of which everything can be kept."""

    value: int
    problem: Problem = TEXT

    def __call__(self) -> int:
        return self.value

    def kept(self, result: object) -> dict[str, Any]:
        return {"value": result}

    def rechecked(self, kept: dict[str, Any]) -> object:
        if kept["value"] != self.value:
            raise ValueError(kept)
        return self.value


def longest_on_time(folder: Path) -> FindExtreme:
    """The question how long a pulse lasts at most."""
    text = block("pulse(IN := left AND right, PT := T#300ms); stroke := pulse.Q;", "pulse : TP;")
    questions = Encoding(specification(folder, text, f"{HANDS}{FIXED}"))
    figures = figures_of(questions.specification)
    (figure,) = (each for each in figures if each.kind is FigureKind.ON_TIME)
    first = questions.quantity(figure.time)
    return FindExtreme(questions.problem(), first, least=False, in_scans=False, effort=60.0)
