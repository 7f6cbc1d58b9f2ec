"""``python -m tests.reference store FOLDER``, ``... compare FIRST SECOND``: see DEVELOPERS.md."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from tests.reference.comparing import differences
from tests.reference.storing import store


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.reference", description=__doc__)
    commands = parser.add_subparsers(dest="command", required=True)
    storing = commands.add_parser("store", help="run every case of cases.toml")
    storing.add_argument("folder", type=Path, help="where the answers go; made where missing")
    storing.add_argument(
        "--python",
        type=Path,
        default=Path(sys.executable),
        help="the Python beside which the twohand to run is installed [default: this one]",
    )
    storing.add_argument(
        "--inputs",
        type=Path,
        metavar="REFERENCE",
        help="run on the inputs of this reference instead of those of the checkout",
    )
    storing.add_argument(
        "--only", action="append", default=[], metavar="PATTERN", help="such cases (gallery/*)"
    )
    storing.add_argument("--processes", type=int, default=2, help="cases at the same time")
    comparing = commands.add_parser("compare", help="list what differs; 1 where anything does")
    comparing.add_argument("first", type=Path)
    comparing.add_argument("second", type=Path)
    comparing.add_argument(
        "--depth",
        choices=("exact", "relied"),
        default="exact",
        help="relied: without what depends on the load of the machine",
    )
    return parser.parse_args()


def main() -> int:
    asked = arguments()
    if asked.command == "store":
        store(asked.folder, asked.python, asked.inputs, tuple(asked.only), asked.processes)
        return 0
    found = 0
    for lines in differences(asked.first, asked.second, relied=asked.depth == "relied"):
        print("\n".join(lines), flush=True)
        found += 1
    print(f"{found} cases differ ({asked.depth})")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
