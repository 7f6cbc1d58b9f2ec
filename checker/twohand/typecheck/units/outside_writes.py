"""What units do to an instance of the checked block from outside of it: members that they write by
the instance's name or through a pointer, and addresses of it that they give away.

The standard lets others write nothing of an instance but its inputs; platforms let them more. This
looks at the text, for a unit that has a pointer cannot be read otherwise.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from twohand.files.index import Segment
from twohand.text.comments import STRING
from twohand.text.source_text import Span
from twohand.text.split_units import located

_NAME = r"[^\W\d]\w*+"
_INDEX = r"\[(?:[^\[\];]|\[[^\[\];]*+\])*+\]"
_STEP = rf"(?:\s*+(?:\^|{_INDEX}))*+"
_PATH = rf"{_NAME}{_STEP}(?:\s*+\.\s*+%?\w++{_STEP})*+"
_USES = re.compile(
    rf"{STRING}|\b(?:(?:ADR|REF)\s*+\(|REF=)\s*+(?P<address>{_PATH})|=>\s*+(?P<connected>{_PATH})|(?<![\w.^\]])(?P<written>{_PATH})\s*+(?::=|\b[SR]=)",
    re.IGNORECASE,
)
_PIECES = re.compile(rf"{_INDEX}|(?P<name>%?\w++)")
_ASSIGNED = re.compile(rf"({_NAME}){_STEP}(?:\s*+:=)?\s*+\Z")
_SECTION = re.compile(r"\bVAR\w*+", re.IGNORECASE)
_END = re.compile(r"\bEND_VAR\b", re.IGNORECASE)
_DECLARATIONS = re.compile(
    rf"(?P<names>{_NAME}(?:\s*+,\s*+{_NAME})*+)\s*+(?:AT\s*+%\S++\s*+)?:(?!=)(?P<type>[^;:]*+)",
    re.IGNORECASE,
)
_NAMES = re.compile(_NAME)
_BASE = re.compile(rf"\bEXTENDS\s++(?:{_NAME}\s*+\.\s*+)*+({_NAME})", re.IGNORECASE)
_LOOKED_AT = 200
"""Characters before an address that show where it goes."""
_DATA = ("TYPE", "VAR_GLOBAL")

Further = Callable[[set[str]], set[str]]
Types = dict[str, set[str]]
"""By a name in upper case, every name in the types that it is declared with."""


@dataclass(frozen=True)
class OutsideWrites:
    """``members`` are names of the block, in upper case, that units outside of it may write;
    ``addresses`` is where the address of an instance goes to what is not seen."""

    members: frozenset[str] = frozenset()
    addresses: tuple[Span, ...] = ()


def written_outside(
    segments: Sequence[Segment], lineage: Collection[str], own: Collection[str]
) -> OutsideWrites:
    """What units outside of a block, ``lineage[0]``, and of its bases write of ``own`` in its
    instances; all names in upper case."""
    outside = [s for s in segments if s.kind not in _DATA and s.name.upper() not in lineage]
    may_use = _may_use(own)
    using = [s for s in outside if may_use.search(s.text)]
    if not using:
        return OutsideWrites()
    instances = _Instances(segments, lineage)
    members: set[str] = set()
    addresses: list[Span] = []
    for segment in using:
        here = _declared(segment)
        for use in _USES.finditer(segment.text):
            if use.lastgroup is None:
                continue  # a string
            path = _names_of(use[use.lastgroup])
            for before, name in pairwise(path):
                if name in own and instances.may_be(before, here):
                    members.add(name)
            given = use.lastgroup == "address" and instances.has_one(path[-1], here)
            if given and not instances.goes_to_pointer(segment, use.start(), here):
                start, end = (segment.start + place for place in use.span("address"))
                addresses.append(located(Span(segment.file.source, start, end)))
    return OutsideWrites(frozenset(members), tuple(addresses))


def _may_use(own: Collection[str]) -> re.Pattern[str]:
    """Where something of ``own`` may be written, or an address taken: what has no such place needs
    no closer look, and of many files hardly one has."""
    names = "|".join(map(re.escape, sorted(own)))
    return re.compile(
        rf"\b(?:ADR|REF)\b|=>\s*+{_NAME}{_STEP}\s*+\."
        rf"|\.\s*+(?:{names})\b{_STEP}(?:\s*+\.\s*+%?\w++{_STEP})*+\s*+(?::=|[SR]=)",
        re.IGNORECASE,
    )


class _Instances:
    """Which names may be those of instances of the block, or of what has one in it."""

    def __init__(self, segments: Sequence[Segment], lineage: Collection[str]) -> None:
        self._segments = segments
        self._lineage = lineage

    @cached_property
    def _everywhere(self) -> Types:
        found: Types = defaultdict(set)
        for segment in self._segments:
            for name, types in _declared(segment).items():
                found[name] |= types
        return found

    @cached_property
    def _block(self) -> set[str]:
        derived: dict[str, set[str]] = defaultdict(set)
        for segment in self._segments:
            if (found := _BASE.search(segment.text)) is not None:
                derived[found[1].upper()].add(segment.name.upper())
        return _closed({*self._lineage}, lambda some: {d for key in some for d in derived[key]})

    @cached_property
    def _with_block(self) -> set[str]:
        holding = [(segment.keys, segment.types) for segment in self._segments]
        return _closed(
            self._block,
            lambda some: {key for keys, types in holding if types & some for key in keys},
        )

    def may_be(self, name: str, here: Types) -> bool:
        """Whether the name may be that of an instance, or of a pointer to one."""
        types = here.get(name) or self._everywhere.get(name)
        return types is None or not types.isdisjoint(self._block)

    def has_one(self, name: str, here: Types) -> bool:
        """Whether the name is that of an instance or of what has one in it."""
        types = here.get(name) or self._everywhere.get(name, set())
        return not types.isdisjoint(self._with_block)

    def goes_to_pointer(self, segment: Segment, place: int, here: Types) -> bool:
        """Whether the address at a place goes to a variable whose type says what it points to:
        what is written through that is seen where it is written."""
        found = _ASSIGNED.search(segment.text, max(0, place - _LOOKED_AT), place)
        if found is None:
            return False
        name = found[1].upper()
        return name in self._block or self.has_one(name, here)


def _closed(first: set[str], further: Further) -> set[str]:
    """With everything that ``further`` finds of it."""
    while more := further(first) - first:
        first = first | more
    return first


def _declared(segment: Segment) -> Types:
    """The names that a segment declares with their types."""
    found: Types = defaultdict(set)
    for section in _sections(segment):
        for declaration in _DECLARATIONS.finditer(section):
            types = set(_upper(declaration["type"]))
            for name in _upper(declaration["names"]):
                found[name] |= types
    return found


def _sections(segment: Segment) -> Iterator[str]:
    """The texts in which it declares variables and members."""
    if segment.kind in _DATA:
        yield segment.text
        return
    for piece in _END.split(segment.text)[:-1]:
        if (begin := _SECTION.search(piece)) is not None:
            yield piece[begin.end() :]


def _upper(text: str) -> Iterator[str]:
    return (name.upper() for name in _NAMES.findall(text))


def _names_of(path: str) -> list[str]:
    """The names of a path, without its indices."""
    return [each["name"].upper() for each in _PIECES.finditer(path) if each["name"]]
