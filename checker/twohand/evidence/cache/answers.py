"""Kept answers between the questions and the pool.

What is kept is checked in a worker, as an answer of the engine is: a proof from scratch against the
whole system, a run by running it in that system. What passes could have come from the engine, and
goes where that would have gone, so that every run is still executed and judged by itself. What does
not pass is dropped, and the engine is asked as if nothing had been kept.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from twohand.engine.workers.process import CUT_BY_TIME, Stopped
from twohand.evidence.cache.entry import answer_in, entry_bytes, read_entry
from twohand.evidence.cache.folder import CacheFolder
from twohand.evidence.cache.question import Plain, Recheckable, key_of, parts_of

Job = Callable[[], object]


class Use(Enum):
    """What the cache was good for in a question."""

    HELD = "rechecked, and held"
    NEW = "not there"
    DROPPED = "there, but it did not hold"
    NOT_KEPT = "of a kind that is always asked anew"


@dataclass(frozen=True)
class Dropped:
    """``why`` a kept answer is not believed; ``gone``: another process has removed it."""

    why: str
    gone: bool = False


@dataclass(frozen=True)
class Recalled:
    """A job: the kept answer to a question, Dropped where it does not hold."""

    question: Recheckable
    parts: Plain
    folder: CacheFolder

    def __call__(self) -> object:
        try:
            data = read_entry(self.folder.path(key_of(self.parts)))
            return self.question.rechecked(answer_in(data, self.parts))
        except FileNotFoundError:
            return Dropped("it is gone", gone=True)
        except MemoryError:
            raise
        except Exception as error:  # whoever wrote the entry may have written anything
            return Dropped(f"{type(error).__name__}: {error}")


class AnswerCache:
    """What a pool asks first (``twohand.engine.workers.pool.Keeper``)."""

    def __init__(self, folder: CacheFolder, megabytes: float) -> None:
        self.folder = folder
        self.uses: Counter[Use] = Counter()
        self.missed: list[Plain] = []
        """The parts of questions whose answer was not there."""
        self._megabytes = megabytes
        self._written = 0
        self._told: list[str] = []
        self._refused = False
        self._dropped_told = 0

    @staticmethod
    def key(job: Recheckable) -> str:
        """The name of the entry of a job's answer."""
        return key_of(parts_of(job))

    def recalled(self, job: Job) -> Job | None:
        """A job that gives the kept answer; None where there is none."""
        if not isinstance(job, Recheckable):
            self.uses[Use.NOT_KEPT] += 1
            return None
        parts = parts_of(job)
        if self.folder.has(key_of(parts)):
            return Recalled(job, parts, self.folder)
        self.uses[Use.NEW] += 1
        self.missed.append(parts)
        return None

    def holds(self, recalled: Job, result: object) -> bool:
        """Whether the result of a recalled answer is one; else the job is to be asked anew."""
        assert isinstance(recalled, Recalled)
        if not isinstance(result, Dropped | Stopped):
            self.uses[Use.HELD] += 1
            return True
        gone = isinstance(result, Dropped) and result.gone
        if gone or (isinstance(result, Stopped) and result.reason == CUT_BY_TIME):
            self.uses[Use.NEW] += 1
            return False
        self.uses[Use.DROPPED] += 1
        self.folder.remove(key_of(recalled.parts))
        return False

    def keep(self, job: Job, result: object) -> None:
        """Keeps what the engine answered, where that can be checked again."""
        if self._refused or not isinstance(job, Recheckable):
            return
        answer = job.kept(result)
        if answer is None:
            return
        parts = parts_of(job)
        data = entry_bytes(parts, answer)
        if data is None:
            return
        try:
            self.folder.write(key_of(parts), data)
            self._written += 1
        except OSError as error:
            self._refused = True
            reason = error.strerror or str(error)
            self._told.append(f"no answer can be kept in {self.folder.root}: {reason}")

    def close(self) -> None:
        """Lets old entries go where there are too many bytes."""
        if self._written:
            self.folder.keep_below(self._megabytes * 1e6)
            self._written = 0

    def told(self) -> list[str]:
        """What has to be said since it was asked last."""
        lines, self._told = self._told, []
        dropped = self.uses[Use.DROPPED] - self._dropped_told
        if dropped:
            self._dropped_told = self.uses[Use.DROPPED]
            what = "a kept answer" if dropped == 1 else f"{dropped} kept answers"
            lines.append(
                f"{what} in {self.folder.root} did not hold when rechecked: dropped, and asked anew"
            )
        return lines
