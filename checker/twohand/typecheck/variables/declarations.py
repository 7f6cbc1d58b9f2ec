"""Declarations: the variables, constants and instances of a frame, with initial values."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from functools import cached_property

from twohand.program import Literal, Role, StandardBlock, Variable
from twohand.program.types import BOOL, Integer
from twohand.program.walks import nodes_below
from twohand.syntax import tree
from twohand.text.diagnostic import Diagnostic, InputError, collected, wrong
from twohand.text.source_text import Span
from twohand.typecheck.units.duplicates import duplicate
from twohand.typecheck.units.globals import GlobalVariable
from twohand.typecheck.units.inheritance import NO_BASES
from twohand.typecheck.units.kinds import (
    Array,
    Initial,
    Kind,
    KnownType,
    Structure,
    UnmodelledType,
    kind_name,
)
from twohand.typecheck.units.type_reader import TypeReader, without_initial
from twohand.typecheck.units.unit_table import reserved
from twohand.typecheck.variables.addresses import Place, true_address
from twohand.typecheck.variables.body_scope import BodyScope
from twohand.typecheck.variables.changed_inputs import copied_input, edge_input
from twohand.typecheck.variables.direct_variables import located
from twohand.typecheck.variables.external_writers import share
from twohand.typecheck.variables.instance_scope import (
    ArrayEntity,
    BlockEntity,
    ConstantEntity,
    Entity,
    ErrorEntity,
    InOut,
    InstanceScope,
    ProgramBuilder,
    Shared,
    SharedInstance,
    StructureEntity,
    VariableEntity,
    kind_of,
    variables_of,
)
from twohand.typecheck.variables.instances import DeclaredName, InstanceMaker, Pins, Shape

_UNKNOWN_TYPES = frozenset({"unknown-type", "unsupported-interface-variable"})
_WITH_CONSTANTS = ("VAR", "VAR_GLOBAL", "VAR_EXTERNAL")
_FRAME_SECTIONS = {role.value: role for role in Role}


def declare_unit(
    assembly: ProgramBuilder, unit: tree.Unit, prefix: str, retain: bool = False, top: bool = False
) -> InstanceScope:
    """The frame of one instance of ``unit``; what is wrong in it goes to the assembly."""
    return declare_frame(assembly, _frame(assembly, unit, prefix, retain), top)


def declare_frame(
    assembly: ProgramBuilder, frame: InstanceScope, top: bool = False
) -> InstanceScope:
    """Fills a frame with what its unit declares."""
    return _Declarer(assembly, frame, top).declare()


def _frame(assembly: ProgramBuilder, unit: tree.Unit, prefix: str, retain: bool) -> InstanceScope:
    lineage = assembly.library.lineages.get(unit.name.key, NO_BASES)
    assembly.problems.extend(lineage.problems)
    return InstanceScope(unit, prefix, retain, lineage=lineage)


class _Declarer(InstanceMaker):
    def __init__(
        self, assembly: ProgramBuilder, frame: InstanceScope, top: bool, pins: Pins | None = None
    ):
        self.assembly = assembly
        self.frame = frame
        self.top = top
        self.pins: Pins = pins or {}
        self.scope = BodyScope(assembly, frame)
        self.reader = TypeReader(assembly.library.named, self.scope)
        self.taken: dict[str, tree.Identifier] = {}
        self.known: dict[tree.Declaration, KnownType] = {}

    def declare(self) -> InstanceScope:
        unit = self.frame.unit
        self.assembly.units.add(unit)
        self.assembly.declaring.append(unit)
        if unit.kind is tree.UnitKind.FUNCTION:
            self._declare_result()
        sections = sorted(unit.sections, key=lambda section: not section.constant)
        for section in sections:
            self._check_qualifiers(section)
        for section in sections:
            for declaration in section.declarations:
                self._declare(section, declaration)
        self.assembly.declaring.pop()
        return self.frame

    def _declare_result(self) -> None:
        unit = self.frame.unit
        if unit.result is not None or self.frame.outer is None:
            self.taken[unit.name.key] = unit.name
        known = KnownType(BOOL, False)
        if unit.result is None:
            return
        with collected(self.assembly.problems):
            known = self.assembly.library.named(unit.result)
        name, span = f"{self.frame.prefix}{unit.name.text}", unit.name.span
        section = tree.Section("VAR_OUTPUT", (), (), span)
        shape = Shape(Role.OUTPUT, False, section, span, unset_at_call=True)
        entity = self._make(name, known.type, known.initial, shape)
        variables = variables_of(entity)
        if not variables:
            variables = [self.assembly.add_variable(Variable(name, BOOL, Role.OUTPUT, False, span))]
        self.frame.result = variables[0]
        self.frame.temporaries.extend(variables)
        self.frame.entities[unit.name.key] = entity

    def _check_qualifiers(self, section: tree.Section) -> None:
        for qualifier in section.qualifiers:
            if section.keyword == "VAR_INPUT":
                continue
            if qualifier.key == "CONSTANT" and section.keyword not in _WITH_CONSTANTS:
                message = f"{section.keyword} cannot be CONSTANT"
                way = "put constants in VAR CONSTANT"
                problem = Diagnostic("misplaced-qualifier", message, qualifier.span, way)
                self.assembly.problems.append(problem)

    def _declare(self, section: tree.Section, declaration: tree.Declaration) -> None:
        """Every name of one declaration; a wrong one is there all the same, so that its uses
        are not reported too."""
        for name in declaration.names:
            problem = reserved(name) or duplicate(name, self.taken)
            if problem is not None:
                self.assembly.problems.append(problem)
                continue
            self.taken[name.key] = name
            entity: Entity | None = ErrorEntity()
            problems: list[Diagnostic] = []
            with collected(problems):
                entity = self._entity(DeclaredName(name, declaration, section))
            if problems and self._is_unused(name, declaration, section, problems):
                self._leave_out(name, problems[0])
                continue
            self.assembly.problems.extend(problems)
            if entity is not None:
                self.frame.entities[name.key] = entity

    def _is_unused(
        self,
        name: tree.Identifier,
        declaration: tree.Declaration,
        section: tree.Section,
        problems: list[Diagnostic],
    ) -> bool:
        """Whether it is a variable of the block's own of an unknown type that nothing names."""
        own = section.keyword in ("VAR", "VAR_TEMP") and declaration.address is None
        unknown = all(problem.code in _UNKNOWN_TYPES for problem in problems)
        if not own or not unknown or self.frame.outer is not None or name.key in self.pins:
            return False
        return self._namings[name.key] == 1

    @cached_property
    def _namings(self) -> Counter[str]:
        """How often each name is in the block and what it extends, once more where it is in a part
        that cannot be read."""
        units = self.frame.lineage.units or (self.frame.unit,)
        texts = [(unit.sections, unit.body, unit.members, unit.unread) for unit in units]
        named = Counter(n.key for n in nodes_below((*texts,)) if isinstance(n, tree.Identifier))
        named.update(key for unit in units for member in unit.unread for key in member.names)
        return named

    def _leave_out(self, name: tree.Identifier, problem: Diagnostic) -> None:
        path = self.frame.prefix + name.text
        self.assembly.leave_out(
            f"'{path}', which nothing names ({problem.message})", name.span, path
        )

    def _entity(self, one: DeclaredName) -> Entity | None:
        name, declaration, section = one
        known = self._known(declaration)
        if section.keyword == "VAR_EXTERNAL":
            return self._external(one, known)
        if section.keyword == "VAR_STAT":
            return self._static(one)
        path = self.frame.prefix + name.text
        if declaration.edge is not None:
            entity = self.declare_one(one, path)
            return edge_input(self.assembly, self.frame, section, name, declaration.edge, entity)
        if section.keyword == Role.IN_OUT.value and not self.top:
            self.frame.in_outs[name.key] = InOut(name, known.type)
            if one.has_initial:
                message = "an in-out parameter has no initial value"
                raise _wrong(message, declaration.span, "remove it; the caller gives the variable")
            return None
        entity = self.declare_one(one, path)
        return copied_input(self.assembly, self.frame, section, name, entity)

    def _static(self, one: DeclaredName) -> Entity:
        """A variable that all instances of its block or method share."""
        name = one.name
        entity = self.assembly.statics.get(name)
        if entity is None:
            path = self.frame.prefix + name.text
            if not self.top:
                owner = f"{self.frame.unit.name.text}.VAR_STAT"
                path = self.assembly.global_path(name.text, owner)
            entity = self.assembly.statics[name] = self.declare_one(one, path)
            own = [Shared(variable, name.key, own=True) for variable in variables_of(entity)]
            self.assembly.shared.extend(own)  # with further instances of the block
        return entity

    def _known(self, declaration: tree.Declaration) -> KnownType:
        """The kind and initial value of a declaration, read once for all of its names."""
        known = self.known.get(declaration)
        if known is None:
            title = f"{self.frame.unit.name.text}.{declaration.names[0].text}"
            known = self.known[declaration] = self.reader.declared(declaration, title)
            for kind in self.reader.enumerations:
                if kind not in self.frame.enumerations:
                    self.frame.enumerations.append(kind)
        return known

    def declare_one(self, one: DeclaredName, path: str) -> Entity:
        """The variable, constant or instance of one name."""
        name, declaration, section = one
        known = self._known(declaration)
        if name.key in self.pins:
            pin, reader = self.pins[name.key]
            known = reader.with_initial(known, pin.value)
        block = isinstance(known.type, StandardBlock | tree.Unit)
        if section.constant and not block and not one.has_initial:
            message = f"constant '{name.text}' has no value"
            way = f"write {name.text} : {kind_name(known.type)} := ...;"
            raise wrong("constant-without-value", message, name.span, way)
        place = located(self.assembly, self.frame.unit, section, declaration, known.type)
        role = _FRAME_SECTIONS.get(section.keyword, Role.LOCAL) if place is None else place.role
        retain = _retain(section, self.frame.retain)
        unset = self._begins_anew(section, role) and not one.has_initial
        shape = Shape(role, retain, section, name.span, unset)
        entity = self._make(path, known.type, known.initial, shape)
        self._enlist(entity, one, role, place)
        return entity

    def _enlist(self, entity: Entity, one: DeclaredName, role: Role, place: Place | None) -> None:
        """Notes what is more than a variable of its own: parameters, temporaries, what others
        may change too."""
        name = one.name
        variables = variables_of(entity)
        if place is not None:
            self.assembly.located[true_address(place.text)] = entity
        if place is not None and place.role is Role.INPUT:
            self.assembly.located_inputs.extend(variables)
        elif place is not None or role is Role.GLOBAL:
            share(self.assembly, entity, name, None if place is None else place.text)
        elif role is Role.INPUT or role is Role.IN_OUT:
            self.frame.inputs[name.key] = entity
        elif role is Role.OUTPUT:
            self.frame.outputs[name.key] = entity
        if self._begins_anew(one.section, role):
            self.frame.temporaries.extend(variables)

    def _begins_anew(self, section: tree.Section, role: Role) -> bool:
        """Whether what such a section declares is there for one call only."""
        in_function = self.frame.unit.kind is tree.UnitKind.FUNCTION
        in_function = in_function and section.keyword not in ("VAR_INST", "VAR_STAT")
        return role is Role.TEMPORARY or (in_function and role in (Role.LOCAL, Role.OUTPUT))

    def _make(self, path: str, kind: Kind, initial: Initial, shape: Shape) -> Entity:
        """The variables, constants and instances of which something of this kind consists."""
        match kind:
            case Structure(members=members):
                assert isinstance(initial, Mapping)
                inner = {
                    key: self._make(f"{path}.{part.name}", part.kind, initial[key], shape)
                    for key, part in members.items()
                }
                return StructureEntity(kind, inner)
            case Array():
                assert isinstance(initial, tuple)
                names = (f"{path}[{shown}]" for shown in kind.indices())
                elements = (
                    self._make(name, kind.element, value, shape)  # type: ignore[arg-type]
                    for name, value in zip(names, initial, strict=True)
                )
                return ArrayEntity(kind, tuple(elements))
            case UnmodelledType():
                return self.unmodelled(path, kind, initial, shape)
            case StandardBlock() | tree.Unit():
                assert isinstance(initial, tuple)
                return self.instance(path, kind, initial, shape)  # type: ignore[arg-type]
        if initial is None and self.top and shape.role in (Role.INPUT, Role.IN_OUT):
            initial = kind.lowest if isinstance(kind, Integer) else 0
        if initial is None:
            raise without_initial(path, kind, shape.span)
        assert isinstance(initial, int)
        if shape.section.constant:
            literal = Literal(initial, kind, shape.span)
            self.assembly.constants[path] = literal
            return ConstantEntity(literal)
        variable = Variable(
            path, kind, shape.role, initial, shape.span, shape.retain, False, shape.unset_at_call
        )
        self.assembly.add_variable(variable)
        return VariableEntity(variable, shape.role)

    # --- what is elsewhere too ------------------------------------------------------------

    def _external(self, one: DeclaredName, known: KnownType) -> Entity:
        """What a VAR_EXTERNAL means: the global variable, wherever it is declared."""
        name, declaration, _ = one
        if one.has_initial:
            message = "an external variable has no initial value here"
            raise _wrong(message, declaration.span, "give it where it is declared as VAR_GLOBAL")
        found = self.assembly.library.globals.find(tree.Name((name,), name.span))
        if found is None:
            entity = self.assembly.externals.get(name.key)
            if entity is None:
                entity = self.assembly.externals[name.key] = self._undeclared(one)
        else:
            entity = declare_global(self.assembly, found)
        kind = kind_of(entity)
        if kind is not None and kind != known.type:
            message = (
                f"'{name.text}' is {kind_name(kind)} where it is declared, but "
                f"{kind_name(known.type)} here"
            )
            raise wrong("type-mismatch", message, declaration.type.span, f"write {kind_name(kind)}")
        return entity

    def _undeclared(self, one: DeclaredName) -> Entity:
        name, declaration, section = one
        if section.constant:
            message = f"no file declares the global constant '{name.text}'"
            way = "add the file with its VAR_GLOBAL CONSTANT to SOURCE"
            raise wrong("constant-without-value", message, name.span, way)
        inside = tree.Section("VAR_GLOBAL", section.qualifiers, (), section.span)
        path = self.assembly.global_path(name.text, "global")
        return self.declare_one(DeclaredName(name, declaration, inside), path)

    def inner_frame(self, unit: tree.Unit, prefix: str, retain: bool, pins: Pins) -> InstanceScope:
        frame = _frame(self.assembly, unit, prefix, retain)
        return _Declarer(self.assembly, frame, False, pins).declare()


