"""Readings that note which open ones a run asks for: a choice that nobody asks for makes no
difference to it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any, TypeVar

from twohand.scan.clocking import Readings

Answer = TypeVar("Answer")
_NAMES = frozenset(each.name for each in fields(Readings))


@dataclass(frozen=True)
class NotedReadings(Readings):
    """Definite readings; ``asked`` gets the name of each that is read."""

    asked: dict[str, None] = field(default_factory=dict, compare=False)

    def __getattribute__(self, name: str) -> Any:
        if name in _NAMES:
            object.__getattribute__(self, "asked")[name] = None
        return object.__getattribute__(self, name)

    @property
    def open(self) -> tuple[str, ...]:
        """None; the question is not about one of them."""
        return ()


def under_every_choice(
    readings: Readings, unasked: frozenset[str], run: Callable[[Readings], Answer]
) -> Iterator[tuple[Mapping[str, bool], Answer]]:
    """What ``run`` gives under each choice of the open readings that it tells apart, with the
    choices that it asked for; FALSE first. Those ``unasked`` are as good as never asked for."""
    waiting: list[dict[str, bool]] = [{}]
    while waiting:
        chosen = waiting.pop()
        definite = {name: chosen.get(name, False) for name in readings.open}
        values = {each: getattr(replace(readings, **definite), each) for each in _NAMES}
        noted = NotedReadings(**values)
        answer = run(noted)
        asked = [name for name in readings.open if name in noted.asked and name not in unasked]
        new = [name for name in asked if name not in chosen]
        others = [
            {**chosen, **dict.fromkeys(new[:number], False), name: True}
            for number, name in enumerate(new)
        ]
        waiting += others  # the last one differs in what comes last
        yield {name: definite[name] for name in asked}, answer
