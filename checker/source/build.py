"""From the parser's tree to the syntax tree: statements and declarations."""

from __future__ import annotations

from typing import Any

from lark import Token
from lark.tree import Meta

from checker.source import tree
from checker.source.build_expressions import ExpressionBuilder
from checker.source.diagnostic import Diagnostic

Children = list[Any]


class Builder(ExpressionBuilder):
    """One method for each rule of ``grammar/structured_text.lark``."""

    # --- statements ---------------------------------------------------------------------------

    def statements(self, meta: Meta, children: Children) -> tuple[tree.Statement, ...]:
        return tuple(children)

    def empty(self, meta: Meta, children: Children) -> tree.Empty:
        return tree.Empty(self.span(meta))

    def assign(self, meta: Meta, children: Children) -> tree.Assign:
        target, _, value = children
        return tree.Assign(target, value, self.span(meta))

    def call_statement(self, meta: Meta, children: Children) -> tree.CallStatement:
        return tree.CallStatement(children[0], self.span(meta))

    def if_statement(self, meta: Meta, children: Children) -> tree.If:
        _, condition, _, body, *elsifs, otherwise, _ = children
        span = self.span(meta)
        first = tree.Branch(condition, body, span)
        return tree.If((first, *elsifs), otherwise or (), span)

    def elsif(self, meta: Meta, children: Children) -> tree.Branch:
        _, condition, _, body = children
        return tree.Branch(condition, body, self.span(meta))

    def else_part(self, meta: Meta, children: Children) -> tuple[tree.Statement, ...]:
        body: tuple[tree.Statement, ...] = children[1]
        return body

    def case_statement(self, meta: Meta, children: Children) -> tree.Case:
        _, selector, _, *items, otherwise, _ = children
        arms: list[tree.Arm] = []
        labels: tuple[tree.Label, ...] | None = None
        body: list[tree.Statement] = []
        for item in [*items, ()]:
            if not isinstance(item, tuple):
                if labels is None:
                    self.problems.append(
                        Diagnostic(
                            "missing-label",
                            "this statement of a CASE stands before the first label",
                            item.span,
                            "write a label before it, for instance 1:",
                        )
                    )
                body.append(item)
                continue
            if labels is not None:
                last = body[-1].span if body else labels[-1].span
                arms.append(tree.Arm(labels, tuple(body), labels[0].span.through(last)))
            labels, body = item, []
        return tree.Case(selector, tuple(arms), otherwise or (), self.span(meta))

    def labels(self, meta: Meta, children: Children) -> tuple[tree.Label, ...]:
        return tuple(children)

    def label(self, meta: Meta, children: Children) -> tree.Label:
        # The range sign is a named terminal, so a label has one child, or three.
        low, high = children[0], children[-1] if len(children) == 3 else None
        return tree.Label(low, high, self.span(meta))

    def for_loop(self, meta: Meta, children: Children) -> tree.For:
        _, variable, _, first, _, last, _, step, _, body, _ = children
        return tree.For(variable, first, last, step, body, self.span(meta))

    def while_loop(self, meta: Meta, children: Children) -> tree.While:
        _, condition, _, body, _ = children
        return tree.While(condition, body, self.span(meta))

    def repeat_loop(self, meta: Meta, children: Children) -> tree.Repeat:
        _, body, _, until, _ = children
        return tree.Repeat(body, until, self.span(meta))

    def exit_loop(self, meta: Meta, children: Children) -> tree.Exit:
        return tree.Exit(self.span(meta))

    def continue_loop(self, meta: Meta, children: Children) -> tree.Continue:
        return tree.Continue(self.span(meta))

    def return_unit(self, meta: Meta, children: Children) -> tree.Return:
        return tree.Return(self.span(meta))

    # --- declarations -------------------------------------------------------------------------

    def names(self, meta: Meta, children: Children) -> tuple[tree.Identifier, ...]:
        return tuple(self.identifier(child) for child in children)

    def named_type(self, meta: Meta, children: Children) -> tree.NamedType:
        return tree.NamedType(self.identifier(children[0]), self.span(meta))

    def enumeration_type(self, meta: Meta, children: Children) -> tree.EnumerationType:
        return tree.EnumerationType(tuple(children), self.span(meta))

    def enumeration_item(self, meta: Meta, children: Children) -> tree.EnumerationItem:
        return tree.EnumerationItem(self.identifier(children[0]), children[-1], self.span(meta))

    def pin_values(self, meta: Meta, children: Children) -> tuple[tree.PinValue, ...]:
        return tuple(children)

    def pin_value(self, meta: Meta, children: Children) -> tree.PinValue:
        name, _, value = children
        return tree.PinValue(self.identifier(name), value, self.span(meta))

    def declaration(self, meta: Meta, children: Children) -> tree.Declaration:
        names, kind, *_, initial = children
        pins = initial if isinstance(initial, tuple) else ()
        value = None if isinstance(initial, tuple) else initial
        return tree.Declaration(names, kind, value, pins, self.span(meta))

    def type_declaration(self, meta: Meta, children: Children) -> tree.TypeDeclaration:
        name, kind, *_, initial = children
        return tree.TypeDeclaration(self.identifier(name), kind, initial, self.span(meta))

    def type_section(self, meta: Meta, children: Children) -> tuple[tree.TypeDeclaration, ...]:
        return tuple(children[1:-1])

    def qualifier(self, meta: Meta, children: Children) -> tree.Identifier:
        return tree.Identifier(str(children[0]), self.span(meta))

    def section(self, meta: Meta, children: Children) -> tree.Section:
        inner = children[1:-1]
        qualifiers = tuple(child for child in inner if isinstance(child, tree.Identifier))
        declarations = tuple(child for child in inner if isinstance(child, tree.Declaration))
        return tree.Section(str(children[0]).upper(), qualifiers, declarations, self.span(meta))

    def block_unit(self, meta: Meta, children: Children) -> tree.Unit:
        keyword, name, *sections, body, _ = children
        return self._unit(meta, keyword, name, None, sections, body)

    def function_unit(self, meta: Meta, children: Children) -> tree.Unit:
        keyword, name, result, *sections, body, _ = children
        return self._unit(meta, keyword, name, result, sections, body)

    def _unit(
        self,
        meta: Meta,
        keyword: Token,
        name: Token,
        result: tree.NamedType | None,
        sections: Children,
        body: tuple[tree.Statement, ...],
    ) -> tree.Unit:
        kind = tree.UnitKind(keyword.upper())
        return tree.Unit(
            kind, self.identifier(name), result, tuple(sections), body, self.span(meta)
        )

    def source_file(self, meta: Meta, children: Children) -> tree.SourceFile:
        units = tuple(child for child in children if isinstance(child, tree.Unit))
        types = tuple(
            declaration for child in children if isinstance(child, tuple) for declaration in child
        )
        return tree.SourceFile(self.source_text, units, types)
