"""What the names in a unit's body mean, read and written."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from twohand.program import Role, Variable
from twohand.program.types import Enumeration, Type
from twohand.syntax import tree
from twohand.text.diagnostic import InputError, wrong
from twohand.text.source_text import text_until
from twohand.typecheck.expressions.names import unknown_name
from twohand.typecheck.expressions.widening import NotModelled, Result, refusal
from twohand.typecheck.units.inheritance import member_as_variable
from twohand.typecheck.units.unit_table import find_value
from twohand.typecheck.variables.access import Access, SelectorResolver
from twohand.typecheck.variables.direct_variables import direct
from twohand.typecheck.variables.instance_scope import (
    BlockEntity,
    ConstantEntity,
    Entity,
    InstanceScope,
    ProgramBuilder,
    StandardEntity,
    UnmodelledEntity,
    VariableEntity,
    parts_of_entity,
    variables_of,
)
from twohand.typecheck.variables.member_scopes import no_base, seen_from


class BodyScope:
    """The scope of a frame with its in-out parameters bound to the caller's variables."""

    has_reals = True

    def __init__(
        self,
        assembly: ProgramBuilder,
        frame: InstanceScope,
        bindings: Mapping[str, Entity] | None = None,
    ) -> None:
        self.assembly = assembly
        self.frame = frame
        self.bindings: Mapping[str, Entity] = bindings or {}
        self.controlled: list[Variable] = []
        """The variables of the FOR loops around the statement that is resolved."""

    def find(self, name: tree.Identifier) -> Entity | None:
        """What the name was declared as in this frame, or in the instance that it belongs to."""
        frame = self.frame
        if frame.outer is None or frame.in_outs is not frame.outer.in_outs:
            found = self.bindings.get(name.key) or frame.entities.get(name.key)
            if found is not None or frame.outer is None:
                return found
        return seen_from(frame, name, frame.level, self.bindings)

    def own(self, name: tree.Name) -> Entity | None:
        """What a name begins with, of this frame; behind THIS and SUPER of the instance alone."""
        if name.owner is None:
            return self.find(name.parts[0])
        level = self.frame.level + (name.owner.key == "SUPER")
        if self.frame.outer is None and not level:
            return self.find(name.parts[0])
        if level >= max(1, len(self.frame.instance.lineage.units)):
            raise no_base(self.frame, name.owner)
        return seen_from(self.frame, name.parts[0], level, self.bindings)

    def begin(self, name: tree.Name) -> tuple[Entity | None, int]:
        """What a name begins with, of this frame or global, and how many of its parts that takes.
        A name of the frame goes before a global one of the same spelling."""
        if not name.parts:
            return None, 0
        if name.parts[0].text.startswith("%"):
            return direct(self.assembly, name.parts[0]), 1
        entity = self.own(name)
        if entity is not None:
            return entity, 1
        if name.owner is not None:
            return None, 0
        found = self.assembly.library.globals.find(name)
        if found is None:
            program = self.assembly.program_instance(name.parts[0])
            return program, int(program is not None)
        return self.assembly.global_entity(found), found.depth

    def resolve_name(self, name: tree.Name, expected: Type | None) -> Result:
        """The variable, constant or enumeration value of a name; InputError otherwise."""
        entity, _ = self.begin(name)
        if entity is None or (isinstance(entity, VariableEntity) and len(name.parts) == 2):
            value = find_value(name, expected, self._enumerations())
            if value is not None:
                return value
        elif len(name.parts) == 1 and self.find(name.parts[0]) is None:
            self._refuse_ambiguous(name, expected)
        return self.access(name).read()

    def _refuse_ambiguous(self, name: tree.Name, expected: Type | None) -> None:
        """InputError for a global variable that has the name of an enumeration's value."""
        value = find_value(name, expected, self._enumerations())
        if value is not None:
            message = f"'{name.text}' is a global variable and a value of '{value.type.name}'"
            way = f"write {value.type.name}#{name.text}, or the variable with its list's name"
            raise wrong("ambiguous-name", message, name.span, way)

    def resolve_path(self, path: tree.AccessPath, expected: Type | None) -> Result:
        """The value of an element or of a bit."""
        return self.access(path).read()

    def access(self, node: tree.Name | tree.AccessPath) -> Access:
        """Where a name or a path leads; InputError where that is nowhere."""
        name = node.name if isinstance(node, tree.AccessPath) else node
        selectors = node.selectors if isinstance(node, tree.AccessPath) else ()
        entity, depth = self.begin(name)
        if entity is None:
            raise self._unknown(name)
        bound = name.owner is None and name.parts[0].key in self.bindings
        role = Role.IN_OUT if bound else role_of(entity)
        first = text_until(name.span, name.parts[depth - 1].span)
        walk = SelectorResolver(self, (entity,), role, first)
        found = walk.through((*name.parts[depth:], *selectors), node.span)
        if not bound:
            self.assembly.naming[-1].update(v for e in found.entities for v in variables_of(e))
        return found

    def assignable(self, node: tree.Name | tree.AccessPath) -> Access:
        """Where a statement may assign; InputError where it may not."""
        name = node.name if isinstance(node, tree.AccessPath) else node
        entity, _ = self.begin(name)
        unknown = entity is None and isinstance(node, tree.Name)
        if unknown and find_value(name, None, self._enumerations()) is not None:
            message = "is a value of an enumeration"
            raise _not_assignable(name, message, "assign it to a variable of that type instead")
        access = self.access(node)
        kind = access.kind
        if any(isinstance(part, ConstantEntity) for part in parts_of_entity(access.entity)):
            raise _not_assignable(node, "is a constant", "declare it without CONSTANT to change it")
        if isinstance(access.entity, StandardEntity | BlockEntity) or kind is None:
            access.read()
        if access.inside and access.role is Role.INPUT:
            raise _not_assignable(
                node, "is an input, which only the caller sets", "copy it to a VAR first"
            )
        if not access.inside and access.role is not Role.INPUT:
            message = f"belongs to '{name.parts[0].text}', which alone sets it"
            raise _not_assignable(node, message, "from outside, only inputs are assigned")
        if any(variable in self.controlled for variable in access.variables):
            raise loop_variable_changed(node)
        return access

    def target(self, node: tree.Name | tree.AccessPath) -> Variable:
        """The one elementary variable to which a statement may assign; InputError otherwise."""
        access = self.assignable(node)
        if access.dimensions or access.bit is not None:
            raise _not_assignable(
                node, "is not one variable here", "copy it to a variable of its own first"
            )
        value = access.read()
        if isinstance(value, NotModelled):
            raise refusal(value)
        (variable,) = access.variables
        return variable

    def _unknown(self, whole: tree.Name) -> InputError:
        name = whole.parts[0]
        inside = self.assembly.library.globals.list_names(name.key)
        if inside is not None and len(whole.parts) > 1:
            part, owner = whole.parts[1], f"the list '{name.text}'"
            return unknown_name(part, inside, "variable", "unknown-name", owner)
        member = self.frame.instance.lineage.find(name.key, self.frame.level)
        if member is not None:
            return member_as_variable(name, member.member)
        if name.key in (declared.upper() for declared in self.frame.names()):
            message = f"'{name.text}' is not known yet, since it is declared later"
            way = "declare it before, as a constant"
            return wrong("used-before-declaration", message, name.span, way)
        return unknown_name(name, self._all_names())

    def _enumerations(self) -> list[Enumeration]:
        frames = [self.frame] if self.frame.outer is None else [self.frame, self.frame.outer]
        inner = [kind for frame in frames for kind in frame.enumerations]
        return [*inner, *self.assembly.library.enumerations]

    def _all_names(self) -> list[str]:
        values = [value for kind in self._enumerations() for value, _ in kind.values]
        types = [kind.name for kind in self._enumerations()]
        return [*self.frame.names(), *values, *types, *self.assembly.library.globals.names()]

    def find_enumeration(self, name: tree.Identifier) -> Enumeration | None:
        """A declared enumeration; those without a name of their own have none here."""
        return self.assembly.library.find_enumeration(name)

    def function_names(self) -> Iterable[str]:
        """The user's functions, and the instances, which are not called in expressions."""
        return self.assembly.library.function_names()

    def resolve_call(self, call: tree.Call, expected: Type | None) -> Result | None:
        """Declarations call no functions of the user: they need constants."""
        if self.assembly.library.function(call.name) is not None:
            way = "write the value, or assign it in the body"
            raise wrong("not-constant", "a constant is needed here, not a call", call.span, way)
        return None


def role_of(entity: Entity) -> Role | None:
    """The role of a variable in its frame; None for constants and instances."""
    for part in parts_of_entity(entity):
        if isinstance(part, VariableEntity | UnmodelledEntity):
            return part.role
    return None


def loop_variable_changed(name: tree.Name | tree.AccessPath) -> InputError:
    """The error for a FOR loop whose body changes its variable."""
    message = f"'{name.text}' controls a FOR loop and cannot be changed in it"
    way = "use WHILE, or leave the loop with EXIT"
    return wrong("loop-variable-changed", message, name.span, way)


def _not_assignable(
    name: tree.Name | tree.AccessPath, reason: str, help_text: str = ""
) -> InputError:
    return wrong("not-assignable", f"'{name.text}' {reason}", name.span, help_text)
