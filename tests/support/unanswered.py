"""Searches whose time runs out before they answer."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from twohand.engine.system.contract import Unknown
from twohand.evidence.proofs.dispatcher import Dispatcher, Then
from twohand.evidence.proofs.query import Query, QueryResult

NO_ANSWER = QueryResult(Unknown("no time"), seconds=0.0)


def leave_unanswered(
    monkeypatch: pytest.MonkeyPatch, late: Callable[[], bool] = lambda: True
) -> None:
    """A search has no answer where ``late``, which is asked once for each, says so."""
    ask = Dispatcher._ask

    def answer(desk: Dispatcher, name: str, question: Query, then: Then) -> None:
        if late():
            then(NO_ANSWER)
        else:
            ask(desk, name, question, then)

    monkeypatch.setattr(Dispatcher, "_ask", answer)
