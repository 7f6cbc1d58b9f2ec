"""The manual: one page for each topic, in Markdown (``manual/*.md``)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True)
class ManualPage:
    """``summary`` is the page's first paragraph: one sentence, which the list of topics shows."""

    topic: str
    title: str
    summary: str
    text: str
    """The whole page, title and summary included."""


@cache
def manual_pages() -> Mapping[str, ManualPage]:
    """All pages, by topic, in alphabetical order. ValueError for one without title or summary."""
    pages = {
        file.name.removesuffix(".md"): file.read_text(encoding="utf-8")
        for file in files("twohand").joinpath("manual").iterdir()
        if file.name.endswith(".md")
    }
    return {topic: _page(topic, pages[topic]) for topic in sorted(pages)}


def _page(topic: str, text: str) -> ManualPage:
    title, summary, *_ = [*text.split("\n\n", 2), "", ""]
    if not title.startswith("# ") or not summary.strip():
        raise ValueError(f"the page '{topic}' of the manual needs a title and a summary")
    return ManualPage(topic, title.removeprefix("# "), " ".join(summary.split()), text)
