"""An entry as it lies on the disk: a line of JSON, and a line with its hash.

The hash only tells what was damaged: who forges an entry forges it too.
"""

from __future__ import annotations

import hashlib
import json
import os
import stat
from pathlib import Path

from twohand.evidence.cache.question import Plain, Unbelieved

MOST_BYTES = 16_000_000
"""Of an entry: a proof of the gallery has a thousand times less."""


def entry_bytes(parts: Plain, answer: Plain) -> bytes | None:
    """None where it is too large to be kept."""
    line = json.dumps({"question": parts, "answer": answer}, sort_keys=True).encode()
    whole = line + b"\n" + _hash(line) + b"\n"
    return whole if len(whole) <= MOST_BYTES else None


def answer_in(data: bytes, parts: Plain) -> Plain:
    """The answer to the question of these ``parts``; Unbelieved where the entry is none of it."""
    line, _, rest = data.partition(b"\n")
    if rest != _hash(line) + b"\n":
        raise Unbelieved("it is damaged")
    entry = json.loads(line)
    if entry["question"] != parts:
        raise Unbelieved("it answers another question")
    answer: Plain = entry["answer"]
    return answer


def read_entry(path: Path) -> bytes:
    """What a regular file has; Unbelieved for another one (a pipe would be waited for, a link
    leads elsewhere) or a larger one than entries are, OSError where it cannot be read."""
    flags = os.O_RDONLY | getattr(os, "O_BINARY", 0)
    flags |= getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    with os.fdopen(os.open(path, flags), "rb") as stream:
        about = os.fstat(stream.fileno())
        if not stat.S_ISREG(about.st_mode) or about.st_size > MOST_BYTES:
            raise Unbelieved("it is no file of an answer")
        return stream.read(MOST_BYTES)


def _hash(line: bytes) -> bytes:
    return hashlib.sha256(line).hexdigest().encode()
