"""Blocks that extend others: the line of bases, and what a member's name means along it.

As there are no references, the type that an instance is declared with decides everything.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from twohand.program.walks import nodes_below
from twohand.syntax import tree
from twohand.text.diagnostic import Diagnostic, InputError, wrong
from twohand.text.suggestions import nearest
from twohand.typecheck.units.duplicates import duplicate


@dataclass(frozen=True, eq=False)
class FoundMember:
    """A member and where in the line of bases it is (0: the block itself)."""

    member: tree.Member
    level: int


@dataclass(frozen=True, eq=False)
class Lineage:
    """A block and its bases as they are written, the block first."""

    units: tuple[tree.Unit, ...]
    problems: tuple[Diagnostic, ...] = field(default=(), repr=False)

    @cached_property
    def _names(self) -> tuple[frozenset[str], ...]:
        own = [frozenset(name.key for name in unit.declared()) for unit in self.units]
        return tuple(frozenset[str]().union(*own[level:]) for level in range(len(own)))

    def declares(self, key: str, level: int) -> bool:
        """Whether a unit from ``level`` on declares the variable: code there sees no
        others."""
        return level < len(self.units) and key in self._names[level]

    def find(self, key: str, level: int) -> FoundMember | None:
        """The member of this name in the first unit from ``level`` on that has it."""
        for number, unit in enumerate(self.units[level:], level):
            for member in unit.members:
                if member.name.key == key:
                    return FoundMember(member, number)
        return None

    def called(self, key: str, level: int) -> FoundMember | None:
        """The member that code at ``level`` calls by this name: the one that overrides
        all others."""
        return self.find(key, 0) if self.find(key, level) is not None else None

    def member_names(self, level: int = 0) -> list[str]:
        return [member.name.text for unit in self.units[level:] for member in unit.members]


_CALLED_AT_START = ("FB_INIT", "FB_REINIT")

NO_BASES = Lineage(())


def with_bases(
    units: Mapping[str, tree.Unit],
) -> tuple[dict[str, tree.Unit], dict[str, Lineage]]:
    """Each unit with its bases' declarations before its own, and the line of each that has bases
    or members. What is wrong with a line is kept in it."""
    whole: dict[str, tree.Unit] = {}
    lines: dict[str, Lineage] = {}
    for key, unit in units.items():
        if unit.base is None and not unit.members and not unit.unread:
            whole[key] = unit
            continue
        line = lines[key] = _line(unit, units)
        sections = [section for part in reversed(line.units) for section in part.sections]
        whole[key] = unit if unit.base is None else replace(unit, sections=tuple(sections))
    return whole, lines


def _line(unit: tree.Unit, units: Mapping[str, tree.Unit]) -> Lineage:
    line = [unit]
    problems: list[Diagnostic] = []
    while (wanted := line[-1].base) is not None:
        base = units.get(wanted.key)
        if base is None or base.kind is not tree.UnitKind.FUNCTION_BLOCK:
            problems.append(_unknown_base(wanted, base, units))
            break
        if base in line:
            chain = " extends ".join(f"'{part.name.text}'" for part in [*line, base])
            message = f"a block cannot extend itself: {chain}"
            way = "remove one EXTENDS"
            problems.append(Diagnostic("recursive-base", message, wanted.span, way))
            break
        line.append(base)
    return Lineage(tuple(line), (*problems, *_member_problems(line)))


def _unknown_base(
    wanted: tree.Identifier, found: tree.Unit | None, units: Mapping[str, tree.Unit]
) -> Diagnostic:
    if found is not None:
        message = f"'{wanted.text}' is a {found.kind.value}, which no block extends"
        return Diagnostic("unknown-base", message, wanted.span, "extend a FUNCTION_BLOCK")
    blocks = [u.name.text for u in units.values() if u.kind is tree.UnitKind.FUNCTION_BLOCK]
    close = nearest(wanted.text, blocks)
    way = f"did you mean '{close}'?" if close else "name its file in SOURCE too"
    return Diagnostic("unknown-base", f"unknown base '{wanted.text}'", wanted.span, way)


def _member_problems(line: list[tree.Unit]) -> Iterable[Diagnostic]:
    taken: dict[str, tree.Identifier] = {}
    for unit in reversed(line):
        for name in unit.declared():
            taken.setdefault(name.key, name)
    for member in (member for unit in line for member in unit.members):
        if member.name.key in _CALLED_AT_START and isinstance(member, tree.Method):
            message = (
                f"the checker does not read methods that the platform calls at start "
                f"({member.name.text})"
            )
            way = "give the variables initial values, or call a method of another name"
            yield Diagnostic("unsupported-initial-method", message, member.name.span, way)
    for unit in line:
        own: dict[str, tree.Identifier] = {}
        for member in unit.members:
            problem = duplicate(member.name, taken) or duplicate(member.name, own)
            if problem is not None:
                yield problem
            own[member.name.key] = member.name
    yield from _captured(line)
    for number, unit in enumerate(line):
        for member in unit.members:
            yield from _override_problems(member, line[number + 1 :])


def _captured(line: list[tree.Unit]) -> Iterable[Diagnostic]:
    """Names in a base's declarations that mean something else than there, since a block that
    extends it declares them."""
    for number, base in enumerate(line[1:], 1):
        own = {name.key for unit in line[number:] for name in unit.declared()}
        later = {name.key: name for unit in line[:number] for name in unit.declared()}
        for node in nodes_below(base.sections):
            if isinstance(node, tree.Name) and node.parts:
                key = node.parts[0].key
                if key in later and key not in own:
                    message = (
                        f"'{later[key].text}' means something else in a declaration of the base "
                        f"'{base.name.text}'"
                    )
                    way, used = "choose another name", ((node.span, "used here"),)
                    yield Diagnostic("captured-name", message, later[key].span, way, used)


def _override_problems(member: tree.Member, bases: Iterable[tree.Unit]) -> Iterable[Diagnostic]:
    """A member that has the name of one of a base which cannot be overridden, or is of another
    sort."""
    for base in bases:
        for other in base.members:
            if other.name.key != member.name.key:
                continue
            reason = None
            if modifiers(other) & {"FINAL", "PRIVATE"}:
                word = sorted(modifiers(other) & {"FINAL", "PRIVATE"})[0]
                reason = f"is {word} in '{base.name.text}' and cannot be overridden"
            elif type(other) is not type(member):
                reason = f"is {sort_of(other)} in '{base.name.text}'"
            if reason is not None:
                message = f"'{member.name.text}' {reason}"
                way, declared = "choose another name", ((other.name.span, "declared here"),)
                yield Diagnostic("wrong-override", message, member.name.span, way, declared)
            return


def modifiers(member: tree.Member | tree.Unit) -> set[str]:
    """The words before a member's or unit's name, in upper case."""
    if isinstance(member, tree.Action):
        return set()
    return {word.key for word in member.modifiers}


def member_as_variable(name: tree.Identifier, member: tree.Member) -> InputError:
    """The error for a member where a variable is needed."""
    message = f"'{name.text}' is {sort_of(member)}, not a variable"
    way = "read or assign a property, and call a method or action with ()"
    return wrong("member-as-variable", message, name.span, way)


def sort_of(member: tree.Member) -> str:
    """What a member is, with its article."""
    word = type(member).__name__.lower()
    return f"{'an' if word[0] == 'a' else 'a'} {word}"
