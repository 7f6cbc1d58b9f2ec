"""The requirement catalogue as readable text: ``specs/requirements/*.toml``.

What is checked is built in code (``catalogue``, ``selection``, ``press_rules``, ``machine_rules``);
the pages say the same in words and in the spec language, and the tests hold the two together.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

from twohand.text.resources import specs_folder


@dataclass(frozen=True)
class Variant:
    """``write`` asks for ``formula`` instead, ``when`` says in which case."""

    when: str
    write: str
    formula: str


@dataclass(frozen=True)
class CataloguePage:
    """One requirement.

    ``requirement`` is the identifier that it has in a report. ``formula`` is text of the spec
    language over the names that the page explains, '' where no single formula says it. ``belongs``
    are the types and devices that it is asked of. ``follows_from`` are sets of identifiers that
    together imply it. ``violated_by`` and ``mended_by`` are specs of the gallery. ``judged`` is
    FALSE for what logic cannot decide, and ``why`` says why (or how else it is judged).
    """

    identifier: str
    sentence: str
    authority: str
    belongs: tuple[str, ...]
    requirement: str
    formula: str = ""
    follows_from: tuple[tuple[str, ...], ...] = ()
    violated_by: tuple[str, ...] = ()
    mended_by: tuple[str, ...] = ()
    judged: bool = True
    why: str = ""
    write: str = ""
    note: str = ""
    variants: tuple[Variant, ...] = ()


@dataclass(frozen=True)
class Page:
    """A family of requirements; ``about`` explains its names and its source."""

    name: str
    title: str
    order: int
    about: str
    entries: tuple[CataloguePage, ...]


def catalogue_pages() -> tuple[Page, ...]:
    """Every page, in the order in which they are shown.

    FileNotFoundError where the installation is broken, ValueError or KeyError where a page is.
    """
    files = sorted((specs_folder() / "requirements").glob("*.toml"))
    if not files:
        raise FileNotFoundError("the requirement catalogue of the installation is missing")
    pages = [_page(path.stem, tomllib.loads(path.read_text(encoding="utf-8"))) for path in files]
    return tuple(sorted(pages, key=lambda page: page.order))


def _page(name: str, data: Mapping[str, Any]) -> Page:
    entries = tuple(_entry(each) for each in data["entry"])
    return Page(name, data["title"], data["order"], data["about"].strip(), entries)


def _entry(data: Mapping[str, Any]) -> CataloguePage:
    unknown = set(data) - {field.name for field in fields(CataloguePage)} - {"variant"}
    if unknown:
        raise ValueError(f"a page has {', '.join(sorted(unknown))}, which means nothing")

    def text(name: str) -> str:
        return str(data.get(name, "")).strip()

    def names(name: str) -> tuple[str, ...]:
        return tuple(data.get(name, ()))

    return CataloguePage(
        identifier=data["identifier"],
        sentence=data["sentence"],
        authority=data["authority"],
        belongs=tuple(data["belongs"]),
        requirement=data.get("requirement", data["identifier"]),
        formula=text("formula"),
        follows_from=tuple(tuple(each) for each in data.get("follows_from", ())),
        violated_by=names("violated_by"),
        mended_by=names("mended_by"),
        judged=data.get("judged", True),
        why=text("why"),
        write=text("write"),
        note=" ".join(text("note").split()),
        variants=tuple(
            Variant(each["when"], each["write"].strip(), each["formula"].strip())
            for each in data.get("variant", ())
        ),
    )
