"""``python -m tests.fuzz [PROGRAMS] [SEED]``: programs from the grammar's own rules, broken ones
made of them, and random blocks whose two meanings are compared.

Nothing may crash; what the rules derive may not have a syntax error; a broken text is refused with
a place. What has a meaning has the same one as executor and as transition system.
"""

from __future__ import annotations

import sys
import time
from collections import defaultdict
from collections.abc import Callable
from functools import cache
from random import Random

from lark.grammar import Rule, Symbol
from twohand.syntax.parsing.parse import _structured_text_parser, parse_source
from twohand.text.diagnostic import Diagnostic, InputError
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.meaning.side_by_side import run_block

DEEPEST = 14
"""Levels of rules after which the shortest way out is taken."""
SIGNS = {
    "IDENTIFIER": ("a", "b", "q", "x", "y", "t", "Mode", "ABS", "IN", "Run", "F", "B", "s", "ON"),
    "NUMBER": ("0", "1", "7", "16#FF", "2#10", "300"),
    "TYPED": ("T#10ms", "INT#3", "WORD#16#F", "BOOL#1", "Mode#Run", "T#1s500ms"),
    "REAL_NUMBER": ("1.5", "2.0E3"),
    "REAL_TYPED": ("REAL#1.5",),
    "DATE_TYPED": ("D#2024-01-01",),
    "STRING": ("'s'",),
    "STRINGS": ("STRING",),
    "DIRECT": ("%IX0.0", "%QW3", "%MX1.2"),
    "MODIFIER": ("PUBLIC", "FINAL"),
    "SET_ASSIGN": ("S=", "R="),
}
BEFORE = """TYPE Mode : (Idle, Run); END_TYPE
"""


@cache
def _rules() -> dict[str, list[Rule]]:
    rules: dict[str, list[Rule]] = defaultdict(list)
    for rule in _structured_text_parser().rules:
        rules[rule.origin.name].append(rule)
    return rules


@cache
def _heights() -> dict[str, int]:
    """The fewest levels that each rule's name needs."""
    heights: dict[str, int] = {}
    changed = True
    while changed:
        changed = False
        for name, rules in _rules().items():
            known = [height for rule in rules if (height := _height(rule, heights)) is not None]
            if known and heights.get(name, 1_000) > min(known):
                heights[name] = min(known)
                changed = True
    return heights


def _height(rule: Rule, heights: dict[str, int]) -> int | None:
    levels = [0 if symbol.is_term else heights.get(symbol.name) for symbol in rule.expansion]
    return None if None in levels else 1 + max([level or 0 for level in levels], default=0)


@cache
def _words() -> dict[str, str]:
    terminals = _structured_text_parser().terminals
    return {t.name: t.pattern.value for t in terminals if t.pattern.type == "str"}


def derived(random: Random, start: str = "unit") -> list[str]:
    """The words of a text that the rules derive."""
    words: list[str] = []
    waiting: list[tuple[Symbol | str, int]] = [(start, 0)]
    while waiting:
        symbol, depth = waiting.pop()
        if not isinstance(symbol, str) and symbol.is_term:
            words.append(_word(random, symbol.name))
            continue
        name = symbol if isinstance(symbol, str) else symbol.name
        rules = _rules()[name]
        if depth > DEEPEST or len(words) > 300:
            shortest = min(_height(rule, _heights()) or 0 for rule in rules)
            rules = [rule for rule in rules if _height(rule, _heights()) == shortest]
        chosen = random.choice(rules)
        waiting.extend((part, depth + 1) for part in reversed(chosen.expansion))
    return words


def _word(random: Random, terminal: str) -> str:
    if terminal in SIGNS:
        return random.choice(SIGNS[terminal])
    return _words().get(terminal, terminal)


def broken(random: Random, words: list[str]) -> list[str]:
    """The words with a few changes."""
    words = list(words)
    for _ in range(random.randint(1, 3)):
        place = random.randrange(len(words) + 1)
        match random.randrange(4):
            case 0:
                del words[place : place + 1]
            case 1:
                words.insert(place, _word(random, random.choice(sorted(_words()) + sorted(SIGNS))))
            case 2:
                words[place : place + 2] = reversed(words[place : place + 2])
            case 3:
                words.insert(place, random.choice(["§", "'", "(*", "*)", "{", "==", "&&", "?"]))
    return words


def check_derived(random: Random) -> None:
    """A text of the rules is read, or refused for what it means; a broken one has a place."""
    words = derived(random)
    text = BEFORE + " ".join(words) + "\n"
    parse_or_place(text, well_formed=True)
    outcome(text)
    parse_or_place(BEFORE + " ".join(broken(random, words)) + "\n", well_formed=False)


def parse_or_place(text: str, well_formed: bool) -> None:
    """AssertionError for a message without a place, or for one about syntax without a reason."""
    problems = refusal(lambda: parse_source(SourceText("fuzz.st", text)))
    for problem in problems:
        assert problem.span is not None, (problem, text)
        assert 0 <= problem.span.start <= problem.span.end <= len(text), (problem, text)
    # Only the first counts: words that are names in some places may begin a cascade.
    assert not (well_formed and problems and problems[0].code == "syntax"), (problems[0], text)


def outcome(text: str) -> None:
    """Load a text; whatever is raised but an InputError with a message is a defect."""
    refusal(lambda: load_program([SourceText("fuzz.st", text)]))


def refusal(work: Callable[[], object]) -> tuple[Diagnostic, ...]:
    """Why ``work`` was refused; ValueError for a refusal without a reason."""
    try:
        work()
    except InputError as error:
        if not error.diagnostics:
            raise ValueError("refused without a reason") from None
        return error.diagnostics
    return ()


def main(count: int, seed: int) -> None:
    """Half of the programs from the rules, half random blocks run in both meanings."""
    began, compared = time.monotonic(), 0
    for number in range(seed, seed + count):
        if number % 2:
            check_derived(Random(number))
        else:
            compared += run_block(number)[1]
        if number % 500 == 0:
            print(f"{number - seed} of {count}, {time.monotonic() - began:.0f} s", flush=True)
    print(f"{count} programs, {compared} scans compared: no difference, no crash")


if __name__ == "__main__":
    given = [int(argument) for argument in sys.argv[1:]]
    main(given[0] if given else 20_000, given[1] if given[1:] else 0)