def _retain(section: tree.Section, inherited: bool) -> bool:
    keys = {qualifier.key for qualifier in section.qualifiers}
    if keys & {"RETAIN", "PERSISTENT"}:
        return True
    return inherited and "NON_RETAIN" not in keys


def _wrong(message: str, span: Span, help_text: str = "") -> InputError:
    return wrong("wrong-initial-value", message, span, help_text)


def declare_global(assembly: ProgramBuilder, found: GlobalVariable) -> Entity:
    """The entity of a global variable or constant, declared at its first use."""
    key = found.name
    if key in assembly.globals:
        return assembly.globals[key]
    if key in assembly.declaring_globals:
        raise found.depends_on_itself()
    assembly.declaring_globals.add(key)
    span = found.name.span
    unit = tree.Unit(
        tree.UnitKind.PROGRAM, tree.Identifier(found.list_name, span), None, (), (), span
    )
    declarer = _Declarer(assembly, InstanceScope(unit, assembly.prefix), False)
    path = assembly.global_path(found.name.text, found.list_name)
    entity: Entity = ErrorEntity()
    with collected(assembly.problems):
        one = DeclaredName(found.name, found.declaration, found.section)
        entity = declarer.declare_one(one, path)
    assembly.globals[key] = entity
    full = f"{assembly.prefix}{found.list_name}.{found.name.text}".casefold()
    assembly.aliases[full] = path
    for variable in variables_of(entity):
        assembly.aliases[full + variable.name[len(path) :].casefold()] = variable.name
    return entity


def program_instance(assembly: ProgramBuilder, name: tree.Identifier) -> BlockEntity | None:
    """The one instance of the PROGRAM of this name; None where there is none, or where it is the
    one that is checked. Each is one instance for all that call or name it (Ed. 2, 2.5.3, lets only
    a resource run them; that programs call programs is common practice)."""
    unit = assembly.library.units.get(name.key)
    if unit is None or unit.kind is not tree.UnitKind.PROGRAM or unit is assembly.top:
        return None
    entity = assembly.programs.get(name.key)
    if entity is None:
        path = assembly.global_path(unit.name.text, "PROGRAM")
        assembly.add_body(name.span)
        entity = BlockEntity(path, declare_unit(assembly, unit, f"{path}."))
        assembly.programs[name.key] = entity
        assembly.shared_instances.append(SharedInstance(path, name.key, name.span))
    return entity
