"""The blocks of the gallery under names that say nothing, and those of other languages."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from twohand.exchange.file import structured_text_of
from twohand.files.reading import read_source
from twohand.program import Program, Role
from twohand.specification.syntax import nodes as spec
from twohand.specification.syntax.parse import parse_specifications
from twohand.text.source_text import SourceText
from twohand.typecheck.resolve import load_program

from tests.support.places import GALLERY

LANGUAGES: Mapping[str, Mapping[str, str]] = {
    "German": {
        "left": "links", "right": "rechts", "palm": "Handtaster", "guard": "schutztuer",
        "shut": "Zu", "top": "oben", "bottom": "unten", "stroke": "hub", "ram": "stoessel",
        "stop": "halt", "closed": "Zu", "released": "Frei", "reset": "quittieren",
        "button": "Taster", "ready": "bereit", "upstroke": "ruecklauf", "coil": "Spule",
        "forward": "vor", "return": "rueck", "front": "vorn", "back": "hinten", "trip": "ausloesen",
        "use": "nutze", "remote": "fern", "supply": "speisung", "rod": "stange", "home": "ein",
        "fault": "fehler", "NO": "NO", "NC": "NC",
    },
    "French": {
        "left": "gauche", "right": "droite", "palm": "Paume", "guard": "capot",
        "shut": "Ferme", "top": "haut", "bottom": "bas", "stroke": "course", "ram": "coulisseau",
        "stop": "arret", "closed": "Ferme", "released": "Lache", "reset": "rearmement",
        "button": "Bouton", "ready": "pret", "upstroke": "remontee", "coil": "Bobine",
        "forward": "aller", "return": "recul", "front": "devant", "back": "arriere",
        "trip": "depart",
        "use": "utilise", "remote": "distance", "supply": "alim", "rod": "tige", "home": "rentree",
        "fault": "defaut", "NO": "NO", "NC": "NC",
    },
    "Spanish": {
        "left": "izquierda", "right": "derecha", "palm": "Mano", "guard": "puerta",
        "shut": "Cerrada", "top": "arriba", "bottom": "abajo", "stroke": "carrera", "ram": "maza",
        "stop": "parada", "closed": "Cerrado", "released": "Suelto", "reset": "rearme",
        "button": "Boton", "ready": "listo", "upstroke": "subida", "coil": "Bobina",
        "forward": "adelante", "return": "vuelta", "front": "delante", "back": "detras",
        "trip": "disparo",
        "use": "usa", "remote": "lejos", "supply": "tension", "rod": "vastago", "home": "dentro",
        "fault": "averia", "NO": "NO", "NC": "NC",
    },
    "Italian": {
        "left": "sinistra", "right": "destra", "palm": "Mano", "guard": "riparo",
        "shut": "Chiuso", "top": "alto", "bottom": "basso", "stroke": "corsa", "ram": "slitta",
        "stop": "arresto", "closed": "Chiuso", "released": "Libero", "reset": "ripristino",
        "button": "Pulsante", "ready": "pronto", "upstroke": "risalita", "coil": "Bobina",
        "forward": "avanti", "return": "indietro", "front": "fronte", "back": "retro",
        "trip": "scatto",
        "use": "usa", "remote": "remoto", "supply": "rete", "rod": "stelo", "home": "dentro",
        "fault": "guasto", "NO": "NO", "NC": "NC",
    },
}  # fmt: skip
"""The words of the gallery's names in other languages; those that are missing say nothing."""
_WORD = re.compile(r"[A-Z]+(?![a-z])|[A-Z]?[a-z]+|\d+")


@dataclass(frozen=True)
class GalleryBlock:
    """A block of the gallery, and what its spec says of hands and outputs."""

    spec: str
    path: Path
    block: str | None
    hands: tuple[tuple[str, ...], ...]
    outputs: tuple[str, ...]


@cache
def gallery_blocks() -> tuple[GalleryBlock, ...]:
    """Every block that a spec of the gallery checks, each once, in the order of the specs."""
    found: dict[tuple[Path, str | None], GalleryBlock] = {}
    for path in sorted(GALLERY.glob("*.spec")):
        for tree in parse_specifications(read_source(path)):
            statements = tree.statements
            sources = [s for s in statements if isinstance(s, spec.SourceStatement)]
            names = [s.name.text for s in statements if isinstance(s, spec.BlockStatement)]
            hands = [s for s in statements if isinstance(s, spec.HandStatement)]
            outputs = [s for s in statements if isinstance(s, spec.OutputStatement)]
            source = path.parent / sources[0].files[0].text
            block = names[0] if names else None
            found.setdefault(
                (source, block),
                GalleryBlock(
                    path.stem,
                    source,
                    block,
                    tuple(tuple(c.span.text for c in hand.contacts) for hand in hands),
                    tuple(name.text for each in outputs for name in each.names),
                ),
            )
    return tuple(found.values())


@cache
def source_of(path: Path) -> SourceText:
    return structured_text_of(read_source(path))


def program_of(block: GalleryBlock) -> Program:
    return load_program([source_of(block.path)], block.block)


def renamed(block: GalleryBlock, language: str | None) -> tuple[SourceText, dict[str, str]]:
    """The text of its file with inputs and outputs of the block named in a language (None: by
    letters and numbers), and the new names by the old ones."""
    program = program_of(block)
    names = [v.name for v in program.variables if v.role in (Role.INPUT, Role.OUTPUT)]
    own = [name for name in names if "." not in name]
    words = LANGUAGES.get(language or "", {})
    new: dict[str, str] = {}
    for number, name in enumerate(own, 1):
        letter = "q" if name in [v.name for v in program.outputs] else "b"
        parts = [words.get(part.lower(), words.get(part, "")) for part in _WORD.findall(name)]
        joined = "".join(parts)
        plain = not joined or not all(parts) or joined in new.values()
        new[name] = f"{letter}{number}" if plain else joined
    return SourceText("renamed.st", _replaced(source_of(block.path).text, new)), new


def _replaced(text: str, new: Mapping[str, str]) -> str:
    return re.sub(r"\b[A-Za-z_]\w*\b", lambda found: new.get(found[0], found[0]), text)


def in_old_names(texts: Sequence[str], new: Mapping[str, str]) -> tuple[str, ...]:
    old = {value: name for name, value in new.items()}
    return tuple(_replaced(text, old) for text in texts)
