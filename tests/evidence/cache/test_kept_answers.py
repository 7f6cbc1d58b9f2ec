"""A kept answer is the engine's own, or it is none: nothing that the folder has is believed."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from twohand.analyses.measure.query import Extreme
from twohand.engine.system.contract import Unknown, Violated
from twohand.engine.workers.process import CUT_BY_TIME, Stopped
from twohand.evidence.cache.answers import Dropped, Use
from twohand.evidence.proofs.certificate import Recheck
from twohand.evidence.proofs.query import Certified, QueryResult

from tests.evidence.cache.asking import (
    EFFORT,
    Asked,
    answered,
    held,
    longest_on_time,
    without_times,
)
from tests.evidence.cache.lies import LIES, NOTHING, OTHER, PROVED, VIOLATED, clauses


@pytest.fixture
def asked(once: Asked, tmp_path: Path) -> Asked:
    """With a folder of its own."""
    return Asked(Path(shutil.copytree(once.root, tmp_path / "kept")), once.questions, once.fresh)


def test_the_questions_are_proved_and_violated(asked: Asked) -> None:
    kinds = [type(each.answer) for each in asked.fresh]
    assert kinds == [Certified, Violated, Certified]


def test_a_kept_answer_is_the_one_that_was_found(asked: Asked) -> None:
    cache = asked.cache
    again = [without_times(answered(cache, job)) for job in asked.questions]
    assert again == asked.fresh, "what it took as well: ledgers go on alike"
    assert held(cache) == (3, 0)
    assert cache.told() == []


def test_what_is_undecided_or_not_accepted_is_never_kept(asked: Asked) -> None:
    job = asked.questions[PROVED]
    proof = asked.fresh[PROVED].answer
    assert isinstance(proof, Certified)
    refused = Certified(proof.clauses, proof.count, proof.method, Recheck("a checker", "a scan"))
    for answer in (Unknown("the limit of effort was reached", 3), refused):
        assert job.kept(QueryResult(answer, effort=1.0)) is None
    for stopped in (Stopped("the memory limit was reached"), Stopped(CUT_BY_TIME)):
        assert job.kept(stopped) is None
    assert job.kept(QueryResult(proof, effort=1.0)) is not None


SOON = ("no invariant", "an invariant of a violated question", "a run of a proved question")


@pytest.mark.parametrize(
    "lie", [each if each in SOON else pytest.param(each, marks=pytest.mark.long) for each in LIES]
)
def test_a_lie_is_dropped_and_the_engine_asked(asked: Asked, lie: str) -> None:
    number, change = LIES[lie]
    asked.forge(number, change)
    cache = asked.cache
    answer = answered(cache, asked.questions[number])
    assert held(cache) == (0, 1)
    assert without_times(answer) == asked.fresh[number]
    assert [line.startswith("a kept answer in ") for line in cache.told()] == [True]
    assert cache.told() == [], "it is said once"
    assert without_times(answered(cache, asked.questions[number])) == asked.fresh[number]
    assert held(cache) == (1, 1), "the right answer has taken its place"


def test_a_command_in_place_of_clauses_is_never_run(asked: Asked, tmp_path: Path) -> None:
    """A solver's language can write files."""
    target = tmp_path / "written"
    proof = asked.fresh[PROVED].answer
    assert isinstance(proof, Certified)
    header, _, rest = proof.clauses.partition("\n")
    begin = "(set-info :status unknown)\n"
    assert begin in rest
    for command in (
        f'(set-option :diagnostic-output-channel "{target}")',
        f"(set-option :regular-output-channel |{target}|)",
        "(set-option :timeout 1)",
        "(reset)",
        "( reset)",
        "(eval true)",
    ):
        asked.forge(PROVED, clauses(f"{header}\n{rest.replace(begin, begin + command)}"))
        cache = asked.cache
        recalled = cache.recalled(asked.questions[PROVED])
        assert recalled is not None
        assert isinstance(recalled(), Dropped), command
    assert not target.exists()


@pytest.mark.long
def test_an_answer_of_another_question_is_none(asked: Asked) -> None:
    for wrong, right in ((OTHER, PROVED), (VIOLATED, PROVED), (PROVED, VIOLATED)):
        shutil.copy(asked.entry(wrong), asked.entry(right))
        cache = asked.cache
        assert without_times(answered(cache, asked.questions[right])) == asked.fresh[right]
        assert held(cache) == (0, 1)


