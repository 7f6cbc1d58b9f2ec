"""The units and types of all source files together, and what a type's name stands for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from checker.source import program, tree
from checker.source.diagnostic import Diagnostic, InputError
from checker.source.expressions import resolve_constant, value_of
from checker.source.scope import unknown_name
from checker.source.standard import BLOCKS_BY_NAME, FUNCTION_NAMES
from checker.source.text import Span
from checker.source.types import BOOL, ELEMENTARY, LINT, Enumeration, Type, Value


class KnownType(NamedTuple):
    """A type with the initial value of its variables."""

    type: Type
    initial: Value


class Library:
    """Everything that the files declare; a Scope in which only enumeration values have names."""

    def __init__(self, files: Sequence[tree.SourceFile]) -> None:
        self.problems: list[Diagnostic] = []
        self.units: dict[str, tree.Unit] = {}
        self._declarations: dict[str, tree.TypeDeclaration] = {}
        self._types: dict[str, KnownType] = {}
        self._resolving: list[str] = []
        taken: dict[str, tree.Identifier] = {}
        for file in files:
            for unit in file.units:
                if self.claim(unit.name, taken):
                    self.units[unit.name.key] = unit
            for declaration in file.types:
                if self.claim(declaration.name, taken):
                    self._declarations[declaration.name.key] = declaration
        for key in self._declarations:
            try:
                self._declared(key)
            except InputError as error:
                self.problems.extend(error.diagnostics)

    def claim(self, name: tree.Identifier, taken: dict[str, tree.Identifier]) -> bool:
        """Whether the name may be declared beside those taken; notes why not."""
        problem = reserved(name, variable=False) or duplicate(name, taken)
        if problem is not None:
            self.problems.append(problem)
            return False
        taken[name.key] = name
        return True

    @property
    def enumerations(self) -> list[Enumeration]:
        """The enumerations of TYPE sections."""
        return [known.type for known in self._types.values() if isinstance(known.type, Enumeration)]

    def type_names(self) -> list[str]:
        """Every name that may stand after the colon of a variable."""
        units = [u.name.text for u in self.units.values() if u.kind is tree.UnitKind.FUNCTION_BLOCK]
        types = [declaration.name.text for declaration in self._declarations.values()]
        return [*units, *types, *ELEMENTARY, *BLOCKS_BY_NAME]

    def named(self, node: tree.NamedType) -> KnownType:
        """An elementary type or one of a TYPE section; InputError (``unknown-type``)."""
        key = node.name.key
        if key in ELEMENTARY:
            kind = ELEMENTARY[key]
            return KnownType(kind, False if kind == BOOL else 0)
        if key in self._declarations:
            return self._declared(key, node.span)
        raise unknown_name(node.name, self.type_names(), "type", "unknown-type")

    def enumeration(self, name: str, node: tree.EnumerationType) -> Enumeration:
        """The enumeration of a value list; a value without number follows the one before it."""
        values: list[tuple[str, int]] = []
        taken: dict[str, tree.Identifier] = {}
        following = 0
        for item in node.items:
            problem = duplicate(item.name, taken)
            if problem is not None:
                raise InputError(problem)
            taken[item.name.key] = item.name
            if item.value is not None:
                following = int(resolve_constant(item.value, self, LINT).value)
            values.append((item.name.text, following))
            following += 1
        return Enumeration(name, tuple(values))

    def _declared(self, key: str, span: Span | None = None) -> KnownType:
        if key in self._types:
            return self._types[key]
        declaration = self._declarations[key]
        if key in self._resolving:
            raise InputError(
                Diagnostic(
                    "recursive-type",
                    f"type '{declaration.name.text}' is declared by itself",
                    span or declaration.span,
                    "declare it by an elementary type or by its values",
                )
            )
        self._resolving.append(key)
        try:
            known = self._resolve(declaration)
        finally:
            self._resolving.pop()
        self._types[key] = known
        return known

    def _resolve(self, declaration: tree.TypeDeclaration) -> KnownType:
        if isinstance(declaration.type, tree.EnumerationType):
            kind: Type = self.enumeration(declaration.name.text, declaration.type)
            assert isinstance(kind, Enumeration)
            known = KnownType(kind, kind.values[0][1])
            if isinstance(declaration.initial, tree.Name) and len(declaration.initial.parts) == 1:
                value = value_of(kind, declaration.initial.parts[0], declaration.initial)
                return KnownType(kind, value.value)
        else:
            known = self.named(declaration.type)
        if declaration.initial is None:
            return known
        return KnownType(known.type, resolve_constant(declaration.initial, self, known.type).value)

    # --- as a scope ---------------------------------------------------------------------------

    def resolve_name(self, name: tree.Name, expected: Type | None) -> program.Expression:
        """An enumeration value."""
        value = find_value(name, expected, self.enumerations)
        if value is None:
            raise unknown_name(name, [v for e in self.enumerations for v, _ in e.values])
        return value

    def resolve_call(self, call: tree.Call, expected: Type | None) -> program.Expression | None:
        return None

    def find_enumeration(self, name: tree.Identifier) -> Enumeration | None:
        known = self._types.get(name.key)
        return known.type if known and isinstance(known.type, Enumeration) else None

    def function_names(self) -> Iterable[str]:
        return [u.name.text for u in self.units.values() if u.kind is tree.UnitKind.FUNCTION]


def find_value(
    name: tree.Name, expected: Type | None, enumerations: Iterable[Enumeration]
) -> program.Literal | None:
    """``Run`` or ``Mode.Run`` among the enumerations; None where there is none. InputError
    (``ambiguous-name``) where several have the value and ``expected`` does not choose."""
    kinds = list(dict.fromkeys(enumerations))
    if len(name.parts) == 2:
        chosen = [kind for kind in kinds if kind.name.upper() == name.parts[0].key]
        return value_of(chosen[0], name.parts[1], name) if chosen else None
    if len(name.parts) > 2:
        return None
    key = name.parts[0].key
    having = [kind for kind in kinds if any(value.upper() == key for value, _ in kind.values)]
    if len(having) > 1:
        having = [kind for kind in having if kind == expected] or having
    if len(having) > 1:
        kind_names = " and ".join(f"'{kind.name}'" for kind in having)
        raise InputError(
            Diagnostic(
                "ambiguous-name",
                f"'{name.text}' is a value of {kind_names}",
                name.span,
                f"write {having[0].name}#{name.text} or {having[1].name}#{name.text}",
            )
        )
    return value_of(having[0], name.parts[0], name) if having else None


def reserved(name: tree.Identifier, variable: bool = True) -> Diagnostic | None:
    """What is wrong with declaring a name that the standard has taken (Ed. 2, annex C).

    A variable may be called like a standard function: a call has parentheses, a variable none.
    """
    taken = name.key in ELEMENTARY or name.key in BLOCKS_BY_NAME
    if taken or (not variable and name.key in FUNCTION_NAMES):
        return Diagnostic(
            "reserved-name",
            f"'{name.text}' is a name of the standard and cannot be declared",
            name.span,
            f"choose another, for instance {name.text}1",
        )
    return None


def duplicate(name: tree.Identifier, taken: dict[str, tree.Identifier]) -> Diagnostic | None:
    """What is wrong with declaring a name a second time, in whatever letter case."""
    first = taken.get(name.key)
    if first is None:
        return None
    spelt = f" (there spelt '{first.text}')" if first.text != name.text else ""
    return Diagnostic(
        "duplicate-name",
        f"'{name.text}' is declared twice{spelt}",
        name.span,
        "letter case does not tell names apart; rename one of them",
        related=((first.span, "first declared here"),),
    )
