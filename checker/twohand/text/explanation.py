"""The pages that explain the codes of diagnostics; data in ``explanations/*.toml``.

A page is a table named after its code: ``meaning``, ``why`` (what it matters to a proof), an
example under the name of what it is (see ``EXAMPLES``) and ``mended``, the same without the
mistake. ``reported_by`` is the command that reports it, where no reading of the spec does;
``marked`` is the line that is marked, where it is none that the mended text has otherwise.
``without_example`` says why there is no example.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

EXAMPLES = ("body", "declarations", "source", "spec", "whole_spec", "files", "command")
"""Statements of a block, its declarations, a whole source file, statements of a spec, a whole
spec file, several files of which each begins with a line ``--- its name ---``, a command line."""


@dataclass(frozen=True)
class Explanation:
    """``kind`` is one of EXAMPLES; without an example it is empty, and ``example`` says why.
    ``reported_by`` is empty where the code is reported as the spec is read, ``marked`` where the
    mended text shows the place."""

    code: str
    meaning: str
    why: str
    kind: str
    example: str
    mended: str
    reported_by: str
    marked: str


@cache
def explanations() -> Mapping[str, Explanation]:
    """All pages, by code, in alphabetical order. ValueError for one that is not well-formed."""
    pages: dict[str, Explanation] = {}
    for file in files("twohand.text").joinpath("explanations").iterdir():
        if not file.name.endswith(".toml"):
            continue
        for code, table in tomllib.loads(file.read_text(encoding="utf-8")).items():
            if code in pages:
                raise ValueError(f"two pages explain '{code}'")
            pages[code] = _page(code, table)
    return dict(sorted(pages.items()))


def _page(code: str, table: Mapping[str, str]) -> Explanation:
    kinds = [kind for kind in (*EXAMPLES, "without_example") if kind in table]
    if len(kinds) != 1 or not {"meaning", "why"} <= table.keys():
        raise ValueError(f"the page of '{code}' lacks something")
    if (kinds[0] in EXAMPLES) is not ("mended" in table):
        raise ValueError(f"the page of '{code}' needs an example and its mended text")
    kind = kinds[0] if kinds[0] in EXAMPLES else ""
    return Explanation(
        code, table["meaning"], table["why"], kind, table[kinds[0]].strip("\n"),
        table.get("mended", "").strip("\n"), table.get("reported_by", ""),
        table.get("marked", ""),
    )  # fmt: skip
