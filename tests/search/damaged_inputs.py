"""A spec of the gallery and its block with something changed, lost or doubled, from end to end: an
answer or an error at its place, within limits, and never an internal error."""

from __future__ import annotations

import re
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from random import Random

import psutil
from twohand.commands.shared.gallery_files import gallery_specs

MOST_SECONDS = 20.0
"""Of processor time, for one command with all its workers."""
MOST_BYTES = 500 * 2**20
EFFORT = ("--effort", "1")
_PART = re.compile(r"T#\w+|[A-Za-z_]\w*|\d+|\(\*.*?\*\)|//[^\n]*|\s+|[:<>=.-]+|.", re.DOTALL)
_SOURCE = re.compile(r"SOURCE\s+'([^']+)'")
_KINDS = (
    "TRUE|FALSE",
    "AND|OR|XOR|->",
    "=|<>|<|>|<=|>=",
    "+|-|*|MOD",
    "0|1|2|10|-1|65535",
    "T#0s|T#1ns|T#10ms|T#250ms|T#480ms|T#30s",
    "BOOL|INT|UINT|TIME",
    "TON|TOF|TP|R_TRIG|F_TRIG|CTU|SR|RS",
    "held|once|prev|rose|fell",
    "I|II|III",
)
"""One of a kind is put for another of it, so that many texts still mean something."""
_OTHERS = (
    "SINCE|WITHIN|UNTIL|ASSUME|PROPERTY|REACHABLE|IF|THEN|ELSE|ELSIF|END_IF|;|(|)|,|:=|.Q|.ET|(*|*)",
    "'|[1]|NOT |POWER CYCLES;|..|\u00a0|\u0430",
)
_WORDS = tuple(tuple(kind.split("|")) for kind in _KINDS)
_EVERY = tuple(word for kind in (*_OTHERS, *_KINDS) for word in kind.split("|"))
_COMMENTS = ("(*", "//")
_COMMANDS = ("check", "check", "check", "inspect", "measure")
"""Not the fault table, which asks hundreds of questions of a sound spec."""


@dataclass(frozen=True)
class Ended:
    """How a command ended: its exit code, what it printed, seconds of processor time and the most
    memory that one look saw in all its processes."""

    code: int
    printed: str
    seconds: float
    memory: int


def damaged(text: str, lot: Random) -> str:
    """One change of the text."""
    parts = _PART.findall(text)
    places = [n for n, part in enumerate(parts) if not part.isspace() and part[:2] not in _COMMENTS]
    place = lot.choice(places)
    form = lot.random()
    if form < 0.84:
        alike = {n: _alike(parts[n], [parts[m] for m in places]) for n in places}
        place = lot.choice([n for n, others in alike.items() if others])
        parts[place] = lot.choice(alike[place])
    elif form < 0.87:
        parts[place] = lot.choice(_EVERY)
    elif form < 0.9:
        del parts[place : place + lot.choice((1, 1, 2, 5))]
    elif form < 0.95:
        parts.insert(place, lot.choice(("NOT ", "NOT ", *_EVERY)))
    else:
        return _line_moved(text.splitlines(keepends=True), lot)
    return "".join(parts)


def _alike(part: str, parts: list[str]) -> tuple[str, ...]:
    """What may be put for a word: its kind, or the text's other names; nothing for others."""
    for kind in _WORDS:
        if part in kind:
            return kind
    if part[0].isdigit():
        return _WORDS[4]
    if part.startswith("T#"):
        return _WORDS[5]
    return tuple(each for each in parts if _is_name(each)) if _is_name(part) else ()


def _is_name(part: str) -> bool:
    return part.isidentifier() and not part.isupper()


def _line_moved(lines: list[str], lot: Random) -> str:
    """One line lost, twice, or elsewhere."""
    first, second = lot.randrange(len(lines)), lot.randrange(len(lines))
    line = lines[first]
    form = lot.random()
    if form < 0.7:
        del lines[first]
    if form > 0.3:
        lines.insert(second, line)
    return "".join(lines)


def written(seed: int, folder: Path) -> tuple[str, str]:
    """A command and its file, in the folder; the first is a spec of the gallery, damaged with its
    sources."""
    lot = Random(seed)
    spec = lot.choice(gallery_specs())
    text = spec.read_text(encoding="utf-8")
    sources = [spec.parent / name for name in _SOURCE.findall(text)]
    texts = {spec.name: text, **{each.name: each.read_text(encoding="utf-8") for each in sources}}
    for _ in range(lot.choice((1, 1, 1, 2, 3))):
        name = lot.choice(list(texts))
        texts[name] = damaged(texts[name], lot)
    for name, each in texts.items():
        (folder / name).write_text(each, encoding="utf-8")
    return lot.choice(_COMMANDS), spec.name


def ended(command: str, name: str, folder: Path) -> Ended:
    """The command in a process of its own."""
    line = [sys.executable, "-m", "twohand", command, name, *EFFORT]
    with (folder / "printed").open("wb") as output:
        process = subprocess.Popen(line, cwd=folder, stdout=output, stderr=subprocess.STDOUT)
        seconds, memory = 0.0, 0
        while process.poll() is None:
            used = _used(process.pid)
            seconds, memory = max(seconds, used[0]), max(memory, used[1])
            if seconds > 2 * MOST_SECONDS:
                process.kill()
            time.sleep(0.05)
    printed = (folder / "printed").read_text(encoding="utf-8", errors="replace")
    return Ended(process.returncode, printed, seconds, memory)


def _used(pid: int) -> tuple[float, int]:
    """Processor time and own memory of a process and all below it, so far."""
    seconds, memory = 0.0, 0
    try:
        first = psutil.Process(pid)
        for each in (first, *first.children(recursive=True)):
            times = each.cpu_times()
            seconds += times.user + times.system
            memory += each.memory_info().rss
    except psutil.Error:
        pass  # it has just ended
    return seconds, memory


def check_damaged(seed: int, folder: Path) -> None:
    command, name = written(seed, folder)
    found = ended(command, name, folder)
    assert found.code in (0, 1, 2, 3), (command, found.code, found.printed[-2000:])
    assert "Traceback" not in found.printed, found.printed[-2000:]
    assert found.seconds <= MOST_SECONDS, (command, found.seconds)
    assert found.memory <= MOST_BYTES, (command, found.memory)
