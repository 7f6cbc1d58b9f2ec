"""Small blocks, rewritten and changed: a comparison finds what enumeration finds."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from random import Random

from twohand.analyses.compare.check import compare
from twohand.analyses.compare.options import ComparisonOptions
from twohand.analyses.compare.question import resolve_comparison
from twohand.engine.workers.pool import Pool
from twohand.evidence.limits import Options
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.enumeration.checks_by_enumeration import compare as compare_with_enumeration
from tests.support.randomness.small_blocks import SmallBlock

OPTIONS = Options(effort=30.0, processes=1)
PAIR = re.compile(r"\(((?:NOT )?[a-z][\w.]*) (AND|OR) ((?:NOT )?[a-z][\w.]*)\)")


def rewritten(text: str) -> str:
    """The same logic otherwise: each innermost AND and OR by the other one."""

    def other(found: re.Match[str]) -> str:
        join = {"AND": "OR", "OR": "AND"}[found[2]]
        return f"(NOT ((NOT ({found[1]})) {join} NOT ({found[3]})))"

    return PAIR.sub(other, text)


def changed(text: str, random: Random) -> str:
    """Other logic, most of the time: one word is another one."""
    others = {"AND": "OR", "OR": "AND", "XOR": "OR", "T#1ms": "T#2ms", "T#2ms": "T#1ms"}
    places = list(re.finditer(r"\b(?:AND|OR|XOR|T#[12]ms)\b", text))
    if not places:
        return text
    place = random.choice(places)
    return text[: place.start()] + others[place[0]] + text[place.end() :]


def agreed(seeds: Iterable[int], pool: Pool) -> Counter[str]:
    """Small blocks, rewritten and changed; AssertionError where enumeration says otherwise."""
    counts: Counter[str] = Counter()
    for seed in seeds:
        random = Random(f"versions {seed}")
        text = SmallBlock(random).text()
        other = changed(text, random) if seed % 2 else rewritten(text)
        options = ComparisonOptions(scan=random.choice(("T#1ms", "T#2ms", "T#1ms..T#2ms")))
        first, second = (load_program([SourceText("a.st", each)]) for each in (text, other))
        found = compare(resolve_comparison(first, second, options), OPTIONS, pool=pool)
        kind = "changed" if seed % 2 else "rewritten"
        for outcome, count in compare_with_enumeration(found.report).items():
            counts[f"{kind} {outcome}"] += count
    return counts
