"""Random comparisons of REALs: what is read means what the values of the format give."""

from __future__ import annotations

from random import Random

from twohand.text.diagnostic import InputError

from tests.support.meaning.real_values import (
    ALL,
    LOWER,
    UPPER,
    block,
    seen_of_classes,
    seen_of_values,
)
from tests.support.meaning.uncomputed_values import held

TEXTS = 20
BLOCKS = 20
ODD = (
    "1E9999", "1.0E-46", "1.0E38", "3.5E38", "1__0.5", "1._5", ".5", "5.", "REAL#", "LREAL#1E400",
    "REAL#-", "- -1.0", "1.0E", "9" * 70, "0.0000000000000000000000000000000000000000001", "T#1s",
    "'a'", "x", "x + 1.0", "1.0 + 2.0", "TRUE", "16#FF", "DINT#7", "INT#7", "NOT 1.0", "(2.5)",
)  # fmt: skip
REFUSED = {
    "real-constants-alike", "real-constant-rounded", "value-out-of-range", "unsupported-real",
    "malformed-number", "malformed-literal", "syntax", "operator-types", "unsupported-string",
    "malformed-name", "unexpected-text", "unknown-character", "missing-semicolon",
}  # fmt: skip


def literal(random: Random) -> str:
    digits = random.choice(
        (
            f"{random.randint(0, 999)}",
            f"{random.randint(0, 99)}.{random.choice((0, 5, 25, 125, 1, 3, 7))}",
            f"{random.random():.9f}",
            f"{random.randint(1, 9)}.{random.randint(0, 99)}E{random.randint(-30, 30)}",
            f"1.0000{random.randint(0, 9)}",
        )
    )
    typed = random.choice(("", "", "", "REAL#", "LREAL#"))
    sign = random.choice(("", "", "-")) if "E" not in digits or typed else ""
    return f"{typed}{sign}{digits}"


def check_refused(texts: list[str], error: InputError, odd: bool) -> None:
    codes = {problem.code for problem in error.diagnostics}
    assert odd or codes <= REFUSED, (texts, codes)
    assert all(problem.help and problem.span for problem in error.diagnostics), (texts, codes)


def check_reals(seed: int) -> tuple[int, int]:
    """How many of the random texts were read, and how many refused."""
    random = Random(f"reals {seed}")
    read = 0
    for _ in range(TEXTS):
        kind, signs = random.choice(("REAL", "LREAL")), random.choice((ALL, UPPER, LOWER))
        texts = [literal(random) for _ in range(random.randint(1, 4))]
        odd = random.random() < 0.3
        if odd:
            texts[random.randrange(len(texts))] = random.choice(ODD)
        try:
            tested = block(kind, texts, signs)
        except InputError as error:
            check_refused(texts, error, odd)
            continue
        read += 1
        if odd:
            continue
        classes = seen_of_classes(tested)
        for counted in seen_of_values(kind, texts, signs):
            assert set(classes.values()) == counted, (kind, texts, signs)
    return read, TEXTS - read


def check_uncomputed(seed: int) -> None:
    """What one platform does is among what a block may do where nobody computes REALs."""
    random = Random(f"uncomputed {seed}")
    for _ in range(BLOCKS):
        held(random)
