"""From the parser's tree to the syntax tree: declarations, types, initial values."""

from __future__ import annotations

from typing import Any

from lark import Token
from lark.tree import Meta

from twohand.syntax import tree
from twohand.syntax.parsing.expressions import Children, ExpressionBuilder


class TypeBuilder(ExpressionBuilder):
    """One method for each rule of ``grammar/structured_text.lark`` about declarations."""

    reads_unmodelled = True

    # --- sections -----------------------------------------------------------------------------

    def names(self, meta: Meta, children: Children) -> tuple[tree.Identifier, ...]:
        return tuple(self.identifier(child) for child in children)

    def declaration(self, meta: Meta, children: Children) -> tree.Declaration:
        names, address, kind, edge, *_, initial = children
        pins = initial.values if isinstance(initial, tree.PinValues) else ()
        value = None if isinstance(initial, tree.PinValues) else initial
        return tree.Declaration(names, kind, value, pins, self.span(meta), edge, address)

    def location(self, meta: Meta, children: Children) -> tree.Address:
        return tree.Address(str(children[1]).upper(), self.span(children[1]))

    def edge(self, meta: Meta, children: Children) -> tree.Identifier:
        return tree.Identifier(str(children[0]), self.span(meta))

    qualifier = edge

    def section(self, meta: Meta, children: Children) -> tree.Section:
        inner = children[1:-1]
        qualifiers = tuple(child for child in inner if isinstance(child, tree.Identifier))
        declarations = tuple(child for child in inner if isinstance(child, tree.Declaration))
        return tree.Section(str(children[0]).upper(), qualifiers, declarations, self.span(meta))

    global_section = section

    # --- types --------------------------------------------------------------------------------

    def type_section(self, meta: Meta, children: Children) -> tuple[tree.TypeDeclaration, ...]:
        return tuple(children[1:-1])

    def type_declaration(self, meta: Meta, children: Children) -> tree.TypeDeclaration:
        name, kind, *_, initial = children
        return tree.TypeDeclaration(self.identifier(name), kind, initial, self.span(meta))

    def structure_declaration(self, meta: Meta, children: Children) -> tree.TypeDeclaration:
        name, base, kind = children
        if base is not None:
            kind = tree.StructureType(kind.members, kind.span, base[1][0])
        return tree.TypeDeclaration(self.identifier(name), kind, None, self.span(meta))

    def named_type(self, meta: Meta, children: Children) -> tree.NamedType:
        *library, _ = names = [self.identifier(child) for child in children]
        return tree.NamedType(names[-1], self.span(meta), tuple(library))

    def _named_type(self, token: Token) -> tree.NamedType:
        return tree.NamedType(self.identifier(token), self.span(token))

    def enumeration_type(self, meta: Meta, children: Children) -> tree.EnumerationType:
        *items, base = children
        return tree.EnumerationType(tuple(items), self.span(meta), base)

    def based_enumeration(self, meta: Meta, children: Children) -> tree.EnumerationType:
        base, *items = children
        return tree.EnumerationType(tuple(items), self.span(meta), self._named_type(base))

    def enumeration_item(self, meta: Meta, children: Children) -> tree.EnumerationItem:
        return tree.EnumerationItem(self.identifier(children[0]), children[-1], self.span(meta))

    def subrange_type(self, meta: Meta, children: Children) -> tree.SubrangeType:
        base, low, _, high = children
        return tree.SubrangeType(self._named_type(base), low, high, self.span(meta))

    def array_type(self, meta: Meta, children: Children) -> tree.ArrayType:
        bounds = tuple(child for child in children if isinstance(child, tree.Bounds))
        return tree.ArrayType(bounds, children[-1], self.span(meta))

    def open_bounds(self, meta: Meta, children: Children) -> tree.Bounds:
        message = "the checker does not read arrays whose limits the caller gives (ARRAY [*])"
        way = "write the limits that the block is called with"
        self.problem("unsupported-array", message, self.span(meta), way)
        zero = tree.Literal(0, None, self.span(meta))
        return tree.Bounds(zero, zero, self.span(meta))

    def structure_type(self, meta: Meta, children: Children) -> tree.StructureType:
        return tree.StructureType(tuple(children[1:-1]), self.span(meta))

    def string_type(self, meta: Meta, children: Children) -> tree.StringType:
        word: Token = children[0]
        return tree.StringType(tree.Identifier(str(word), self.span(word)), self.span(meta))

    # --- initial values -----------------------------------------------------------------------

    def pin_values(self, meta: Meta, children: Children) -> tree.PinValues:
        return tree.PinValues(tuple(children), self.span(meta))

    def pin_value(self, meta: Meta, children: Children) -> tree.PinValue:
        name, _, value = children
        return tree.PinValue(self.identifier(name), value, self.span(meta))

    def array_values(self, meta: Meta, children: Children) -> tree.ArrayValues:
        return tree.ArrayValues(tuple(children[1:-1]), self.span(meta))

    def plain_values(self, meta: Meta, children: Children) -> tree.ArrayValues:
        """``:= 1, 2, 3`` and ``:= 3(0)``: without brackets, as some platforms write it."""
        return tree.ArrayValues(tuple(children), self.span(meta))

    def plain_repetition(self, meta: Meta, children: Children) -> tree.ArrayValues:
        return tree.ArrayValues((self.repeated_value(meta, children),), self.span(meta))

    def repeated_value(self, meta: Meta, children: Children) -> tree.Repeated:
        count, *values = children
        present: list[Any] = [value for value in values if value is not None]
        return tree.Repeated(self.literal(meta, [count]), tuple(present), self.span(meta))
