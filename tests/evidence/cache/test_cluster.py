"""Whatever workers elsewhere do, each question comes back: as a claim, or to be asked here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import pytest
from twohand.commands.main import run
from twohand.engine.workers.process import CUT_BY_TIME, Stopped
from twohand.evidence.cache import cluster
from twohand.evidence.cache.answers import Dropped
from twohand.evidence.cache.cluster import Cluster
from twohand.evidence.cache.tasks import Claimed

from tests.evidence.cache.asking import Keepable


@dataclass
class Future:
    """Done at once with ``told``; an exception is raised, and what is of Never is never done."""

    told: object
    cancelled: bool = False

    def add_done_callback(self, then: Callable[[Future], None]) -> None:
        if self.told is not Never:
            then(self)

    def result(self, timeout: float) -> object:
        if isinstance(self.told, BaseException):
            raise self.told
        return self.told

    def cancel(self) -> None:
        self.cancelled = True


class Never:
    pass


@dataclass
class Client:
    """A client of a scheduler whose workers answer these, one after the other."""

    answers: list[object]
    status: str = "running"
    futures: list[Future] = field(default_factory=list)

    def submit(self, work: object, task: str, pure: bool) -> Future:
        if self.status != "running":
            raise OSError("closed")
        self.futures.append(Future(self.answers[len(self.futures)]))
        return self.futures[-1]


QUESTION = Keepable(1)


def asked(*answers: object) -> tuple[Client, Cluster]:
    client = Client(list(answers))
    found = Cluster(client, "tcp://there:1", len(answers))
    for ticket in range(len(answers)):
        assert found.takes(ticket, QUESTION)
    return client, found


def test_a_text_is_a_claim_and_all_else_is_asked_here() -> None:
    _, found = asked('{"value": 1}', "null", None, b"{}", 7, RuntimeError("x"), KeyboardInterrupt())
    assert found.signal.poll(), "whoever waits is woken"
    first, *others = found.came(idle=False)
    assert first == (0, Claimed(QUESTION, '{"value": 1}'))
    assert others == [(ticket, None) for ticket in range(1, 7)]
    assert not found.signal.poll()
    assert found.came(idle=True) == []


def test_what_does_not_hold_is_said_once_and_what_was_cut_is_no_lie() -> None:
    _, found = asked()
    assert found.holds(1)
    assert not found.holds(Stopped(CUT_BY_TIME))
    assert found.told() == []
    assert not found.holds(Dropped("x"))
    (line,) = found.told()
    assert line.startswith("an answer of workers at tcp://there:1 did not hold")
    assert found.told() == []


def test_what_takes_long_is_given_back_one_by_one_where_somebody_is_idle(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    client, found = asked(Never, Never)
    assert found.came(idle=True) == []
    monkeypatch.setattr(cluster, "PATIENCE", 0.0)
    assert found.came(idle=False) == []
    assert found.came(idle=True) == [(0, None)]
    assert found.came(idle=True) == [(1, None)]
    assert all(each.cancelled for each in client.futures)


def test_where_the_scheduler_is_gone_all_is_asked_here_and_that_is_said_once() -> None:
    client, found = asked(Never, Never)
    client.status = "closed"
    assert found.came(idle=False) == [(0, None), (1, None)]
    assert not found.takes(2, QUESTION)
    assert found.told() == ["the scheduler at tcp://there:1 is gone: all is asked here"]
    found.came(idle=False)
    assert found.told() == []


def test_no_more_is_handed_out_than_workers_have_room_for_and_nothing_that_is_no_question() -> None:
    client = Client([Never] * 9)
    found = Cluster(client, "tcp://there:1", 2)
    assert not found.takes(1, lambda: 1)
    assert [found.takes(ticket, QUESTION) for ticket in range(6)] == [True] * 4 + [False] * 2


@pytest.mark.parametrize("address", ["nowhere", "", "a b:1", "tcp://there", "http://there:1"])
def test_what_is_no_address_is_an_error(address: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", "gone.spec", "--scheduler", address]) == 2
    assert "[no-scheduler]" in capsys.readouterr().err
