"""The gallery of example blocks that comes with the checker."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from pathlib import Path

from twohand.text.resources import specs_folder

TOPICS = "topics.toml"
WITHOUT_TOPIC = "Further entries"
_LABELS = ("What it is", "What is wrong", "What it teaches")


@dataclass(frozen=True)
class Topic:
    """What some ``entries`` of the gallery are about; ``name`` is one word for it."""

    name: str
    title: str
    entries: tuple[str, ...]


def gallery_folder() -> Path:
    """Where the gallery lies; FileNotFoundError where the installation is broken."""
    return specs_folder() / "gallery"


def gallery_specs() -> list[Path]:
    """Every spec of the gallery, sorted; FileNotFoundError where there is none."""
    specs = sorted(gallery_folder().glob("*.spec"))
    if not specs:
        raise FileNotFoundError("the gallery of the installation is missing")
    return specs


def topics() -> tuple[Topic, ...]:
    """The topics, in an order to learn in."""
    file = gallery_folder() / TOPICS
    tables = tomllib.loads(file.read_text(encoding="utf-8")) if file.exists() else {}
    return tuple(
        Topic(name, table["title"], tuple(table["entries"])) for name, table in tables.items()
    )


def specs_by_topic() -> dict[Path, str]:
    """Every spec with the title of its topic, in the order of the topics; what has no topic
    comes last."""
    left = {spec.stem: spec for spec in gallery_specs()}
    ordered = {
        left.pop(name): topic.title for topic in topics() for name in topic.entries if name in left
    }
    return ordered | dict.fromkeys(left.values(), WITHOUT_TOPIC if ordered else "")


def opening(spec: Path) -> str:
    """What a gallery spec is: the first line of its top comment, without the comment's marks."""
    first = spec.read_text(encoding="utf-8-sig").lstrip().partition("\n")[0].strip()
    if not first.startswith("(*"):
        return ""
    text = first.removeprefix("(*").removesuffix("*)").strip()
    label, colon, rest = text.partition(":")
    return rest.strip() if colon and label.casefold() == "what it is" else text


def said_of(text: str) -> tuple[list[str], str]:
    """The sentences of a spec's top comment (what it is, what is wrong, what it teaches), and the
    text behind it; without such a comment no sentence and the whole text."""
    found = re.match(r"\s*\(\*(.*?)\*\)\s*", text, re.DOTALL)
    if found is None:
        return [], text
    comment = " ".join(found.group(1).split())
    sentences = re.split(rf" (?=(?:{'|'.join(_LABELS)}):)", comment)
    return sentences, text[found.end() :]
