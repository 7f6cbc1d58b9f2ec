"""The units and types of all source files together, and what a type's name means."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from twohand import program
from twohand.program.standard_blocks import BLOCKS_BY_NAME, BLOCKS_OUTSIDE, FUNCTION_NAMES
from twohand.program.types import BOOL, ELEMENTARY, Enumeration, Type
from twohand.syntax import tree
from twohand.syntax.lexing.keywords import UNMODELLED
from twohand.text.diagnostic import Diagnostic, collected, wrong
from twohand.text.source_map import TranslatedText
from twohand.text.source_text import Span
from twohand.typecheck.expressions.conversions import is_standard_conversion
from twohand.typecheck.expressions.expressions import value_of
from twohand.typecheck.expressions.names import unknown_name
from twohand.typecheck.units.duplicates import duplicate
from twohand.typecheck.units.globals import GlobalLists, GlobalVariable
from twohand.typecheck.units.inheritance import with_bases
from twohand.typecheck.units.kinds import KnownType, UnmodelledType, is_elementary
from twohand.typecheck.units.type_reader import TypeReader


class UnitTable:
    """Everything that the files declare; a Scope in which only enumeration values and global
    constants have names."""

    has_reals = False

    def __init__(self, files: Sequence[tree.SourceFile]) -> None:
        self.problems: list[Diagnostic] = []
        self.units: dict[str, tree.Unit] = {}
        self._declarations: dict[str, tree.TypeDeclaration] = {}
        self._types: dict[str, KnownType] = {}
        self._resolving: list[str] = []
        self._constants: dict[tree.Identifier, program.Literal] = {}
        self._resolving_constants: list[GlobalVariable] = []
        self.globals = GlobalLists(files)
        self.problems.extend(self.globals.problems)
        self.uses = Counter(
            use.type.key for file in files for part in file.configurations for use in part.programs
        )
        """How often configurations run each program, by its name in upper case."""
        drawn = any(isinstance(file.source, TranslatedText) for file in files)
        taken: dict[str, tree.Identifier] = {}
        for file in files:
            for unit in file.units:
                if self.claim(unit.name, taken, unit=not drawn):
                    self.units[unit.name.key] = unit
            for declaration in file.types:
                if self.claim(declaration.name, taken):
                    self._declarations[declaration.name.key] = declaration
        self.interfaces = {
            name.key
            for file in files
            for name in (
                *(interface.name for interface in file.interfaces),
                *(name for unit in file.units for name in unit.interfaces),
            )
        }
        self.units, self.lineages = with_bases(self.units)
        for key in self._declarations:
            with collected(self.problems):
                self._declared(key)

    def claim(
        self, name: tree.Identifier, taken: dict[str, tree.Identifier], unit: bool = False
    ) -> bool:
        """Whether the name may be declared beside those taken; notes why not."""
        problem = reserved(name, unit=unit, variable=False) or duplicate(name, taken)
        if problem is not None:
            self.problems.append(problem)
            return False
        taken[name.key] = name
        return True

    @property
    def enumerations(self) -> list[Enumeration]:
        """The enumerations of TYPE sections."""
        kinds = (known.type for known in self._types.values())
        return list(dict.fromkeys(kind for kind in kinds if isinstance(kind, Enumeration)))

    def type_nodes(self) -> list[tree.TypeNode]:
        """What the TYPE sections declare types by."""
        return [declaration.type for declaration in self._declarations.values()]

    def type_names(self) -> list[str]:
        """Every name that may occur after the colon of a variable."""
        units = [u.name.text for u in self.units.values() if u.kind is tree.UnitKind.FUNCTION_BLOCK]
        types = [declaration.name.text for declaration in self._declarations.values()]
        return [*units, *types, *ELEMENTARY, *BLOCKS_BY_NAME, *UNMODELLED]

    def named(self, node: tree.NamedType) -> KnownType:
        """An elementary type, one of a TYPE section, or a block; InputError (``unknown-type``)."""
        key = node.name.key
        if node.library and (key in ELEMENTARY or key in UNMODELLED):
            raise unknown_name(node.name, self.type_names(), "type", "unknown-type")
        if key in ELEMENTARY:
            kind = ELEMENTARY[key]
            return KnownType(kind, False if kind == BOOL else 0)
        if key in UNMODELLED:
            return KnownType(UnmodelledType(key), None)
        if key in self._declarations:
            return self._declared(key, node.span)
        unit = self.units.get(key)
        standard = BLOCKS_BY_NAME.get(key) or BLOCKS_OUTSIDE.get(key)
        if unit is None and standard is not None:
            return KnownType(standard, ())
        if unit is not None and unit.kind is tree.UnitKind.FUNCTION_BLOCK:
            return KnownType(unit, ())
        if unit is None and key in self.interfaces:
            message = (
                "the checker does not read variables of an interface "
                f"({node.name.text}), which are references"
            )
            way = "declare an instance of the block itself"
            raise wrong("unsupported-interface-variable", message, node.span, way)
        if unit is not None:
            message = f"'{node.name.text}' is a {unit.kind.value}, not a type"
            way = "call a function in an expression; only a FUNCTION_BLOCK has instances"
            raise wrong("not-a-type", message, node.span, way)
        raise unknown_name(node.name, self.type_names(), "type", "unknown-type")

    def _declared(self, key: str, span: Span | None = None) -> KnownType:
        if key in self._types:
            return self._types[key]
        declaration = self._declarations[key]
        if key in self._resolving:
            message = f"type '{declaration.name.text}' is declared by itself"
            way = "declare it by an elementary type or by its values"
            raise wrong("recursive-type", message, span or declaration.span, way)
        self._resolving.append(key)
        try:
            known = self._resolve(declaration)
        finally:
            self._resolving.pop()
        self._types[key] = known
        return known

    def _resolve(self, declaration: tree.TypeDeclaration) -> KnownType:
        reader = TypeReader(self.named, self)
        known = reader.known(declaration.type, declaration.name.text)
        initial = declaration.initial
        kind = known.type
        named = isinstance(initial, tree.Name) and len(initial.parts) == 1
        if isinstance(kind, Enumeration) and isinstance(initial, tree.Name) and named:
            return KnownType(kind, value_of(kind, initial.parts[0], initial).value)
        return reader.with_initial(known, initial)

    def constant(self, name: tree.Name) -> program.Literal | None:
        """The value of an elementary global constant, ``limit`` or ``Limits.limit``."""
        found = self.globals.find(name)
        if found is None or not found.constant or found.depth < len(name.parts):
            return None
        literal = self._constants.get(found.name)
        if literal is None and found.declaration.initial is not None:
            if found in self._resolving_constants:
                raise found.depends_on_itself()
            self._resolving_constants.append(found)
            known = TypeReader(self.named, self).declared(found.declaration, found.name.text)
            if is_elementary(known.type):
                value = known.initial
                assert isinstance(value, int)
                literal = program.Literal(value, known.type, name.span)  # type: ignore[arg-type]
                self._constants[found.name] = literal
            self._resolving_constants.pop()
        return literal

    # --- as a scope ---------------------------------------------------------------------------

    def resolve_name(self, name: tree.Name, expected: Type | None) -> program.Expression:
        """An enumeration value or a global constant."""
        value = self.constant(name) or find_value(name, expected, self.enumerations)
        if value is None:
            raise unknown_name(name, [v for e in self.enumerations for v, _ in e.values])
        return value

    def resolve_path(self, path: tree.AccessPath, expected: Type | None) -> program.Expression:
        raise wrong("not-constant", "a constant is needed here", path.span, "write its value")

    def resolve_call(self, call: tree.Call, expected: Type | None) -> program.Expression | None:
        return None

    def find_enumeration(self, name: tree.Identifier) -> Enumeration | None:
        known = self._types.get(name.key)
        return known.type if known and isinstance(known.type, Enumeration) else None

    def function(self, name: tree.Name) -> tree.Unit | None:
        """The user's function of this name."""
        unit = self.units.get(name.text.upper())
        return unit if unit is not None and unit.kind is tree.UnitKind.FUNCTION else None

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
        way = f"write {having[0].name}#{name.text} or {having[1].name}#{name.text}"
        raise wrong("ambiguous-name", f"'{name.text}' is a value of {kind_names}", name.span, way)
    return value_of(having[0], name.parts[0], name) if having else None


def reserved(name: tree.Identifier, unit: bool = False, variable: bool = True) -> Diagnostic | None:
    """What is wrong with declaring a name that the standard has taken (Ed. 2, annex C).

    A variable may be called like a standard function or block: a call has parentheses, and a type
    is behind a colon. A unit named like a standard block takes its place; not where diagrams are
    read, whose order rests on what standard blocks do.
    """
    block = name.key in BLOCKS_BY_NAME and not (unit or variable)
    taken = name.key in ELEMENTARY or block or name.key in UNMODELLED
    function = name.key in FUNCTION_NAMES or is_standard_conversion(name.key)
    if taken or (not variable and function):
        message = f"'{name.text}' is a name of the standard and cannot be declared"
        way = f"choose another, for instance {name.text}1"
        return Diagnostic("reserved-name", message, name.span, way)
    return None
