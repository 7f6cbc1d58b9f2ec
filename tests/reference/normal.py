"""What two runs of one program may differ in, taken out of its answers.

Stored answers are without the times that were spent, the versions of solvers and the place of the
temporary folder; all else is kept to the letter. What may differ with the versions of the solvers,
or after a change of the engine: the invariant found (the number of its clauses, the clauses of
``--details`` and of documents), what it was found by, and what accepted it; and which of several
runs shows a violation. ``relied`` takes these out as well: what is left is what a user relies on.
It does not look
at the breaking of lines either, which depends on the words taken out.
"""

from __future__ import annotations

import json
import re
from typing import Any

TIME = r"(?:\d+\s+min\s+\d\d|\d+\.\d\d|\d+)\s+s"
SPENT = (
    (re.compile(rf"\s+\({TIME}\)$", re.MULTILINE), " (TIME)"),
    (re.compile(rf"^(\d+ .*), {TIME}$", re.MULTILINE), r"\1, TIME"),
    (re.compile(rf"^(\S.*  (?:yes|NO)) +{TIME}$", re.MULTILINE), r"\1  TIME"),
)
"""At the end of a sentence, of a run's last line and of a row of the gallery. A line break before
it is that of wrapping, which depends on the digits."""
MADE = re.compile(r'^  "made": \{\n(?:    .*\n)*  \}$', re.MULTILINE)
"""Of a document: who made it, when, and how long it took."""
VERSION = re.compile(r"\b(cvc5|z3)(\s+)\d+(?:\.\d+)+")

CERTIFICATE = re.compile(
    r"\s+(?:needs\s+no\s+invariant\s+\([^)]*\)|invariant\s+of\s+\d+\s+clauses?\s+found\s+by\s[^;:]*?)"
    r",\s+accepted\s+by\s+(?:cvc5|z3)\s+VERSION(?:,\s+fresh\s+context)?"
)
CLAUSES = re.compile(r"^( *)invariant, in every scan:\n(?:\1 +.*\n)*", re.MULTILINE)
COLOUR = re.compile(r"\x1b\[[\d;]*m")
TIME_OF_SCAN = re.compile(r"\bat [\d.]+ m?s \((scan \d+)\)")
RUN = re.compile(r"\bat [\d.]+ m?s \(scan \d+\)[^;]*; asked:")
PICTURE = re.compile(
    r"^\S+: [A-Z]{5,}\n(?:.*\n)+?(?=\S+: [A-Z]{5,}\n|What this |--- |\d+ )", re.MULTILINE
)
"""A run in full, up to the next one or the end of the report."""
RUNS = ("run", "witness", "seen", "scans", "cause", "causes")
PROOF = ("method", "checker", "clauses")


def stored(text: str) -> str:
    """An output or a document without times and versions."""
    for pattern, instead in SPENT:
        text = pattern.sub(instead, text)
    text = MADE.sub('  "made": "MADE"', text)
    return VERSION.sub(r"\1\2VERSION", text)


def relied(text: str) -> str:
    """The same text without what depends on how an answer was found."""
    text = COLOUR.sub("", text)
    text = CERTIFICATE.sub(" CERTIFICATE", text)
    text = CLAUSES.sub(r"\1invariant, in every scan: CLAUSES\n", text)
    text = re.sub(r"^\{\n(?:.*\n)*?\}$", _without_proofs, text, flags=re.MULTILINE)
    text = PICTURE.sub("RUN IN FULL\n", text)
    text = RUN.sub("RUN; asked:", " ".join(text.split()))
    text = TIME_OF_SCAN.sub(r"at TIME (\1)", text)
    return re.sub(r"(?<=[;.:)}],) |(?<=[;.:)}]) ", "\n", text)


def _without_proofs(document: re.Match[str]) -> str:
    try:
        return json.dumps(_less(json.loads(document[0])), indent=2, ensure_ascii=False)
    except json.JSONDecodeError:
        return document[0]


def _less(data: Any) -> Any:
    if isinstance(data, list):
        return [_less(item) for item in data]
    if not isinstance(data, dict):
        return data
    if set(PROOF) <= set(data):
        return "PROOF"
    return {name: "RUN" if name in RUNS else _less(item) for name, item in data.items()}
