"""The global variables that files declare, and what a name finds among them."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass

from twohand.syntax import tree
from twohand.text.diagnostic import Diagnostic, InputError, wrong
from twohand.typecheck.units.duplicates import declared_twice


@dataclass(frozen=True, eq=False)
class GlobalVariable:
    """One name of a VAR_GLOBAL section; ``list_name`` is that of the file without its suffix.
    ``depth`` is how many parts of the name that found it lead to it (2 with the list's name)."""

    list_name: str
    name: tree.Identifier
    section: tree.Section
    declaration: tree.Declaration
    depth: int = 1

    @property
    def constant(self) -> bool:
        return self.section.constant

    def depends_on_itself(self) -> InputError:
        """The error for a value that leads back to this variable."""
        message = f"the value of '{self.name.text}' depends on itself"
        return wrong("not-constant", message, self.name.span, "write its value")


class GlobalLists:
    """All VAR_GLOBAL sections of the files; those of one file are a list of the file's name."""

    def __init__(self, files: Sequence[tree.SourceFile]) -> None:
        self.problems: list[Diagnostic] = []
        self._lists: dict[str, dict[str, GlobalVariable]] = {}
        self._having: dict[str, list[GlobalVariable]] = {}
        for file in files:
            title = file.source.title
            for section in _sections(file):
                for declaration in section.declarations:
                    for name in declaration.names:
                        self._add(GlobalVariable(title, name, section, declaration))

    def _add(self, variable: GlobalVariable) -> None:
        inside = self._lists.setdefault(variable.list_name.upper(), {})
        first = inside.get(variable.name.key)
        if first is not None:
            self.problems.append(declared_twice(variable.name, first.name))
            return
        inside[variable.name.key] = variable
        self._having.setdefault(variable.name.key, []).append(variable)

    def names(self) -> list[str]:
        """Every name that a global variable has."""
        return [variable.name.text for found in self._having.values() for variable in found]

    def type_nodes(self, without: Container[tree.Identifier]) -> list[tree.TypeNode]:
        """The types of all global variables but those of these names."""
        return [
            variable.declaration.type
            for found in self._having.values()
            for variable in found
            if variable.name not in without
        ]

    def find(self, name: tree.Name) -> GlobalVariable | None:
        """The global variable with which the name begins; None where there is none. InputError
        (``ambiguous-name``) where several lists have it."""
        if not name.parts:
            return None
        first = name.parts[0]
        found = self._having.get(first.key, [])
        if len(found) > 1:
            ways = " or ".join(f"{variable.list_name}.{first.text}" for variable in found)
            message = f"'{first.text}' is a global variable of several lists"
            raise wrong("ambiguous-name", message, first.span, f"write {ways}")
        if found:
            return found[0]
        if len(name.parts) > 1 and first.key in self._lists:
            inside = self._lists[first.key].get(name.parts[1].key)
            if inside is not None:
                return GlobalVariable(
                    inside.list_name, inside.name, inside.section, inside.declaration, 2
                )
        return None

    def list_names(self, key: str) -> list[str] | None:
        """What a list of this name declares; None where there is none."""
        inside = self._lists.get(key)
        return None if inside is None else [variable.name.text for variable in inside.values()]


def _sections(file: tree.SourceFile) -> Iterator[tree.Section]:
    yield from file.globals
    for configuration in file.configurations:
        yield from (part for part in configuration.sections if part.keyword == "VAR_GLOBAL")
