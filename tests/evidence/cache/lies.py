"""Forged answers to the three questions of ``asking``, each wrong in its own way."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from typing import Any

Change = Callable[[dict[str, Any]], object]
PROVED, VIOLATED, OTHER = 0, 1, 2
NOTHING = json.dumps({"symbols": [], "negatives": []}) + "\n"


def clauses(text: str) -> Change:
    return lambda answer: answer["proof"].update(clauses=text)


def proof_in_place_of_a_run(answer: dict[str, Any]) -> object:
    return {"proof": {"clauses": NOTHING, "method": "proof"}, "effort": answer["effort"]}


def run_in_place_of_a_proof(answer: dict[str, Any]) -> object:
    run = {"steps": [[{"a": True}, 1]], "initial": {}, "method": "search by events"}
    return {"run": run, "effort": answer["effort"]}


def last_step(answer: dict[str, Any], **changed: object) -> None:
    answer["run"]["steps"][-1][0].update(changed)


LIES: dict[str, tuple[int, Change]] = {
    "no invariant": (PROVED, clauses(NOTHING)),
    "an invariant of a violated question": (VIOLATED, proof_in_place_of_a_run),
    "a run of a proved question": (PROVED, run_in_place_of_a_proof),
    "a run that ends early": (VIOLATED, lambda answer: answer["run"]["steps"].pop()),
    "a run without scans": (VIOLATED, lambda answer: answer["run"]["steps"].clear()),
    "a run that is bad earlier only": (
        VIOLATED,
        lambda answer: answer["run"]["steps"].append([{"a": True, "b": True}, 1]),
    ),
    "other inputs": (VIOLATED, lambda answer: last_step(answer, a=True)),
    "an input that is none": (VIOLATED, lambda answer: last_step(answer, nobody=True)),
    "a number for a switch": (VIOLATED, lambda answer: last_step(answer, b=0)),
    "another period": (VIOLATED, lambda answer: answer["run"]["steps"][-1].__setitem__(1, 2)),
    "no whole number of scans": (
        VIOLATED,
        lambda answer: answer["run"]["steps"][-1].__setitem__(1, 1.0),
    ),
    "a first state that is none": (VIOLATED, lambda answer: answer["run"]["initial"].update(n=3)),
    "a method that is no word": (PROVED, lambda answer: answer["proof"].update(method="\x1b[2J")),
    "a method of a run that is no word": (VIOLATED, lambda answer: answer["run"].update(method=1)),
    "a cost below nothing": (PROVED, lambda answer: answer.update(effort=-1.0)),
    "a cost beyond all": (PROVED, lambda answer: answer.update(effort=1e9)),
    "a cost that is no number": (VIOLATED, lambda answer: answer.update(effort=math.nan)),
    "neither proof nor run": (PROVED, lambda answer: answer.pop("proof") and None),
    "nothing at all": (PROVED, lambda _: []),
}