def test_an_answer_that_had_another_effort_is_none(asked: Asked) -> None:
    """Without the cache, less of it might have left the question undecided."""
    right = replace(asked.questions[PROVED], effort=EFFORT / 2)
    cache = asked.cache
    shutil.copy(asked.entry(PROVED), cache.folder.path(cache.key(right)))
    assert isinstance(answered(cache, right).answer, Certified)
    assert held(cache) == (0, 1)


def test_what_is_no_file_is_no_answer(asked: Asked) -> None:
    path = asked.entry(PROVED)
    there = path.with_name("elsewhere")
    path.rename(there)
    path.symlink_to(there)
    cache = asked.cache
    assert without_times(answered(cache, asked.questions[PROVED])) == asked.fresh[PROVED]
    assert held(cache) == (0, 1)


def test_an_entry_that_another_process_removed_is_no_damage(asked: Asked) -> None:
    cache = asked.cache
    recalled = cache.recalled(asked.questions[PROVED])
    assert recalled is not None
    asked.entry(PROVED).unlink()
    assert not cache.holds(recalled, recalled())
    assert cache.uses[Use.DROPPED] == 0
    assert cache.told() == []


def with_changed_bytes(asked: Asked, number: int, sample: int) -> None:
    """No change of a byte is another answer, and each one is noticed."""
    path = asked.entry(number)
    right, random = path.read_bytes(), Random(7)
    places = random.sample(range(len(right)), min(sample, len(right)))
    for place in places:
        changed = bytearray(right)
        changed[place] ^= random.randrange(1, 256)
        path.write_bytes(changed)
        cache = asked.cache
        recalled = cache.recalled(asked.questions[number])
        assert recalled is not None
        assert isinstance(recalled(), Dropped), place


@pytest.mark.long
@pytest.mark.parametrize("number", [PROVED, VIOLATED])
def test_each_changed_byte_of_an_entry_is_noticed(asked: Asked, number: int) -> None:
    with_changed_bytes(asked, number, 500)


@pytest.mark.long
@pytest.mark.parametrize("number", [PROVED, VIOLATED])
def test_a_byte_changed_by_who_knows_the_hash_gives_no_other_answer(
    asked: Asked, number: int
) -> None:
    """The hash tells damage; that no answer becomes another one does not hang on it."""
    path = asked.entry(number)
    fresh, random = asked.fresh[number], Random(11)
    line = path.read_bytes().partition(b"\n")[0]
    begin = line.index(b'"answer"')
    tried = 0
    while tried < 30:
        place = random.randrange(begin, line.index(b'"question"'))
        changed = line[:place] + bytes([random.choice(b'01aZ" ,[]{}-.')]) + line[place + 1 :]
        try:
            answer = json.loads(changed)["answer"]
        except (ValueError, KeyError):
            continue
        tried += 1
        asked.forge(number, lambda _, answer=answer: answer)  # type: ignore[misc]
        recalled = asked.cache.recalled(asked.questions[number])
        assert recalled is not None
        result = recalled()
        if not isinstance(result, Dropped):
            assert isinstance(result, QueryResult)
            assert type(result.answer) is type(fresh.answer)
        path.write_bytes(line)


@pytest.mark.long
def test_an_exact_extreme_is_kept_and_nothing_that_lies_about_it(tmp_path: Path) -> None:
    job = longest_on_time(tmp_path)
    found = job()
    kept = job.kept(found)
    assert kept is not None
    assert job.rechecked(kept) == found
    for value in (found.value or 0) - 1, (found.value or 0) + 1, None:
        with pytest.raises(Exception, match=r"none of this system|a scan leaves it|outside"):
            job.rechecked({**kept, "value": value})


def test_an_extreme_that_is_not_exact_is_never_kept(tmp_path: Path) -> None:
    job = longest_on_time(tmp_path)
    run = Violated((), {}, "search")
    proof = Certified(NOTHING, 0, "proof", Recheck("a checker"))
    refused = Certified(NOTHING, 0, "proof", Recheck("a checker", "a scan leaves it"))
    open_ones = [
        Extreme(30, run),
        Extreme(30, run, proof, 40),
        Extreme(None, None, proof, 40),
        Extreme(30, None, proof, 30),
        Extreme(30, run, refused, 30),
        Extreme(30, run, proof, 30, reason="the limit of effort was reached"),
        Extreme(30, run, proof, 30, without=run),
    ]
    assert [job.kept(each) for each in open_ones] == [None] * len(open_ones)
    assert job.kept(Extreme(30, run, proof, 30)) is not None
    assert job.kept(Extreme(None, None, proof, None)) is not None
